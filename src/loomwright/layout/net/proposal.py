"""A net where the team drew none: rails and a spine in free lanes, and risers to what sits high up."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.layout.net.line import HAIR_M, Line
from loomwright.layout.net.trunks import kept_points
from loomwright.layout.places import outline_of
from loomwright.layout.result import Course

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.layout.net.ground import Ground
    from loomwright.layout.places import Flat, TerminalAt
    from loomwright.layout.result import Point, Terminal
    from loomwright.model.robot import Robot

#: A device this high is brought up by a riser, together with others near it [m].
HIGH_M = 0.25 - HAIR_M
_NEAR_M = 0.25 + HAIR_M
_STEP_M = 0.01
#: A lane runs at least this far from the edge of the plate [m].
_EDGE_M = 0.03
_NARROW_M = 0.30 - HAIR_M
#: A metre of lane under devices counts as so many metres of the mean drop [m/m].
_UNDER = 2.0
_FEWEST = 2
_LANES = ("proposed left rail", "proposed spine", "proposed right rail")

Box = tuple[float, float, float, float]


def proposed_lines(robot: Robot, ground: Ground, box: Box, places: Mapping[Terminal, TerminalAt]) -> list[Line]:
    """Return proposed trunks: a lane in each third of the robot that has terminals, and risers that pay.

    A lane runs forward, where the mean drop of its third and the length under devices are least. A riser
    stands where at least two devices sit high up close together.
    """
    riding = {device.id for device in robot if device.spot.rides_on.value is not None}
    still = {t: place.at for t, place in places.items() if t[0] not in riding} or {t: p.at for t, p in places.items()}
    bodies = [corners for device in robot if (corners := outline_of(robot, device)) is not None]
    low = min(at[1] for at in still.values())
    high = max(at[1] for at in still.values())
    low, high = max(low, box[1] + _EDGE_M), min(high, box[3] - _EDGE_M)
    if high - low < 2 * _EDGE_M:
        middle = min(max((low + high) / 2, box[1] + 2 * _EDGE_M), box[3] - 2 * _EDGE_M)
        low, high = middle - _EDGE_M, middle + _EDGE_M
    lanes = [
        line
        for name, left, right in _thirds(box)
        for line in _lane(name, (left, low, right, high), list(still.values()), bodies, ground)
    ]
    return [*lanes, *_risers(still, lanes)]


def _thirds(box: Box) -> list[tuple[str, float, float]]:
    width = box[2] - box[0]
    if width < _NARROW_M:
        return [(_LANES[1], box[0], box[2])]
    edges = [box[0] + width * i / 3 for i in range(4)]
    return list(zip(_LANES, edges, edges[1:], strict=False))


def _lane(
    name: str, area: Box, points: Sequence[Point], bodies: Sequence[Sequence[Flat]], ground: Ground
) -> Iterator[Line]:
    """Give the pieces of the best lane through one part of the robot, cut at keep-outs."""
    left, low, right, high = area
    near = [point for point in points if left - HAIR_M <= point[0] <= right + HAIR_M]
    if not near:
        return
    middle = (left + right) / 2
    reach = int(((right - left) / 2 - _EDGE_M) / _STEP_M + HAIR_M)
    mean = sum(point[0] for point in points) / len(points)
    best = min(
        (middle + k * _STEP_M for k in range(-reach, reach + 1)),
        key=lambda at: (
            round(_cost(at, low, high, near, bodies), 6),
            round(abs(at - middle), 6),
            round(abs(at - mean), 6),
            at,
        ),
        default=middle,
    )
    for offset_m, piece in kept_points(((best, low, 0.0), (best, high, 0.0)), ground):
        yield Line(name, piece, Course.LINK, offset_m=offset_m)


def _cost(at: float, low: float, high: float, near: Sequence[Point], bodies: Sequence[Sequence[Flat]]) -> float:
    under = 0.0
    for corners in bodies:
        rights, forwards = [c[0] for c in corners], [c[1] for c in corners]
        if min(rights) + HAIR_M < at < max(rights) - HAIR_M:
            under += max(0.0, min(high, max(forwards)) - max(low, min(forwards)))
    return sum(abs(at - point[0]) for point in near) / len(near) + _UNDER * under


def _risers(places: Mapping[Terminal, Point], lanes: Sequence[Line]) -> Iterator[Line]:
    high: dict[Point, set[str]] = {}
    for terminal, at in places.items():
        if at[2] >= HIGH_M:
            high.setdefault(at, set()).add(terminal[0])
    groups: list[list[Point]] = []
    for at in sorted(high):
        joined = [group for group in groups if any(math.dist(at[:2], other[:2]) <= _NEAR_M for other in group)]
        groups = [group for group in groups if group not in joined]
        groups.append([at, *(point for group in joined for point in group)])
    feet = [point for lane in lanes for _, point, main in lane.grid() if main]
    paying = [group for group in groups if len(set().union(*(high[at] for at in group))) >= _FEWEST]
    for i, group in enumerate(sorted(paying, key=lambda group: min((p[1], p[0]) for p in group)), 1):
        foot = min(feet, key=lambda f: (round(sum(math.dist(f[:2], p[:2]) for p in group), 6), f))
        yield Line(f"proposed riser {i}", (foot, (foot[0], foot[1], max(p[2] for p in group))), Course.LINK)
