"""The deck of cards, drawn once for a plan and shown many times."""

from __future__ import annotations

from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from loomwright.documents.end_cards.deck import cards

if TYPE_CHECKING:
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.jobs.bench import BenchView


@dataclass(slots=True)
class Drawn:
    """Keeps the cards of one edition of the plan, and forgets them when another one comes."""

    edition: str = ""
    deck: tuple[EndCard, ...] = ()
    _lock: Lock = field(default_factory=Lock)

    def cards(self, view: BenchView) -> tuple[EndCard, ...]:
        """Return the cards of the plan that is shown."""
        with self._lock:
            if view.edition != self.edition:
                self.edition, self.deck = view.edition, cards(view.plan)
            return self.deck
