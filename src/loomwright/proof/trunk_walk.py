"""In which order a builder comes along the trunks: lower before upper, inside before outside."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING

from loomwright.layout.net.region import box_of, hub_of
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.layout.result import Point
    from loomwright.plan.result import Plan

Turn = tuple[int, int, int, tuple[tuple[int, int, str], ...], str]
"""When a trunk's turn is: level, distance from the hub [mm], lowest point [mm], name."""

_SAME_M = 1e-6


def walk(plan: Plan) -> Mapping[str, Turn]:
    """Return the turn of every trunk and proposed link that wires may run along.

    The level counts the plates at or below the trunk's lowest point. The distance is that of its nearest point, seen
    from above, from the block that most wires come from. Neither depends on what else is wired, so that one more motor
    leaves the order of the others as it was.
    """
    lines = _lines(plan)
    box = box_of(plan.robot)
    hub = hub_of(plan.robot, box) if box is not None else (0.0, 0.0, 0.0)
    heights_m = [plate.height_m for plate in plan.robot.plates]
    return {
        name: (
            sum(height_m <= _lowest_m(held) + _SAME_M for height_m in heights_m),
            round(1000 * min(_from_above_m(hub, line) for line in held)),
            round(1000 * _lowest_m(held)),
            natural(name),
            name,
        )
        for name, held in lines.items()
    }


def _lines(plan: Plan) -> dict[str, list[tuple[Point, ...]]]:
    """Return the lines of each trunk as drawn, and of each link as the layout proposes it."""
    found: dict[str, list[tuple[Point, ...]]] = {trunk.name: [trunk.points] for trunk in plan.robot.trunks}
    drawn = set(found)
    for edge in plan.layout.edges if plan.layout is not None else ():
        if edge.shared and edge.trunk and edge.trunk not in drawn:
            found.setdefault(edge.trunk, []).append(edge.path)
    return found


def _lowest_m(lines: list[tuple[Point, ...]]) -> float:
    return min(point[2] for line in lines for point in line)


def _from_above_m(hub: Point, line: tuple[Point, ...]) -> float:
    return min((_to_stretch_m(hub, one, other) for one, other in _stretches(line)), default=0.0)


def _stretches(line: tuple[Point, ...]) -> Iterator[tuple[Point, Point]]:
    yield from pairwise(line) if len(line) > 1 else [(line[0], line[0])]


def _to_stretch_m(hub: Point, one: Point, other: Point) -> float:
    """Return the distance from a place to a straight stretch, seen from above [m]."""
    along = (other[0] - one[0], other[1] - one[1])
    square = along[0] ** 2 + along[1] ** 2
    share = ((hub[0] - one[0]) * along[0] + (hub[1] - one[1]) * along[1]) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(hub[0] - one[0] - share * along[0], hub[1] - one[1] - share * along[1])
