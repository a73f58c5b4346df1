"""Drops: how wires get from a terminal to the trunks around it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import TYPE_CHECKING

from loomwright.layout.net.line import HAIR_M
from loomwright.layout.net.trunks import joints_of
from loomwright.layout.places import outline_of, terminal_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.layout.net.ground import Body, Ground, Way
    from loomwright.layout.net.line import Line
    from loomwright.layout.net.mesh import Cut
    from loomwright.layout.result import Point, Terminal
    from loomwright.model.robot import Robot

#: How far over the plate a terminal looks for trunks [m]; the nearest one is taken however far it is.
REACH_M = 0.30 + HAIR_M
#: How many trunks a terminal drops to at most.
MOST = 3
#: The nearest place of a trunk may be hidden; places up to this much further are looked at too [m].
_ASIDE_M = 0.20 + HAIR_M
#: A drop leaves between two main breakouts only if that saves this much wire [m]: few breakouts make a tidy trunk.
SIDE_M = 0.01


_Breakout = tuple["Cut", "Point", bool]


@dataclass(frozen=True, slots=True)
class Drop:
    """A way from a terminal to a place on a line: over the plate at the terminal's height, then up or down.

    `main` tells whether it ends at one of the line's main breakouts.
    """

    terminal: Terminal
    cut: Cut
    path: tuple[Point, ...]
    length_m: float
    main: bool

    @property
    def flat_m(self) -> float:
        """How much of it lies over the plate [m]."""
        return self.length_m - abs(self.path[0][2] - self.path[-1][2])


@dataclass(frozen=True, slots=True)
class _Target:
    cut: Cut
    at: Point
    flat_m: float
    least_m: float
    main: bool


def drops_of(
    robot: Robot, ground: Ground, lines: Sequence[Line], terminals: Iterable[Terminal], hub: Point
) -> list[Drop]:
    """Return the drops of all terminals that have a place; none for one that no way leads away from.

    A terminal drops to the trunks in reach, `MOST` of them at most, the nearest first, and in any case to the nearest
    one that takes power. On each it takes the breakout with the least wire, a main one if that costs little; of equal
    ones the one nearer to `hub`.

    A way goes round the device's own body; where it shuts the way off, as over the end of a trunk, it goes under it.
    """
    grids = [_grid(line, i) for i, line in enumerate(lines)]
    found: list[Drop] = []
    for terminal in terminals:
        device = robot.device(terminal[0])
        place = terminal_at(robot, *terminal)
        if device is None or place is None:
            continue
        body = outline_of(robot, device) if place.outward is not None else None
        joints = joints_of(robot, device, lines)
        targets = {i: _near(place.at, grids[i]) for i, line in enumerate(lines) if line.drops and _serves(line, joints)}
        yard = _Yard(ground, (body,) if body else (), lines, targets, hub)
        found += _drops_from(terminal, place.at, yard) or _drops_from(terminal, place.at, replace(yard, bodies=()))
    return found


@dataclass(frozen=True, slots=True)
class _Yard:
    """What is around a terminal: what to go round, and the places of each line that it could drop to."""

    ground: Ground
    bodies: tuple[Body, ...]
    lines: Sequence[Line]
    targets: dict[int, list[_Target]]
    hub: Point


def _grid(line: Line, i: int) -> list[_Breakout]:
    if line.moving:
        return [((i, line.length_m), line.points[-1], True)]
    return [((i, along), point, main) for along, point, main in line.grid()]


def _serves(line: Line, joints: frozenset[str]) -> bool:
    """Tell whether a line is where a device's wires can go: beyond its joints, or on what never moves."""
    if not joints:
        return not line.moving and not line.behind
    return line.name in joints if line.moving else line.behind in joints


