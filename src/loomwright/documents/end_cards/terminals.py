"""Terminals with a barrel, seen from above with the barrel cut: ring, fork, quick-connect, tube lug."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from loomwright.documents.end_cards.barrels import Held, sleeved, tubed
from loomwright.documents.end_cards.geometry import disc, polygon, turned
from loomwright.documents.end_cards.ink import CLEAR, FINE, GHOST, METAL, METAL_SHADE, OUTLINE, PLASTIC, SLEEVES
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import sizes_mm
from loomwright.documents.end_cards.wires import Tube
from loomwright.documents.look import INK, REDO
from loomwright.documents.scene import (
    Arc,
    Box,
    Circle,
    Group,
    Item,
    Line,
    Move,
    Path,
    Point,
    Polyline,
    Rect,
    Straight,
    Stroke,
)

_SWING_DEG: Final = 12.0
_USUAL_TAB: Final = "1/4 in"
_USUAL_STUD: Final = "#10"
_NECK: Final = 1.6
"""From the barrel's end to where the ring begins [mm]."""


@dataclass(frozen=True, slots=True)
class _Stud:
    """A stud and what is made for it [mm]; `known` is False where the robot file does not tell the size."""

    across: float
    hole: float
    ring: float
    nut: float
    known: bool


def ring(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a ring terminal on its stud: good, copper under the nut, crimped behind the barrel."""
    faults = {View.FIRST: "long", View.SECOND: "behind"}
    return _on_stud(spec, sleeved(spec, reach, faults.get(view, "")), turns=False)


def battery_ring(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a ring terminal on a battery's post: good, turning, stripped too short."""
    fault = "short" if view is View.SECOND else ""
    return _on_stud(spec, sleeved(spec, reach, fault), turns=view is View.FIRST, post=True)


def battery_lug(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a tube lug on a battery's post: good, turning, stripped too short."""
    fault = "short" if view is View.SECOND else ""
    return _on_stud(spec, tubed(spec, reach, fault), turns=view is View.FIRST, post=True)


def tube_lug(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a tube lug on a stud: good, stripped too short, strands outside the barrel."""
    faults = {View.FIRST: "short", View.SECOND: "stray"}
    return _on_stud(spec, tubed(spec, reach, faults.get(view, "")), turns=False)


def fork(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a fork terminal under its screw: good, strands outside, only half under the screw."""
    held = sleeved(spec, reach, "stray" if view is View.FIRST else "")
    stud = _stud(spec)
    end = held.tube.end
    half, slot, neck = stud.ring / 2, stud.hole / 2, held.tube.outside_mm / 2
    start, inner = end + _NECK, end + _NECK + 1.4 + slot
    tip = inner + stud.ring * 0.75
    outline = Path(
        (
            Move((end, -neck)),
            Straight((start, -half)),
            Straight((tip - 1, -half)),
            Straight((tip, -(half + slot) / 2)),
            Straight((tip - 0.4, -slot)),
            Straight((inner, -slot)),
            Arc((inner - slot, 0), slot, clockwise=False),
            Arc((inner, slot), slot, clockwise=False),
            Straight((tip - 0.4, slot)),
            Straight((tip, (half + slot) / 2)),
            Straight((tip - 1, half)),
            Straight((start, half)),
            Straight((end, neck)),
        ),
        OUTLINE,
        METAL,
    )
    screw = inner + 0.1 if view is not View.SECOND else tip + 0.9
    head = 0.9 * stud.ring / 2
    items = (
        *held.behind,
        outline,
        *_screw((screw, 0), head, stud.across / 2, known=stud.known),
        *held.before,
    )
    fault = held.fault if view is View.FIRST else (tip - 0.6, -(half + slot) / 2) if view is View.SECOND else None
    core = Box(held.left, -max(half, head, held.half) - 0.2, max(tip, screw + head) + 0.3, max(half, held.half) + 0.2)
    spots = {**held.spots, "screw": (screw + 0.3 * head, 0.75 * head), "stop": (inner - slot, 0.0)}
    return Picture(items, core, spots, fault)


def quick_connect(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a covered quick-connect on its blade: good, stripped too short, only half on."""
    held = sleeved(spec, reach, "short" if view is View.FIRST else "", whole=False)
    tab = sizes_mm("tab", spec.size or _USUAL_TAB)
    width = spec.stud_mm or tab["width"]
    long, across, end = tab["length"], tab["receptacle"] * width / tab["width"], held.tube.end
    start = end + 1.8
    close = start + long + 0.6
    half = across / 2
    cover = Rect(held.left, -half - 0.9, close + 0.2 - held.left, across + 1.8, 1.2, OUTLINE, SLEEVES[spec.variant])
    box = polygon(
        [
            (end, -held.tube.outside_mm / 2),
            (start, -half),
            (close, -half),
            (close, half),
            (start, half),
            (end, held.tube.outside_mm / 2),
        ],
        OUTLINE,
        METAL,
    )
    rolls = [Rect(start, y, close - start, 1.0, 0.5, FINE, METAL_SHADE) for y in (-half, half - 1.0)]
    back = 0.55 * long if view is View.SECOND else 0.0
    wall = close + 0.6 + back
    tip = wall - long
    blade = Group((Rect(tip, -width / 2, long, width, 0.4, OUTLINE, CLEAR),), "blade")
    block = Rect(wall, -half - 1.4, 4.2, across + 2.8, 0.5, OUTLINE, PLASTIC)
    hole = Circle((tip + 0.4 * long, 0), 0.8, FINE, CLEAR)
    items = (cover, *held.behind, box, blade, hole, *rolls, block, *held.before)
    core = Box(held.left, -half - 1.5, wall + 4.4, half + 1.5)
    fault = (
        held.fault if view is View.FIRST else ((close + wall) / 2, -width / 2 + 0.4) if view is View.SECOND else None
    )
    return Picture(items, core, {**held.spots, "stop": (wall, half + 0.6), "tab": (close - 1.2, 0.6)}, fault)


# ------------------------------------------------------------------ the flat part on its stud
def _on_stud(spec: Spec, held: Held, *, turns: bool, post: bool = False) -> Picture:
    stud = _stud(spec)
    lug = not spec.variant
    width = max(stud.ring, 1.15 * held.tube.outside_mm) if lug else max(stud.ring, held.tube.outside_mm + 0.4)
    radius = width / 2
    centre = held.tube.end + _NECK + (radius if not lug else max(radius, stud.nut / 2 + 0.8))
    flat = _flat(held.tube, centre, radius, stud.hole / 2, straight=lug)
    ghosts: tuple[Item, ...] = ()
    if turns:
        outline = Path(flat.steps[: -len(disc((0, 0), 1))], GHOST)
        sides = (-held.tube.outside_mm / 2, held.tube.outside_mm / 2)
        edges = tuple(Line((held.tube.start, y), (held.tube.end, y), GHOST) for y in sides)
        ghosts = (
            *turned((outline, *edges), about=(centre, 0), by_deg=_SWING_DEG),
            *turned((outline, *edges), about=(centre, 0), by_deg=-_SWING_DEG),
            *_swing((centre, 0), centre - held.tube.start + 1.5),
        )
    metal = Group((Circle((centre, 0), stud.across / 2, OUTLINE, METAL_SHADE),), "stud")
    hole = Group((Circle((centre, 0), stud.hole / 2, FINE, CLEAR),), "hole")
    nut = polygon(_hexagon((centre, 0), stud.nut), GHOST)
    base: tuple[Item, ...] = ()
    reach_right = centre + radius
    if post:
        side = max(width + 2.4, stud.nut + 3)
        base = (Rect(centre - side / 2, -side / 2, side, side, 0.6, OUTLINE, PLASTIC),)
        reach_right = centre + side / 2
        half = side / 2
    else:
        half = max(radius, stud.nut / 2)
        reach_right = max(reach_right, centre + stud.nut / 2 * 1.155)
    items = (*base, *held.behind, flat, hole, metal, *held.before, nut, *ghosts)
    fault = held.fault
    if turns:
        angle = math.radians(_SWING_DEG)
        away = centre - held.tube.start
        half = max(half, away * math.sin(angle) + held.tube.outside_mm / 2)
    core = Box(held.left, -max(half, held.half) - 0.2, reach_right + 0.3, max(half, held.half) + 0.2)
    spots = {
        **held.spots,
        "nut": (centre + 0.4 * stud.nut, 0.38 * stud.nut),
        "flat": (held.tube.end + _NECK, 0.35 * held.tube.outside_mm),
        "ring": (centre + 0.5 * (radius + stud.hole / 2) * 0.7, 0.5 * (radius + stud.hole / 2) * 0.7),
    }
    return Picture(items, core, spots, fault)


def _stud(spec: Spec) -> _Stud:
    """Give the stud's measures; a stud of an odd or unknown size gets what fits a usual one, let out to it."""
    sizes = sizes_mm("stud", spec.size if spec.stud_mm else _USUAL_STUD) if spec.size or not spec.stud_mm else None
    if sizes and spec.stud_mm:
        return _Stud(spec.stud_mm, sizes["hole"], sizes["ring"], sizes["nut"], known=True)
    if sizes:
        return _Stud(sizes["hole"] - 0.3, sizes["hole"], sizes["ring"], sizes["nut"], known=False)
    across = spec.stud_mm or 0.0
    return _Stud(across, across * 1.06, across * 1.06 * 1.7, across * 1.7, known=True)


def _flat(tube: Tube, centre: float, radius: float, hole: float, *, straight: bool) -> Path:
    neck = tube.outside_mm / 2
    if straight:
        steps: tuple[Move | Straight | Arc, ...] = (
            Move((tube.end, -neck)),
            Straight((tube.end + _NECK, -radius)),
            Straight((centre, -radius)),
            Arc((centre + radius, 0), radius),
            Arc((centre, radius), radius),
            Straight((tube.end + _NECK, radius)),
            Straight((tube.end, neck)),
        )
    else:
        meet = min(neck, 0.8 * radius)
        x = centre - math.sqrt(radius**2 - meet**2)
        steps = (
            Move((tube.end, -neck)),
            Straight((x, -meet)),
            Arc((centre, -radius), radius),
            Arc((centre + radius, 0), radius),
            Arc((centre, radius), radius),
            Arc((x, meet), radius),
            Straight((tube.end, neck)),
        )
    return Path((*steps, *disc((centre, 0), hole)), OUTLINE, METAL)


def _screw(centre: Point, head: float, shank: float, *, known: bool) -> tuple[Item, ...]:
    """Draw a screw from above, its shank dashed under the head."""
    x, y = centre
    edge = OUTLINE if known else GHOST
    slot = 0.6 * head
    return (
        Group((Circle(centre, shank, FINE, METAL_SHADE),), "stud"),
        Circle(centre, head, edge, ""),
        Line((x - slot, y - 0.25 * head), (x + slot, y + 0.25 * head), Stroke(INK, 0.6)),
    )


def _hexagon(centre: Point, across_flats: float) -> list[Point]:
    radius = across_flats / math.sqrt(3)
    angles = [math.radians(60 * n) for n in range(6)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def _swing(centre: Point, radius: float) -> tuple[Item, ...]:
    """Draw the arrow of a terminal that turns: an arc of 30 degrees with a tip at both ends."""
    x, y = centre

    def on(angle_deg: float, r: float = radius) -> Point:
        angle = math.radians(180 + angle_deg)
        return (x + r * math.cos(angle), y + r * math.sin(angle))

    arc = Polyline(tuple(on(a) for a in range(-9, 10)), Stroke(REDO, 1.0))
    tips = [polygon([on(s * 14), on(s * 9, radius - 1.0), on(s * 9, radius + 1.0)], None, REDO) for s in (-1, 1)]
    return (arc, *tips)
