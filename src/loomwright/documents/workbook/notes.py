"""What is said above a sheet's table: its note, and what this plan has to add to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.tables.how_good import how_good, how_good_line
from loomwright.proof.pulls import SAMPLE_CARE

if TYPE_CHECKING:
    from loomwright.documents.workbook.sheets import Sheet
    from loomwright.layout.result import Layout
    from loomwright.plan.result import Plan


def notes(sheet: Sheet, plan: Plan, *, empty: bool) -> tuple[str, ...]:
    """Give the note of a sheet, what this plan adds to it, and what is said where the sheet has no row."""
    more = {
        "circuits": _decisions,
        "bundles": _bundles,
        "to buy": _to_buy,
        "cut list": _cut_list,
        "sample pulls": _sample_pulls,
    }
    said = more[sheet.name](plan) if sheet.name in more else ()
    return (sheet.note, *said, *((_empty(sheet, plan),) if empty else ()))


def _decisions(plan: Plan) -> tuple[str, ...]:
    return (f"How good the decisions are: {how_good_line(plan)}.",)


def _bundles(plan: Plan) -> tuple[str, ...]:
    layout = plan.layout
    if layout is None or not layout.sections:
        return ()
    told = [f"Trunks: {dict(how_good(plan))['trunks']}."]
    if layout.crossings:
        told.append(f"Wires cross in the bundles {_times(layout.crossings)}, {_forced(layout)}.")
    if any(section.proposed for section in layout.sections):
        told.append(
            "A proposed trunk is the tool's own idea: look at it on the robot; "
            "out/plan.json has its lines for the robot file under trunks, lines."
        )
    return (" ".join(told),)


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def _forced(layout: Layout) -> str:
    return f"{'' if layout.crossings == layout.forced else f'{layout.forced} of '}which no order could avoid"


def _to_buy(plan: Plan) -> tuple[str, ...]:
    costs = [buy.cost for buy in plan.cut.buys] if plan.cut else []
    known = [cost for cost in costs if cost is not None]
    if len(costs) > 1 and len(known) == len(costs):
        return (f"The offers here cost {sum(known):.2f} together.",)
    return ()


def _sample_pulls(_plan: Plan) -> tuple[str, ...]:
    """Give the care of the packet's pull record, so that both say alike when a sample has held."""
    return (" ".join(SAMPLE_CARE),)


def _cut_list(plan: Plan) -> tuple[str, ...]:
    return (f"Cut list: {dict(how_good(plan))['cut list']}.",) if plan.cut else ()


def _empty(sheet: Sheet, plan: Plan) -> str:
    """Say why a sheet has no row; without a stock file nobody knows what has to be bought."""
    if sheet.name == "to buy" and not plan.robot.stock.source:
        return "What is on hand isn't known: write it in stock.yaml, and this sheet says what to buy."
    return sheet.empty
