"""The deck of cards, drawn once for a plan and shown many times."""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from loomwright.documents.end_cards.apart import screen_pictures
from loomwright.documents.end_cards.deck import cards

if TYPE_CHECKING:
    from loomwright.documents.end_cards.apart import ScreenPicture
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.jobs.bench import BenchView


@dataclass(slots=True)
class Drawn:
    """Keeps the cards and their pictures of one edition of the plan, and forgets them when another one comes."""

    edition: str = ""
    deck: tuple[EndCard, ...] = ()
    apart: dict[int, tuple[ScreenPicture, ...]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def cards(self, view: BenchView) -> tuple[EndCard, ...]:
        """Return the cards of the plan that is shown."""
        with self._lock:
            return self._fresh(view)

    def pictures(self, view: BenchView, number: int) -> tuple[ScreenPicture, ...]:
        """Return the pictures of one card, nothing where there is no card of that number."""
        with self._lock:
            self._fresh(view)
            return self.apart.get(number, ())

    def _fresh(self, view: BenchView) -> tuple[EndCard, ...]:
        if view.edition != self.edition:
            self.edition, self.deck = view.edition, cards(view.plan)
            self.apart = {card.number: screen_pictures(card) for card in self.deck}
        return self.deck
