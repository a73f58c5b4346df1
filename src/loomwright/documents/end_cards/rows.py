"""Several contacts side by side, seen from above: three motor phases, the two wires of a data bus."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from loomwright.documents.end_cards.geometry import polygon
from loomwright.documents.end_cards.ink import FINE, INSULATION, INSULATION_SHADE, METAL, METAL_SHADE, OUTLINE, PLASTIC
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import WireSize, sizes_mm
from loomwright.documents.end_cards.wires import insulation
from loomwright.documents.scene import Box, Item, Point, Rect

_PHASES: Final = ("A", "B", "C")
_LAY: Final = 7.0
"""Half a turn of a twisted pair [mm]."""


def three_phase(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw three joints in a row: good, one contact not seated, letters swapped."""
    small = spec.kind.endswith("small")
    shape = "small contact" if small else "power contact"
    pitch = sizes_mm(shape, "any")["pitch"]
    if spec.kind.endswith("large"):
        pitch = spec.wire.outside_mm + 6.0
    long = sizes_mm(shape, "any")["housing"] * (1.6 if spec.kind.endswith("large") else 1.0)
    wire = replace(spec.wire, outside_mm=min(spec.wire.outside_mm, pitch - 0.4))
    gap = 0.05 * long
    right = ("B", "A", "C") if view is View.SECOND else _PHASES
    items: list[Item] = []
    letters: list[tuple[Point, str]] = []
    meet = long + gap / 2
    for n, letter in enumerate(_PHASES):
        y = (n - 1) * pitch
        back = 0.28 * long if view is View.FIRST and n == 1 else 0.0
        items += [insulation(wire, reach.left, 0.12 * long - back, y)]
        items += _pole(0.0, long, y, pitch, back=back)
        items += [insulation(wire, reach.right, 2 * meet - 0.12 * long, y)]
        items += _pole(long + gap, 2 * long + gap, y, pitch)
        letters += [((0.62 * long, y), letter), ((1.45 * long + gap, y), right[n])]
    tie = 1.5 * pitch
    core = Box(-0.32 * long, -tie - 0.3, 2 * meet + 1.5, tie + 0.3)
    fault: Point | None = None
    if view is View.FIRST:
        fault = (-0.12 * long, -wire.outside_mm / 2)
    if view is View.SECOND:
        fault = (meet, -pitch)
    spots = {"meet": (meet, 0.5 * pitch), "letters": (0.62 * long, 1.3 * pitch), "rear": (0.0, 1.2 * pitch)}
    return Picture(tuple(items), core, spots, fault, tuple(letters))


def bus(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a data-bus joint: good, parted too far, high and low swapped."""
    sizes = sizes_mm("small contact", "any")
    pitch, long = sizes["pitch"], sizes["housing"]
    wire = replace(spec.wire, outside_mm=min(spec.wire.outside_mm, pitch - 0.2))
    part = -13.0 if view is View.FIRST else -4.5
    gap = 0.7
    mate = long + gap
    items: list[Item] = [
        *_twisted(reach.left, part, wire),
        *_parted(part, 0.4, pitch, wire),
        Rect(0.0, -1.15 * pitch, long, 2.3 * pitch, 0.6, OUTLINE, PLASTIC),
        Rect(mate, -1.15 * pitch, max(reach.right - mate, 1.0), 2.3 * pitch, 0.6, OUTLINE, PLASTIC),
        Rect(long - 2.4, -1.15 * pitch - 0.5, 5.0, 0.9, 0.3, OUTLINE, METAL_SHADE),
        Rect(long - 2.4, 1.15 * pitch - 0.4, 5.0, 0.9, 0.3, OUTLINE, METAL_SHADE),
    ]
    items += [Rect(1.4, y - 0.6, 3.4, 1.2, 0.2, FINE, METAL) for y in (-pitch / 2, pitch / 2)]
    other = ("L", "H") if view is View.SECOND else ("H", "L")
    at = (0.6 * long, mate + 0.35 * long)
    letters = tuple(
        ((x, (n - 0.5) * pitch), word)
        for x, words in zip(at, (("H", "L"), other), strict=True)
        for n, word in enumerate(words)
    )
    core = Box(part - 3.0, -1.15 * pitch - 0.8, mate + 0.55 * long, 1.15 * pitch + 0.8)
    fault: Point | None = None
    if view is View.FIRST:
        fault = (0.5 * part, -0.5 * pitch - 0.5 * wire.outside_mm)
    if view is View.SECOND:
        fault = (long + gap / 2, -0.5 * pitch)
    spots = {"twist": (part - 0.6, 0.7 * wire.outside_mm), "meet": (long + gap / 2, 0.5 * pitch)}
    return Picture(tuple(items), core, spots, fault, letters)


def _pole(left: float, right: float, y: float, pitch: float, *, back: float = 0.0) -> list[Item]:
    """Draw one housing from above; a contact that stands `back` shows behind it."""
    half = pitch / 2
    items: list[Item] = []
    if back:
        items.append(
            Rect(left - back + 0.06 * (right - left), y - 0.26 * pitch, back + 1.0, 0.52 * pitch, 0.3, OUTLINE, METAL)
        )
    items.append(Rect(left, y - half, right - left, pitch, 0.12 * pitch, OUTLINE, PLASTIC))
    return items


def _twisted(start: float, end: float, wire: WireSize) -> list[Item]:
    """Draw a twisted pair that runs in from the left and ends at `end`."""
    items: list[Item] = []
    x, turn = end, 0
    while x > start:
        items += _crossing(max(start, x - _LAY), x, wire, flipped=bool(turn % 2))
        x -= _LAY
        turn += 1
    return items


def _crossing(x0: float, x1: float, wire: WireSize, *, flipped: bool) -> list[Item]:
    """Draw half a turn: one wire passes over the other."""
    reach = wire.outside_mm / 2
    share = (x1 - x0) / _LAY
    under, over = (INSULATION_SHADE, INSULATION) if not flipped else (INSULATION, INSULATION_SHADE)
    return [
        _ribbon((x0, -reach + 2 * reach * share), (x1, -reach), wire.outside_mm, under),
        _ribbon((x0, reach - 2 * reach * share), (x1, reach), wire.outside_mm, over),
    ]


def _ribbon(a: Point, b: Point, thick: float, fill: str) -> Item:
    half = thick / 2
    return polygon([(a[0], a[1] - half), (b[0], b[1] - half), (b[0], b[1] + half), (a[0], a[1] + half)], OUTLINE, fill)


def _parted(start: float, end: float, pitch: float, wire: WireSize) -> list[Item]:
    """Draw the piece in which the pair's wires run to their own contacts, from left to right."""
    close, bend = wire.outside_mm / 2, min(end, start + 3.5)
    return [
        item
        for side, fill in ((-1, INSULATION_SHADE), (1, INSULATION))
        for item in (
            _ribbon((start, side * close), (bend, side * pitch / 2), wire.outside_mm, fill),
            _ribbon((bend, side * pitch / 2), (end, side * pitch / 2), wire.outside_mm, fill),
        )
    ]
