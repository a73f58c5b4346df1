"""Trunks, bundles and the way of every run as shapes for the DXF, up and down too."""

from __future__ import annotations

import math
from collections import Counter
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from loomwright.documents.dxf.layers import Kind, layer_of, trunk_layer
from loomwright.documents.dxf.shapes import Band, Ring, Way, Words
from loomwright.documents.plate.plan_at import plate_at
from loomwright.documents.plate.table import wires_words
from loomwright.layout.result import Course

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.documents.dxf.shapes import Mm, Shape
    from loomwright.layout.result import Edge, Grommet, Layout, Point, Route, Section
    from loomwright.model.robot import Robot
    from loomwright.plan.result import Plan

_LEVEL_MM = 1e-6
_POST_MM = 10.0  # a bundle that goes less far to a side is a post, seen from above
_BEYOND_MM = 3.0  # how far a tie stands out of its bundle
_WORDS_MM, _SMALL_MM = 5.0, 3.5
_TICK_MM = 6.0  # half the width of the zigzag of a moving joint


def trunk_shapes(robot: Robot) -> Iterator[Shape]:
    """Give the line of every trunk that is drawn in the file, whether or not wires take it."""
    for plate in robot.plates:
        for trunk in plate.trunks:
            if len(trunk.points) > 1:
                about = ("trunk", trunk.name, *trunk.flags)
                yield Way(trunk_layer(trunk.name), tuple(_mm(point) for point in trunk.points), about)


def bundle_shapes(robot: Robot, layout: Layout) -> Iterator[Shape]:
    """Give every bundle as wide as it is, with its count, its ties and what a moving joint asks."""
    edges = {edge.name: edge for edge in layout.edges}
    posts: Counter[tuple[float, float]] = Counter()
    for section in layout.sections:
        layer = trunk_layer(section.trunk)
        path = tuple(_mm(point) for point in section.path)
        wide = section.diameter_m * 1000
        about = ("bundle", section.name, str(section.wires), f"{wide:.1f} mm")
        yield Way(layer, path, about)
        for points in _level(path):
            yield Band(layer, points, wide, ("bundle", section.name))
        yield _count(robot, section, posts)
        yield from _ties(robot, section)
    yield from _joints(robot, layout, edges)
    yield from (shape for grommet in layout.grommets for shape in _grommet(robot, layout, grommet))


def _count(robot: Robot, section: Section, posts: Counter[tuple[float, float]]) -> Words:
    """Write a bundle's count along it; of bundles that rise at one place one below the other."""
    path = tuple(_mm(point) for point in section.path)
    layer = layer_of(Kind.TEXT, robot.plates[plate_at(robot, section.path[0])])
    words, wide = wires_words(section.wires), section.diameter_m * 1000
    (x, y, z), turn = _middle(path)
    if math.dist(path[0][:2], path[-1][:2]) > _POST_MM:
        return Words(layer, _aside((x, y, z), turn, wide / 2 + _WORDS_MM), words, _WORDS_MM, turn_deg=turn, loose=True)
    place = (round(x, 1), round(y, 1))
    posts[place] += 1
    below = y - posts[place] * _WORDS_MM * 1.6
    return Words(layer, (x + wide / 2 + _WORDS_MM, below, z), words, _WORDS_MM, begins=True, loose=True)


def _level(path: Sequence[Mm]) -> Iterator[tuple[Mm, ...]]:
    """Give the level stretches of a path; one that rises has no width in a DXF file, so its line stands for it."""
    for flat, pieces in groupby(pairwise(path), key=lambda piece: abs(piece[0][2] - piece[1][2]) < _LEVEL_MM):
        held = list(pieces)
        if flat:
            yield (held[0][0], *(b for _, b in held))


def _ties(robot: Robot, section: Section) -> Iterator[Shape]:
    """Give every tie as a bar across its bundle; around one that rises, as a ring."""
    reach = section.diameter_m * 500 + _BEYOND_MM
    for tie in section.ties:
        layer = layer_of(Kind.TIES, robot.plates[plate_at(robot, tie)])
        about = ("tie", section.name)
        across = _across(section.path, tie)
        x, y, z = _mm(tie)
        if across is None:
            yield Ring(layer, (x, y, z), reach, about=about)
            continue
        ends = tuple((x + side * across[0] * reach, y + side * across[1] * reach, z) for side in (-1, 1))
        yield Way(layer, ends, about)


def _across(path: Sequence[Point], at: Point) -> tuple[float, float] | None:
    """Return the level direction across a path where it is nearest to a place; None where it goes straight up."""
    a, b = min(pairwise(path), key=lambda piece: round(_away(at, *piece), 9))
    right, forward = b[0] - a[0], b[1] - a[1]
    long = math.hypot(right, forward)
    return None if long < _LEVEL_MM else (-forward / long, right / long)


def _away(at: Point, a: Point, b: Point) -> float:
    """Return how far a place is from a straight piece [m]."""
    run = sum((q - p) ** 2 for p, q in zip(a, b, strict=True))
    along = sum((at[k] - a[k]) * (b[k] - a[k]) for k in range(3)) / run if run else 0.0
    share = min(max(along, 0.0), 1.0)
    return math.dist(at, [a[k] + share * (b[k] - a[k]) for k in range(3)])


