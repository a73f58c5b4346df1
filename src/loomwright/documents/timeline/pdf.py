"""The timeline to print: its pages as a PDF."""

from __future__ import annotations

from loomwright.documents.every_sheet import LAST_WORD
from loomwright.documents.print_room import MARGIN_MM, lying_mm
from loomwright.documents.scene import Scene
from loomwright.documents.timeline.print import timeline_scenes
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.documents.type import Face, shorten
from loomwright.documents.typst.code import mm, printable, string
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code

#: The foot of a page, the size of its type (8 pt), and what robot and day may take of it [mm].
_FOOT_MM, _TYPE_MM, _WHO_MM = 6.0, 2.82, 120.0


def timeline_pdf(sheet: TimelineSheet, paper: str = "A4") -> bytes:
    """Return the PDF on "A4" or "Letter", pages that lie; raise KeyError for another paper."""
    scenes = timeline_scenes(sheet, paper, foot_mm=_FOOT_MM)
    head = document(f"{printable(sheet.robot)}: battery day")
    return pdf({"main.typ": head + _pages(sheet, paper) + "".join(map(_page, scenes))})


def _pages(sheet: TimelineSheet, paper: str) -> str:
    """Return how every page looks: its size, and the foot with robot, day and which source wins."""
    wide, tall = lying_mm(paper)
    said = " · ".join(word for word in (printable(sheet.robot), printable(sheet.of)) if word)
    who = shorten(said, Face.TEXT, _TYPE_MM, _WHO_MM)
    margin = f"(x:{mm(MARGIN_MM)},top:{mm(MARGIN_MM)},bottom:{mm(MARGIN_MM + _FOOT_MM - 1)})"
    foot = f"text(size:8pt,grid(columns:(1fr,auto),column-gutter:6mm,{string(who)},{string(LAST_WORD)}))"
    return f"#set page(width:{mm(wide)},height:{mm(tall)},margin:{margin},footer-descent:4mm,footer:{foot})\n"


def _page(scene: Scene) -> str:
    return f"#page[#figure(alt:{string(scene.description)})[\n{scene_code(scene)}]]\n"
