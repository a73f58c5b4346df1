"""The whole packet of a plan, chapter by chapter, as a PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.every_sheet import STOP
from loomwright.documents.foot import in_the_foot
from loomwright.documents.packet.building import wires_in_order
from loomwright.documents.packet.carding import end_cards
from loomwright.documents.packet.cover import cover, rests_on
from loomwright.documents.packet.cutting import cut_list
from loomwright.documents.packet.drawings import drawings
from loomwright.documents.packet.failing import weak_points_of_robot
from loomwright.documents.packet.hunting import hunt_sides
from loomwright.documents.packet.inspecting import inspection_list
from loomwright.documents.packet.pit import pit_sides
from loomwright.documents.packet.pulling import pull_record
from loomwright.documents.packet.setting import Frame, sources_of
from loomwright.documents.packet.shopping import shopping
from loomwright.documents.packet.starting import before_you_start
from loomwright.documents.packet.waking import waking_up
from loomwright.documents.typst.compile import pdf
from loomwright.hunting.robot.robot_hunt import NoBatteryError, robot_hunt
from loomwright.hunting.robot.weak_points import weak_points_of
from loomwright.rulebook import cautions

if TYPE_CHECKING:
    from loomwright.documents.packet.blocks import Chapter, Side
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.plan.result import Plan

#: What a paper is called, by typst and by the drawings.
PAPERS: Final = {"a4": ("a4", "A4"), "letter": ("us-letter", "Letter")}


def packet_pdf(plan: Plan, *, paper: str = "a4", date: str = "", draft: bool = False) -> bytes:
    """Return the packet on a paper of `PAPERS`; `date` is printed as it is.

    A `draft` is a packet of what no plan.yaml holds; every page says so.
    """
    return pdf(sources_of(parts_of(plan, PAPERS[paper][1], date=date, draft=draft), _frame(plan, paper, draft=draft)))


def parts_of(plan: Plan, paper: str, *, date: str, draft: bool) -> tuple[Chapter | Side, ...]:
    """Return what stands on the pages, in the order in which it is used."""
    hunt = _hunt(plan)
    points = weak_points_of(hunt) if hunt is not None else ()
    return (
        cover(plan, date=date, draft=draft),
        before_you_start(plan),
        rests_on(plan),
        *drawings(plan, paper),
        wires_in_order(plan),
        cut_list(plan),
        end_cards(plan),
        pull_record(plan),
        *waking_up(plan),
        inspection_list(plan),
        weak_points_of_robot(plan, points),
        *pit_sides(plan),
        *hunt_sides(hunt),
        shopping(plan, points),
    )


def _hunt(plan: Plan) -> RobotHunt | None:
    """Return the hunt on a plan's robot; None where its battery's part says too little."""
    try:
        return robot_hunt(plan)
    except NoBatteryError:
        return None


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
