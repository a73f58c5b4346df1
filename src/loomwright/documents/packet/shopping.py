"""The packet's shopping list and pit kit: wire by the spool, the rest by the bag, spares with the reason for each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Notice, Para, Rows, Section, Table
from loomwright.documents.packet.cutting import buy_table, need_table
from loomwright.proof.bags import bag_list
from loomwright.proof.spares import spares

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.plan.result import Plan
    from loomwright.proof.bags import BagLine
    from loomwright.proof.spares import Spare

_BAGS: Final = (
    Column("got", 0, Look.TICK),
    Column("what", 3, Look.STRONG),
    Column("for", 1.4),
    Column("robot", 0, Look.NUMBER),
    Column("samples", 0, Look.NUMBER),
    Column("spare", 0, Look.NUMBER),
    Column("needed", 0, Look.NUMBER),
    Column("in", 0),
    Column("bags", 0, Look.NUMBER),
    Column("also", 2.4),
)
_SPARES: Final = (
    Column("packed", 0, Look.TICK),
    Column("what", 3, Look.STRONG),
    Column("how many", 0, Look.NUMBER),
    Column("", 0),
    Column("on the robot", 0, Look.NUMBER),
    Column("why it is worth carrying", 4),
)
_SAME: Final = "as above"
_NOTHING_LARGER: Final = (
    "Spare fuses and breakers have the rating of the plan. Never put in a larger one to get through a match."
)


def shopping(plan: Plan) -> Chapter:
    """Return what to buy and what to take along."""
    bags = bag_list(plan)
    blocks: list[Block] = [
        Section("Wire to buy"),
        buy_table(plan),
        Section("Wire needed"),
        need_table(plan),
        Section("By the bag or the stick"),
        Para("Needed is for the robot, its samples and the pit kit. Take what you have off the list first."),
        Table(_BAGS, (Rows(tuple(map(_bag, bags.lines))),), empty="Nothing is needed.", small=True),
    ]
    if bags.ends_not_counted:
        many = "1 end is" if bags.ends_not_counted == 1 else f"{bags.ends_not_counted} ends are"
        blocks.append(Para(f"{many} not counted here: nobody knows the terminal yet.", strong=True))
    blocks += [
        Section("Pit kit"),
        Table(
            _SPARES, (Rows(tuple(_spares(spares(plan)))),), empty="Nothing is known to be worth carrying.", small=True
        ),
        Notice(_NOTHING_LARGER),
    ]
    return Chapter("Shopping and spares", tuple(blocks))


def _bag(line: BagLine) -> tuple[str, ...]:
    return (
        "",
        line.what,
        line.gauges or "-",
        *(f"{count:g}" for count in (line.built, line.samples, line.spare, line.needed)),
        line.unit,
        f"{line.bags} of {line.bag:g}",
        line.also or "-",
    )


def _spares(held: Iterable[Spare]) -> Iterator[tuple[str, ...]]:
    """Give the rows; a reason that holds for the next row too is told once."""
    before = ""
    for spare in held:
        yield _spare(spare, _SAME if spare.reason == before else spare.reason)
        before = spare.reason


def _spare(spare: Spare, reason: str) -> tuple[str, ...]:
    used = "-" if spare.in_plan is None else f"{spare.in_plan:g}"
    return ("", spare.what, f"{spare.count:g}", spare.unit, used, reason)
