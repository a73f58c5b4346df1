"""What a reading tells, at once: good, to be explained, or stop."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf
from typing import TYPE_CHECKING, Final

from loomwright.proof.wake_up_result import Kind
from loomwright.records.reading import OPEN
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.proof.wake_up_result import Expected, Measurement
    from loomwright.records.event import Event
    from loomwright.records.readings import ReadingState

_UNITS: Final = {"DC volts": "V"}


class Verdict(StrEnum):
    """What a reading tells of a row."""

    TO_DO = "to do"
    GOOD = "good"
    KEPT = "kept for comparison"
    EXPLAIN = "explain"
    APPROVED = "explained and signed"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict with its reason in a sentence, and what to do where it is not good."""

    verdict: Verdict
    why: str
    then: str = ""


_WORST: Final = (Verdict.STOP, Verdict.EXPLAIN, Verdict.KEPT, Verdict.GOOD)
_NOT_YET: Final = Judged(Verdict.TO_DO, "Nobody has measured it yet.")


def unit_of(row: Measurement) -> str:
    """Return the unit that a row is read in: "V" or "ohm"."""
    return _UNITS.get(row.setting.function, "ohm")


def judge(row: Measurement, value: float | None) -> Judged:
    """Judge one reading of a row [ohm or V]; None is an open circuit, which only ohms can show."""
    reading = inf if value is None else value
    shown = _shown(row, value)
    stop = row.stop
    if stop is not None and ((stop.below is not None and reading < stop.below) or _above(stop.above, reading)):
        return Judged(Verdict.STOP, f"{shown}: {stop.words}.", stop.then)
    if unit_of(row) == "V" and value is None:
        return Judged(Verdict.EXPLAIN, "Volts are never open: write the number, 0 where there is none.")
    return _against(row.expected, reading, shown, zeroed=stop is not None and stop.below is None)


def row_verdict(row: Measurement, state: ReadingState | None) -> Judged:
    """Judge a row by the worst of its readings that nobody has replaced, unless a mentor has explained it."""
    if state is None or not state.readings:
        return _NOT_YET
    worst = _worst(judge(row, event.value) for event in state.readings)
    if worst.verdict is Verdict.EXPLAIN and state.approved:
        return Judged(Verdict.APPROVED, f"{worst.why} {_signed(state.approvals)}")
    return worst


def _against(expected: Expected, reading: float, shown: str, *, zeroed: bool) -> Judged:
    """Compare with what is expected. Where only a high reading is a danger, less than expected is a zeroed meter."""
    if expected.kind is Kind.UNKNOWN:
        return Judged(Verdict.KEPT, f"{shown}: nobody can say beforehand; later readings are compared with it.")
    low = -inf if expected.low is None or zeroed else expected.low
    high = inf if expected.high is None else expected.high
    if expected.kind is Kind.OPEN and expected.low is None:
        low = inf
    if low <= reading <= high:
        return Judged(Verdict.GOOD, f"{shown}, expected: {expected.words}.")
    side = "too low" if reading < low else "too high"
    return Judged(
        Verdict.EXPLAIN,
        f"{shown} is {side}; expected: {expected.words}.",
        "Measure again with clean probes and the leads' own reading taken off. If it stays, find out why.",
    )


def _above(limit: float | None, reading: float) -> bool:
    return limit is not None and reading > limit


def _worst(judged: Iterable[Judged]) -> Judged:
    return min(judged, key=lambda one: _WORST.index(one.verdict))


def _shown(row: Measurement, value: float | None) -> str:
    if value is None:
        return OPEN.capitalize()
    return show(value, Dimension.VOLTAGE if unit_of(row) == "V" else Dimension.RESISTANCE)


def _signed(approvals: tuple[Event, ...]) -> str:
    return " ".join(f"{event.who}: {event.words}" if event.words else f"Signed by {event.who}." for event in approvals)
