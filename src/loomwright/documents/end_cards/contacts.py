"""Crimp contacts in their housings, seen from the side and cut open: small contacts and snap-in power contacts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from loomwright.documents.end_cards.geometry import polygon, shifted
from loomwright.documents.end_cards.ink import CLEAR, FINE, GHOST, METAL, METAL_SHADE, OUTLINE, PLASTIC
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import by_gauge, sizes_mm
from loomwright.documents.end_cards.wires import Tube, copper, insulation, pressed
from loomwright.documents.look import INK
from loomwright.documents.scene import Box, Item, Line, Point, Polyline, Rect, Stroke

_BACK: Final = 3.2
"""How far a contact that did not click stands back [mm]."""
_WALL: Final = 0.8


# ------------------------------------------------------------------ small contacts
def small(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a small contact in its housing: good, copper in the mating end, not clicked in."""
    back = _BACK if view is View.SECOND else 0.0
    over = 2.6 if view is View.FIRST else 0.0
    return _small(spec, reach, back=back, over=over)


def pin_plug(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a plug on a pin header: good, copper in the mating end, plugged one row beside."""
    if view is not View.SECOND:
        return _small(spec, reach, back=0.0, over=2.6 if view is View.FIRST else 0.0)
    return _beside(spec, reach)


def _small(spec: Spec, reach: Reach, *, back: float, over: float) -> Picture:
    sizes = sizes_mm("small contact", "any")
    wire, long = spec.wire, sizes["length"]
    half = max(sizes["box"] / 2, wire.outside_mm / 2 + 0.25)
    front = long - sizes["rear wings"] + 0.6
    rear = front - sizes["housing"] + 0.2
    ledge = 4.6
    high = half + _WALL + 0.5
    housing = (
        Rect(rear, -high, front + 0.5 - rear, 2 * high, 0.4, OUTLINE, PLASTIC),
        Rect(rear, -half - 0.35, front - rear, 2 * half + 0.7, 0.0, FINE, CLEAR),
        Rect(ledge, -high, 2.6, _WALL + 0.15, 0.0, FINE, CLEAR),
        Rect(front - 0.1, -0.55, 0.6, 1.1, 0.0, FINE, CLEAR),
    )
    contact, spots, spot = small_contact(
        spec, over=over, lance=(ledge + 0.15, -high + 0.15) if not back else (ledge + 0.15, -half - 0.3)
    )
    pin = Rect(front - 3.4, -0.32, 4.6 + 2.4, 0.64, 0.2, GHOST)
    items = (*housing, *shifted((insulation(wire, reach.left + back, 0.0), *contact), x=-back), pin)
    core = Box(rear - 1.5 - back, -high - 0.2, front + 3.8, high + 0.2)
    places = {**spots, "tongue": (ledge + 0.5, -high + 0.35)}
    fault: Point | None = spot if over else (ledge + 0.2 - back, -half - 0.3) if back else None
    return Picture(items, core, places, fault)


def small_contact(spec: Spec, *, over: float, lance: Point | None) -> tuple[tuple[Item, ...], dict[str, Point], Point]:
    """Draw a crimped small contact from the side; copper runs `over` the front wings by so much [mm]."""
    sizes = sizes_mm("small contact", "any")
    wire = spec.wire
    rear, wing = sizes["rear wings"], sizes["front wings"]
    low = wire.outside_mm / 2 + 0.2
    c = wire.copper_mm / 2
    start, box = 0.45, 0.45 + wing + 1.0
    end = sizes["length"] - rear - 0.1
    half = sizes["box"] / 2
    floor = polygon(
        [
            (-rear - 0.4, low),
            (-0.2, low),
            (start, c + 0.3),
            (start + wing, c + 0.3),
            (box, half),
            (box, half - 0.3),
            (start + wing, c),
            (start, c),
            (-0.2, low - 0.3),
            (-rear - 0.4, low - 0.3),
        ],
        FINE,
        METAL,
    )
    tip = spec.strip_mm + over
    strands = copper(wire, -0.1, tip)
    box_shape = Rect(box, -half, end - box, 2 * half, 0.25, OUTLINE, METAL)
    window = Rect(box + 0.9, -half + 0.45, end - box - 1.5, 2 * half - 0.9, 0.2, FINE, CLEAR)
    wings = (
        Rect(-rear - 0.4, -low, rear, 2 * low, 0.5, OUTLINE, METAL),
        Rect(start, -c - 0.3, wing, 2 * c + 0.6, 0.35, OUTLINE, METAL),
        Line((start + 0.35, -0.05), (start + wing - 0.35, -0.05), FINE),
        Line((-rear - 0.1, -0.05), (-0.7, -0.05), FINE),
    )
    tongue: tuple[Item, ...] = ()
    if lance is not None:
        root = (end - 0.9, -half)
        tongue = (
            Polyline((root, lance), Stroke(INK, 1.1, round_ends=True)),
            Polyline((root, lance), Stroke(METAL_SHADE, 0.5, round_ends=True)),
        )
    items = (floor, box_shape, window, strands, *wings, *tongue)
    spots = {
        "rear wings": (-rear / 2 - 0.4, low),
        "front wings": (start + wing / 2, c + 0.3),
        "copper": (spec.strip_mm - 0.15, 0.3 * c),
    }
    return items, spots, (tip - 1.4, -c)


def _beside(spec: Spec, reach: Reach) -> Picture:
    """Draw a three-way plug from above, pushed on one pin too far to the side."""
    pitch = sizes_mm("small contact", "any")["pitch"]
    long, wire = sizes_mm("small contact", "any")["housing"], spec.wire
    thick = min(wire.outside_mm, pitch - 0.3)
    rear, half = -6.0, 1.5 * pitch
    items: list[Item] = []
    thin = replace(wire, outside_mm=thick)
    items += [insulation(thin, reach.left, rear + 1.0, y) for y in (-pitch, 0.0, pitch)]
    items.append(Rect(rear, -half, long, 2 * half, 0.5, OUTLINE, PLASTIC))
    wall = rear + long + 3.2
    items += [Rect(rear + long - 2.5, y - 0.32, 6.0, 0.64, 0.15, FINE, METAL) for y in (0.0, pitch)]
    items.append(Rect(rear + long + 0.6, 2 * pitch - 0.32, 3.0, 0.64, 0.15, OUTLINE, METAL))
    items.append(Rect(wall, -half + 0.0, 2.6, 4.3 * pitch - 0.5, 0.3, OUTLINE, PLASTIC))
    core = Box(rear - 1, -half - 0.5, wall + 3, 2 * pitch + 1.2)
    return Picture(tuple(items), core, {}, (rear + long + 1.2, 2 * pitch - 0.4), (((rear + long / 2, -pitch), "−"),))


# ------------------------------------------------------------------ power contacts
@dataclass(frozen=True, slots=True)
class _Power:
    """A power contact's measures [mm]: its barrel, its tongue from the barrel to the hook, its housing."""

    tube: Tube
    hook: float
    rear: float
    front: float
    half: float


def power(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a snap-in power contact in its housing: good, stripped too short, not clicked in."""
    back = 4.0 if view is View.SECOND else 0.0
    return _snapped(spec, reach, _power(spec), back=back, short=view is View.FIRST)


def large(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a large power contact in its housing: good, stripped too short, not clicked in."""
    back = 7.0 if view is View.SECOND else 0.0
    return _snapped(spec, reach, _large(spec), back=back, short=view is View.FIRST)


def _power(spec: Spec) -> _Power:
    sizes = sizes_mm("power contact", "any")
    inside = max(sizes["inside"], spec.wire.copper_mm + 0.3)
    outside = inside + sizes["outside"] - sizes["inside"]
    end = max(3.0, spec.strip_mm - 0.2)
    tube = Tube(0.2, end, inside, outside, ((1.3, end - 2.2),), pressed(spec.wire, inside))
    hook = sizes["length"] - 0.5
    front = hook + 2.5
    half = max(sizes["pitch"], outside + 2.4, spec.wire.outside_mm + 2.4) / 2
    return _Power(tube, hook, front - sizes["housing"], front, half)


def _large(spec: Spec) -> _Power:
    sizes = by_gauge("tube", spec.wire.gauge)
    inside = max(sizes["inside"], spec.wire.copper_mm + 0.4)
    outside = inside + sizes["outside"] - sizes["inside"]
    end = spec.strip_mm - 0.3
    tube = Tube(0.2, end, inside, outside, ((1.8, 0.34 * end), (0.46 * end, 0.68 * end)), pressed(spec.wire, inside))
    hook = end + 20
    front = hook + 4.0
    half = max(outside, spec.wire.outside_mm) / 2 + 2.6
    return _Power(tube, hook, front - sizes_mm("large contact", "any")["housing"], front, half)


def _snapped(spec: Spec, reach: Reach, size: _Power, *, back: float, short: bool) -> Picture:
    wire, tube = spec.wire, size.tube
    bore = max(tube.outside_mm, wire.outside_mm) / 2 + 0.45
    unit = size.half / 4
    lip = size.hook - 1.2 * unit
    cavity = (
        Rect(size.rear, -size.half, size.front - size.rear, 2 * size.half, 0.9, OUTLINE, PLASTIC),
        Rect(size.rear, -bore, tube.end + 1.8 - size.rear, 2 * bore, 0.0, FINE, CLEAR),
        Rect(tube.end + 1.8, -1.9 * unit, size.front - tube.end - 1.8, 4.6 * unit, 0.0, FINE, CLEAR),
    )
    spring = ((tube.end + 3.0, 2.5 * unit), (lip - 1.5 * unit, 1.0 * unit), (lip, 1.0 * unit))
    leaf = (
        Polyline(spring, Stroke(INK, 1.3, round_ends=True)),
        Polyline(spring, Stroke(METAL_SHADE, 0.6, round_ends=True)),
    )
    tip = tube.start + 0.4 * (tube.end - tube.start) if short else tube.end + 0.1
    y = -0.5 * unit
    low = 1.7 * unit if not back else 0.9 * unit
    thick = 0.45 * unit + 0.2
    tongue = polygon(
        [
            (tube.end - 0.1, -thick / 2),
            (tube.end + 1.5, y - thick / 2),
            (size.hook, y - thick / 2),
            (size.hook + 1.1 * unit, low - thick / 2),
            (lip + 0.5, low),
            (lip + 0.5, low - thick),
            (size.hook - 0.2 * unit, low - thick - 0.2),
            (size.hook - 0.5 * unit, y + thick / 2),
            (tube.end + 1.4, y + thick / 2),
            (tube.end - 0.1, thick / 2),
        ],
        OUTLINE,
        METAL,
    )
    window = tube.end - 1.7
    sight = Rect(
        window, -tube.outside_mm / 2 - 0.1, 1.1, (tube.outside_mm - wire.copper_mm) / 2 + 0.1, 0.0, FINE, CLEAR
    )
    contact = (
        insulation(wire, reach.left + back, 0.0),
        tongue,
        *tube.drawn(),
        copper(wire, -0.2, tip, tube=tube),
        sight,
    )
    mate: tuple[Item, ...] = ()
    if spec.kind.endswith("pair"):
        mate = (Rect(size.front + 0.3, -size.half, 1.2 * size.half, 2 * size.half, 0.9, GHOST),)
    items = (*cavity, *leaf, *shifted(contact, x=-back), *mate)
    core = Box(
        size.rear - 1.5, -size.half - 0.2, size.front + (1.5 if not mate else 1.2 * size.half + 1.5), size.half + 0.2
    )
    spots = {
        "window": (window + 0.55, -wire.copper_mm / 2 + 0.1),
        "hook": (lip + 0.7, low - thick / 2),
        "mate": (size.front + 0.7 * size.half, size.half - 0.6),
    }
    fault: Point | None = None
    if short:
        fault = (window + 0.5, -0.1 * wire.copper_mm)
    elif back:
        fault = (lip + 0.5 - back, low - thick)
    return Picture(items, core, spots, fault)
