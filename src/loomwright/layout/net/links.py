"""Links: proposed stretches that join trunks which do not meet."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.net.bodies import NONE
from loomwright.layout.net.line import HAIR_M, MEET_M, Line, between, closest, meetings, nearest_on
from loomwright.layout.net.trunks import meeting_places
from loomwright.layout.result import Course

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.layout.net.bodies import Bodies
    from loomwright.layout.net.ground import Ground
    from loomwright.layout.result import Point

_DETOUR = 1.25
_LEVEL_M = 0.01 + HAIR_M
#: No link is proposed this close to a trunk that leads the same way [m].
_CLOSE_M = 0.15 + HAIR_M
#: So far from the middle of the plate the link there may lie, to be straight [m].
_ASIDE_M = 0.08 + HAIR_M

_Met = tuple[float, bool, tuple[object, ...], "Point", Line]
"""Where a trunk is met: how far along the line across, whether for signals only, what to sort by, the place, which."""
Box = tuple[float, float, float, float]
"""Left, rear, right and front edge [m]."""


def with_links(lines: list[Line], ground: Ground, bodies: Bodies, box: Box) -> list[Line]:
    """Return the lines together with links that join them: cross links at fixed places, then what is still missing.

    Cross links make a ladder: they lie where the ends of trunks are in line, and at the middle of the plate, and cross
    whatever is between. A further trunk takes one away only if it leads the same way itself. Links that only join what
    would stay apart are as short as can be; of equal ones all are given. Links go round devices; they go under them
    only where no other way would join the net.
    """
    whole = [*lines, *_rungs(lines, ground, bodies, box)]
    for power_only in (True, False):
        for held in (bodies, NONE):
            whole += _joins(whole, ground, held, power_only=power_only)
    links = [line for line in whole if line.name == ""]
    named = [replace(link, name=f"link {i}") for i, link in enumerate(sorted(links, key=_from_the_rear), 1)]
    return [*lines, *named]


def _from_the_rear(link: Line) -> tuple[float, ...]:
    right, forward, up = (sum(c) / 2 for c in zip(link.points[0], link.points[-1], strict=True))
    return (round(up, 4), round(forward, 4), round(right, 4), *sorted(sum(p) for p in link.points))


def _rungs(lines: list[Line], ground: Ground, bodies: Bodies, box: Box) -> Iterator[Line]:
    still = [line for line in lines if not line.moving and not line.behind]
    levels = sorted({round(a[2], 2) for line in still for _, a, b in line.stretches() if abs(a[2] - b[2]) <= _LEVEL_M})
    for level_m in levels:
        for axis in (0, 1):
            middle_m = (box[axis] + box[axis + 2]) / 2
            middles = _beside(still, bodies, axis, middle_m, level_m)
            for place_m in _places(still, axis, level_m, middles):
                yield from _across(still, ground, bodies, axis, place_m, level_m)


def _places(lines: list[Line], axis: int, level_m: float, middles: list[float]) -> list[float]:
    """Return where cross links lie: where the ends of two level trunks are in line, and at the middle of the plate."""
    level = [line for line in lines if all(abs(point[2] - level_m) <= _LEVEL_M for point in line.points)]
    ends = sorted(end for line in level for end in {line.points[0][axis], line.points[-1][axis]})
    found = list(middles)
    while ends:
        row = [end for end in ends if end <= ends[0] + MEET_M]
        ends = ends[len(row) :]
        if len(row) > 1:
            found.append((row[0] + row[-1]) / 2)
    return found


def _beside(lines: list[Line], bodies: Bodies, axis: int, middle_m: float, level_m: float) -> list[float]:
    """Return the place nearest to the middle of the plate where a line across meets no device.

    Of two that are as near, the one in front; both of left and right, so that a mirrored robot has a mirrored net. The
    middle itself where there is none close by: a link there goes round.
    """
    met = [point[1 - axis] for line in lines for point in _crossings(line, axis, middle_m, level_m)]
    held = [
        (low, high)
        for (left, front), _, (right, rear), _ in bodies.at(level_m)
        for sides in [((left, right), (rear, front))]
        for (low, high), (start, end) in [(sides[axis], sides[1 - axis])]
        if met and start < max(met) and end > min(met)
    ]
    tried = {middle_m, *(end for span in held for end in span if abs(end - middle_m) <= _ASIDE_M)}
    free = [place_m for place_m in tried if not any(low + HAIR_M < place_m < high - HAIR_M for low, high in held)]
    least_m = min((abs(place_m - middle_m) for place_m in free), default=0.0)
    nearest = sorted(place_m for place_m in free if abs(place_m - middle_m) <= least_m + HAIR_M) or [middle_m]
    return nearest[-1:] if axis == 1 else nearest


def _across(
    lines: list[Line], ground: Ground, bodies: Bodies, axis: int, place_m: float, level_m: float
) -> Iterator[Line]:
    """Give the links along one line across the plate, between the trunks that it meets.

    `axis` 0 runs forward at one place to the right, 1 to the right at one place forward. Power trunks are joined to
    each other; a trunk for signals only beyond the last of them, to that one.
    """
    met: list[_Met] = [
        (point[1 - axis], line.signal_only, line.key, point, line)
        for line in lines
        for point in _crossings(line, axis, place_m, level_m)
    ]
    met.sort(key=_order)
    power = [entry for entry in met if not entry[1]]
    low = power[0][0] if power else math.inf
    high = power[-1][0] if power else -math.inf
    outer = [entry for entry in met if not entry[1] and entry[0] in (low, high)]
    outer += [entry for entry in met if entry[1] and not low - MEET_M <= entry[0] <= high + MEET_M]
    outer.sort(key=_order)
    for entries, signal_only in ((power, False), (outer, True)):
        for one, other in pairwise(entries):
            if signal_only and not (one[1] or other[1]):
                continue
            link = _link(one[3], other[3], ground, bodies, signal_only=signal_only, most=_DETOUR)
            if link is not None and not _joined_near(one, other, lines, signal_only=signal_only):
                yield link


def _order(met: _Met) -> tuple[object, ...]:
    return met[:4]


def _crossings(line: Line, axis: int, place_m: float, level_m: float) -> Iterator[Point]:
    last: Point | None = None
    for _, a, b in line.stretches():
        if max(abs(a[2] - level_m), abs(b[2] - level_m)) > _LEVEL_M or abs(a[axis] - b[axis]) <= HAIR_M:
            continue
        share = (place_m - a[axis]) / (b[axis] - a[axis])
        if -HAIR_M <= share <= 1 + HAIR_M:
            point = between(a, b, min(1.0, max(0.0, share)))
            if last is None or math.dist(last, point) > MEET_M:
                yield point
            last = point


def _joined_near(one: _Met, other: _Met, lines: list[Line], *, signal_only: bool) -> bool:
    """Tell whether a trunk that takes as much already leads from one trunk to the other, close to a link's place."""
    for line in lines:
        if line in (one[4], other[4]) or (line.signal_only and not signal_only):
            continue
        near = (
            any(math.dist(end[4].at(along), end[3]) <= _CLOSE_M for along, _ in meetings(end[4], line))
            for end in (one, other)
        )
        if all(near):
            return True
    return False


