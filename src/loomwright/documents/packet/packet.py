"""The whole packet of a plan as a PDF: two halves that do not know each other, and what binds them."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Final

from loomwright.documents.every_sheet import STOP
from loomwright.documents.foot import in_the_foot
from loomwright.documents.packet.setting import Frame, bound, code_of
from loomwright.documents.typst.compile import pdf
from loomwright.rulebook import cautions

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.documents.packet.blocks import Part
    from loomwright.documents.packet.setting import Code
    from loomwright.plan.result import Plan

#: What a paper is called, by typst and by the drawings.
PAPERS: Final = {"a4": ("a4", "A4"), "letter": ("us-letter", "Letter")}


class Half(StrEnum):
    """A half of the packet, in the order of the pages: about as much work as the other."""

    BENCH = "bench"
    PIT = "pit"


def packet_pdf(plan: Plan, *, paper: str = "a4", date: str = "", draft: bool = False) -> bytes:
    """Return the packet on a paper of `PAPERS`; `date` is printed as it is.

    A `draft` is a packet of what no plan.yaml holds; every page says so.
    """
    halves = [half_of(plan, half, paper=paper, date=date, draft=draft) for half in Half]
    return bound_pdf(plan, halves, paper=paper, draft=draft)


def half_of(plan: Plan, half: Half, *, paper: str, date: str, draft: bool) -> Code:
    """Return the code of one half; `bound_pdf` makes pages of both."""
    parts = parts_of(plan, half, PAPERS[paper][1], date=date, draft=draft)
    return code_of(parts, _frame(plan, paper, draft=draft), drawings=half)


def bound_pdf(plan: Plan, halves: Sequence[Code], *, paper: str, draft: bool) -> bytes:
    """Return the packet of halves that are written already."""
    return pdf(bound(halves, _frame(plan, paper, draft=draft)))


def parts_of(plan: Plan, half: Half, paper: str, *, date: str, draft: bool) -> Sequence[Part]:
    """Return what stands on the pages of one half, in the order in which it is used."""
    if half is Half.BENCH:
        from loomwright.documents.packet.bench_pages import bench_pages  # noqa: PLC0415  where this half is made

        return bench_pages(plan, paper, date=date, draft=draft)
    from loomwright.documents.packet.pit_pages import pit_pages  # noqa: PLC0415  where this half is made

    return pit_pages(plan)


def _frame(plan: Plan, paper: str, *, draft: bool) -> Frame:
    build = f", {plan.robot.build}" if plan.robot.build else ""
    first = next(iter(cautions(plan.rules)), "")
    return Frame(
        paper=PAPERS[paper][0],
        title=f"Wiring packet of {plan.robot.name}{build}",
        left=f"{in_the_foot(plan.robot.name, build)} · plan {plan.revision}{' · draft' if draft else ''}",
        middle=STOP,
        caution=first,
    )
