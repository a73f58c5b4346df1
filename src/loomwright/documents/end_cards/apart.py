"""The pictures of a card as a screen shows them: each by itself, with its words as text beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.documents.end_cards.deck import words_of
from loomwright.documents.end_cards.picture import View
from loomwright.documents.end_cards.sheet import draw_apart
from loomwright.documents.end_cards.stripped import gauge_words

if TYPE_CHECKING:
    from loomwright.documents.end_cards.card import EndCard
    from loomwright.documents.scene import Scene


@dataclass(frozen=True, slots=True)
class ScreenPicture:
    """One picture: `head` says what it is, `caption` what is wrong on it, `notes` what its numbers point at."""

    view: View
    head: str
    caption: str
    notes: tuple[str, ...]
    scene: Scene


def screen_pictures(card: EndCard) -> tuple[ScreenPicture, ...]:
    """Return the four pictures of a card in the order in which they are read."""
    words = words_of(card.spec)
    captions = {View.STRIPPED: gauge_words(card.spec), **words.captions}
    return tuple(
        ScreenPicture(one.view, words.heads[one.view], captions.get(one.view, ""), one.notes, one.scene)
        for one in draw_apart(card.spec, words, name=f"card-{card.number}")
    )
