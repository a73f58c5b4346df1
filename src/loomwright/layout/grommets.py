"""Where wires pass an edge that could cut them: a sharp trunk, a border, a hole in a plate."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.result import Grommet
from loomwright.layout.ties import point_along
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.layout.result import Edge, Point, Section
    from loomwright.model.robot import Plate, Robot

Border = tuple[tuple[float, float], ...]

_ON_PLATE_M = 0.05
_SAME_PLACE_M = 0.01
_LEVEL_M = 1e-3


def grommets_of(robot: Robot, used: Iterable[Edge], sections: Iterable[Section]) -> tuple[Grommet, ...]:
    """Return the places where wires need a soft edge, each once, with the reason.

    That is where an edge in use crosses the border of a plate or of a keep-out near the plate's own height (within
    5 cm), where it comes up or down through a plate, and once on every trunk that is flagged to pass a sharp edge:
    in the middle of its longest section, since the flag names no place.
    """
    found: list[Grommet] = []
    edges = sorted(used, key=lambda edge: natural(edge.name))
    borders = [grommet for edge in edges for plate in robot.plates for grommet in _at_plate(edge, plate)]
    for grommet in (*_sharp(robot, sections), *borders):
        if all(math.dist(grommet.at, other.at) > _SAME_PLACE_M for other in found):
            found.append(grommet)
    return tuple(found)


def _sharp(robot: Robot, sections: Iterable[Section]) -> Iterator[Grommet]:
    parts = list(sections)
    for trunk in sorted(robot.trunks, key=lambda trunk: natural(trunk.name)):
        here = [section for section in parts if section.trunk == trunk.name and not section.proposed]
        if "sharp edge" in trunk.flags and here:
            longest = max(here, key=lambda section: section.length_m)
            length_m = sum(math.dist(a, b) for a, b in pairwise(longest.path))
            yield Grommet(point_along(longest.path, length_m / 2), f"{trunk.name} passes a sharp edge")


def _at_plate(edge: Edge, plate: Plate) -> Iterator[Grommet]:
    title = plate.name or "base plate"
    borders = [(plate.outline, f"the border of the {title}")]
    borders += [(keep_out.corners, f"the border of {keep_out.name}") for keep_out in plate.keep_outs]
    for a, b in pairwise(edge.path):
        for border, what in borders:
            for at in _crossed(a, b, border):
                if abs(at[2] - plate.height_m) <= _ON_PLATE_M:
                    yield Grommet(at, f"{_who(edge)} crosses {what}")
        through = _through(a, b, plate)
        if through is not None:
            yield Grommet(through, f"{_who(edge)} comes through the {title}")


def _who(edge: Edge) -> str:
    return edge.trunk if edge.shared else edge.name


def _crossed(a: Point, b: Point, border: Border) -> Iterator[Point]:
    """Give the points at which a straight line crosses a border, seen from above; running along it is no crossing.

    A line through a corner crosses both of its sides there.
    """
    for p, q in zip(border, (*border[1:], *border[:1]), strict=True):
        sides = (_side(p, q, a), _side(p, q, b))
        ends = (_side(a, b, p), _side(a, b, q))
        if sides[0] * sides[1] < 0 and ends[0] * ends[1] <= 0:
            share = sides[0] / (sides[0] - sides[1])
            yield (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))


def _side(p: Sequence[float], q: Sequence[float], point: Sequence[float]) -> float:
    return (q[0] - p[0]) * (point[1] - p[1]) - (q[1] - p[1]) * (point[0] - p[0])


def _through(a: Point, b: Point, plate: Plate) -> Point | None:
    """Return where a line from below a plate reaches its height within its outline, None where it does not."""
    low, high = (a, b) if a[2] <= b[2] else (b, a)
    if low[2] >= plate.height_m - _LEVEL_M or high[2] < plate.height_m - _LEVEL_M:
        return None
    share = min(1.0, (plate.height_m - low[2]) / (high[2] - low[2]))
    at = (low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]), plate.height_m)
    return at if not plate.outline or _inside(at, plate.outline) else None


def _inside(point: Sequence[float], outline: Border) -> bool:
    """Tell whether a point lies within an outline, by the borders to its right."""
    inside = False
    for p, q in zip(outline, (*outline[1:], *outline[:1]), strict=True):
        if (p[1] > point[1]) != (q[1] > point[1]):
            inside ^= point[0] < p[0] + (point[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0])
    return inside
