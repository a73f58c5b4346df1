"""What was told in a hunt, by whom and when, and how a hunt ended."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from loomwright.cli.hunt.lines import GOOD, HEAD, TYPE, Line
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.cli.hunt.typed import Typed
    from loomwright.jobs.hunt.result import AnswerView
    from loomwright.records.event import Event
    from loomwright.records.hunts import HuntRecord


def log_lines(hunt: HuntRecord, answers: Sequence[AnswerView]) -> Iterator[Line]:
    """Tell everything of a hunt in its order, on this laptop's clock."""
    words = {one.key: f"{one.words}{'  (does not go with the others)' if one.doubtful else ''}" for one in answers}
    events = [hunt.begun, *hunt.observations, *hunt.mended, *hunt.dangers, *([hunt.ended] if hunt.ended else [])]
    yield Line("THE HUNT SO FAR", HEAD)
    for event in sorted(events, key=lambda one: (one.measured_at, one.key)):
        yield Line(f"  {_clock(event.measured_at)}  {event.who:<10}  {words.get(event.key) or _told(event)}", hang=4)
    yield Line("")


def wrote_lines(
    hunt: HuntRecord | None, answers: Sequence[AnswerView], keys: Sequence[str], falls: dict[str, str]
) -> Iterator[Line]:
    """Tell what was written down of an open hunt; `falls` says into which outcome a number falls."""
    mended = [_told(event) for event in (hunt.mended if hunt is not None else ()) if event.key in keys]
    fresh = [*mended, *(f"{one.words}{falls.get(one.key, '')}" for one in answers if one.key in keys)]
    if fresh:
        yield Line(f"Written down: {'; '.join(fresh)}.", GOOD, hang=2)


def ended_lines(ended: Event, typed: Typed) -> Iterator[Line]:
    """Tell how a hunt ended, and what to sign of it."""
    what = f": {ended.about}" if ended.about else ""
    yield Line(f"The hunt is over, {ended.words}{what}.", GOOD)
    if ended.end:
        yield Line(f"  Sign {ended.about} on the screen Ends as made again, and have it pulled:")
        yield Line(f"  {typed.other('bench')}", TYPE, whole=True)


def _told(event: Event) -> str:
    if event.kind is Kind.MENDED:
        return f"mended: {event.about}{f' ({event.words})' if event.words else ''}"
    if event.kind is Kind.DANGER:
        return f"DANGER: {event.words}{f' at {event.about}' if event.about else ''}"
    if event.kind is Kind.HUNT_ENDED:
        return f"ended: {event.words}"
    return f"begun{f': {event.words}' if event.words else ''}"


def _clock(stamp: str) -> str:
    return f"{datetime.fromisoformat(stamp).astimezone():%m-%d %H:%M}"
