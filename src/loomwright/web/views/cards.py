"""The card of each kind of end, as a screen shows it: its words, and where its picture is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.jobs.bench import BenchView
    from loomwright.web.views.drawn import Drawn

_PX_PER_MM = 4


def cards_of(view: BenchView, drawn: Drawn) -> list[dict[str, Any]]:
    """Return the cards of a plan, each with the address of its picture."""
    return [_told(card, view.edition) for card in drawn.cards(view)]


def card_of(view: BenchView, number: int, drawn: Drawn) -> EndCard | None:
    """Return one card, None where there is no card of that number."""
    return next((card for card in drawn.cards(view) if card.number == number), None)


def _told(card: EndCard, edition: str) -> dict[str, Any]:
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
        "picture": f"/cards/{card.number}.svg?plan={edition}",
        "alt": f"Four pictures of {card.title}: stripped, good, and two mistakes",
        "width": round(card.scene.width_mm * _PX_PER_MM),
        "height": round(card.scene.height_mm * _PX_PER_MM),
    }
