"""The footer of the Plate: which robot, build and plan, and which source wins."""

from __future__ import annotations

from loomwright.documents.every_sheet import LAST_WORD
from loomwright.documents.label import label
from loomwright.documents.look import INK, LINE_MM, SMALL_MM
from loomwright.documents.plate.page import EDGE_MM, FOOTER_MM
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Stroke
from loomwright.documents.type import Face, clean
from loomwright.documents.type import width_mm as measure_mm


def footer(sheet: PlateSheet, width_mm: float, height_mm: float) -> tuple[Item, ...]:
    """Write the footer of a page of this size."""
    revision = f"plan {clean(sheet.revision)}" if clean(sheet.revision) else ""
    who = " · ".join(word for word in (clean(sheet.robot), clean(sheet.build), revision) if word)
    y, right = height_mm - EDGE_MM - FOOTER_MM + 3, width_mm - EDGE_MM
    last = measure_mm(LAST_WORD, Face.TEXT, SMALL_MM) + 0.5
    share = max(right - last, EDGE_MM + (right - EDGE_MM) * 0.3)
    items: tuple[Item, ...] = (
        Line((EDGE_MM, y), (right, y), Stroke(INK, LINE_MM)),
        *label(who, Box(EDGE_MM, y, share - 3, y + 8), size_mm=SMALL_MM, baseline_mm=y + 5, narrow=True),
        *label(
            LAST_WORD,
            Box(share, y, right, y + 8),
            size_mm=SMALL_MM,
            anchor=Anchor.END,
            baseline_mm=y + 5,
            narrow=True,
        ),
    )
    return (Group(items, "footer"),)
