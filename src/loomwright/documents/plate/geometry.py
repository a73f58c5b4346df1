"""Lines on a page: lines beside a line, round corners, places along a line. All in mm, y downwards."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from loomwright.documents.scene import Point

_STEP_DEG = 15.0  # a round corner is drawn with straight pieces of this turn
_STRAIGHT_DEG = 12.0
_BACK_DEG = 165.0
_SHARE = 0.48  # of a straight piece may go into the corner at one of its ends
_SAME_MM = 1e-6


def along(a: Point, b: Point) -> Point:
    """Return the direction from one point to another, of length 1; they must differ."""
    run = math.dist(a, b)
    return ((b[0] - a[0]) / run, (b[1] - a[1]) / run)


def left_of(direction: Point) -> Point:
    """Return what is to the left of somebody who looks along a direction, seen from above."""
    return (direction[1], -direction[0])


def shifted(point: Point, direction: Point, by_mm: float) -> Point:
    """Move a point along a direction."""
    return (point[0] + direction[0] * by_mm, point[1] + direction[1] * by_mm)


def turn_deg(a: Point, b: Point) -> float:
    """Return by how much one direction turns into another, 0 to 180 [degrees]."""
    return math.degrees(abs(math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])))


def length_mm(points: Sequence[Point]) -> float:
    """Return the length of a line [mm]."""
    return sum(math.dist(a, b) for a, b in pairwise(points))


def spot_along(points: Sequence[Point], at_mm: float) -> tuple[Point, Point]:
    """Return the point at a distance from the beginning of a line, and the line's direction there."""
    left = max(0.0, at_mm)
    pieces = [(a, b) for a, b in pairwise(points) if math.dist(a, b) > _SAME_MM]
    if not pieces:
        return (points[0], (1.0, 0.0))
    for a, b in pieces:
        run = math.dist(a, b)
        if left <= run:
            return (shifted(a, along(a, b), left), along(a, b))
        left -= run
    return (pieces[-1][1], along(*pieces[-1]))


def direction_near(points: Sequence[Point], spot: Point) -> Point:
    """Return the direction of the piece of a line that is nearest to a point."""
    pieces = [(a, b) for a, b in pairwise(points) if math.dist(a, b) > _SAME_MM]
    if not pieces:
        return (1.0, 0.0)
    return along(*min(pieces, key=lambda piece: _away(spot, *piece)))


def away_mm(points: Sequence[Point], spot: Point) -> float:
    """Return how far a point is from a line, which may be a point alone [mm]."""
    return min((_away(spot, a, b) for a, b in pairwise(points)), default=math.dist(points[0], spot))


def _away(spot: Point, a: Point, b: Point) -> float:
    """Return how far a point is from a straight piece [mm]."""
    run = math.dist(a, b)
    if run <= _SAME_MM:
        return math.dist(spot, a)
    way = along(a, b)
    at = min(max((spot[0] - a[0]) * way[0] + (spot[1] - a[1]) * way[1], 0.0), run)
    return math.dist(spot, shifted(a, way, at))


def beside(pieces: Iterable[tuple[Point, Point, float]]) -> list[Point]:
    """Return a line that keeps beside straight pieces that follow each other, each with its distance to the left [mm].

    Where the pieces turn, the lines beside them meet; where they go on straight and the distance changes, the line
    changes over on a slant.
    """
    held = [piece for piece in pieces if math.dist(piece[0], piece[1]) > _SAME_MM]
    if not held:
        return []
    a, b, off = held[0]
    points = [shifted(a, left_of(along(a, b)), off)]
    for before, after in pairwise(held):
        points += _joint(before, after)
    a, b, off = held[-1]
    return _once([*points, shifted(b, left_of(along(a, b)), off)])


def _joint(before: tuple[Point, Point, float], after: tuple[Point, Point, float]) -> list[Point]:
    """Return the points that lead from one piece's side line to the next one's."""
    (a, b, off), (c, d, next_off) = before, after
    way, next_way = along(a, b), along(c, d)
    end, begin = shifted(b, left_of(way), off), shifted(c, left_of(next_way), next_off)
    turn = turn_deg(way, next_way)
    if turn < _STRAIGHT_DEG:
        slant = min(abs(off - next_off) * 0.7, _SHARE * math.dist(a, b), _SHARE * math.dist(c, d))
        return [shifted(end, way, -slant), shifted(begin, next_way, slant)]
    if turn > _BACK_DEG:
        return [end, begin]
    cross = way[0] * next_way[1] - way[1] * next_way[0]
    ahead = ((begin[0] - end[0]) * next_way[1] - (begin[1] - end[1]) * next_way[0]) / cross
    meeting = shifted(end, way, ahead)
    if -ahead > math.dist(a, b) or math.dist(meeting, begin) > 4 * (abs(off) + abs(next_off) + 1):
        return [end, begin]
    return [meeting]


def _once(points: Sequence[Point]) -> list[Point]:
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > _SAME_MM:
            kept.append(point)
    return kept


def rounded(points: Sequence[Point], radius_mm: float) -> list[Point]:
    """Return a line with its corners drawn round at a radius, or as round as the pieces at both sides have room for."""
    kept = _once(points)
    if len(kept) < 3 or radius_mm <= 0:  # noqa: PLR2004 a corner has three points
        return kept
    line = [kept[0]]
    for before, corner, after in zip(kept, kept[1:], kept[2:], strict=False):
        line += _corner(before, corner, after, radius_mm)
    return _once([*line, kept[-1]])


def _corner(before: Point, corner: Point, after: Point, radius_mm: float) -> list[Point]:
    """Return the points of one round corner."""
    way, next_way = along(before, corner), along(corner, after)
    turn = turn_deg(way, next_way)
    if turn < _STRAIGHT_DEG / 4 or turn > _BACK_DEG:
        return [corner]
    half = math.tan(math.radians(turn) / 2)
    cut = min(radius_mm * half, _SHARE * math.dist(before, corner), _SHARE * math.dist(corner, after))
    radius = cut / half
    start = shifted(corner, way, -cut)
    side = 1.0 if way[0] * next_way[1] - way[1] * next_way[0] > 0 else -1.0  # 1: to the right, as the page shows it
    to_centre = (-way[1] * side, way[0] * side)
    centre = shifted(start, to_centre, radius)
    steps = max(1, math.ceil(turn / _STEP_DEG))
    found = []
    for i in range(steps + 1):
        angle = math.radians(turn * i / steps) * side
        x, y = start[0] - centre[0], start[1] - centre[1]
        found.append(
            (
                centre[0] + x * math.cos(angle) - y * math.sin(angle),
                centre[1] + x * math.sin(angle) + y * math.cos(angle),
            )
        )
    return found
