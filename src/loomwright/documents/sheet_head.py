"""What stands at the head of every drawing: the robot's name, and the caution between two ends of hazard stripes."""

from __future__ import annotations

from typing import Final

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, HI_VIS, INK, NAME_MM, RULE_MM, TITLE_MM, WHITE
from loomwright.documents.scene import Anchor, Box, Hatch, Item, Rect, Stroke
from loomwright.documents.type import Face, clean, width_mm

#: What the words keep from the stripes.
_CLEAR_MM: Final = 3.0


def title(robot: str, build: str, what: str, box: Box) -> tuple[Item, ...]:
    """Write the robot's name, and under it what the drawing is and of which build."""
    under = " · ".join(word for word in (what, clean(build)) if word)
    return (
        *label(
            robot or "robot?",
            Box(box.left, box.top - 0.05, box.right, box.top + 14),
            size_mm=TITLE_MM,
            least_mm=TITLE_MM * 0.6,
            face=Face.BOLD,
            baseline_mm=box.top + 10.5,
        ),
        *label(under, box, size_mm=NAME_MM, least_mm=BODY_MM, baseline_mm=box.top + 17.6),
    )


def caution_band(box: Box, *, end_mm: float, size_mm: float = 5.2) -> tuple[Item, ...]:
    """Draw the caution between two ends of stripes this wide, its words on white, as large as they fit whole."""
    stripes = Hatch(4.0, 2.0, 45.0, INK, HI_VIS)
    room = Box(box.left + end_mm + _CLEAR_MM, box.top, box.right - end_mm - _CLEAR_MM, box.bottom)
    size = min(size_mm, size_mm * room.width / (width_mm(CAUTION, Face.BOLD, size_mm) + 0.1))
    return (
        Rect(box.left, box.top, box.width, box.height, 0, Stroke(INK, RULE_MM), WHITE),
        Rect(box.left, box.top, end_mm, box.height, 0, Stroke(INK, RULE_MM), stripes),
        Rect(box.right - end_mm, box.top, end_mm, box.height, 0, Stroke(INK, RULE_MM), stripes),
        *label(CAUTION, room, size_mm=size, face=Face.BOLD, anchor=Anchor.MIDDLE),
    )
