"""The card of each kind of end, as a screen shows it: its words, and where its pictures are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.end_cards.picture import View

if TYPE_CHECKING:
    from loomwright.documents.end_cards.apart import ScreenPicture
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.jobs.bench import BenchView
    from loomwright.web.views.drawn import Drawn

_PX_PER_MM: Final = 8
#: The shape of each picture's frame.
_FRAMES: Final = {View.STRIPPED: "plain", View.GOOD: "good", View.FIRST: "bad", View.SECOND: "bad"}


def cards_of(view: BenchView, drawn: Drawn) -> list[dict[str, Any]]:
    """Return the cards of a plan, each with the addresses of its pictures."""
    return [_told(card, drawn.pictures(view, card.number), view.edition) for card in drawn.cards(view)]


def picture_of(view: BenchView, number: int, nth: int, drawn: Drawn) -> ScreenPicture | None:
    """Return one picture of a card, None where there is no card of that number or no such picture."""
    held = drawn.pictures(view, number)
    return held[nth - 1] if 0 < nth <= len(held) else None


def _told(card: EndCard, pictures: tuple[ScreenPicture, ...], edition: str) -> dict[str, Any]:
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
        "pictures": [
            {
                "frame": _FRAMES[one.view],
                "head": one.head,
                "caption": one.caption,
                "notes": one.notes,
                "source": f"/cards/{card.number}-{nth}.svg?plan={edition}",
                "alt": f"{card.title}: {one.head}",
                "width": round(one.scene.width_mm * _PX_PER_MM),
                "height": round(one.scene.height_mm * _PX_PER_MM),
            }
            for nth, one in enumerate(pictures, 1)
        ],
    }
