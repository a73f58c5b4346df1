"""What a person sees while a plan is searched, and what Ctrl-C does."""

from __future__ import annotations

import os
import signal

import pytest

from loomwright.cli.progress import Onlooker, onlooker
from loomwright.search import News


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        """Tell the time."""
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """Give the program a clock that stands still."""
    held = Clock()
    monkeypatch.setattr("loomwright.cli.progress.time.monotonic", held)
    return held


def news(used: float = 0.25, cost: float | None = 1000.0, bound: float | None = 990.0) -> News:
    """Say how far a search is."""
    return News(stage="trunks", cost=cost, bound=bound, used=used)


def test_a_quick_search_shows_nothing(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """What takes less than a blink leaves the screen alone."""
    watch = Onlooker(shows=True, _started=clock.now)
    clock.now += 0.5
    watch.tell(news())
    watch.end()
    assert capsys.readouterr().err == ""


def test_a_long_search_says_how_good_and_how_long_to_go(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """After 3 s of a stage with a quarter of its budget used, 9 s are left at most; the gap is 1 % of the cost."""
    watch = Onlooker(shows=True, _started=clock.now)
    watch.tell(News(stage="slots", cost=1.0, bound=1.0, used=0.9))
    clock.now += 5
    watch.tell(news(used=0.0))
    capsys.readouterr()
    clock.now += 3
    watch.tell(news())
    line = capsys.readouterr().err
    assert "trunks: within 1 % of the best possible, at most 9 s to go  (Ctrl-C keeps the best so far)" in line
    clock.now += 0.1
    watch.tell(news())
    assert capsys.readouterr().err == ""  # not more often than people read
    watch.end()
    assert capsys.readouterr().err.strip() == ""  # the line is wiped away


def test_without_a_bound_or_an_answer_it_says_so(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """It claims no more than it knows."""
    watch = Onlooker(shows=True, _started=clock.now)
    for cost, bound, words in ((None, None, "looking for a first answer"), (10.0, None, "an answer is there")):
        clock.now += 3
        watch.tell(news(used=0.0, cost=cost, bound=bound))
        told = capsys.readouterr().err
        assert words in told
        assert "to go" not in told


def test_a_pipe_gets_no_progress(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """A script that reads stderr is left in peace."""
    watch = Onlooker(shows=False, _started=clock.now)
    clock.now += 10
    watch.tell(news())
    assert capsys.readouterr().err == ""


def test_ctrl_c_ends_the_search_and_a_second_one_the_program() -> None:
    """The first is a wish to stop, which the search hears; the second is meant."""
    before = signal.getsignal(signal.SIGINT)
    with onlooker() as watch:
        os.kill(os.getpid(), signal.SIGINT)
        heard = watch.stopped
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert heard
    assert signal.getsignal(signal.SIGINT) is before
