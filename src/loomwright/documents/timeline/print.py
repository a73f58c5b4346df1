"""The timeline on printed pages that lie: one for a usual day, more where hours or rows would get too small."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from loomwright.documents.look import WHITE
from loomwright.documents.print_room import print_room
from loomwright.documents.scene import Box, Item, Rect, Scene
from loomwright.documents.timeline.block import around_mm, block, gutter_mm
from loomwright.documents.timeline.drawing import described
from loomwright.documents.timeline.head import cautions, head, slim_head
from loomwright.documents.timeline.row import HIGHEST_MM, LOWEST_MM
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.documents.timeline.strips import Row, battery_rows, charger_rows
from loomwright.documents.timeline.window import name_of, windows_of

_INSIDE_MM: Final = 1.2  # keeps thick lines within the room
_GAP_MM: Final = 3.0


def timeline_scenes(sheet: TimelineSheet, paper: str = "A4", *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw the pages on "A4" or "Letter", each as large as inside its margins, a foot of the packet's own kept free.

    The cautions stand on every page, since pages are hung up apart. Raises KeyError for another paper.
    """
    room = print_room(paper, foot_mm=foot_mm)
    inside = Box(_INSIDE_MM, _INSIDE_MM, room.width_mm - _INSIDE_MM, room.height_mm - _INSIDE_MM)
    rows = (*battery_rows(sheet.plan, sheet.day), *charger_rows(sheet.plan, sheet.day))
    _, end = cautions(sheet, Box(inside.left, 0, inside.right, 0))
    told, _ = cautions(sheet, Box(inside.left, inside.bottom - end, inside.right, 0))
    bottom = inside.bottom - end - (_GAP_MM if end else 0.0)
    pages: list[tuple[Item, ...]] = []
    windows = windows_of(rows, sheet.day.begins_min)
    for window in windows:
        left = list(rows)
        while left:
            top, y = slim_head(sheet, inside, len(pages) + 1) if pages else head(sheet, inside)
            held, tall = _as_many(left, bottom - y, sheet.now_min)
            left = left[len(held) :]
            drawn = Box(inside.left, y, inside.right, bottom)
            made = block(
                held,
                window,
                drawn,
                name=name_of(window, windows),
                gutter=gutter_mm(rows),
                tall=tall,
                now_min=sheet.now_min,
            )
            pages.append((*top, made, *told))
    name, title, about = described(sheet)
    ground = Rect(0, 0, room.width_mm, room.height_mm, fill=WHITE)
    return tuple(
        Scene(f"{name}-{n}" if n > 1 else name, title, about, room.width_mm, room.height_mm, (ground, *items))
        for n, items in enumerate(pages, 1)
    )


def _as_many(rows: Sequence[Row], room_mm: float, now_min: int | None) -> tuple[list[Row], float]:
    """Return as many rows as a page holds, one at least, and how tall each is; few rows are not blown up."""
    for count in range(len(rows), 1, -1):
        held = list(rows[:count])
        tall = (room_mm - around_mm(held, now_min)) / count
        if tall >= LOWEST_MM:
            return held, min(tall, HIGHEST_MM)
    return list(rows[:1]), min(max(room_mm - around_mm(rows[:1], now_min), LOWEST_MM), HIGHEST_MM)
