"""The first picture of a card: the stripped end with its length in mm, its true size, and the drawing's scale."""

from __future__ import annotations

import math
from typing import Final

from loomwright.documents.end_cards.geometry import placed, polygon
from loomwright.documents.end_cards.ink import FINE, GHOST
from loomwright.documents.end_cards.picture import Spec
from loomwright.documents.end_cards.wires import copper, insulation, plain_where_fine
from loomwright.documents.label import label
from loomwright.documents.look import HAIR_MM, INK, SMALL_MM
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Point, Polyline, Rect, Stroke, Text
from loomwright.documents.type import Face, cap_mm

#: What the dimension above and the true size below the wire need [mm].
ABOVE_MM: Final = 5.2
BELOW_MM: Final = 5.4
#: What a fold's arrow below the wire needs [mm].
FOLD_MM: Final = 3.0
_BAR_MM: Final = 1.3
_TIP_MM: Final = 1.4


def strip_words(strip_mm: float) -> str:
    """Write a strip length, with the fraction of an inch that some strippers are marked in."""
    inches = {6.35: "1/4 in", 12.7: "1/2 in", 3.175: "1/8 in"}.get(round(strip_mm, 3))
    return f"{strip_mm:g} mm" + (f" ({inches})" if inches else "")


def stripped(spec: Spec, box: Box, room: Box, *, scale: float, true_size: bool = True) -> tuple[Item, ...]:
    """Draw the stripped end in the room of its panel, to scale; its true size beside it belongs on paper alone."""
    wide = spec.strip_mm * scale
    middle = (room.top + ABOVE_MM + room.bottom - (BELOW_MM if true_size else FOLD_MM)) / 2
    start = (room.left + room.right - wide) / 2
    at = (start, middle)
    tail = (box.left + 0.2 - at[0]) / scale
    drawn = (insulation(spec.wire, tail, 0.0), copper(spec.wire, 0.0, spec.strip_mm))
    wire = Group(placed(plain_where_fine(drawn, spec.wire, scale), scale=scale, at=at), "stripped", spec.kind)
    folds = _fold(spec, at, scale) if spec.kind.endswith("folded") else ()
    size = _true_size(spec, room, scale) if true_size else ()
    return (wire, *folds, *_dimension(spec, at, scale, room), *size)


def gauge_words(spec: Spec) -> str:
    """Say that nobody has decided the gauge yet, and which one is drawn; "" where it is known."""
    return "" if spec.wire.known else f"gauge unknown, drawn as {spec.wire.gauge}"


def scale_words(scale: float) -> str:
    """Write a scale: "3:1", "3:2", "1:2"."""
    for down in (1, 2, 3, 4):
        if abs(scale * down - round(scale * down)) < 1e-6:  # noqa: PLR2004  any rounding of a float
            return f"{round(scale * down)}:{down}"
    return f"{scale:g}:1"


def scale_bar(box: Box, *, scale: float) -> tuple[Item, ...]:
    """Draw a bar of 5 or 10 mm at the drawing's scale and name both, at the right of a panel's head."""
    real = 5 if scale > 1 else 10
    long = real * scale
    right, y = box.right - 3.0, box.top + 4.0
    marks = (
        Line((right - long, y), (right, y), Stroke(INK, 0.5)),
        Line((right - long, y - 0.8), (right - long, y + 0.8), Stroke(INK, HAIR_MM)),
        Line((right, y - 0.8), (right, y + 0.8), Stroke(INK, HAIR_MM)),
    )
    baseline = y + cap_mm(Face.TEXT, SMALL_MM) / 2
    left = right - long - 1.2
    length = Text((left, baseline), f"{real} mm", SMALL_MM, Face.TEXT, Anchor.END, room=box)
    words = Text((left - length.width_mm - 4.0, baseline), f"scale {scale_words(scale)}", SMALL_MM, anchor=Anchor.END)
    return (Group((*marks, length, words), "scale"),)


def _dimension(spec: Spec, at: Point, scale: float, room: Box) -> tuple[Item, ...]:
    x0, x1 = at[0], at[0] + spec.strip_mm * scale
    y = at[1] - spec.wire.outside_mm * scale / 2 - 1.8
    lines = [
        Line((x, y - 0.5), (x, at[1] - half), FINE)
        for x, half in ((x0, spec.wire.outside_mm * scale / 2 + 0.3), (x1, spec.wire.copper_mm * scale / 2 + 0.3))
    ]
    tips = [
        polygon([(x, y), (x + s * _TIP_MM, y - 0.5), (x + s * _TIP_MM, y + 0.5)], None, INK)
        for x, s in ((x0, 1), (x1, -1))
    ]
    words = strip_words(spec.strip_mm)
    text = Text(
        ((x0 + x1) / 2, y - 1.35),
        words,
        3.4,
        Face.BOLD,
        Anchor.MIDDLE,
        room=Box(room.left, room.top - 1, room.right, y),
    )
    return (Group((*lines, Line((x0, y), (x1, y), Stroke(INK, HAIR_MM)), *tips, text), "dimension"),)


def _true_size(spec: Spec, room: Box, scale: float) -> tuple[Item, ...]:
    """Draw a gauge to lay the wire on; at 1:1 the drawing itself is one."""
    unknown = gauge_words(spec)
    if scale == 1:
        return _beside(f"true size, {unknown or 'hold your wire on the drawing'}", room, room.left + 1.5)
    x, y = room.left + 1.5, room.bottom - 2.6
    long = spec.strip_mm
    bar = Rect(x, y - _BAR_MM / 2, long, _BAR_MM, 0.0, Stroke(INK, HAIR_MM), INK)
    ends = [Line((e, y - 1.5), (e, y + 1.5), Stroke(INK, HAIR_MM)) for e in (x, x + long)]
    return (
        Group((bar, *ends), "true size"),
        *_beside(f"true size, {unknown or 'hold your wire here'}", room, x + long + 1.4),
    )


def _beside(words: str, room: Box, left: float) -> tuple[Text, ...]:
    y = room.bottom - 2.6
    return label(words, Box(left, y - 2.4, room.right - 1, y + 2.4), size_mm=SMALL_MM)


def _fold(spec: Spec, at: Point, scale: float) -> tuple[Item, ...]:
    """Mark the middle of the copper, where it is folded back."""
    half = spec.wire.copper_mm * scale / 2
    long = spec.strip_mm * scale
    x, low = at[0] + long / 2, at[1] + half
    wide, deep = 0.42 * long, 2.3
    turns = [math.radians(a) for a in range(10, 161, 10)]
    arc = tuple((x + wide * math.cos(a), low + 0.4 + deep * math.sin(a)) for a in turns)
    end = (x - wide, low + 0.3)
    tip = polygon([end, (end[0] - 0.1, end[1] + 1.9), (end[0] + 1.6, end[1] + 1.1)], None, INK)
    crease = Line((x, at[1] - half - 0.8), (x, low + 0.8), GHOST)
    return (Group((crease, Polyline(arc, Stroke(INK, 0.45)), tip), "fold"),)
