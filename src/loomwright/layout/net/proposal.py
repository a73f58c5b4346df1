"""A net where the team drew none: rails and a spine in free lanes, and risers to what sits high up."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.layout.net.lanes import EDGE_M, Field, mean_drop_m
from loomwright.layout.net.line import GRID_M, HAIR_M, Line
from loomwright.layout.result import Course

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.layout.net.bodies import Bodies
    from loomwright.layout.net.ground import Ground
    from loomwright.layout.net.lanes import Lane
    from loomwright.layout.places import TerminalAt
    from loomwright.layout.result import Point, Terminal
    from loomwright.model.robot import Robot

#: A device this high is brought up by a riser, together with others near it [m].
HIGH_M = 0.25 - HAIR_M
_NEAR_M = 0.25 + HAIR_M
_NARROW_M = 0.30 - HAIR_M
#: A rail may lie this far beyond its third, towards a block with outlets on that side [m].
_INWARD_M = 0.05
#: A second spine is proposed where the mean drop of the middle gets this much shorter by it [m].
_PAYS_M = 0.03
#: A lane reaches this far beyond the outermost terminals, so that links between lanes pass their devices [m].
_PAST_M = 0.015
_FEWEST = 2

Box = tuple[float, float, float, float]


def proposed_lines(
    robot: Robot, ground: Ground, bodies: Bodies, box: Box, places: Mapping[Terminal, TerminalAt]
) -> list[Line]:
    """Return proposed trunks: a lane in each third of the robot that has terminals, and risers that pay.

    A lane runs forward beside the devices, where the mean drop of its third is least. In the middle a second one runs
    on the other side of the devices there, if that pays. A third that is full of devices has no lane; where no lane is
    free in any of them, they run under devices, as little of them as can be. A riser stands where at least two devices
    sit high up close together.
    """
    riding = {device.id for device in robot if device.spot.rides_on.value is not None}
    still = {t: place for t, place in places.items() if t[0] not in riding} or dict(places)
    low = min(place.at[1] for place in still.values()) - _PAST_M
    high = max(place.at[1] for place in still.values()) + _PAST_M
    low, high = max(low, box[1] + EDGE_M), min(high, box[3] - EDGE_M)
    if high - low < 2 * EDGE_M:
        middle = min(max((low + high) / 2, box[1] + 2 * EDGE_M), box[3] - 2 * EDGE_M)
        low, high = middle - EDGE_M, middle + EDGE_M
    whole = Field(box[0], low, box[2], high, ground, bodies)
    terminals = list(still.values())
    mean_m = sum(sorted(place.at[0] for place in terminals)) / len(terminals)
    lanes = _lanes(whole, terminals, mean_m) or _spines(whole, terminals, mean_m, [])
    lanes = _in_line(lanes or _lanes(replace(whole, under=True), terminals, mean_m))
    return [*lanes, *_risers({t: place.at for t, place in still.items()}, lanes, bodies)]


def _in_line(lanes: Sequence[Line]) -> list[Line]:
    """Let lanes that start or end in about one row do so in the very same, so that links join them there."""
    rears = _rows([line.points[0][1] for line in lanes])
    fronts = _rows([-line.points[-1][1] for line in lanes])
    found: list[Line] = []
    for line in lanes:
        (right, rear, up), (_, front, _) = line.points
        low, high = rears[rear], -fronts[-front]
        cut = replace(line, points=((right, low, up), (right, high, up)), offset_m=line.offset_m + low - rear)
        found.append(cut if high - low >= GRID_M - HAIR_M else line)
    return found


def _rows(places_m: Sequence[float]) -> dict[float, float]:
    """Return for each place the last one of its row [m]."""
    rows: list[list[float]] = []
    for place_m in sorted(places_m):
        if rows and place_m <= rows[-1][0] + GRID_M:
            rows[-1].append(place_m)
        else:
            rows.append([place_m])
    return {place_m: row[-1] for row in rows for place_m in row}


def _lanes(whole: Field, terminals: Sequence[TerminalAt], mean_m: float) -> list[Line]:
    """Return a rail on the left and on the right and what the middle needs; in a narrow robot the spine alone."""
    width_m = whole.right - whole.left
    if width_m < _NARROW_M:
        return _spines(whole, terminals, mean_m, [])
    third_m = width_m / 3
    middle_m = (whole.left + whole.right) / 2
    left, right = (
        side.best([t for t in terminals if _beside(t, sign, middle_m, third_m)], middle_m)
        for sign, side in (
            (-1, replace(whole, left=whole.left + EDGE_M, right=whole.left + third_m + _INWARD_M)),
            (1, replace(whole, left=whole.right - third_m - _INWARD_M, right=whole.right - EDGE_M)),
        )
    )
    middle = replace(whole, left=whole.left + third_m, right=whole.right - third_m)
    near = [t for t in terminals if abs(t.at[0] - middle_m) <= third_m / 2 + HAIR_M]
    spines = _spines(middle, near, mean_m, [rail for rail in (left, right) if rail])
    return [*_lines("proposed left rail", left), *spines, *_lines("proposed right rail", right)]


def _beside(terminal: TerminalAt, sign: int, middle_m: float, third_m: float) -> bool:
    """Tell whether a rail on one side (-1: left, 1: right) is for a terminal: in that third, or looking there."""
    off_m = sign * (terminal.at[0] - middle_m)
    looks = terminal.outward is not None and sign * terminal.outward[0] > HAIR_M
    return off_m >= third_m / 2 - HAIR_M or (looks and off_m > HAIR_M)


def _spines(field: Field, terminals: Sequence[TerminalAt], mean_m: float, rails: Sequence[Lane]) -> list[Line]:
    """Return the spine, in two where that pays: one on either side of a block with outlets on both."""
    first = field.best(terminals, mean_m, apart=rails)
    second = field.best(terminals, mean_m, beside=[*rails, first], apart=rails) if first else None
    if first is None or second is None or field.under:
        return _lines("proposed spine", first)
    saved_m = mean_drop_m(terminals, [*rails, first]) - mean_drop_m(terminals, [*rails, first, second])
    if saved_m < _PAYS_M:
        return _lines("proposed spine", first)
    left, right = sorted((first, second), key=lambda lane: lane.at_m)
    return [*_lines("proposed left spine", left), *_lines("proposed right spine", right)]


def _lines(name: str, lane: Lane | None) -> list[Line]:
    return [Line(name, piece, Course.LINK, offset_m=offset_m) for offset_m, piece in (lane.pieces if lane else ())]


def _risers(places: Mapping[Terminal, Point], lanes: Sequence[Line], bodies: Bodies) -> Iterator[Line]:
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
        high_m = max(p[2] for p in group)
        free = [f for f in feet if not bodies.cover(f, (*f[:2], high_m))] or feet
        foot = min(free, key=lambda f: (round(sum(math.dist(f[:2], p[:2]) for p in group), 6), f))
        yield Line(f"proposed riser {i}", (foot, (foot[0], foot[1], high_m)), Course.LINK)
