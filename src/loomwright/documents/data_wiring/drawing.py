"""The Data drawing: every chain in order, then network cables and signal leads, as one sheet or as pages.

It is the twin of the Spine: that one follows the power, this one the words.
"""

from __future__ import annotations

import math

from loomwright.documents.data_wiring import chain as data_drawing_chain
from loomwright.documents.data_wiring import leads as data_drawing_leads
from loomwright.documents.data_wiring.flow import Column, Run, fill, fill_all, gap
from loomwright.documents.data_wiring.head import footer, head, slim_head
from loomwright.documents.data_wiring.sheet import DataSheet
from loomwright.documents.look import NAME_MM, WHITE
from loomwright.documents.plate.blocks import text_block
from loomwright.documents.plate.page import Paper
from loomwright.documents.scene import Box, Rect, Scene
from loomwright.documents.type import clean

MARGIN_MM = 12.0

_SHEET_MM = 297.0
_LEAST_SHEET_MM = 210.0
_FOOTER_MM = 10.0
_ENDLESS_MM = 1e5
_GUTTER_MM = 5.0
_INSET_MM = 0.8  # what a thick edge needs beyond the room that it is drawn in
_TWO_COLUMNS_MM = 230.0
_BETWEEN_MM = 5.0
_NOTHING = "This plan has no data bus, no network cable and no signal lead."


def draw(sheet: DataSheet) -> Scene:
    """Draw everything on one sheet, 297 mm wide as A4 lies, and as tall as it has to be."""
    room = Box(MARGIN_MM, MARGIN_MM, _SHEET_MM - MARGIN_MM, _ENDLESS_MM)
    (page,) = _compose(sheet, room)
    height = math.ceil(max(page.end_mm + _FOOTER_MM + MARGIN_MM, _LEAST_SHEET_MM))
    foot = footer(sheet, Box(room.left, 0, room.right, height - MARGIN_MM + 2))
    ground = Rect(0, 0, _SHEET_MM, height, fill=WHITE)
    return Scene("data", _title(sheet), _description(sheet), _SHEET_MM, height, (ground, *page.items, *foot))


def pages(sheet: DataSheet, paper: Paper, *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw everything on as many pages as it takes; each scene is what margins of 12 mm leave of the paper.

    `foot_mm` is what a page's own foot takes of that [mm].
    """
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - foot_mm
    made = _compose(sheet, Box(_INSET_MM, _INSET_MM, width - _INSET_MM, height - _INSET_MM))
    return tuple(
        Scene(
            f"data-{i}",
            f"{_title(sheet)}, page {i} of {len(made)}",
            _description(sheet),
            width,
            height,
            (Rect(0, 0, width, height, fill=WHITE), *page.items),
        )
        for i, page in enumerate(made, 1)
    )


def _compose(sheet: DataSheet, room: Box) -> list[Column]:
    """Lay out all pages: chains over the full width, then leads in columns below them."""
    found = _pages(sheet, room, 1)
    return found if len(found) == 1 else _pages(sheet, room, len(found))


def _pages(sheet: DataSheet, room: Box, of: int) -> list[Column]:
    items, y = head(sheet, room)
    made = [Column(items, y)]

    def turn() -> float:
        drawn, top = slim_head(sheet, room, len(made) + 1, of)
        made.append(Column(drawn, top))
        return top

    chains: tuple[Run, ...] = tuple(_chain_runs(sheet, room.width))
    fresh = False
    while chains:
        column, chains = fill(chains, Box(room.left, y, room.right, room.bottom), fresh=fresh)
        made[-1] = Column((*made[-1].items, *column.items), column.end_mm)
        y, fresh = (turn(), True) if chains else (column.end_mm, False)
    leads: tuple[Run, ...] = tuple(_lead_runs(sheet, _column_mm(room)))
    if leads and sheet.chains:
        y += _BETWEEN_MM
    while leads:
        filled, leads = fill_all(leads, _columns(room, y), fresh=fresh)
        ends = max(column.end_mm for column in filled)
        made[-1] = Column((*made[-1].items, *(item for c in filled for item in c.items)), ends)
        y, fresh = (turn(), True) if leads else (ends, False)
    if not sheet.chains and not sheet.sections:
        words, end = text_block(_NOTHING, Box(room.left, y + 4, room.right, room.bottom), size_mm=NAME_MM)
        made[-1] = Column((*made[-1].items, *words), end)
    return made


def _chain_runs(sheet: DataSheet, width_mm: float) -> list[Run]:
    runs: list[Run] = []
    for chain in sheet.chains:
        runs += [gap(_BETWEEN_MM)] if runs else []
        runs += data_drawing_chain.runs_of(chain, width_mm)
    return runs


def _lead_runs(sheet: DataSheet, width_mm: float) -> list[Run]:
    runs: list[Run] = []
    for section in sheet.sections:
        runs += [gap(_BETWEEN_MM)] if runs else []
        runs += data_drawing_leads.runs_of(section, width_mm)
    return runs


def _column_mm(room: Box) -> float:
    return _columns(room, room.top)[0].width


def _columns(room: Box, top: float) -> list[Box]:
    """Return the columns for leads: two where they are wide enough to be read."""
    if room.width < _TWO_COLUMNS_MM:
        return [Box(room.left, top, room.right, room.bottom)]
    middle = (room.left + room.right) / 2
    return [
        Box(room.left, top, middle - _GUTTER_MM / 2, room.bottom),
        Box(middle + _GUTTER_MM / 2, top, room.right, room.bottom),
    ]


def _title(sheet: DataSheet) -> str:
    return f"Data of {clean(sheet.robot)}"


def _description(sheet: DataSheet) -> str:
    """Say in two sentences what a person who can't see the drawing would want to know first."""
    told = [f"{clean(chain.name)} with {len(chain.places)} devices" for chain in sheet.chains]
    leads = sum(len(hub.leads) for section in sheet.sections for hub in section.hubs)
    return f"Chains: {', '.join(told) or 'none'}. Beside them {leads} network, signal and jumper leads."
