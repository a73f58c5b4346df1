"""The pictures of a card for a screen: large enough to read on a phone, and nothing on them claims a size."""

from __future__ import annotations

import pytest

from loomwright.documents.end_cards.apart import screen_pictures
from loomwright.documents.end_cards.deck import cards, words_of
from loomwright.documents.end_cards.drawers import drawer_of
from loomwright.documents.end_cards.picture import Reach, View
from loomwright.documents.end_cards.sheet import draw_apart
from loomwright.documents.end_cards.stripped import gauge_words
from loomwright.documents.legibility import faults
from loomwright.documents.scene import Text, marks
from tests.documents.end_cards.measures import all_specs
from tests.robots import example_plan

SPECS = dict(all_specs())
#: How wide a picture is on a phone of 375 px, and how small a text may be there.
PHONE_PX = 340
LEAST_PX = 14


@pytest.mark.parametrize("name", SPECS)
def test_every_text_on_a_picture_can_be_read_on_a_phone(name: str) -> None:
    """At the width of a phone nothing is smaller than 14 px, and no text lies on another or out of the picture."""
    spec = SPECS[name]
    for one in draw_apart(spec, words_of(spec), name="card-1"):
        assert faults(one.scene) == ()
        for text in one.scene.texts():
            assert text.size_mm * PHONE_PX / one.scene.width_mm >= LEAST_PX
            assert "true size" not in text.text
            assert "scale" not in text.text
        assert one.scene.groups("true size") == one.scene.groups("scale") == ()


@pytest.mark.parametrize("name", SPECS)
def test_each_number_points_at_what_its_note_says(name: str) -> None:
    """The notes stand from left to right as their spots do, one number for each."""
    spec = SPECS[name]
    words = words_of(spec)
    (good,) = [one for one in draw_apart(spec, words, name="card-1") if one.view is View.GOOD]
    shown = [mark.text for mark in marks(good.scene.items) if isinstance(mark, Text) and mark.text.isdigit()]
    assert shown == [str(number) for number in range(1, len(words.labels) + 1)]
    assert sorted(good.notes) == sorted(words.labels.values())
    spots = drawer_of(spec.kind)(spec, View.GOOD, Reach(-60.0, 100.0)).spots
    places = {text: spots[spot] for spot, text in words.labels.items()}
    assert [places[note] for note in good.notes] == sorted(places.values())


def test_words_stand_beside_the_pictures() -> None:
    """Heads and what is wrong are the paper's; a gauge that nobody has decided is told."""
    card = cards(example_plan("rockpool"))[0]
    told = screen_pictures(card)
    words = words_of(card.spec)
    assert [one.view for one in told] == list(View)
    assert [one.head for one in told] == [words.heads[view] for view in View]
    assert told[2].caption == words.captions[View.FIRST] == card.mistakes[0].drawn
    name = "ring terminal: ring terminal, red, matching stud, unknown"
    assert gauge_words(SPECS[name]) == "gauge unknown, drawn as 18 AWG"
    assert told[0].caption == ""
