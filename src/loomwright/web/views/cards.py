"""The card of each kind of end, as a screen shows it: its words, and where its picture is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.documents.end_cards.deck import cards
from loomwright.documents.svg import write

if TYPE_CHECKING:
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.plan.result import Plan
    from loomwright.web.views.drawn import Drawn

_PX_PER_MM = 4


def cards_of(plan: Plan, drawn: Drawn) -> list[dict[str, Any]]:
    """Return the cards of a plan, each with the address of its picture."""
    return [_told(card, plan.revision) for card in drawn.of(plan, "cards", cards)]


def card_picture(plan: Plan, number: int, drawn: Drawn) -> bytes | None:
    """Return the picture of one card as SVG, None where there is no card of that number."""
    deck = drawn.of(plan, "cards", cards)
    return next((write(card.scene).encode() for card in deck if card.number == number), None)


def _told(card: EndCard, revision: str) -> dict[str, Any]:
    return {
        "number": card.number,
        "title": card.title,
        "gauge": card.gauge,
        "strip": card.strip,
        "tool": card.tool,
        "insulation": card.insulation,
        "good": card.good,
        "steps": card.steps,
        "cautions": card.cautions,
        "picture": f"/cards/{card.number}.svg?plan={revision[:12]}",
        "alt": f"Four pictures of {card.title}: stripped, good, and two mistakes",
        "width": round(card.scene.width_mm * _PX_PER_MM),
        "height": round(card.scene.height_mm * _PX_PER_MM),
    }
