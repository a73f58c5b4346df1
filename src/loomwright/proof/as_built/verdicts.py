"""What a number on a meter tells, at once: good, to be explained, or stop."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf, isfinite
from typing import TYPE_CHECKING, Final

from loomwright.electrical.hand_meter import as_shown
from loomwright.electrical.practice import practice
from loomwright.proof.wake_up_result import Kind
from loomwright.records.reading import OPEN
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.proof.wake_up_result import Measurement

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


#: What to do with a reading that is neither good nor beyond the limit.
AGAIN: Final = "Measure again with clean probes and the leads' own reading taken off. If it stays, find out why."
#: What to do where a meter on ohms shows less than nothing: it does not measure a resistance then.
VOLTAGE_THEN: Final = (
    "There is voltage in the circuit: take the probes off, and look at plug and main breaker. Where both are open, "
    "wait a minute for capacitors, and measure volts there before ohms."
)


def unit_of(row: Measurement) -> str:
    """Return the unit that a row is read in: "V" or "ohm"."""
    return _UNITS.get(row.setting.function, "ohm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What a reading of a row is compared with [ohm or V]; inf and -inf where there is no bound.

    Below `below` or above `above` nobody goes on; from `low` to `high` is good, unless nobody can say (`unknown`).
    """

    below: float
    above: float
    low: float
    high: float
    unknown: bool


def bounds(row: Measurement) -> Bounds:
    """Return the bounds of a row, no narrower than printed. Where only much is a danger, little is a zeroed meter.

    No resistance is less than nothing: below what a zeroed meter may show, something else drives it.
    """
    expected, stop = row.expected, row.stop
    zeroed = stop is not None and stop.below is None
    low = -inf if expected.low is None or zeroed else min(expected.low, _printed(row, expected.low))
    least = -inf if unit_of(row) == "V" else -practice("under zero")
    return Bounds(
        below=max(least, -inf if stop is None or stop.below is None else stop.below),
        above=inf if stop is None or stop.above is None else stop.above,
        low=inf if expected.kind is Kind.OPEN and expected.low is None else low,
        high=inf if expected.high is None else max(expected.high, _printed(row, expected.high)),
        unknown=expected.kind is Kind.UNKNOWN,
    )


def _printed(row: Measurement, value: float) -> float:
    """Return a bound as its words have it, which is what a paper is read by; infinity stays."""
    return as_shown(value) if unit_of(row) == "ohm" and isfinite(value) else value


def judge(row: Measurement, value: float | None) -> Judged:
    """Judge one reading of a row [ohm or V]; None is an open circuit, which only ohms can show."""
    reading, held, shown = inf if value is None else value, bounds(row), shown_in(value, unit_of(row))
    if unit_of(row) != "V" and reading < -practice("under zero"):
        return Judged(Verdict.STOP, f"{shown}: less than no resistance.", VOLTAGE_THEN)
    if row.stop is not None and (reading < held.below or reading > held.above):
        return Judged(Verdict.STOP, f"{shown}: {row.stop.words}.", row.stop.then)
    if unit_of(row) == "V" and value is None:
        return Judged(Verdict.EXPLAIN, "Volts are never open: write the number, 0 where there is none.")
    if held.unknown:
        return Judged(Verdict.KEPT, f"{shown}: nobody can say beforehand; later readings are compared with it.")
    if held.low <= reading <= held.high:
        return Judged(Verdict.GOOD, f"{shown}, expected: {row.expected.words}.")
    side = "too low" if reading < held.low else "too high"
    return Judged(Verdict.EXPLAIN, f"{shown} is {side}; expected: {row.expected.words}.", AGAIN)


def shown_in(value: float | None, unit: str) -> str:
    """Write a reading [in ohm or V, by its unit]; None is open."""
    if value is None:
        return OPEN.capitalize()
    return show(value, Dimension.VOLTAGE if unit == "V" else Dimension.RESISTANCE)
