"""What stands in the way of measuring, and of the first power: said in sentences, by what people recorded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from loomwright.proof.as_built.verdicts import Verdict, row_verdict
from loomwright.proof.wake_up_looks import MEASURING, POWER
from loomwright.records.live import same_person
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.proof.as_built.ends import BuiltEnd
    from loomwright.proof.wake_up_result import Look, WakeUp
    from loomwright.records.fold import State

_PEOPLE: Final = 2
#: What is asked before the very first power only: later stages have their breakers in, and rows are not measured again.
_ONCE: Final = ("all rows good", "protection out again")
_PASSES: Final = (Verdict.GOOD, Verdict.KEPT, Verdict.APPROVED)


def before_measuring(wake: WakeUp, state: State, build: str, ends: Iterable[BuiltEnd]) -> Iterator[str]:
    """Give what has to be done before a probe touches the robot: lugs looked at by two, looks answered by two."""
    lugs = [end.name for end in ends if end.second_person and not end.is_done]
    if lugs:
        yield f"{listed(lugs, 'and')}: a second person looks at each lug on a battery post first, on the Pull screen."
    if state.power_of(build).told_on:
        yield "Somebody told that power is on. Main breaker off, plug apart, and tell it below."
    yield from _looks(wake, state, build, MEASURING)


def before_power(wake: WakeUp, state: State, build: str) -> Iterator[str]:
    """Give what has to be done before the first power: every row good or explained, looks answered by two."""
    found = Counter(row_verdict(row, state.readings.get((build, row.key))).verdict for row in wake.measurements)
    left = [f"{found[v]} {v}" for v in (Verdict.STOP, Verdict.EXPLAIN, Verdict.TO_DO) if found[v]]
    if left:
        yield f"Not every row is good yet: {listed(left, 'and')}."
    if not state.power_of(build).told_on:
        yield from _looks(wake, state, build, POWER)


def asked_now(wake: WakeUp, state: State, build: str) -> tuple[Look, ...]:
    """Return the questions that can be answered now: some make sense before the very first power alone."""
    again = state.power_of(build).was_on
    return tuple(look for look in wake.looks if not (again and look.key in _ONCE))


def _looks(wake: WakeUp, state: State, build: str, before: str) -> Iterator[str]:
    power = state.power_of(build)
    short = {
        look.number: who
        for look in asked_now(wake, state, build)
        if look.before == before and len(who := _people(event.who for event in power.confirmations(look.key))) < _PEOPLE
    }
    if short:
        told = listed([str(number) for number in short], "and")
        yield f"Two people look, each for themselves. Still open: question {told}."


def _people(names: Iterable[str]) -> list[str]:
    """Return each person once."""
    found: list[str] = []
    for name in names:
        if not any(same_person(name, other) for other in found):
            found.append(name)
    return found
