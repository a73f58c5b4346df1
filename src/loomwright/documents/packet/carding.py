"""The packet's cards: one for every kind of end in the plan, with its drawing, its steps, and where it is used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.end_cards.deck import cards
from loomwright.documents.packet.blocks import Card, Chapter, Para
from loomwright.documents.tables.cells import NOT_APPLICABLE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.end_cards.card import EndCard
    from loomwright.plan.result import Plan

_FIRST: Final = (
    "Make a sample of each kind first, look at it beside its card, and pull it to its end: see the pull record. "
    "Only then work on the robot. The drawings are to scale; colours don't matter, shapes do."
)
_NONE: Final = "Nobody makes an end of which the kind is known."


def end_cards(plan: Plan) -> Chapter:
    """Return a card for every kind of end, numbered as in the tables of wires."""
    made = cards(plan)
    return Chapter("Cards", (Para(_FIRST if made else _NONE), *map(_card, made)), work=bool(made))


def _card(card: EndCard) -> Card:
    gauge = f", {card.gauge}" if card.gauge != NOT_APPLICABLE else ""
    return Card(
        title=f"Card {card.number}: {card.title}{gauge}",
        scene=card.scene,
        texts=tuple(_texts(card)),
        steps=card.steps,
        note=" ".join(card.cautions),
        used=", ".join(f"{used.wire} {used.end}" for used in card.used),
    )


def _texts(card: EndCard) -> Iterator[tuple[str, str]]:
    yield "strip", card.strip
    yield "tool", card.tool
    yield "covered by", card.insulation
    yield "good", card.good
    for mistake in card.mistakes:
        yield mistake.name, mistake.words
    if card.pull is not None:
        yield "pull", card.pull.words
