"""The packet's inspection list: each rule that somebody can look at, where, how it stands on paper, a box to tick."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Para, Rows, Section, Table
from loomwright.proof.inspection import Verdict, inspection

if TYPE_CHECKING:
    from loomwright.plan.result import Plan
    from loomwright.proof.inspection import Inspection, Item

_COLUMNS: Final = (
    Column("seen", 0, Look.TICK),
    Column("rule", 2.1, Look.STRONG),
    Column("what it says, and what to look at", 5.4),
    Column("where", 4.2),
    Column("on paper", 2),
    Column("by", 0.7, Look.WRITE),
)
_OFF: Final = (Column("rule", 2, Look.STRONG), Column("what it says", 4), Column("why it is off", 4))
#: More findings than these are counted: a row must fit on a page.
_FEW: Final = 3
#: Of so many places each is told; of more, the names, and beyond these they are counted.
_PLACES: Final = 3
_NAMES: Final = 30
_EYES: Final = (
    "On paper says what the plan promises; only eyes say what the robot is. Where a meter decides, use Wake-up."
)
_NOTHING: Final = "The rule book asks for nothing that somebody can look at."
_EVERYWHERE: Final = "all over the robot"


def inspection_list(plan: Plan) -> Chapter:
    """Return the list by the rule book in force: what is broken first, then the book's own order."""
    held = inspection(plan)
    broken = tuple(_row(item) for item in held.items if item.verdict is Verdict.BROKEN)
    others = tuple(_row(item) for item in held.items if item.verdict is not Verdict.BROKEN)
    blocks: list[Block] = [
        Para(_book(held)),
        Para(_EYES),
        Table(_COLUMNS, (Rows(broken, "To be fixed first"), Rows(others)), empty=_NOTHING, small=True),
    ]
    if held.off:
        off = tuple((rule.rule, rule.sentence, rule.reason) for rule in held.off)
        blocks += [Section("Switched off by this rule book"), Table(_OFF, (Rows(off),))]
    return Chapter("Inspection list", tuple(blocks), work=True)


def _book(held: Inspection) -> str:
    based = f", based on {held.based_on}" if held.based_on else ""
    return f"Rule book: {held.book}, edition {held.edition}{based}. Your season's own rule book comes first."


def _row(item: Item) -> tuple[str, ...]:
    return ("", item.rule, f"{item.sentence} – {item.look}", _where(item), _on_paper(item), "")


def _on_paper(item: Item) -> str:
    if item.verdict is Verdict.MET:
        return str(item.verdict)
    if item.verdict is Verdict.LOOK:
        return item.told
    found = [finding.what for finding in item.findings[:_FEW]]
    more = len(item.findings) - _FEW
    if more > 0:
        found.append(f"And {more} more: see the sheet findings of plan.xlsx.")
    return f"{item.verdict}: {' '.join(found) or item.told}"


def _where(item: Item) -> str:
    if item.everywhere or not item.places:
        return _EVERYWHERE
    told = [place.told for place in item.places[:_PLACES]]
    names = [place.device for place in item.places[_PLACES:]]
    if names:
        more = len(names) - _NAMES
        also = f"{', '.join(names[:_NAMES])}{f' and {more} more' if more > 0 else ''}"
        told.append(f"Also: {also}; see the Plate")
    return ". ".join(told).strip(". ") + "."
