"""What a battery gives at a current: a data sheet read between its rows, warmth, and Peukert's formula beside it."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import inf, log
from typing import TYPE_CHECKING

from loomwright.catalogue.tables import number, table

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


def delivered_share(current_a: float, capacity_ah: float) -> float:
    """Return the share of its rating that a new battery gives at a current, by the sheet of the 14 Ah battery.

    Read on a line over the logarithm of current over capacity. Past the ends of the sheet (its 10-minute and 20-hour
    rates) the end holds: nothing is known there (source: agm-14ah-sheet).
    """
    return _between(log(current_a / capacity_ah), sheet())


@cache
def sheet() -> tuple[tuple[float, float], ...]:
    """Return the sheet's usable rows: logarithm of current over rating [1/h], share of the rating delivered."""
    rows = [row for row in table("rack_discharge") if row["used"] == "yes"]
    points = [(log(float(r["current_a"]) / float(r["rated_ah"])), _delivered(r)) for r in rows]
    return tuple(sorted(points))


def warmth_factor(temperature_c: float, minutes: float) -> float:
    """Return capacity over that at 25 C, by how long the discharge takes (source: lead-acid-temperature).

    Below 0 and above 40 C the table's end holds.
    """
    return _between(temperature_c, _warmth(minutes))


def peukert_time_h(capacity_ah: float, hours: float, exponent: float, current_a: float) -> float:
    """Return how long a battery rated over some hours lasts at a current [h]: H (C / I H)^n.

    For published examples and for comparison only; the rack reads the sheet, whose exponent is far above the textbook's
    (source: peukert-examples).
    """
    return float(hours * (capacity_ah / (current_a * hours)) ** exponent)


def peukert_exponent(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return the exponent that goes through two discharges, each current [A] and time [h] (source: peukert-table)."""
    return log(one[1] / other[1]) / log(other[0] / one[0])


def _delivered(row: Mapping[str, str]) -> float:
    return float(row["delivered_ah"]) / float(row["rated_ah"])


def _warmth(minutes: float) -> tuple[tuple[float, float], ...]:
    held = [
        row for row in table("rack_temperature") if _covers(number(row, "from_min"), number(row, "to_min"), minutes)
    ]
    return tuple((float(row["temperature_c"]), float(row["capacity"])) for row in held)


def _covers(least: float | None, most: float | None, value: float) -> bool:
    return (least or 0.0) <= value < (inf if most is None else most)


def _between(at: float, points: Sequence[tuple[float, float]]) -> float:
    """Read a line between points in order of their first number; past an end the end holds."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[0][1] if at < points[0][0] else points[-1][1]
