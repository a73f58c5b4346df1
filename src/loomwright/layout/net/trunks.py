"""The team's trunks as lines of the net: cut at keep-outs, moving ones turned so that their fixed end comes first."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.net.line import MEET_M, Line, between, meetings, nearest_on
from loomwright.layout.result import Course
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.layout.net.ground import Body, Ground
    from loomwright.layout.result import Point
    from loomwright.model.device import Device
    from loomwright.model.robot import Robot, Trunk

#: What a moving joint asks beyond its travel, so that a wire is never pulled tight [m]; common practice.
LOOP_M = 0.05
_FEWEST = 2
_LONGEST_CHAIN = 20


def trunk_lines(robot: Robot, ground: Ground) -> list[Line]:
    """Return the lines of all trunks, in an order that the file does not decide.

    The stretches of a trunk under a keep-out are left out, a moving trunk that meets one as a whole.

    A moving trunk has the slack s = t + LOOP_M, with its travel t: wherever in its travel it was drawn, its far end
    never goes further than t from there, so a wire that is t longer than the drawn line reaches both ends of travel.
    Without a travel the slack is the loop alone, and a question is asked elsewhere.
    """
    found = [line for trunk in robot.trunks for line in _pieces(trunk, ground)]
    return _settled(sorted(found, key=lambda line: line.key))


def meeting_places(one: Line, other: Line) -> list[tuple[float, float]]:
    """Return where wires can go from one line into another, as pairs of how far along each [m].

    A moving trunk is entered at its fixed end and left at its far end, nowhere between. What a joint carries meets
    nothing that stays behind, though they may cross as they are drawn.
    """
    if not one.moving and not other.moving:
        return meetings(one, other) if one.behind == other.behind else []
    if not one.moving:
        return [(b, a) for a, b in meeting_places(other, one)]
    ends = [(0.0, one.points[0], one.behind), (one.length_m, one.points[-1], one.name)]
    found: list[tuple[float, float]] = []
    for along, end, zone in ends:
        if not other.moving:
            away, there = nearest_on(other, end)
            found += [(along, there)] if away <= MEET_M and other.behind == zone else []
            continue
        others = [(0.0, other.points[0], other.behind), (other.length_m, other.points[-1], other.name)]
        found += [(along, b) for b, point, its in others if its == zone and math.dist(point, end) <= MEET_M]
    return found


def joints_of(robot: Robot, device: Device, lines: Sequence[Line]) -> frozenset[str]:
    """Return the moving trunks that can bring wires to a device that rides on something; empty for one that does not.

    A moving trunk that is named after what a device rides on ("lift tower" for what rides on the lift) serves that
    device; where the thing itself has none, that of the thing it rides on in turn; where no name tells, all of them.
    """
    moving = sorted({line.name for line in lines if line.moving}, key=natural)
    asked = device.spot.rides_on.value
    if asked is None or not moving:
        return frozenset()
    for _ in range(_LONGEST_CHAIN):
        named = [name for name in moving if f" {asked} ".casefold() in f" {name} ".casefold()]
        if named:
            return frozenset(named)
        carriers = [d for d in robot if asked in (d.id, d.called, d.mechanism) and d.spot.rides_on.value]
        if not carriers or carriers[0].spot.rides_on.value == asked:
            break
        asked = carriers[0].spot.rides_on.value or ""
    return frozenset(moving)


def _pieces(trunk: Trunk, ground: Ground) -> Iterator[Line]:
    points = [trunk.points[0], *(b for a, b in pairwise(trunk.points) if a != b)] if trunk.points else []
    if len(points) < _FEWEST:
        return
    slack_m = (trunk.travel.value or 0.0) + LOOP_M if trunk.moving else 0.0
    whole = Line(
        trunk.name,
        tuple(points),
        Course.TRUNK,
        capacity_m=trunk.capacity.value,
        slack_m=slack_m,
        moving=trunk.moving,
        signal_only=trunk.signal_only,
    )
    kept = list(kept_points(whole.points, ground))
    if not trunk.moving or kept == [(0.0, whole.points)]:
        for offset_m, piece in kept:
            yield replace(whole, points=piece, offset_m=offset_m)


def kept_points(
    points: tuple[Point, ...], ground: Ground, walls: tuple[Body, ...] = ()
) -> Iterator[tuple[float, tuple[Point, ...]]]:
    """Give what keep-outs and `walls` leave of a line: how far along it each piece starts [m], and its points."""
    piece: list[Point] = []
    start = offset_m = 0.0
    for a, b in pairwise(points):
        covered = ground.covered(a, b, walls)
        length_m = math.dist(a, b)
        share = 0.0
        for low, high in [*covered, (1.0, 1.0)]:
            if low > share:
                if not piece:
                    piece, offset_m = [between(a, b, share)], start + share * length_m
                piece.append(between(a, b, low))
            if high > low or low < 1.0:
                if len(piece) >= _FEWEST:
                    yield offset_m, tuple(piece)
                piece = []
            share = max(share, high)
        start += length_m
    if len(piece) >= _FEWEST:
        yield offset_m, tuple(piece)


def _settled(lines: list[Line]) -> list[Line]:
    """Turn moving lines so that they start at their fixed end, and tell of every line what carries it."""
    still = [line for line in lines if not line.moving]
    moving = [_turned(line, still) for line in lines if line.moving]
    groups = _together(still)
    carried: dict[int, str] = {}
    for joint in moving:
        held = {groups[i] for i, line in enumerate(still) if _touches(line, joint.points[0])}
        for i, line in enumerate(still):
            ends_there = min(math.dist(joint.points[-1], end) for end in (line.points[0], line.points[-1])) <= MEET_M
            if ends_there and groups[i] not in held:
                carried.setdefault(groups[i], joint.name)
    still = [replace(line, behind=carried.get(groups[i], "")) for i, line in enumerate(still)]
    moving = [replace(joint, behind=_carrier(joint, still, moving)) for joint in moving]
    return sorted([*still, *moving], key=lambda line: line.key)


def _turned(line: Line, still: list[Line]) -> Line:
    """Return a moving line with its fixed end first: the end that a trunk meets, else the lower, else as drawn."""
    first, last = (any(_touches(other, end) for other in still) for end in (line.points[0], line.points[-1]))
    backwards = line.points[-1][2] < line.points[0][2] - MEET_M if first == last else last
    return replace(line, points=line.points[::-1]) if backwards else line


def _carrier(joint: Line, still: list[Line], moving: list[Line]) -> str:
    for line in still:
        if line.behind not in ("", joint.name) and _touches(line, joint.points[0]):
            return line.behind
    others = [other for other in moving if other.name != joint.name]
    return next((other.name for other in others if math.dist(other.points[-1], joint.points[0]) <= MEET_M), "")


def _touches(line: Line, point: Point) -> bool:
    return nearest_on(line, point)[0] <= MEET_M


def _together(lines: list[Line]) -> list[int]:
    """Return a number for each line, the same for lines that hang together."""
    group = list(range(len(lines)))
    for i, one in enumerate(lines):
        for j in range(i):
            if group[i] != group[j] and meetings(one, lines[j]):
                old, new = group[i], group[j]
                group = [new if g == old else g for g in group]
    return group
