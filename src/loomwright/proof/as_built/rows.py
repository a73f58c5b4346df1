"""The rows of the Wake-up list as they stand: which of their readings count now, what these tell, what they rest on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from loomwright.proof.as_built.verdicts import Judged, Verdict, judge, shown_in, unit_of
from loomwright.proof.wake_up_result import Topic
from loomwright.records.alarms import ALARMS
from loomwright.records.ends import Standing
from loomwright.records.event import Kind
from loomwright.records.reading import MOST_NAMED
from loomwright.records.readings import ReadingState

if TYPE_CHECKING:
    from loomwright.proof.as_built.ends import BuiltEnd
    from loomwright.proof.wake_up_result import Measurement
    from loomwright.records.event import Event
    from loomwright.records.fold import State

_WORST: Final = (Verdict.STOP, Verdict.EXPLAIN, Verdict.KEPT, Verdict.GOOD)
_NOT_YET: Final = Judged(Verdict.TO_DO, "Nobody has measured it yet.")
#: Rows that no end of the robot lies in.
_BY_ITSELF: Final = frozenset({Topic.METER, Topic.BATTERY})


#: What stops a reading that needs power.
_LIVE: Final = frozenset({Kind.DANGER})


class Rows:
    """The readings of one build beside the ends of its plan: a reading counts for the ends as they were when it came.

    It counts as long as nothing that it rests on has changed: none of the ends on its way was signed anew, failed or
    was planned otherwise since. It does not count where it came while power was told on or a danger was open. What does
    not count is kept, and its row is to do again.
    """

    def __init__(self, state: State, build: str, ends: tuple[BuiltEnd, ...]) -> None:
        """Put the ends in order by their wires; what is worked out of a row is kept."""
        self.state, self.build, self.ends = state, build, ends
        self._alarms = state.power_of(build).alarms
        self._by_wire: dict[str, list[BuiltEnd]] = {}
        for end in ends:
            self._by_wire.setdefault(end.fitted.wire, []).append(end)
        self._signed = {
            end.name: {one.key for one in end.state.history if one.kind in (Kind.MADE, Kind.REDONE)} for end in ends
        }
        self._counting: dict[str, tuple[Event, ...]] = {}

    def held(self, row: Measurement) -> ReadingState:
        """Return what was recorded of a row."""
        name = (self.build, row.key)
        return self.state.readings.get(name) or ReadingState(name, ())

    def counting(self, row: Measurement) -> tuple[Event, ...]:
        """Return the readings of a row that count now: those that none has replaced and that nothing has overtaken."""
        if row.key not in self._counting:
            held = self.held(row).readings
            self._counting[row.key] = tuple(event for event in held if not self.why_not(row, event))
        return self._counting[row.key]

    def verdict(self, row: Measurement) -> Judged:
        """Judge a row by the worst of its readings that count, unless a mentor has explained it."""
        held = self.held(row)
        found = self.counting(row)
        if not found:
            return _to_do(self.why_not(row, held.readings[-1])) if held.readings else _NOT_YET
        worst = min((judge(row, event.value) for event in found), key=lambda one: _WORST.index(one.verdict))
        if worst.verdict is Verdict.EXPLAIN and held.approved(found):
            return Judged(Verdict.APPROVED, f"{worst.why} {_signed(held.approvals)}")
        return worst

    def of(self, row: Measurement) -> tuple[str, ...]:
        """Return what the next reading of a row names: the readings it replaces, and all that it rests on.

        Of what is too much to name the last is left out, and counts by when it came.
        """
        signed = [key for end in self.on_its_way(row) for key in end.state.keys]
        return tuple(dict.fromkeys((*self.held(row).keys, *self._alarms.keys, *signed)))[:MOST_NAMED]

    def on_its_way(self, row: Measurement) -> Iterable[BuiltEnd]:
        """Return the ends that lie in a row: those of its wires; without any all of them, as the whole board is."""
        if row.wires:
            return [end for wire in row.wires for end in self._by_wire.get(wire, ())]
        return () if row.topic in _BY_ITSELF else self.ends

    def why_not(self, row: Measurement, event: Event) -> str:
        """Say why a reading does not count now, "" where it does."""
        if event.value is not None and event.unit not in ("", unit_of(row)):
            return f"{shown_in(event.value, event.unit)} was written, and this row is read in {unit_of(row)}"
        if (met := self._alarms.met_by(event, _LIVE if row.topic is Topic.POWER else ALARMS)) is not None:
            told = "power was told on" if met.kind is Kind.POWER_ON else f"a danger was told ({met.words})"
            return f"It came while {told}, by {met.who}"
        return next(self._overtaken(row, event), "")

    def _overtaken(self, row: Measurement, event: Event) -> Iterator[str]:
        """Say which ends on the way of a row are others by now than those that a reading was taken of."""
        for end in self.on_its_way(row):
            if end.standing is Standing.REDO:
                yield f"{end.name} is to make again"
            for made in end.state.made:
                if self._is_later(made, event, end):
                    again = "made again" if made.kind is Kind.REDONE else "signed"
                    yield f"{end.name} was {again} since"

    def _is_later(self, made: Event, event: Event, end: BuiltEnd) -> bool:
        """Tell whether a reading was taken before an end was signed as it stands."""
        if made.key in event.of:
            return False
        # Of an end that it names nothing of (readings once named none) what came later was made later.
        return (
            not self._signed[end.name].isdisjoint(event.of)
            or self.state.places[made.key] > self.state.places[event.key]
        )


def _to_do(why: str) -> Judged:
    return Judged(Verdict.TO_DO, f"{why}: measure again.")


def _signed(approvals: Iterable[Event]) -> str:
    return " ".join(f"{event.who}: {event.words}" if event.words else f"Signed by {event.who}." for event in approvals)
