"""Wires, ties, soft edges and passages on the plate."""

from __future__ import annotations

import math
from itertools import pairwise

from loomwright.documents.look import INK, LINE_MM, WHITE, wire_colour
from loomwright.documents.plate.frame import Frame
from loomwright.documents.plate.geometry import direction_near, left_of, rounded, shifted
from loomwright.documents.plate.lanes import Lanes, Ribbon, Strand
from loomwright.documents.plate.sheet import PlateSheet, PlateStretch, passages
from loomwright.documents.scene import Circle, Group, Item, Line, Point, Polyline, Rect, Stroke
from loomwright.documents.type import clean

EDGE_MM = 0.22  # of ink around a wire's colour, less on thin ones
_EDGE = 0.38
HALO_MM = 0.5  # of white around a run, so that one that crosses another shows which is on top
_DOTS = (1.5, 0.9)
_STRIPE = (1.0, 2.0)
_TIE_MM = 0.75
_HOLE_MM = 3.4
_TUBE = Stroke(INK, LINE_MM)


def ribbon_items(drawn: tuple[Ribbon, ...]) -> tuple[Item, ...]:
    """Draw every run as its wires side by side, each in its colour between edges of ink."""
    return tuple(_ribbon(ribbon) for ribbon in drawn)


def _ribbon(ribbon: Ribbon) -> Group:
    dash = _DOTS if ribbon.loose else ()
    items: list[Item] = [
        Polyline(ribbon.points, Stroke(WHITE, ribbon.width_mm + HALO_MM)),
        Polyline(ribbon.points, Stroke(INK, ribbon.width_mm, dash)),
    ]
    for strand in ribbon.strands:
        items += _strand(strand, dash)
    ids = ", ".join(wire.id for wire in ribbon.run.wires)
    return Group(tuple(items), "run", ribbon.run.name, clean(f"{ribbon.run.name}: {ids}"))


def _strand(strand: Strand, dash: tuple[float, ...]) -> tuple[Item, ...]:
    """Draw the colour of one wire; a second colour shows as bands across it."""
    look = wire_colour(strand.colour) if strand.colour else None
    fill = look.fill if look else WHITE
    inner = strand.width_mm - min(EDGE_MM, _EDGE * strand.width_mm)
    items: list[Item] = [] if fill == INK else [Polyline(strand.points, Stroke(fill, inner, dash))]
    if look and look.stripe and not dash:
        items.append(Polyline(strand.points, Stroke(look.stripe, inner, _STRIPE)))
    return tuple(items)


def tube_items(sheet: PlateSheet, plate: int, held: Lanes) -> tuple[Item, ...]:
    """Draw each bundle of too many wires as one white tube over them."""
    found: list[Item] = []
    for stretch in sheet.stretches:
        path = held.paths[stretch.name]
        if stretch.plate != plate or stretch.name not in held.tubes or len(path) < 2:  # noqa: PLR2004 two points make a line
            continue
        points = tuple(rounded(path, held.width_mm[stretch.name]))
        wide = held.width_mm[stretch.name]
        found += [Polyline(points, Stroke(INK, wide + LINE_MM)), Polyline(points, Stroke(WHITE, wide - LINE_MM))]
    return tuple(found)


def tie_items(sheet: PlateSheet, plate: int, frame: Frame, held: Lanes) -> tuple[Item, ...]:
    """Draw a short bar across the bundle at every tie."""
    found: list[Item] = []
    for stretch in sheet.bundles:
        upright = len(held.paths[stretch.name]) == 1
        if stretch.plate != plate or stretch.bundle is None or upright:
            continue
        for spot in stretch.bundle.ties:
            start, end = _across(stretch, frame.point(spot), held, 0.7)
            found += [Line(start, end, Stroke(WHITE, _TIE_MM + 0.6)), Line(start, end, Stroke(INK, _TIE_MM))]
    return (Group(tuple(found), "ties", "", "Ties"),) if found else ()


def _across(stretch: PlateStretch, at: Point, held: Lanes, beyond_mm: float) -> tuple[Point, Point]:
    """Return a line across a bundle at a point of its path, with so much beyond its edges."""
    left = left_of(direction_near(held.paths[stretch.name], at))
    middle, half = held.middle_mm[stretch.name], held.width_mm[stretch.name] / 2 + beyond_mm
    return (shifted(at, left, middle + half), shifted(at, left, middle - half))


def grommet_items(sheet: PlateSheet, plate: int, frame: Frame, held: Lanes) -> tuple[Item, ...]:
    """Draw a ring around the bundle at every edge that needs a soft lining."""
    found: list[Item] = []
    for grommet in sheet.grommets:
        if grommet.plate != plate:
            continue
        at = frame.point(grommet.at)
        through = any(p.plate == plate and math.dist(frame.point(p.at), at) < _HOLE_MM for p in passages(sheet))
        radius = max(_bundle_mm(sheet, plate, at, held) / 2 + 1.0, _HOLE_MM if through else 0.0)
        rings = (Circle(at, radius, Stroke(WHITE, 1.7)), Circle(at, radius, Stroke(INK, 0.7)))
        found.append(Group(rings, "grommet", "", clean(f"Grommet: {grommet.why}")))
    return tuple(found)


def _bundle_mm(sheet: PlateSheet, plate: int, at: Point, held: Lanes) -> float:
    """Return how wide the bundle nearest to a point is drawn [mm]."""
    near = [
        (min((abs(x - at[0]) + abs(y - at[1]) for x, y in _corners(held.paths[s.name], at)), default=0.0), s.name)
        for s in sheet.bundles
        if s.plate == plate
    ]
    return held.width_mm[min(near)[1]] if near else 2.0


def _corners(path: tuple[Point, ...], at: Point) -> list[Point]:
    """Return the points of a path that come into question as the nearest one to a point."""
    found = list(path)
    for a, b in pairwise(path):
        run = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
        share = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / run
        if 0 < share < 1:
            found.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
    return found


def passage_items(sheet: PlateSheet, plate: int, frame: Frame) -> tuple[Item, ...]:
    """Draw a square hole wherever wires leave for another plate."""
    here = [frame.point(passage.at) for passage in passages(sheet) if passage.plate == plate]
    return tuple(Group((hole(at),), "passage") for at in here)


def hole(at: Point) -> Rect:
    """Draw a square hole around a point."""
    half = _HOLE_MM / 2
    return Rect(at[0] - half, at[1] - half, _HOLE_MM, _HOLE_MM, 0, Stroke(INK, LINE_MM), WHITE)
