"""How long fuses and breakers take to open, and what else their tables say."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

from loomwright.catalogue.sources import source
from loomwright.catalogue.tables import number, table
from loomwright.model.part import TripPoint

_FOR_EVER_S = 360_000.0  # 100 h, the longest that fuse standards test


@dataclass(frozen=True, slots=True)
class TripCurve:
    """Opening times over multiples of the rating, between the published points only.

    `points` are sorted by multiple. `rests_on` holds what a verdict has to say beside it, such as "the
    breaker's curve is assumed".
    """

    kind: str
    points: tuple[TripPoint, ...]
    source: str = ""
    rests_on: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse points out of order, and times that grow with the current."""
        if any(b.multiple <= a.multiple for a, b in pairwise(self.points)):
            raise ValueError(f"{self.kind}: the points of a trip curve must rise in current")
        if not all(_falls(self._known(pick)) for pick in (_least, _most)):
            raise ValueError(f"{self.kind}: more current can't take longer to open")

    def min_s(self, multiple: float) -> float | None:
        """Return the time [s] that it surely holds at a multiple of its rating; None where nothing is published."""
        return _between(self._known(_least), multiple)

    def max_s(self, multiple: float) -> float | None:
        """Return the time [s] after which it has surely opened; None where nothing is published."""
        return _between(self._known(_most), multiple)

    @property
    def surely_holds(self) -> float | None:
        """The largest multiple that it carries for 100 h or more; None where none is published."""
        held = [p.multiple for p in self.points if p.min_s is not None and p.min_s >= _FOR_EVER_S]
        return max(held, default=None)

    @property
    def surely_opens(self) -> float | None:
        """The smallest multiple at which it must open; below it, it may hold for ever."""
        return min((p.multiple for p in self.points if p.max_s is not None), default=None)

    def _known(self, pick: Callable[[TripPoint], float | None]) -> list[tuple[float, float]]:
        return [(point.multiple, time) for point in self.points if (time := pick(point)) is not None]


def trip_curve(kind: str) -> TripCurve:
    """Return the published curve of a kind of protection ("blade-regular", "strip", ...).

    Raises
    ------
    KeyError
        For a kind without a table.
    """
    rows = [row for row in table("protection_curve") if row["kind"] == kind]
    if not rows:
        raise KeyError(f"there is no curve for {kind!r}; there are {', '.join(trip_curve_kinds())}")
    points = tuple(TripPoint(float(row["multiple"]), number(row, "min_s"), number(row, "max_s")) for row in rows)
    memory = any(source(row["source"]).standing == "from memory" for row in rows)
    note = (f"opening times of {kind} are partly from memory",) if memory else ()
    return TripCurve(kind, points, rows[0]["source"], note)


def trip_curve_kinds() -> tuple[str, ...]:
    """Return the kinds of protection that have a published curve."""
    return tuple(dict.fromkeys(row["kind"] for row in table("protection_curve")))


def blade_fuse_colour(rating_a: float) -> str | None:
    """Return the colour of a blade fuse of this rating [A], None for a rating without one."""
    return next((row["colour"] for row in table("blade_fuse_colour") if float(row["rating_a"]) == rating_a), None)


def breaker_rating_over_load(*, ambient_c: float) -> float | None:
    """Return how large a thermal breaker's rating must be for a load of 1 A in air of this temperature [C].

    Common practice, 1.00 at 23 C, straight between the points; None outside -10 to 60 C.
    """
    points = [(float(row["ambient_c"]), float(row["rating_over_load"])) for row in table("breaker_ambient")]
    for (low_c, low), (high_c, high) in pairwise(points):
        if low_c <= ambient_c <= high_c:
            return low + (high - low) * (ambient_c - low_c) / (high_c - low_c)
    return None


def _least(point: TripPoint) -> float | None:
    return point.min_s


def _most(point: TripPoint) -> float | None:
    return point.max_s


def _falls(points: Iterable[tuple[float, float]]) -> bool:
    return all(later <= earlier for (_, earlier), (_, later) in pairwise(points))


def _between(points: list[tuple[float, float]], multiple: float) -> float | None:
    """Interpolate on logarithmic scales, where such curves are close to straight."""
    if len(points) == 1 and points[0][0] == multiple:
        return points[0][1]
    for (low, at_low), (high, at_high) in pairwise(points):
        if low <= multiple <= high:
            share = math.log(multiple / low) / math.log(high / low)
            return math.exp(math.log(at_low) + share * math.log(at_high / at_low))
    return None
