"""A wire drawn as itself: a bar in its colour and thickness, a lug at each end, its name upon it.

End A is filled and end B is hollow, on every sheet and screen. All drawings use these pieces.
"""

from __future__ import annotations

from typing import Literal

from loomwright.documents.look import CORNER_MM, HAIR_MM, INK, LINE_MM, SMALL_MM, WHITE, wire_colour
from loomwright.documents.scene import (
    Anchor,
    Arc,
    Box,
    Item,
    Line,
    Move,
    Path,
    Point,
    Rect,
    Straight,
    Stroke,
    Text,
    around,
)
from loomwright.documents.type import Face, cap_mm
from loomwright.documents.type import width_mm as measure_mm

Way = Literal["right", "left", "up", "down"]

LUG_MM = 5.0  # from the tip of the eye to where the bar begins
_EYE_MM = 1.9
_NECK_MM = 0.75
THINNEST_MM = 1.2
_THICKEST_MM = 11.7
CHIP_MM = 4.2
_PAD_MM = 1.1
_WORD_GAP_MM = 1.0
_BAND_MM = 1.5  # a stripe shows as bands across the bar: on a thin wire a lengthwise one would vanish

_TURN: dict[str, tuple[float, float]] = {"right": (1, 0), "left": (-1, 0), "up": (0, -1), "down": (0, 1)}


def bar(start: Point, end: Point, *, colour: str, copper_mm: float) -> tuple[Item, ...]:
    """Draw the bar of a wire between two points on one level or one upright.

    `colour` is a code such as "RD" or "RDBK"; empty means not known, and gives a dashed outline. `copper_mm` is the
    thickness of the bare conductor (see `thickness_mm`).
    """
    thick = thickness_mm(copper_mm)
    lies = abs(end[0] - start[0]) >= abs(end[1] - start[1])
    run = around([start, end])
    across = (0.0, thick / 2) if lies else (thick / 2, 0.0)
    body = Box(run.left - across[0], run.top - across[1], run.right + across[0], run.bottom + across[1])
    if not colour:
        return (_rect(body, WHITE, Stroke(INK, HAIR_MM, (1.6, 1.0))),)
    look = wire_colour(colour)
    outline = _rect(body, look.fill, Stroke(INK, HAIR_MM))
    if not look.stripe:
        return (outline,)
    return (outline, Line(start, end, Stroke(look.stripe, thick - HAIR_MM, (_BAND_MM, _BAND_MM * 2))))


def thickness_mm(copper_mm: float) -> float:
    """Return how thick a bar is drawn [mm]: as its copper, but never too thin to show a colour, nor beyond 4/0 AWG."""
    return min(max(copper_mm, THINNEST_MM), _THICKEST_MM)


def lug(tip: Point, way: Way, *, filled: bool) -> Path:
    """Draw a lug whose eye has its tip at a point; the wire leaves from its tail in direction `way`."""
    along, across = _TURN[way], (-_TURN[way][1], _TURN[way][0])

    def at(length: float, side: float) -> Point:
        return (
            tip[0] + along[0] * length + across[0] * side,
            tip[1] + along[1] * length + across[1] * side,
        )

    shoulder = _EYE_MM + (_EYE_MM**2 - _NECK_MM**2) ** 0.5
    outline = (
        Move(at(LUG_MM, -_NECK_MM)),
        Straight(at(shoulder, -_NECK_MM)),
        Arc(at(0, 0), _EYE_MM, clockwise=False),
        Arc(at(shoulder, _NECK_MM), _EYE_MM, clockwise=False),
        Straight(at(LUG_MM, _NECK_MM)),
    )
    return Path(outline, Stroke(INK, LINE_MM), INK if filled else WHITE)


def chip(
    centre: Point, words: tuple[tuple[str, Face], ...], *, dashed: bool = False, width_mm: float = 0.0
) -> tuple[Item, ...]:
    """Draw a white label on a wire: some words side by side in a rounded box, centred on a point.

    The box is as wide as the words need, or `width_mm` where that is more; the words stand in its middle.
    """
    need = chip_width_mm(words)
    width = max(need, width_mm)
    stroke = Stroke(INK, HAIR_MM, (1.0, 0.7) if dashed else ())
    box = Box(centre[0] - width / 2, centre[1] - CHIP_MM / 2, centre[0] + width / 2, centre[1] + CHIP_MM / 2)
    items: list[Item] = [_rect(box, WHITE, stroke, CORNER_MM)]
    x = centre[0] - need / 2 + _PAD_MM
    for word, face in words:
        place = (x, centre[1] + cap_mm(face, SMALL_MM) / 2)
        items.append(Text(place, word, SMALL_MM, face, Anchor.START, room=box))
        x += measure_mm(word, face, SMALL_MM) + _WORD_GAP_MM
    return tuple(items)


def chip_width_mm(words: tuple[tuple[str, Face], ...]) -> float:
    """Return how wide a label will be [mm]."""
    text = sum(measure_mm(word, face, SMALL_MM) for word, face in words)
    return text + _WORD_GAP_MM * (len(words) - 1) + 2 * _PAD_MM


def _rect(box: Box, fill: str, stroke: Stroke | None, radius: float = 0.0) -> Rect:
    """Make a rectangle from a box."""
    return Rect(box.left, box.top, box.width, box.height, radius, stroke, fill)
