"""The Sag to print: its pages as a PDF."""

from __future__ import annotations

from typing import Final

from loomwright.documents.every_sheet import LAST_WORD
from loomwright.documents.foot import in_the_foot
from loomwright.documents.print_room import MARGIN_MM, lying_mm
from loomwright.documents.sag.print import sag_scenes
from loomwright.documents.sag.sheet import SagSheet
from loomwright.documents.scene import Scene
from loomwright.documents.typst.code import mm, printable, string
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code

_FOOT_MM: Final = 6.0


def sag_pdf(sheet: SagSheet, paper: str = "A4") -> bytes:
    """Return the PDF on "A4" or "Letter", a match a page; raise KeyError for another paper."""
    scenes = sag_scenes(sheet, paper, foot_mm=_FOOT_MM)
    return pdf(
        {"main.typ": document(f"{printable(sheet.robot)}: Sag") + _pages(sheet, paper) + "".join(map(_page, scenes))}
    )


def _pages(sheet: SagSheet, paper: str) -> str:
    """Return how every page looks: its size, and the foot with robot, build, plan revision and which source wins."""
    wide, tall = lying_mm(paper)
    who = f"{in_the_foot(sheet.robot, f', {sheet.build}' if sheet.build else '')} · plan {sheet.revision}"
    margin = f"(x:{mm(MARGIN_MM)},top:{mm(MARGIN_MM)},bottom:{mm(MARGIN_MM + _FOOT_MM - 1)})"
    foot = f"text(size:8pt,grid(columns:(1fr,auto),column-gutter:6mm,{string(who)},{string(LAST_WORD)}))"
    return f"#set page(width:{mm(wide)},height:{mm(tall)},margin:{margin},footer-descent:4mm,footer:{foot})\n"


def _page(scene: Scene) -> str:
    return f"#page[#figure(alt:{string(scene.description)})[\n{scene_code(scene)}]]\n"
