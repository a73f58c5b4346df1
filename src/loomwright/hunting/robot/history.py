"""What the bench's records raise: ends that were made again, failed, were never pulled, sit in a moving joint."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.hunting.robot.faults import FaultKind, faults_of, moving_trunks
from loomwright.hunting.robot.practice import practice, raises
from loomwright.records.event import Kind
from loomwright.records.people import person

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.hunting.robot.faults import RobotFault
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire
    from loomwright.records.ends import EndState
    from loomwright.records.fold import State

_OF_ENDS: Final = (FaultKind.OPEN, FaultKind.POOR, FaultKind.LOOSE, FaultKind.SHAKY)
#: So many matches without a check make an end suspect (source: common practice).
_MATCHES: Final = 5
#: A person's rate of failed pulls is drawn to the team's as if so many pulls more had gone like the team's.
_SHRINK: Final = 10.0


@dataclass(frozen=True, slots=True)
class Raised:
    """By how much the records raise the odds of a fault, and why, in words."""

    factor: float
    why: tuple[str, ...]


def raised_by(plan: Plan, state: State, build: str) -> Mapping[str, Raised]:
    """Return what is raised, by the keys of faults; what nothing raises is not in it."""
    ends = _Ends(plan, state, build)
    found = {}
    for fault in faults_of(plan):
        reasons = list(ends.reasons(fault))
        if reasons:
            factor = 1.0
            for amount, _ in reasons:
                factor *= amount
            found[fault.key] = Raised(factor, tuple(words for _, words in reasons))
    return found


def by_place(plan: Plan, wire: PlannedWire, end: PlannedEnd) -> Iterator[tuple[float, str]]:
    """Give what the place of an end raises, whatever was recorded of it: factors with the words for them."""
    if moving_trunks(plan, wire):
        yield raises()["moving"]
    if end.port is not None and end.port.friction_only:
        yield raises()["friction"]


class _Ends:
    """The ends of a plan beside their records."""

    def __init__(self, plan: Plan, state: State, build: str) -> None:
        self._wires = {wire.id: wire for wire in plan.wires}
        self._plan, self._state, self._build = plan, state, build
        self._signed = any(name[0] == build and end.made for name, end in state.ends.items())
        ended = [hunt for hunt in state.hunts.get(build, ()) if not hunt.open]
        self._mended = Counter(event.about for hunt in ended for event in hunt.mended)
        self._matches = sorted(e.measured_at for e in state.events.values() if e.kind is Kind.PLAYED)
        self._rates = _rates(state, build)

    def reasons(self, fault: RobotFault) -> Iterator[tuple[float, str]]:
        """Give every reason to suspect a fault more, with its factor."""
        if self._mended[fault.seat]:
            yield raises()["mended before"]
        yield from self._by_moving(fault)
        if fault.kind not in _OF_ENDS or not fault.end:
            return
        wire = self._wires[fault.wire]
        end = wire.a if fault.end == "A" else wire.b
        yield from by_place(self._plan, wire, end)
        if self._signed and end.treatment is not None:
            yield from self._by_records(self._state.end(self._build, wire.id, end.letter))

    def _by_moving(self, fault: RobotFault) -> Iterator[tuple[float, str]]:
        """Give how much a moving joint has worn its wire: more with every match since the wire was made."""
        if not fault.wire or not moving_trunks(self._plan, self._wires[fault.wire]):
            return
        ends = [self._state.end(self._build, fault.wire, letter) for letter in "AB"]
        made = max((event.measured_at for end in ends for event in end.made), default="")
        count = sum(played > made for played in self._matches)
        most, words = raises()["moved"]
        if count:
            matches = "1 match" if count == 1 else f"{count} matches"
            yield min(1 + count / practice("joint doubles"), most), words.format(matches=matches)

    def _by_records(self, end: EndState) -> Iterator[tuple[float, str]]:
        if not end.made:
            yield raises()["not made"]
            return
        told = end.history
        if any(event.kind is Kind.REDONE for event in told):
            yield raises()["redone"]
        if any(event.kind is Kind.FAILED for event in told):
            yield raises()["failed pull"]
        if not any(event.kind is Kind.PULLED for event in told):
            yield raises()["not pulled"]
        last = max((event.measured_at for event in told), default="")
        if sum(played > last for played in self._matches) >= _MATCHES:
            yield raises()["not checked"]
        most, words = raises()["hand"]
        makers = [person(event.who) for event in told if event.kind in (Kind.MADE, Kind.REDONE)]
        factor = min(self._rates.get(makers[-1], 1.0), most) if makers else 1.0
        if factor > 1:
            yield factor, words


def _rates(state: State, build: str) -> dict[str, float]:
    """Return each maker's rate of failed pulls over the team's, drawn to it where pulls are few."""
    makers: dict[tuple[str, str], str] = {}
    pulls: Counter[str] = Counter()
    failed: Counter[str] = Counter()
    told = sorted(state.events.values(), key=lambda event: (event.measured_at, event.key))
    for event in (event for event in told if event.build == build):
        place = (event.wire, event.end)
        if event.kind in (Kind.MADE, Kind.REDONE):
            makers[place] = person(event.who)
        elif event.kind in (Kind.PULLED, Kind.FAILED) and place in makers:
            pulls[makers[place]] += 1
            failed[makers[place]] += event.kind is Kind.FAILED
    if not sum(failed.values()):
        return {}
    team = sum(failed.values()) / sum(pulls.values())
    return {who: (failed[who] + _SHRINK * team) / (pulls[who] + _SHRINK) / team for who in pulls}
