"""The Plate of a robot whose file tells no place: what to write so that it can be drawn."""

from __future__ import annotations

from loomwright.documents.label import label, paragraph
from loomwright.documents.look import BODY_MM, CORNER_MM, INK, LINE_MM, NAME_MM, SMALL_MM, WHITE
from loomwright.documents.plate.blocks import Drawn, separator
from loomwright.documents.plate.foot import footer
from loomwright.documents.plate.info import caution, not_shown, title
from loomwright.documents.plate.page import EDGE_MM, FOOTER_MM, PAPERS, Paper, flow
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.scene import Box, Item, Rect, Scene, Stroke
from loomwright.documents.type import Face, clean

WORDS = "No places are known yet, so there is nothing to draw to scale."
HOW = "Write for each device where it sits, and for the plate its outline. Then wires get their way along trunks, too."
LINES = (
    "at: [120 mm, 340 mm]",
    "plate:",
    "  outline: [[0, 0], [640 mm, 0], [640 mm, 700 mm], [0, 700 mm]]",
    "  trunks: {centre: [[320 mm, 180 mm], [320 mm, 640 mm]]}",
)
UNDER = "Places are right and forward from the left rear corner of the plate."


def nowhere(sheet: PlateSheet) -> Scene:
    """Draw the page that says that no places are known, and how to tell them."""
    paper = PAPERS[0]
    items, end = nowhere_items(sheet, paper)
    page_mm = max(paper.height_mm, end + EDGE_MM + FOOTER_MM)
    ground = Rect(0, 0, paper.width_mm, page_mm, fill=WHITE)
    shown = (ground, *items, *footer(sheet, paper.width_mm, page_mm))
    return Scene("plate", f"Plate of {clean(sheet.robot)}", WORDS, paper.width_mm, page_mm, shown)


def nowhere_items(sheet: PlateSheet, paper: Paper) -> tuple[tuple[Item, ...], float]:
    """Draw in two columns what is missing and how to tell it; return it with the height where it ends [mm]."""
    middle = paper.width_mm / 2
    left = Box(EDGE_MM, EDGE_MM, middle - 4, paper.height_mm - EDGE_MM - FOOTER_MM)
    right = Box(middle + 4, EDGE_MM + 5, paper.width_mm - EDGE_MM, left.bottom)
    items = flow([title(sheet, None, ""), separator, caution(), separator, separator, _how], [left]) or ()
    drawn, end = not_shown(sheet)(right) if sheet.missing else ((), 0.0)
    return (*items, *drawn), end


def _how(room: Box) -> Drawn:
    """Say what is missing, and give the lines to write."""
    y, tall = room.top, 6 + 5.6 * len(LINES)
    first = Box(room.left, y, room.right, y + 8)
    items: list[Item] = list(label(WORDS, first, size_mm=NAME_MM, least_mm=BODY_MM, face=Face.BOLD, baseline_mm=y + 4))
    items += paragraph(HOW, Box(room.left, y + 8, room.right, y + 18), size_mm=SMALL_MM)
    y += 18
    items.append(Rect(room.left, y, room.width, tall, CORNER_MM, Stroke(INK, LINE_MM), WHITE))
    for i, line in enumerate(LINES):
        indent = 4.0 if line.startswith(" ") else 0.0
        box = Box(room.left + 4 + indent, y, room.right - 4, y + tall)
        items += label(line, box, size_mm=BODY_MM, baseline_mm=y + 7 + 5.6 * i, narrow=True)
    y += tall
    items += paragraph(UNDER, Box(room.left, y + 3, room.right, y + 12), size_mm=SMALL_MM)
    return tuple(items), y + 8
