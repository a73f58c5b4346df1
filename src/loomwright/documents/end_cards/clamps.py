"""Clamps cut open: lever clamp, push clamp, screw clamp, with a bare, folded or ferruled end in them.

Wire, strip length and ferrule are to scale; the clamp around them is a usual one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.end_cards.geometry import polygon
from loomwright.documents.end_cards.ink import CLEAR, COPPER, FINE, METAL, METAL_SHADE, OUTLINE, PLASTIC
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import by_gauge, size_mm
from loomwright.documents.end_cards.wires import Tube, copper, insulation, stray
from loomwright.documents.look import INK
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

_SHOWS: Final = 0.6
"""Copper that shows in front of a clamp when all is well [mm]."""
_LONG: Final = 5.0


@dataclass(frozen=True, slots=True)
class _Block:
    """A clamp's body [mm]: its mouth is at `mouth`, wires stop at `stop`, and it presses at `press`."""

    mouth: float
    stop: float
    press: float
    half: float
    top: float
    bottom: float


def lever_clamp(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a bare end in a lever clamp: good, stripped too short, stripped too long."""
    return _clamped(spec, reach, {View.FIRST: "short", View.SECOND: "long"}.get(view, ""), lever=True)


def push_clamp(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a bare end in a push clamp: good, stripped too short, stripped too long."""
    return _clamped(spec, reach, {View.FIRST: "short", View.SECOND: "long"}.get(view, ""), lever=False)


def lever_clamp_folded(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a folded end in a lever clamp: good, not twisted, folded too short."""
    return _clamped(spec, reach, {View.FIRST: "stray", View.SECOND: "short"}.get(view, ""), lever=True)


def push_clamp_folded(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a folded end in a push clamp: good, not twisted, folded too short."""
    return _clamped(spec, reach, {View.FIRST: "stray", View.SECOND: "short"}.get(view, ""), lever=False)


def screw_clamp(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a bare end under a screw: good, strands outside, insulation under the screw."""
    fault = {View.FIRST: "stray", View.SECOND: "short"}.get(view, "")
    block = _block(spec, spec.strip_mm)
    end, inside, spot = _conductor(spec, block, fault, spec.strip_mm)
    under = -spec.wire.outside_mm / 2 if fault == "short" else -spec.wire.copper_mm / 2
    items = (*_body(block), insulation(spec.wire, reach.left, end), *inside, *_screw(block, under))
    return _picture(spec, block, items, end, spot, above=1.3)


def ferrule(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a ferrule under a screw: good, copper too short, a strand folded back outside."""
    sizes = by_gauge("ferrule", spec.wire.gauge)
    long = size_mm("ferrule", "any", "collar length")
    wire = spec.wire
    inside = max(sizes["inside"], wire.copper_mm + 0.1)
    outside = inside + sizes["outside"] - sizes["inside"]
    collar = max(sizes["collar"], wire.outside_mm + 0.7)
    crimps = tuple((spec.strip_mm * n / 8, spec.strip_mm * (n + 0.45) / 8) for n in (1, 3, 5))
    tube = Tube(-0.4, spec.strip_mm - 0.2, inside, outside, crimps, 0.22 * inside)
    tip = 0.45 * spec.strip_mm if view is View.FIRST else spec.strip_mm
    cup = polygon(
        [
            (-long, -collar / 2),
            (-0.9, -collar / 2),
            (0.2, -outside / 2),
            (0.2, outside / 2),
            (-0.9, collar / 2),
            (-long, collar / 2),
        ],
        OUTLINE,
        METAL_SHADE,
    )
    hollow = Rect(-long, -collar / 2 + 0.35, long - 0.6, collar - 0.7, 0.0, FINE, CLEAR)
    block = _Block(
        0.6,
        spec.strip_mm + 1.6,
        0.5 * spec.strip_mm,
        max(outside, 1.6) / 2 + 0.9,
        max(outside, 1.6) / 2 + 2.8,
        outside / 2 + 1.9,
    )
    astray: tuple[Item, ...] = ()
    spot = None
    if view is View.FIRST:
        spot = (0.75 * spec.strip_mm, 0.0)
    if view is View.SECOND:
        y = collar / 2
        points = [(-0.5, outside / 2), (-1.4, y + 0.25), (-0.5 * long, y + 0.4), (-long - 1.5, y + 0.7)]
        astray, spot = stray(points), (-0.6 * long, y + 0.4)
    items = (
        *_body(block, bar=outside / 2),
        cup,
        hollow,
        insulation(wire, reach.left, 0.0),
        *tube.drawn(),
        copper(wire, 0.0, tip, tube=tube),
        *astray,
        *_screw(block, -outside / 2),
    )
    low = max(block.bottom + 0.7, collar / 2 + 1.2)
    core = Box(-long - 2, -block.top - 1.3, block.stop + 1.4, low)
    spots = {
        "copper": (spec.strip_mm - 0.3, 0.0),
        "collar": (-0.5 * long, collar / 2),
        "screw": (block.press, -outside / 2 - 0.3),
    }
    return Picture(items, core, spots, spot)


# ------------------------------------------------------------------ lever and push clamps
def _clamped(spec: Spec, reach: Reach, fault: str, *, lever: bool) -> Picture:
    deep = spec.strip_mm / 2 if _folded(spec) else spec.strip_mm
    block = _block(spec, deep)
    end, inside, spot = _conductor(spec, block, fault, deep)
    thick = _thick(spec)
    touch = -spec.wire.outside_mm / 2 if fault == "short" else -thick / 2
    leaf = _leaf(block, touch)
    act = _lever(block) if lever else _release(block)
    items = (*_body(block), *act, insulation(spec.wire, reach.left, end), *inside, *leaf)
    return _picture(spec, block, items, end, spot)


def _picture(
    spec: Spec, block: _Block, items: tuple[Item, ...], end: float, spot: Point | None, above: float = 1.0
) -> Picture:
    core = Box(min(end, -_LONG) - 1, -block.top - above, block.stop + 1.6, block.bottom + 0.7)
    thick = _thick(spec)
    spots = {
        "front": (-0.35, spec.wire.copper_mm / 2),
        "clamp": (block.press, -thick / 2),
        "stop": (block.stop - 0.15, 0.3 * thick),
        "fold": (block.stop - 0.5, 0.4 * thick),
        "release": (block.press + 1.6, -block.top + 1.0),
    }
    return Picture(items, core, spots, spot)


def _folded(spec: Spec) -> bool:
    return spec.kind.endswith("folded")


def _thick(spec: Spec) -> float:
    return spec.wire.copper_mm * (2 if _folded(spec) else 1)


def _block(spec: Spec, deep: float) -> _Block:
    """Give a clamp that is as deep as the strip length asks for."""
    half = max(spec.wire.outside_mm / 2 + 0.35, 1.3)
    return _Block(0.0, deep - _SHOWS, 0.55 * deep, half, half + 2.6, _thick(spec) / 2 + 1.9)


def _conductor(spec: Spec, block: _Block, fault: str, deep: float) -> tuple[float, tuple[Item, ...], Point | None]:
    """Draw the bare end; tell where its insulation ends and what is wrong."""
    wire, r = spec.wire, spec.wire.copper_mm / 2
    end = {"short": block.press + 0.12 * deep, "long": -_LONG}.get(fault, -_SHOWS)
    thick = _thick(spec)
    folded = _folded(spec)
    inside = _fold(spec, end, block.stop, loose=fault == "stray") if folded else (copper(wire, end, block.stop),)
    if fault == "stray":
        out = block.half + 1.0
        start = block.mouth
        inside = (
            *stray([(end, -0.4 * thick), (start - 0.4, -out * 0.8), (start - 1.6, -out - 0.3)]),
            *stray([(end, 0.4 * thick), (start - 0.5, out * 0.7), (start - 1.2, out + 0.4), (start - 2.8, out + 0.6)]),
            *inside,
        )
    spot = {
        "short": (block.press, -wire.outside_mm / 2),
        "long": (-0.5 * _LONG, -r),
        "stray": (block.mouth - 1.5, -block.half - 1.2),
    }.get(fault)
    return end, inside, spot


def _fold(spec: Spec, start: float, end: float, *, loose: bool) -> tuple[Item, ...]:
    """Draw copper folded back once: two layers with a round end, twisted together."""
    d = spec.wire.copper_mm
    body = Path(
        (
            Move((start, -d)),
            Straight((end - d, -d)),
            Arc((end, 0), d),
            Arc((end - d, d), d),
            Straight((start + 0.4, d)),
            Straight((start + 0.4, 0)),
            Straight((start, 0)),
        ),
        OUTLINE,
        COPPER,
    )
    pitch = 1.3
    count = int((end - d - start - 0.6) / pitch)
    lines: list[Item] = [
        Line((start + 0.5 + n * pitch, d), (start + 0.5 + n * pitch + pitch, -d), FINE) for n in range(count)
    ]
    if loose:
        lines = [Line((start, 0), (end - d, 0), FINE)]
    return (Group((body, *lines), "copper"),)


def _body(block: _Block, *, bar: float | None = None) -> tuple[Item, ...]:
    """Draw the housing, the way in, and the metal that the copper is pressed on."""
    width = block.stop + 1.4 - block.mouth
    rest = block.bottom - 1.5 if bar is None else bar
    return (
        Rect(block.mouth, -block.top, width, block.top + block.bottom + 0.6, 0.8, OUTLINE, PLASTIC),
        Rect(block.mouth, -block.half, block.stop - block.mouth, block.half + rest, 0.0, FINE, CLEAR),
        Rect(block.mouth + 0.8, rest, block.stop - block.mouth + 0.2, 1.1, 0.0, OUTLINE, METAL),
    )


def _leaf(block: _Block, touch: float) -> tuple[Item, ...]:
    """Draw the spring that presses the copper on the metal, down to `touch`."""
    x, root = block.press, min(block.stop, block.press + 3.2)
    high = (
        (root, -block.half - 0.3),
        (x - 0.9, -block.half - 0.3),
        (x - 1.3, -block.half + 0.2),
        (x, touch - 0.25),
        (x + 0.6, touch - 0.55),
    )
    return (
        Polyline(high, Stroke(INK, 1.3, round_ends=True)),
        Polyline(high, Stroke(METAL_SHADE, 0.6, round_ends=True)),
    )


def _lever(block: _Block) -> tuple[Item, ...]:
    """Draw the lever closed, and dashed where it stands when it is open."""
    y, left, right = -block.top, block.mouth + 0.8, block.stop + 0.6
    closed = Rect(left, y - 0.9, right - left, 1.8, 0.9, OUTLINE, METAL_SHADE)
    pivot = Circle((right - 0.9, y), 0.45, FINE, CLEAR)
    return (closed, pivot)


def _release(block: _Block) -> tuple[Item, ...]:
    """Draw the slot that a small flat screwdriver goes into."""
    x = block.press + 1.0
    return (Rect(x, -block.top - 0.15, 1.3, block.top - block.half - 0.2, 0.0, FINE, CLEAR),)


def _screw(block: _Block, under: float) -> tuple[Item, ...]:
    """Draw the screw from its head down to what it presses on."""
    x, top = block.press, -block.top
    return (
        Rect(x - 1.1, top - 0.2, 2.2, under - top - 0.4, 0.0, OUTLINE, METAL),
        *(
            Line((x - 1.1, top + 0.5 + 0.7 * n), (x + 1.1, top + 0.9 + 0.7 * n), FINE)
            for n in range(max(0, int((under - top - 1.8) / 0.7)))
        ),
        Rect(x - 1.7, top - 1.2, 3.4, 1.5, 0.4, OUTLINE, METAL_SHADE),
        Rect(x - 0.3, top - 1.2, 0.6, 0.7, 0.0, FINE, CLEAR),
        Rect(x - 1.5, under - 0.6, 3.0, 0.6, 0.0, OUTLINE, METAL_SHADE),
    )
