"""The Plate of a robot whose file tells no place: what to write so that it can be drawn."""

from __future__ import annotations

from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, INK, LINE_MM, NAME_MM, SMALL_MM, WHITE
from loomwright.documents.plate_foot import footer
from loomwright.documents.plate_info import caution, notes, separator, title
from loomwright.documents.plate_page import EDGE_MM, FOOTER_MM, PAPERS, flow
from loomwright.documents.plate_sheet import PlateSheet
from loomwright.documents.scene import Box, Item, Rect, Scene, Stroke
from loomwright.documents.type import Face, clean

WORDS = "No places are known yet, so there is nothing to draw to scale."
HOW = (
    "Wires are cut by the lengths in the file. With places they get their way along trunks, too. Write in robot.yaml:",
)
LINES = (
    "at: [120 mm, 340 mm]        in every device: right and forward from the left rear corner",
    "plate:",
    "  outline: [[0, 0], [640 mm, 0], [640 mm, 700 mm], [0, 700 mm]]",
    "  trunks: {centre: [[320 mm, 180 mm], [320 mm, 640 mm]]}",
)


def nowhere(sheet: PlateSheet) -> Scene:
    """Draw the page that says that no places are known, and how to tell them."""
    paper = PAPERS[0]
    bottom = paper.height_mm - EDGE_MM - FOOTER_MM
    middle = paper.width_mm / 2
    left = Box(EDGE_MM, EDGE_MM, middle - 4, bottom)
    right = Box(middle + 4, EDGE_MM + 2, paper.width_mm - EDGE_MM, bottom)
    blocks = [title(sheet, None, paper.name), caution(), separator, _how]
    items: list[Item] = [Rect(0, 0, paper.width_mm, paper.height_mm, fill=WHITE)]
    items += flow(blocks, [left, Box(left.left, bottom, left.right, bottom)]) or ()
    for note in notes(sheet, ()):
        drawn, end = note(right)
        if end > right.bottom - 6:
            items += label("and more", right, size_mm=SMALL_MM, baseline_mm=right.bottom)
            break
        items += drawn
        right = Box(right.left, end + 0.8, right.right, right.bottom)
    items += footer(sheet, paper.width_mm, paper.height_mm)
    return Scene("plate", f"Plate of {clean(sheet.robot)}", WORDS, paper.width_mm, paper.height_mm, tuple(items))


def _how(room: Box) -> tuple[tuple[Item, ...], float]:
    """Say what is missing, and give the lines to write."""
    items: list[Item] = []
    y = room.top
    items += label(
        WORDS,
        Box(room.left, y, room.right, y + 8),
        size_mm=NAME_MM,
        least_mm=BODY_MM,
        face=Face.BOLD,
        baseline_mm=y + 5,
    )
    y += 8
    items += label(HOW[0], Box(room.left, y, room.right, y + 8), size_mm=SMALL_MM, narrow=True, baseline_mm=y + 4)
    y += 7
    items.append(Rect(room.left, y, room.width, 6 + 5.4 * len(LINES), 1.0, Stroke(INK, LINE_MM), WHITE))
    for i, line in enumerate(LINES):
        box = Box(room.left + 4 + (4 if line.startswith(" ") else 0), y, room.right - 4, y + 8 + 5.4 * len(LINES))
        items += label(line, box, size_mm=BODY_MM, baseline_mm=y + 6.6 + 5.4 * i, narrow=True)
    return tuple(items), y + 6 + 5.4 * len(LINES)
