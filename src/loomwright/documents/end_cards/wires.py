"""The wire itself: insulation, strands, a strand astray, and the tube that a conductor is crimped in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from loomwright.documents.end_cards.geometry import polygon
from loomwright.documents.end_cards.ink import (
    CLEAR,
    COPPER,
    FINE,
    GHOST,
    INSULATION,
    INSULATION_SHADE,
    METAL,
    OUTLINE,
)
from loomwright.documents.end_cards.sizes import WireSize
from loomwright.documents.look import INK
from loomwright.documents.scene import Fill, Group, Item, Line, Path, Point, Polyline, Rect, Stroke

_RAMP_MM = 0.5
_STRANDS = "strands"
_FINEST_MM = 0.55
"""Lines between strands closer than this on paper run into one dark patch."""


def insulation(wire: WireSize, start: float, end: float, y: float = 0.0) -> Group:
    """Draw the insulated part between two places on the axis; a gauge that is not known has a dashed edge."""
    top, thick = y - wire.outside_mm / 2, wire.outside_mm
    left, long = min(start, end), abs(end - start)
    return Group(
        (
            Rect(left, top, long, thick, fill=INSULATION),
            Rect(left, top + 0.72 * thick, long, 0.28 * thick, fill=INSULATION_SHADE),
            Rect(left, top, long, thick, stroke=OUTLINE if wire.known else GHOST),
        ),
        "insulation",
    )


@dataclass(frozen=True, slots=True)
class Tube:
    """A barrel cut open along its axis: from `start` to `end`, with places where it is pressed together."""

    start: float
    end: float
    inside_mm: float
    outside_mm: float
    crimps: tuple[tuple[float, float], ...] = ()
    squeeze_mm: float = 0.0

    def half(self, x: float, across_mm: float) -> float:
        """Return half of an undisturbed width [mm] as it is at a place along the axis."""
        return max(0.05, across_mm / 2 - self.squeeze_mm * max((_press(x, c) for c in self.crimps), default=0.0))

    def breaks(self, start: float, end: float) -> list[float]:
        """List the places between two ends where the outline bends, ends included."""
        bends = [x for a, b in self.crimps for x in (a - _RAMP_MM, a, b, b + _RAMP_MM)]
        return [start, *sorted(x for x in bends if start < x < end), end]

    def drawn(self, y: float = 0.0, *, fill: Fill = METAL) -> tuple[Item, ...]:
        """Draw the wall and the hollow inside."""
        return (
            self._profile(self.outside_mm, y, OUTLINE, fill),
            self._profile(self.inside_mm, y, FINE, CLEAR),
        )

    def _profile(self, across_mm: float, y: float, stroke: Stroke, fill: Fill) -> Path:
        xs = self.breaks(self.start, self.end)
        upper = [(x, y - self.half(x, across_mm)) for x in xs]
        return polygon([*upper, *((x, 2 * y - top) for x, top in reversed(upper))], stroke, fill)


def pressed(wire: WireSize, inside_mm: float) -> float:
    """Return how far a wall must be pressed in [mm] to hold the strands: they give way by a tenth."""
    return max(0.0, inside_mm / 2 - 0.9 * wire.copper_mm / 2)


def copper(wire: WireSize, start: float, end: float, y: float = 0.0, tube: Tube | None = None) -> Group:
    """Draw the strands between two places on the axis, pressed where they lie in a crimp."""
    start, end = sorted((start, end))
    if tube is None or not tube.crimps:
        body: Item = Rect(start, y - wire.copper_mm / 2, end - start, wire.copper_mm, 0.0, OUTLINE, COPPER)
        return Group((body, _between(wire, [start, end], [1.0, 1.0], y)), "copper")
    xs = tube.breaks(start, end)
    halves = [min(wire.copper_mm / 2, tube.half(x, tube.inside_mm)) for x in xs]
    upper = [(x, y - half) for x, half in zip(xs, halves, strict=True)]
    shape = polygon([*upper, *((x, 2 * y - top) for x, top in reversed(upper))], OUTLINE, COPPER)
    return Group((shape, _between(wire, xs, [2 * half / wire.copper_mm for half in halves], y)), "copper")


def stray(points: Sequence[Point]) -> tuple[Item, ...]:
    """Draw one strand that goes its own way."""
    return (
        Polyline(tuple(points), Stroke(INK, 0.85, round_ends=True)),
        Polyline(tuple(points), Stroke(COPPER, 0.4, round_ends=True)),
    )


def plain_where_fine(items: Iterable[Item], wire: WireSize, scale: float) -> tuple[Item, ...]:
    """Leave out the lines between strands where they would be too close at this scale."""
    if wire.copper_mm / wire.across * scale >= _FINEST_MM:
        return tuple(items)
    return tuple(_without(item) for item in items)


def _without(item: Item) -> Item:
    if not isinstance(item, Group):
        return item
    return replace(item, items=() if item.role == _STRANDS else tuple(_without(inner) for inner in item.items))


def _between(wire: WireSize, xs: Sequence[float], shares: Sequence[float], y: float) -> Group:
    """Draw the lines between strands."""
    lines: list[Item] = []
    for n in range(1, wire.across):
        offset = wire.copper_mm * (n / wire.across - 0.5)
        points = tuple((x, y + offset * share) for x, share in zip(xs, shares, strict=True))
        two = len(points) == 2  # noqa: PLR2004  a straight piece
        lines.append(Line(points[0], points[1], FINE) if two else Polyline(points, FINE))
    return Group(tuple(lines), _STRANDS)


def _press(x: float, crimp: tuple[float, float]) -> float:
    """Tell how far pressed a place is: 1 inside the crimp, 0 beyond its ramps."""
    start, end = crimp
    beyond = max(start - x, x - end, 0.0)
    return max(0.0, 1 - beyond / _RAMP_MM)
