"""Rulers along the rear and the left of a plate, the arrow that says where front is, and the scale bar."""

from __future__ import annotations

import math
from collections.abc import Sequence

from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, HAIR_MM, INK, LINE_MM, SMALL_MM, WHITE
from loomwright.documents.plate.frame import Frame
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Stroke, Text
from loomwright.documents.type import Face, cap_mm, width_mm

RULER_MM = 9.0

_LEAST_TICK_MM = 1.8
_LEAST_NUMBER_MM = 16.0
_TICKS = (1, 5, 10, 50, 100, 500, 1000, 5000, 10000, 50000, 100000)
_PIECES = tuple(step * 10**power for power in range(6) for step in (1, 2, 5))
_SHORT, _MIDDLE, _LONG = 1.2, 2.0, 3.2


def rulers(frame: Frame) -> tuple[Item, ...]:
    """Draw a ruler [mm on the robot] below and left of a panel, both with 0 at the left rear corner."""
    tick, number = spacing(frame.scale)
    items: list[Item] = []
    box, extent = frame.box, frame.extent
    items.append(Line((box.left, box.bottom), (box.right, box.bottom), Stroke(INK, LINE_MM)))
    items.append(Line((box.left, box.top), (box.left, box.bottom), Stroke(INK, LINE_MM)))
    for at in _ticks(extent.left * 1000, extent.right * 1000, tick):
        x = frame.point((at / 1000, 0.0))[0]
        items.append(Line((x, box.bottom), (x, box.bottom + _long(at, tick, number)), Stroke(INK, HAIR_MM)))
        if at % number == 0:
            items += _number(at, Box(x - 12, box.bottom + _LONG, x + 12, box.bottom + RULER_MM), box, Anchor.MIDDLE)
    for at in _ticks(extent.rear * 1000, extent.front * 1000, tick):
        y = frame.point((0.0, at / 1000))[1]
        items.append(Line((box.left, y), (box.left - _long(at, tick, number), y), Stroke(INK, HAIR_MM)))
        if at % number == 0:
            items += _number(at, Box(box.left - RULER_MM - 4, y - 3, box.left - _LONG - 0.6, y + 3), box, Anchor.END)
    return (Group(tuple(items), "ruler", "", "Rulers in mm on the robot"),)


def _number(at: int, room: Box, panel: Box, anchor: Anchor) -> tuple[Text, ...]:
    """Write one number of a ruler; beyond the ends of the panel there is none, where the two rulers meet."""
    words = f"{at}"
    wide = width_mm(words, Face.TAG, SMALL_MM)
    if anchor is Anchor.MIDDLE:
        middle = (room.left + room.right) / 2
        if middle - wide / 2 < panel.left + 1 or middle + wide / 2 > panel.right - 9:
            return ()
        return label(words, room, size_mm=SMALL_MM, face=Face.TAG, anchor=anchor, baseline_mm=room.top + 3.4)
    if (room.top + room.bottom) / 2 < panel.top + 2 or (room.top + room.bottom) / 2 > panel.bottom - 2:
        return ()
    return label(words, room, size_mm=SMALL_MM, face=Face.TAG, anchor=anchor)


def spacing(scale: float) -> tuple[int, int]:
    """Return how far ticks and numbers of a ruler are apart at a scale [mm on the robot]."""
    tick = next((t for t in _TICKS if t / scale >= _LEAST_TICK_MM), _TICKS[-1])
    number = next((t for t in _TICKS if t % tick == 0 and t / scale >= _LEAST_NUMBER_MM), _TICKS[-1])
    return tick, number


def _ticks(low_mm: float, high_mm: float, tick: int) -> range:
    return range(math.ceil(round(low_mm / tick, 6)) * tick, math.floor(round(high_mm / tick, 6)) * tick + 1, tick)


def _long(at: int, tick: int, number: int) -> float:
    """Return how long a tick is: longest at numbers, longer at every fifth."""
    if at % number == 0:
        return _LONG
    return _MIDDLE if at % (5 * tick) == 0 else _SHORT


def unit_mark(frame: Frame) -> tuple[Text, ...]:
    """Write the unit where the ruler below ends."""
    box = Box(frame.box.right - 8, frame.box.bottom + _LONG, frame.box.right, frame.box.bottom + RULER_MM)
    return label("mm", box, size_mm=SMALL_MM, face=Face.TAG, anchor=Anchor.END, baseline_mm=box.top + 3.4)


def scale_bar(scale: float, room: Box) -> tuple[Item, ...]:
    """Draw a bar of round lengths on the robot, as long as there is room for, in black and white pieces."""
    piece = max((t for t in _PIECES if 4 * t / scale <= room.width - 12), default=_TICKS[0])
    top, tall = room.top, 2.0
    items: list[Item] = []
    for i in range(4):
        left = room.left + i * piece / scale
        fill = INK if i % 2 == 0 else WHITE
        items.append(Rect(left, top, piece / scale, tall, 0, Stroke(INK, HAIR_MM), fill))
    for i in (0, 2, 4):
        x = room.left + i * piece / scale
        words = f"{i * piece} mm" if i == 4 else f"{i * piece}"  # noqa: PLR2004 the last piece
        anchor = Anchor.START if i == 0 else Anchor.MIDDLE
        wide = width_mm(words, Face.TAG, SMALL_MM)
        at = (x, top + tall + 1.2 + cap_mm(Face.TAG, SMALL_MM))
        if wide < 2 * piece / scale or i != 2:  # noqa: PLR2004 the middle one gives way
            items.append(Text(at, words, SMALL_MM, Face.TAG, anchor))
    return (Group(tuple(items), "scale-bar", "", f"Scale bar: {4 * piece} mm on the robot"),)


def scale_words(scale: float) -> str:
    """Write a scale: "1:2.5"."""
    return f"1:{scale:g}"


def front_mark(frame: Frame) -> tuple[Item, ...]:
    """Draw an arrow at the front edge of a panel with the word, on the line of the panel's top."""
    x, y = (frame.box.left + frame.box.right) / 2, frame.box.top - 1.2
    half = width_mm("FRONT", Face.TAG, BODY_MM) / 2 + 1.5
    baseline = y - 0.4
    word = Text((x, baseline), "FRONT", BODY_MM, Face.TAG, Anchor.MIDDLE)
    arrows = [Text((x + side * (half + 1.5), baseline), "↑", BODY_MM, Face.BOLD, Anchor.MIDDLE) for side in (-1, 1)]
    return (Group(on_white((word, *arrows)), "front"),)


def on_white(words: Sequence[Text]) -> tuple[Item, ...]:
    """Put white under words above a panel, where the wide band of a trunk at the edge may reach out of it."""
    grounds = [Rect(b.left, b.top, b.width, b.height, 0, None, WHITE) for b in (word.box.grown(0.2) for word in words)]
    return (*grounds, *words)


FRONT_MM = 5.0
