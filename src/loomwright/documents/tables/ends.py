"""The rows of ends and of cards: a card tells how one kind of end is made, each end names its card."""

from __future__ import annotations

from typing import Final

from loomwright.documents.tables.cells import NOT_APPLICABLE, Cell, text
from loomwright.documents.tables.wiring import treated, wire_rows
from loomwright.plan.result import Plan
from loomwright.proof.ends import all_ends, cards

_TOLD: Final = ("terminal", "strip_mm", "tool", "insulation", "good", "pull_standard", "pull_n", "pull_lbf")


def end_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every end that somebody makes or plugs in, wire by wire; a part's own ends are left out."""
    made = {end.name: end for end in all_ends(plan)}
    rows: list[dict[str, Cell]] = []
    for wire in wire_rows(plan):
        for letter, end in (("A", wire.a), ("B", wire.b)):
            found = made.get((wire.wire, letter))
            if found is not None:
                rows.append(
                    {
                        "wire": wire.wire,
                        "end": letter,
                        "gauge": wire.gauge,
                        "colour": wire.colour,
                        "where": end.where,
                        "terminal": end.terminal,
                        "strip_mm": end.strip_mm,
                        "tool": end.tool,
                        "hand_pull": end.hand_pull,
                        "card": NOT_APPLICABLE if found.card is None else float(found.card),
                    }
                )
    return tuple(rows)


def card_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every kind of end once, numbered in the order of terminal and gauge."""
    return tuple(
        {
            "card": float(card.number),
            "ends": float(card.ends),
            "gauge": text(str(card.gauge or ""), applies=False),
            **{key: cell for key, cell in treated(card.treatment).items() if key in _TOLD},
        }
        for card in cards(plan)
    )
