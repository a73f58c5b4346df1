"""Move drops and loose runs that would lie on one line a little apart, so that each can be followed by eye.

Straight pieces of different stretches that share a line are put side by side. Where one bends off to a side before
another does, it lies on that side; where one ends, it lies on the line itself, since its terminal is there.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.documents.scene import Point

_SHORT_MM = 1.5
_SAME_DEG = 1.0
_SAME_MM = 0.7
_SHARED_MM = 1.5
_FAR_MM = 1e4


@dataclass(frozen=True, slots=True)
class _Straight:
    """A straight piece of a stretch, told along its line from `low` to `high` with the line's distance from the origin.

    `sides` says for its low and its high end to which side of the line the stretch bends off there: 1 left of the
    line's direction, -1 right. An end on a device counts as bending off towards its middle, any other end as 0.
    `ends` is whether it ends on a device. `forward` is whether its stretch runs along the line's direction.
    """

    name: str
    number: int
    angle: float
    away: float
    low: float
    high: float
    sides: tuple[float, float]
    ends: bool
    forward: bool


def nudges(
    paths: Mapping[str, Sequence[Point]],
    width_mm: Mapping[str, float],
    bodies: Mapping[Point, Point],
) -> dict[tuple[str, int], float]:
    """Return how far pieces of paths are moved to their left [mm], by path and number; the others stay.

    `bodies` gives, for a path's end on a device, the middle of that device: wires move away from it.
    """
    pieces = [piece for name in sorted(paths) for piece in _straights(name, paths[name], bodies)]
    groups = [group for group in _groups(pieces) if len({piece.name for piece in group}) > 1]
    found: dict[tuple[str, int], float] = {}
    for group in sorted(
        groups, key=_ties
    ):  # what is settled by its bends first: it settles what comes before and after
        found |= _spread(group, width_mm, found)
    return found


def _ties(group: Sequence[_Straight]) -> int:
    """Count the pieces of a group of which nothing says which one lies left."""
    return len(group) - len({_leaning(piece) for piece in group})


def _straights(name: str, path: Sequence[Point], bodies: Mapping[Point, Point]) -> list[_Straight]:
    """Return the straight pieces of a path that are long enough to be seen."""
    found = []
    for i, (a, b) in enumerate(pairwise(path)):
        if math.dist(a, b) < _SHORT_MM:
            continue
        angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 360
        forward = angle < 180 - _SAME_DEG / 2 or angle >= 360 - _SAME_DEG / 2
        line = angle if forward else angle - 180
        way = (math.cos(math.radians(line)), math.sin(math.radians(line)))
        low, high = sorted((a[0] * way[0] + a[1] * way[1], b[0] * way[0] + b[1] * way[1]))
        away = _away(a, way)
        onward = (path[i - 1] if i else bodies.get(a), path[i + 2] if i + 2 < len(path) else bodies.get(b))
        before, after = (_side(point, way, away) if point else 0.0 for point in onward)
        ends = (i == 0 and a in bodies) or (i + 2 == len(path) and b in bodies)
        sides = (before, after) if forward else (after, before)
        found.append(_Straight(name, i, (line + 180) % 360 - 180, away, low, high, sides, ends, forward))
    return found


def _away(point: Point, way: Point) -> float:
    """Return how far a point is to the left of the line through the origin, seen from above."""
    return point[0] * way[1] - point[1] * way[0]


def _side(point: Point, way: Point, away: float) -> float:
    return math.copysign(1.0, _away(point, way) - away)


def _groups(pieces: Sequence[_Straight]) -> list[list[_Straight]]:
    """Gather pieces that share a stretch of one line, directly or through others."""
    left = list(range(len(pieces)))
    groups: list[list[_Straight]] = []
    while left:
        group, waiting = [], [left.pop(0)]
        while waiting:
            here = waiting.pop()
            group.append(pieces[here])
            near = [other for other in left if _share(pieces[here], pieces[other])]
            waiting += near
            left = [other for other in left if other not in near]
        groups.append(group)
    return groups


def _share(one: _Straight, other: _Straight) -> bool:
    return (
        abs(one.angle - other.angle) < _SAME_DEG
        and abs(one.away - other.away) < _SAME_MM
        and min(one.high, other.high) - max(one.low, other.low) > _SHARED_MM
    )


def _spread(
    together: Sequence[_Straight], width_mm: Mapping[str, float], settled: Mapping[tuple[str, int], float]
) -> dict[tuple[str, int], float]:
    """Put the pieces of one line side by side: right to left in their order, those that end on the line itself.

    Of pieces that bend alike, those lie left that are `settled` to lie left on the piece before or after.
    """

    def beyond(piece: _Straight) -> float:
        beside = (settled.get((piece.name, piece.number + step), 0.0) for step in (-1, 1))
        return sum(beside) * (1 if piece.forward else -1)

    order = sorted(together, key=lambda piece: (_leaning(piece), beyond(piece), piece.name, piece.number))
    middles, at = [], 0.0
    for piece in order:
        middles.append(at + width_mm[piece.name] / 2)
        at += width_mm[piece.name]
    ending = [(middle, sum(piece.sides)) for piece, middle in zip(order, middles, strict=True) if piece.ends]
    inner = max if sum(side for _, side in ending) > 0 else min
    zero = inner(middle for middle, _ in ending) if ending else at / 2
    return {
        (piece.name, piece.number): (middle - zero) * (1 if piece.forward else -1)
        for piece, middle in zip(order, middles, strict=True)
    }


def _leaning(piece: _Straight) -> float:
    """Return how far to the left a piece has to lie: the sooner it bends off to a side, the further there."""
    low, high = piece.sides
    return round(high * (_FAR_MM - piece.high) + low * (_FAR_MM + piece.low), 3)
