"""The first pages of the packet: what is used from the first cut to the last look before the robot drives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.packet.building import wires_in_order
from loomwright.documents.packet.carding import end_cards
from loomwright.documents.packet.cover import cover
from loomwright.documents.packet.cutting import cut_list
from loomwright.documents.packet.drawings import drawings
from loomwright.documents.packet.inspecting import inspection_list
from loomwright.documents.packet.pulling import pull_record
from loomwright.documents.packet.resting import rests_on
from loomwright.documents.packet.starting import before_you_start
from loomwright.documents.packet.waking import waking_up

if TYPE_CHECKING:
    from loomwright.documents.packet.blocks import Chapter
    from loomwright.plan.result import Plan


def bench_pages(plan: Plan, paper: str, *, date: str, draft: bool) -> tuple[Chapter, ...]:
    """Return what stands on them, in the order in which it is used; `paper` is what the drawings call it."""
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
    )