def _near(at: Point, grid: list[_Breakout]) -> list[_Target]:
    """Return the places of a line that may be the nearest, the one with the least wire first if nothing is between."""
    away = [math.hypot(at[0] - point[0], at[1] - point[1]) for _, point, _ in grid]
    limit = min(away) + _ASIDE_M
    near = [
        _Target(cut, point, flat_m, flat_m + abs(at[2] - point[2]) + (0.0 if main else SIDE_M), main)
        for (cut, point, main), flat_m in zip(grid, away, strict=True)
        if flat_m <= limit
    ]
    return sorted(near, key=lambda target: target.least_m)


def _drops_from(terminal: Terminal, at: Point, yard: _Yard) -> list[Drop]:
    near = [i for i, targets in yard.targets.items() if targets[0].flat_m <= REACH_M and not _only_foot(at, yard, i)]
    drops = {i: held for i, held in _best(terminal, at, near, yard).items() if held[0].flat_m <= REACH_M}
    if all(yard.lines[i].signal_only for i in drops):
        drops |= _nearest(terminal, at, [i for i in yard.targets if not yard.lines[i].signal_only], yard)
    first = sorted(drops, key=lambda i: (drops[i][0].length_m, yard.lines[i].key))
    kept = first[:MOST]
    if all(yard.lines[i].signal_only for i in kept):
        kept += [i for i in first[MOST:] if not yard.lines[i].signal_only][:1]
    return [drop for i in kept for drop in drops[i]]


def _only_foot(at: Point, yard: _Yard, i: int) -> bool:
    """Tell whether a terminal would reach a riser only at its foot: the trunk that it stands on is there too."""
    points = yard.lines[i].points
    upright = not yard.lines[i].moving and all(point[:2] == points[0][:2] for point in points)
    return upright and at[2] <= min(point[2] for point in points)


def _nearest(terminal: Terminal, at: Point, chosen: list[int], yard: _Yard) -> dict[int, list[Drop]]:
    """Return the drops to the line with the shortest drop, of whatever length."""
    drops = _best(terminal, at, chosen, yard)
    if not drops:
        return {}
    least = min(held[0].length_m for held in drops.values())
    return {i: held for i, held in drops.items() if held[0].length_m <= least + HAIR_M}


def _best(terminal: Terminal, at: Point, chosen: list[int], yard: _Yard) -> dict[int, list[Drop]]:
    """Return for each line the shortest drop; two of them where nothing tells them apart."""
    first = [
        target
        for i in chosen
        for target in takewhile(lambda t, i=i: t.least_m <= yard.targets[i][0].least_m + HAIR_M, yard.targets[i])  # type: ignore[misc]
    ]
    straight = yard.ground.ways(at, [target.at for target in first], yard.bodies, direct=True)
    drops: dict[int, list[Drop]] = {}
    for target, way in zip(first, straight, strict=True):
        if way is not None:
            drops.setdefault(target.cut[0], []).append(_drop(terminal, at, target, way))
    hidden = [target for i in chosen if i not in drops for target in yard.targets[i]]
    around = yard.ground.ways(at, [target.at for target in hidden], yard.bodies)
    for target, way in zip(hidden, around, strict=True):
        if way is not None:
            drops.setdefault(target.cut[0], []).append(_drop(terminal, at, target, way))
    return {i: _shortest(held, yard.hub) for i, held in drops.items()}


def _shortest(drops: list[Drop], hub: Point) -> list[Drop]:
    prices = [drop.length_m + (0.0 if drop.main else SIDE_M) for drop in drops]
    least = min(prices)
    ties = [drop for drop, price in zip(drops, prices, strict=True) if price <= least + HAIR_M]
    if len(ties) == 1:
        return ties
    nearest = min(math.dist(drop.path[-1], hub) for drop in ties)
    return [drop for drop in ties if math.dist(drop.path[-1], hub) <= nearest + HAIR_M]


def _drop(terminal: Terminal, at: Point, target: _Target, way: Way) -> Drop:
    turns = [(x, y, at[2]) for x, y in way.turns[1:]]
    path = tuple(dict.fromkeys([at, *turns, target.at]))
    return Drop(terminal, target.cut, path, way.length_m + abs(at[2] - target.at[2]), target.main)
