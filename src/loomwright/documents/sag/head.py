"""Head and foot of the Sag: which robot, what the study found, and what that rests on."""

from __future__ import annotations

from typing import Final

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.label import label
from loomwright.documents.look import (
    INK,
    LINE_MM,
    NAME_MM,
    SMALL_MM,
)
from loomwright.documents.plate.blocks import Drawn, text_block
from loomwright.documents.sag.ink import TICK_MM, WORD_MM
from loomwright.documents.sag.sheet import SagSheet
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Stroke
from loomwright.documents.sheet_head import caution_band, title
from loomwright.documents.type import Face, clean, width_mm

WHAT: Final = "Sag: bus voltage and currents through a match"
FOOTER_MM: Final = 8.0
_TITLE_ROOM_MM: Final = 20.0
_CAUTION_MM: Final = 12.0
_GAP_MM: Final = 6.0
_HEADLINE_MM: Final = 10.5
_LEAST_HEADLINE_MM: Final = 7.0
_HEADLINE_LINES: Final = 3
_FAR_MM: Final = 1e4


def head(sheet: SagSheet, room: Box) -> Drawn:
    """Draw the head of the first page; return it and where it ends."""
    middle = room.left + room.width * 0.52
    names = Box(room.left, room.top, middle - _GAP_MM, room.top + _TITLE_ROOM_MM)
    caution = Box(middle, room.top + 3, room.right, room.top + 3 + _CAUTION_MM)
    top = room.top + _TITLE_ROOM_MM + 4
    found, end = _finding(sheet, Box(room.left, top, room.right, _FAR_MM))
    named = Group(title(sheet.robot, sheet.build, WHAT, names), "title")
    danger = Group(caution_band(caution, end_mm=7), "caution", "", CAUTION)
    return (named, danger, Group(found, "finding")), end


def slim_head(sheet: SagSheet, room: Box, page: int) -> Drawn:
    """Draw the head of a later page."""
    where = f"Sag, page {page}"
    left = room.right - width_mm(where, Face.TEXT, NAME_MM) - 4
    names = Box(room.left, room.top, left, room.top + 8)
    return (
        *label(sheet.robot or "robot?", names, size_mm=NAME_MM * 1.25, face=Face.BOLD, baseline_mm=room.top + 5.6),
        *label(where, Box(left, room.top, room.right, room.top + 8), size_mm=NAME_MM, anchor=Anchor.END),
    ), room.top + 10


def rests_on(lines: list[str], room: Box) -> Drawn:
    """Write what the verdict rests on, a paragraph each."""
    y = room.top + WORD_MM * 1.35
    above = Box(room.left, room.top, room.right, y)
    items: list[Item] = [*label("This rests on", above, size_mm=WORD_MM, face=Face.BOLD)]
    y += 1.0
    for line in filter(clean, lines):
        drawn, end = text_block(line, Box(room.left + 4, y + 0.6, room.right, _FAR_MM), size_mm=TICK_MM)
        items.append(Rect(room.left + 0.4, y + 1.6, 1.8, 1.8, 0, None, INK))
        items += drawn
        y = end + 0.6
    return tuple(items), y


def footer(sheet: SagSheet, room: Box) -> tuple[Item, ...]:
    """Write the footer: robot, build, plan revision, and which source wins."""
    revision = f"plan {clean(sheet.revision)}" if clean(sheet.revision) else ""
    who = " · ".join(word for word in (clean(sheet.robot), clean(sheet.build), revision) if word)
    y = room.bottom - FOOTER_MM
    middle = (room.left + room.right) / 2
    right = Box(middle - 2, y, room.right, room.bottom)
    items: tuple[Item, ...] = (
        Line((room.left, y), (room.right, y), Stroke(INK, LINE_MM)),
        *label(who, Box(room.left, y, middle - 4, room.bottom), size_mm=SMALL_MM, baseline_mm=y + 5, narrow=True),
        *label(LAST_WORD, right, size_mm=SMALL_MM, anchor=Anchor.END, baseline_mm=y + 5, narrow=True),
    )
    return (Group(items, "footer"),)


def _finding(sheet: SagSheet, room: Box) -> Drawn:
    """Write what was found, smaller where it is long, and of how many matches."""
    size = _HEADLINE_MM
    lines, y = text_block(sheet.headline, room, face=Face.BOLD, size_mm=size)
    while len(lines) > _HEADLINE_LINES - 1 and size > _LEAST_HEADLINE_MM:
        size -= 0.2
        lines, y = text_block(sheet.headline, room, face=Face.BOLD, size_mm=size)
    if len(lines) > _HEADLINE_LINES:
        lines = lines[:_HEADLINE_LINES]
        y = room.top + _HEADLINE_LINES * size * 1.3
    y += 0.8 if lines else 0.0
    said, end = text_block(of_how_many(sheet), Box(room.left, y, room.right, room.bottom), size_mm=TICK_MM)
    return (*lines, *said), end


def of_how_many(sheet: SagSheet) -> str:
    """Say how many matches were played, and from which seed."""
    return f"{sheet.played} match{'' if sheet.played == 1 else 'es'} played, seed {sheet.seed}."
