"""What a person sees while the program looks for the best plan, and how Ctrl-C ends the looking and keeps the plan."""

from __future__ import annotations

import signal
import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import click

from loomwright.search import Certificate, in_words

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import FrameType

    from loomwright.search import News

_PATIENCE_S = 0.7
_EVERY_S = 0.25
_LEAST_USED = 0.02


@dataclass(slots=True)
class Onlooker:
    """Tells on stderr how far a search is, once it takes longer than a blink, and hears Ctrl-C."""

    shows: bool
    stopped: bool = False
    _started: float = field(default_factory=time.monotonic)  # noqa: TID251  a person waits
    _last: float = 0.0
    _width: int = 0
    _stage: str = ""
    _stage_started: float = 0.0

    def tell(self, news: News) -> None:
        """Show one line, over the one before."""
        now = time.monotonic()  # noqa: TID251  what is decided does not depend on it
        if news.stage != self._stage:
            self._stage, self._stage_started = news.stage, now
        if not self.shows or now - self._started < _PATIENCE_S or now - self._last < _EVERY_S:
            return
        self._last = now
        kept = "what is done" if news.words else "the best so far"
        line = f"{news.stage}: {_how_good(news)}{self._left(news, now)}  (Ctrl-C keeps {kept})"
        self._width = max(self._width, len(line))
        click.echo("\r" + line.ljust(self._width), nl=False, err=True)

    def end(self) -> None:
        """Wipe the line away."""
        if self._width:
            click.echo("\r" + " " * self._width + "\r", nl=False, err=True)

    def _left(self, news: News, now: float) -> str:
        if not _LEAST_USED < news.used < 1:
            return ""
        seconds = (now - self._stage_started) * (1 - news.used) / news.used
        return f", at most {seconds:.0f} s to go"


@contextmanager
def onlooker() -> Iterator[Onlooker]:
    """Look on while something is searched; the first Ctrl-C ends the search, the second the program."""
    watch = Onlooker(shows=sys.stderr.isatty())

    def hear(_signal: int, _frame: FrameType | None) -> None:
        if watch.stopped:
            raise KeyboardInterrupt
        watch.stopped = True

    before = signal.signal(signal.SIGINT, hear)
    try:
        yield watch
    finally:
        signal.signal(signal.SIGINT, before)
        watch.end()


def _how_good(news: News) -> str:
    if news.words:
        return news.words
    if news.cost is None:
        return "looking for a first answer"
    if news.bound is None or news.cost <= 0:
        return "an answer is there"
    return in_words(Certificate(cost=news.cost, bound=news.bound, unit=""))
