"""The rows of ends and of cards: a card tells how one kind of end is made, each end names its card."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final, TypeAlias

from loomwright.documents.cells import NOT_APPLICABLE, UNKNOWN, Cell, as_words
from loomwright.documents.tables import EndRow, WireRow, wire_rows
from loomwright.plan.result import Plan
from loomwright.wording import natural

_End: TypeAlias = tuple[WireRow, str, EndRow]
_Card: TypeAlias = tuple[Cell, ...]

#: What makes two ends of one gauge the same to the hands.
_SAME: Final = (
    "terminal",
    "strip_mm",
    "tool",
    "insulation",
    "good",
    "pull_standard",
    "pull_n",
    "pull_lbf",
)


def end_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every end that somebody makes, wire by wire; a part's own ends are left out."""
    ends = tuple(_ends(plan))
    numbers = {card: float(n) for n, card in enumerate(_in_order(ends), 1)}
    return tuple(
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
            "card": numbers.get(_card(wire, end), NOT_APPLICABLE),
        }
        for wire, letter, end in ends
    )


def card_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every kind of end once, numbered in the order of terminal and gauge."""
    ends = tuple(_ends(plan))
    many = Counter(_card(wire, end) for wire, _, end in ends)
    return tuple(
        {"card": float(n), "ends": float(many[card]), "gauge": card[0], **dict(zip(_SAME, card[1:], strict=True))}
        for n, card in enumerate(_in_order(ends), 1)
    )


def _ends(plan: Plan) -> Iterator[_End]:
    for wire in wire_rows(plan):
        for letter, end in (("A", wire.a), ("B", wire.b)):
            if end.terminal != NOT_APPLICABLE:
                yield wire, letter, end


def _in_order(ends: tuple[_End, ...]) -> list[_Card]:
    """Sort the kinds of ends by terminal and gauge; an end that waits for an answer is of no kind yet."""
    cards = {_card(wire, end) for wire, _, end in ends if end.terminal != UNKNOWN}
    return sorted(cards, key=lambda card: (card[1], natural(str(card[0])), [as_words(cell) for cell in card]))


def _card(wire: WireRow, end: EndRow) -> _Card:
    return (wire.gauge, *(getattr(end, key) for key in _SAME))