def _link(a: Point, b: Point, ground: Ground, bodies: Bodies, *, signal_only: bool, most: float) -> Line | None:
    """Return a link round keep-outs and devices, level first, then up or down; None where every way is too long."""
    straight_m = math.dist(a, b)
    way = ground.way(a, b, walls=bodies.between(a, b)) if straight_m > MEET_M else None
    if way is None or way.length_m > most * math.dist(a[:2], b[:2]) + HAIR_M:
        return None
    turns = [(x, y, a[2]) for x, y in way.turns]
    points = dict.fromkeys([a, *turns[1:-1], (b[0], b[1], a[2]), b])
    return Line("", tuple(points), Course.LINK, signal_only=signal_only, drops=False)


def _joins(lines: list[Line], ground: Ground, bodies: Bodies, *, power_only: bool) -> list[Line]:
    """Return the shortest links that make one net of lines that hang apart."""
    chosen = [line for line in lines if not (power_only and line.signal_only)]
    group = list(range(len(chosen)))
    for i, one in enumerate(chosen):
        for j in range(i):
            if group[i] != group[j] and meeting_places(one, chosen[j]):
                group = _merged(group, i, j)
    found: list[tuple[float, int, int, Line]] = []
    for i, one in enumerate(chosen):
        for j in range(i):
            if group[i] == group[j] or one.behind != chosen[j].behind or not (one.drops and chosen[j].drops):
                continue
            a, b = _nearest(one, chosen[j])
            signal_only = one.signal_only or chosen[j].signal_only
            link = _link(a, b, ground, bodies, signal_only=signal_only, most=math.inf)
            if link is not None:
                found.append((link.length_m, i, j, replace(link, behind=one.behind)))
    found.sort(key=lambda entry: entry[0])
    kept: list[Line] = []
    while found:
        shortest = found[0][0]
        ties = [entry for entry in found if entry[0] <= shortest + HAIR_M and group[entry[1]] != group[entry[2]]]
        found = [entry for entry in found if entry[0] > shortest + HAIR_M]
        kept += [link for *_, link in ties]
        for _, i, j, _ in ties:
            group = _merged(group, i, j)
    return kept


def _merged(group: list[int], i: int, j: int) -> list[int]:
    old, new = max(group[i], group[j]), min(group[i], group[j])
    return [new if g == old else g for g in group]


def _nearest(one: Line, other: Line) -> tuple[Point, Point]:
    """Return where two lines are nearest to each other; of a shared stretch of parallel lines, its middle."""
    if one.moving or other.moving:
        start = one.points[0] if one.moving else None
        end = other.points[0] if other.moving else None
        a = start if start is not None else one.at(nearest_on(one, end or other.points[0])[1])
        return a, end if end is not None else other.at(nearest_on(other, a)[1])
    pairs = [(*nearest_on(other, point), along) for along, point in zip(one.lengths_m, one.points, strict=True)]
    pairs += [
        (away, along, here)
        for along, point in zip(other.lengths_m, other.points, strict=True)
        for away, here in [nearest_on(one, point)]
    ]
    for start_m, a, b in one.stretches():
        for begin_m, c, d in other.stretches():
            inside = closest(a, b, c, d)
            if inside is not None:
                pairs.append((inside[2], begin_m + inside[1] * math.dist(c, d), start_m + inside[0] * math.dist(a, b)))
    least = min(pairs)[0]
    ties = sorted(here for away, _, here in pairs if away <= least + HAIR_M)
    middle = one.at((ties[0] + ties[-1]) / 2)
    away, there = nearest_on(other, middle)
    if away > least + HAIR_M:
        _, there, here = min(pairs)
        middle = one.at(here)
    return middle, other.at(there)
