"""The timeline on one sheet: the windows of the day below each other, as wide as an A4 page that lies."""

from __future__ import annotations

import math
from typing import Final

from loomwright.documents.look import WHITE
from loomwright.documents.scene import Box, Item, Rect, Scene
from loomwright.documents.svg import write
from loomwright.documents.timeline.block import around_mm, block, gutter_mm
from loomwright.documents.timeline.head import FOOTER_MM, cautions, facts_of, footer, head
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.documents.timeline.strips import battery_rows, charger_rows
from loomwright.documents.timeline.window import name_of, windows_of
from loomwright.documents.type import clean

_WIDE_MM: Final = 297.0
_EDGE_MM: Final = 10.0
_GAP_MM: Final = 5.0
_ROW_MM: Final = 9.6


def timeline_svg(sheet: TimelineSheet) -> bytes:
    """Draw the sheet as SVG."""
    return write(draw(sheet)).encode("utf-8")


def draw(sheet: TimelineSheet) -> Scene:
    """Draw the sheet as a scene, as tall as it has to be."""
    batteries, chargers = battery_rows(sheet.plan, sheet.day), charger_rows(sheet.plan, sheet.day)
    rows = (*batteries, *chargers)
    top, y = head(sheet, Box(_EDGE_MM, _EDGE_MM, _WIDE_MM - _EDGE_MM, 0))
    items: list[Item] = [*top]
    gutter = gutter_mm(rows)
    windows = windows_of(rows, sheet.day.begins_min)
    for window in windows:
        room = Box(_EDGE_MM, y, _WIDE_MM - _EDGE_MM, 0)
        items.append(
            block(rows, window, room, name=name_of(window, windows), gutter=gutter, tall=_ROW_MM, now_min=sheet.now_min)
        )
        y += around_mm(rows, sheet.now_min) + len(rows) * _ROW_MM + _GAP_MM
    told, y = cautions(sheet, Box(_EDGE_MM, y, _WIDE_MM - _EDGE_MM, 0))
    height = math.ceil(y + 2.0 + FOOTER_MM + _EDGE_MM / 2 - 1e-6)
    foot = footer(sheet, Box(_EDGE_MM, 0, _WIDE_MM - _EDGE_MM, height - _EDGE_MM / 2))
    ground = Rect(0, 0, _WIDE_MM, height, fill=WHITE)
    return Scene(*described(sheet), _WIDE_MM, height, (ground, *items, *told, foot))


def described(sheet: TimelineSheet) -> tuple[str, str, str]:
    """Return the name of the drawing in files, its title and what it shows."""
    told = [word for word in (clean(sheet.headline), clean(facts_of(sheet))) if word]
    return "timeline", f"Battery day of {clean(sheet.robot) or 'robot?'}", f"{'. '.join(told)}."
