"""What to measure next of a battery, and why: the one thing that would tell most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rack.health.capacity import usual_current_a
from loomwright.rack.health.case import day_words
from loomwright.rack.health.practice import practice
from loomwright.rack.health.replay import AGREE
from loomwright.rack.health.result import State

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.rack.health.case import Case
    from loomwright.rack.health.levels import Level

_TESTER = "with a tester whose two test currents are known, charged and rested, and write the currents down"


def ask(case: Case, level: Level) -> str:
    """Return what to do next with a battery, "" where nothing presses; `level` is that of its resistance."""
    return next(_asked(case, level), "")


def _asked(case: Case, level: Level) -> Iterator[str]:
    seen, state = case.evidence.seen, case.standing.state
    if case.battery.alarms:
        yield "A mentor looks it over, and releases it or takes it out of use."
    yield from _not_held(case)
    if not seen:
        yield f"Measure its resistance {_TESTER}: nothing of it is known."
    elif case.standing.by_resistance is State.UNMEASURED:
        yield f"Measure its resistance {_TESTER}, near {_currents(case)}: at others it can't be judged."
    elif not seen[-1].charged and seen[-1].near and seen[-1].as_it_was > case.evidence.log_match:
        yield f"Charge it fully, let it rest some hours and measure its resistance again: {_why_high(seen[-1].charge)}."
    if case.standing.by_resistance is State.RETEST:
        yield f"Measure its resistance again {_TESTER}: a second reading that agrees decides."
    yield from _odd(case, level)
    yield from _short_test(case)
    if state is State.FIT and case.evidence.past[-1][0] > 1 - practice("sure"):
        yield f"Measure its resistance again {_TESTER}: it is close to what is not for matches."
    if seen and case.now_day - seen[-1].moment.reading.day > practice("old reading"):
        yield f"Measure its resistance again: the last one is of {day_words(seen[-1].moment.reading.day)}."
    if state in {State.FIT, State.PRACTICE} and not case.evidence.tests:
        current = f"{usual_current_a(case.battery.of):.3g} A to 10.5 V"
        yield f"A capacity test at {current}, when there is time: how much it holds is only supposed."


def _not_held(case: Case) -> Iterator[str]:
    lows = len(case.standing.lows)
    if lows >= AGREE:
        yield "Take it out of use and hand it back: it was charged twice and did not hold. Don't charge it again."
    elif lows:
        again = "charge it once more, watched, unplug it and read its rest voltage after some hours"
        yield f"It was charged and does not hold: {again}; if it is low again a cell is dead."


def _why_high(charge: float) -> str:
    return (
        "stored flat it reads high"
        if charge < practice("stored flat")
        else "it was not fully charged, so it reads high"
    )


def _currents(case: Case) -> str:
    return f"{case.battery.of.low_a:g} and {case.battery.of.high_a:g} A"


def _odd(case: Case, level: Level) -> Iterator[str]:
    """Ask for a reading again that lies far from what all of them lead to expect."""
    if not case.evidence.seen:
        return
    last = case.evidence.seen[-1]
    if abs(last.log_share - level.now.middle) > practice("odd from") * last.doubt:
        when = day_words(last.moment.reading.day)
        yield f"Measure its resistance again: the reading of {when} lies far from the others."


def _short_test(case: Case) -> Iterator[str]:
    if case.standing.holds and case.evidence.tests and case.evidence.tests[-1].log_share < case.evidence.log_least:
        low = f"the last test gave only {case.evidence.tests[-1].delivered_ah:.1f} Ah, and one alone decides nothing"
        yield f"Charge it fully and test its capacity again: {low}."