def _joints(robot: Robot, layout: Layout, edges: dict[str, Edge]) -> Iterator[Shape]:
    """Give every moving joint once a trunk: a zigzag at its middle, and the wire that it asks beyond its length."""
    for trunk in dict.fromkeys(section.trunk for section in layout.sections if section.moving):
        moving = [section for section in layout.sections if section.trunk == trunk and section.moving]
        slack = {section.name: sum(edges[name].slack_m for name in section.edges) for section in moving}
        joint = max(moving, key=lambda section: (slack[section.name], section.length_m))
        plate = robot.plates[plate_at(robot, joint.path[0])]
        (x, y, z), _ = _middle(tuple(_mm(point) for point in joint.path))
        zigzag = [(-_TICK_MM + i * _TICK_MM / 3, 0.0 if i in {0, 6} else 4.0 if i % 2 else -4.0) for i in range(7)]
        about = ("moving joint", trunk, f"{slack[joint.name] * 1000:.0f} mm more")
        yield Way(layer_of(Kind.MOVING_JOINTS, plate), tuple((x + dx, y + dy, z) for dx, dy in zigzag), about)
        more = f": add {slack[joint.name] * 100:.0f} cm" if slack[joint.name] > 0 else ""
        place, said = (x + _TICK_MM + 3, y - 2, z), f"moves{more}"
        yield Words(layer_of(Kind.TEXT, plate), place, said, _WORDS_MM, begins=True, loose=True)


def _grommet(robot: Robot, layout: Layout, grommet: Grommet) -> Iterator[Shape]:
    """Give a soft edge as a ring around the bundle that it guards; why it is there stands in its extended data."""
    plate = robot.plates[plate_at(robot, grommet.at)]
    near = [
        (round(min(_away(grommet.at, a, b) for a, b in pairwise(section.path)), 6), section.diameter_m)
        for section in layout.sections
    ]
    radius = (min(near)[1] if near else 0.0) * 500 + _BEYOND_MM
    x, y, z = _mm(grommet.at)
    yield Ring(layer_of(Kind.GROMMETS, plate), (x, y, z), radius, about=("grommet", grommet.why))
    place = (x + radius + 2, y - 2, z)
    yield Words(layer_of(Kind.TEXT, plate), place, "grommet", _SMALL_MM, begins=True, loose=True)


# ------------------------------------------------------------------ off the trunks, and the whole way


def drop_shapes(robot: Robot, layout: Layout) -> Iterator[Shape]:
    """Give every drop and loose run that some wire takes."""
    used = layout.used
    for edge in sorted((e for e in layout.edges if e.name in used and not e.shared), key=lambda e: e.name):
        kind = Kind.LOOSE_RUNS if edge.course is Course.LOOSE else Kind.DROPS
        plate = robot.plates[min(plate_at(robot, edge.path[0]), plate_at(robot, edge.path[-1]))]
        yield Way(layer_of(kind, plate), tuple(_mm(point) for point in edge.path), (str(edge.course), edge.name))


def way_shapes(plan: Plan, layout: Layout) -> Iterator[Shape]:
    """Give the whole way of every run as one line from end to end; its length is the way that the plan counts."""
    edges = {edge.name: edge for edge in layout.edges}
    wires = {wire.key: wire.id for wire in plan.wires}
    runs = {run.name: run for run in layout.runs}
    for route in layout.routes:
        path = tuple(_mm(point) for point in _along(route, edges))
        ids = [wires[key] for key in runs[route.run].wires if key in wires]
        if len(path) > 1:
            yield Way(layer_of(Kind.WAYS, plan.robot.plate), path, ("way", route.run, *ids))


def _along(route: Route, edges: dict[str, Edge]) -> list[Point]:
    found: list[Point] = []
    for name, start in zip(route.edges, route.nodes, strict=False):
        path = edges[name].path if edges[name].a == start else edges[name].path[::-1]
        found += path[1:] if found and found[-1] == path[0] else path
    return found


# ------------------------------------------------------------------ places


def _mm(point: Iterable[float]) -> Mm:
    right, forward, up = (value * 1000 for value in point)
    return (right, forward, up)


def _middle(path: Sequence[Mm]) -> tuple[Mm, float]:
    """Return the middle of a path, and how a text along it is turned so that it can be read [degrees]."""
    left = sum(math.dist(a, b) for a, b in pairwise(path)) / 2
    for a, b in pairwise(path):
        run = math.dist(a, b)
        if left <= run and run:
            at: Mm = (
                a[0] + (b[0] - a[0]) * left / run,
                a[1] + (b[1] - a[1]) * left / run,
                a[2] + (b[2] - a[2]) * left / run,
            )
            turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) if math.hypot(b[0] - a[0], b[1] - a[1]) else 0.0
            return at, round((turn + 90 - 1e-6) % 180 - 90, 3)
        left -= run
    return path[0], 0.0


def _aside(at: Mm, turn_deg: float, by_mm: float) -> Mm:
    """Return a place beside a turned text's line."""
    turn = math.radians(turn_deg)
    return (at[0] - math.sin(turn) * by_mm, at[1] + math.cos(turn) * by_mm, at[2])
