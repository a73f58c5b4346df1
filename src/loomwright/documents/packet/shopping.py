"""The packet's shopping list and pit kit: wire by the spool, the rest by the bag, spares with the reason for each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Notice, Para, Rows, Section, Table
from loomwright.documents.packet.cutting import buy_table, need_table
from loomwright.proof.bags import bag_list
from loomwright.proof.pit_kit import pit_kit
from loomwright.proof.wire_beside import wire_beside

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.hunting.robot.weak_points import WeakPoint
    from loomwright.plan.result import Plan
    from loomwright.proof.bags import BagLine
    from loomwright.proof.pit_kit import Carried
    from loomwright.proof.wire_beside import WireBeside

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
    Column("with it", 2.4),
)
_SPARES: Final = (
    Column("packed", 0, Look.TICK),
    Column("what", 3, Look.STRONG),
    Column("how many", 0, Look.NUMBER),
    Column("", 0),
    Column("on the robot", 0, Look.NUMBER),
    Column("saves [s]", 0, Look.NUMBER),
    Column("why it is worth carrying", 4),
)
_WIRE: Final = (
    Column("gauge", 0, Look.STRONG),
    Column("samples, m", 0, Look.NUMBER),
    Column("pit kit, m", 0, Look.NUMBER),
    Column("the kit's colours", 3),
    Column("together, m", 0, Look.NUMBER),
    Column("left on the cut list's spools, m", 0, Look.NUMBER),
)
_BESIDE: Final = (
    "The tables above are the robot's own wire alone. Where less is left than stands here, buy this too. "
    "A sample may be of any colour."
)
_SAME: Final = "as above"
#: Less than this is nothing beside the rest [s].
_LEAST_S: Final = 0.05
_SAVES: Final = (
    "What goes wrong most comes first: saves is how many seconds of the whole robot 100 matches are expected to lose "
    "where this spare would be needed."
)
_NOTHING_LARGER: Final = (
    "Spare fuses and breakers have the rating of the plan. Never put in a larger one to get through a match."
)


def shopping(plan: Plan, points: Sequence[WeakPoint]) -> Chapter:
    """Return what to buy and what to take along, weighed by the robot's weak points."""
    bags = bag_list(plan)
    blocks: list[Block] = [
        Section("Wire to buy"),
        buy_table(plan),
        Section("Wire needed"),
        need_table(plan),
        *_beside(plan),
        Section("By the bag, the stick or the piece"),
        Para("Needed is for the robot, its samples and the pit kit. Take what you have off the list first."),
        Table(_BAGS, (Rows(tuple(map(_bag, bags.lines))),), empty="Nothing is needed.", small=True),
    ]
    if bags.ends_not_counted:
        many = "1 end is" if bags.ends_not_counted == 1 else f"{bags.ends_not_counted} ends are"
        blocks.append(Para(f"{many} not counted here: nobody knows the terminal yet.", strong=True))
    blocks += [
        Section("Pit kit"),
        *([Para(_SAVES)] if points else []),
        Table(
            _SPARES,
            (Rows(tuple(_spares(pit_kit(plan, points)))),),
            empty="Nothing is known to be worth carrying.",
            small=True,
        ),
        Notice(_NOTHING_LARGER),
    ]
    return Chapter("Shopping and spares", tuple(blocks))


def _beside(plan: Plan) -> tuple[Block, ...]:
    """Tell the wire that samples and pit kit take, which the tables above leave out."""
    rows = tuple(map(_wire, wire_beside(plan)))
    return (Section("Wire for samples and pit kit"), Para(_BESIDE), Table(_WIRE, (Rows(rows),))) if rows else ()


def _wire(one: WireBeside) -> tuple[str, ...]:
    left = "not counted" if one.left_m is None else f"{one.left_m:g}"
    each = ", ".join(one.colours) or "-"
    return (str(one.gauge), f"{one.samples_m:g}", f"{one.kit_m:g}", each, f"{one.needed_m:g}", left)


def _bag(line: BagLine) -> tuple[str, ...]:
    return (
        "",
        line.what,
        line.gauges or "-",
        *(f"{count:g}" for count in (line.built, line.samples, line.spare, line.needed)),
        line.unit,
        f"{line.bags} of {line.bag:g}" if line.bag != 1 else f"{line.bags}",
        line.also or "-",
    )


def _spares(held: Iterable[Carried]) -> Iterator[tuple[str, ...]]:
    """Give the rows; a reason that holds for the next row too is told once."""
    before = ""
    for one in held:
        yield _spare(one, _SAME if one.why == before else one.why)
        before = one.why


def _spare(one: Carried, why: str) -> tuple[str, ...]:
    spare = one.spare
    used = "-" if spare.in_plan is None else f"{spare.in_plan:g}"
    saves = f"{one.lost_s:.1f}" if one.lost_s >= _LEAST_S else "-"
    return ("", spare.what, f"{spare.count:g}", spare.unit, used, saves, why)
