"""Cards that show how each kind of end is made: a drawing to scale, good and bad, with steps and cautions."""

from loomwright.documents.end_cards.card import NOTE, EndCard, Mistake, Pull, Used
from loomwright.documents.end_cards.deck import cards

__all__ = ["NOTE", "EndCard", "Mistake", "Pull", "Used", "cards"]
