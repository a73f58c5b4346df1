"""What stands in the way of signing, of measuring and of the first power: in sentences, by what people recorded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final

from loomwright.proof.as_built.looks_now import answers_now, people, slow_clocks
from loomwright.proof.as_built.rows import Rows
from loomwright.proof.as_built.verdicts import Verdict
from loomwright.proof.wake_up_looks import MEASURING, POWER
from loomwright.records.ends import Standing
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.proof.as_built.ends import BuiltEnd
    from loomwright.proof.wake_up_result import Look, WakeUp
    from loomwright.records.event import Event
    from loomwright.records.fold import State

_PEOPLE: Final = 2
_MOST_NAMES: Final = 3
#: What is asked before the very first power only: later stages have their breakers in, and rows are not measured again.
_ONCE: Final = ("all rows good", "protection out again")
#: How an end may be that gets power: a student alone can go on, so nobody has to have witnessed its pull.
_HELD: Final = (Standing.PULLED, Standing.PULLED_ALONE)


@dataclass(frozen=True)
class Moment:
    """The Wake-up list of one build beside its records and the ends of its plan, at a moment [UTC]."""

    wake: WakeUp
    state: State
    build: str
    ends: tuple[BuiltEnd, ...]
    now: str

    @cached_property
    def rows(self) -> Rows:
        """The readings beside the ends."""
        return Rows(self.state, self.build, self.ends)

    @cached_property
    def rests_on(self) -> tuple[str, ...]:
        """The readings before power that count: whoever answers the questions before power has to know them."""
        rows = self.rows
        return tuple(event.key for row in self.wake.measurements for event in rows.counting(row))

    def answers(self, look: Look, rests_on: Collection[str] | None = None) -> tuple[Event, ...]:
        """Return the answers to a look that count now; `rests_on` where it is known already."""
        known = () if look.before != POWER else self.rests_on if rests_on is None else rests_on
        return answers_now(self.state, self.build, look.key, self.now, rests_on=known)


def before_signing(state: State) -> Iterator[str]:
    """Give what has to be done before a hand goes near the robot: an open danger has to be cleared."""
    for event in state.dangers:
        place = f" at {event.about}" if event.about else ""
        yield f"Danger: {event.words}{place}, told by {event.who}. Hands off, until a mentor has cleared it on Hunt."


def before_measuring(at: Moment) -> Iterator[str]:
    """Give what has to be done before a probe touches the robot: lugs looked at by two, looks answered by two."""
    yield from before_signing(at.state)
    lugs = [end.name for end in at.ends if end.second_person and not end.is_done]
    if lugs:
        yield f"{listed(lugs, 'and')}: a second person looks at each lug on a battery post first, on the Pull screen."
    if at.state.power_of(at.build).told_on:
        yield "Somebody told that power is on. Main breaker off, plug apart, and tell it below."
    yield from _looks(at, MEASURING, ())


def before_answers(at: Moment) -> Iterator[str]:
    """Give what has to be done before anybody answers the questions before power: every end done, every row good."""
    yield from before_signing(at.state)
    open_ends = [end for end in at.ends if not end.is_done and end.standing not in _HELD]
    if open_ends:
        yield _not_done(open_ends)
    rows = at.rows
    found = Counter(rows.verdict(row).verdict for row in at.wake.measurements)
    left = [f"{found[v]} {v}" for v in (Verdict.STOP, Verdict.EXPLAIN, Verdict.TO_DO) if found[v]]
    if left:
        yield f"Not every row is good yet: {listed(left, 'and')}."


def before_power(at: Moment) -> Iterator[str]:
    """Give what has to be done before the first power: what comes before its questions, and these answered by two."""
    yield from before_answers(at)
    if not at.state.power_of(at.build).told_on:
        yield from _looks(at, POWER, at.rests_on)


def asked_now(wake: WakeUp, state: State, build: str) -> tuple[Look, ...]:
    """Return the questions that can be answered now: some make sense before the very first power alone."""
    again = state.power_of(build).was_on
    return tuple(look for look in wake.looks if not (again and look.key in _ONCE))


def _not_done(ends: Collection[BuiltEnd]) -> str:
    names = [end.name for end in ends]
    more = len(names) - _MOST_NAMES
    told = listed(names, "and") if more <= 0 else f"{', '.join(names[:_MOST_NAMES])} and {more} more"
    return f"{len(names)} ends are not done: {told}." if len(names) > 1 else f"1 end is not done: {told}."


def _looks(at: Moment, before: str, rests_on: Collection[str]) -> Iterator[str]:
    asked = [look for look in asked_now(at.wake, at.state, at.build) if look.before == before]
    short = [look for look in asked if len(people(event.who for event in at.answers(look, rests_on))) < _PEOPLE]
    if short:
        told = listed([str(look.number) for look in short], "and")
        yield f"Two people look, each for themselves, in the last half hour. Still open: question {told}."
        slow = people(who for look in short for who in slow_clocks(at.state, at.build, look.key, at.now))
        if slow:
            yield f"{listed(slow, 'and')} answered by a clock that is long past: set the phone's clock, or look again."
