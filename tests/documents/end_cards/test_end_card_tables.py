"""The tables behind the cards hold each other and the table of ends, both ways."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import table
from loomwright.documents.end_cards import texts
from loomwright.documents.end_cards.drawers import drawer_of, kinds
from loomwright.documents.end_cards.picture import Reach, View
from loomwright.documents.type import Face, is_ours
from tests.documents.end_cards.measures import all_specs

TABLES = ("end_card", "end_card_kind", "end_card_step", "end_card_mistake", "end_card_label", "end_card_caution")
_LONGEST_SENTENCE = 21


def test_every_row_of_the_table_of_ends_has_its_kind_of_card_and_the_other_way_round() -> None:
    """No end without a card, no row for an end that nobody makes, no kind that no end is of."""
    ends = [(row["terminal"], row["tool"]) for row in table("end_treatment")]
    assert Counter(ends) == Counter((row["terminal"], row["tool"]) for row in table("end_card_kind"))
    assert {row["card"] for row in table("end_card_kind")} == set(kinds())
    for terminal, tool in ends:
        kind, size, _ = texts.kind_of(terminal.format(size="M5"), tool)
        assert kind in kinds()
        assert size == ("M5" if "{size}" in terminal else "")


def test_every_kind_has_all_of_its_words() -> None:
    """A head, three to six steps, two mistakes, each numbered without a gap; no words for a kind that isn't drawn."""
    assert [row["card"] for row in table("end_card")] == sorted(set(kinds()), key=[*kinds()].index)
    for kind in kinds():
        assert texts.good_of(kind)
        assert 3 <= len(texts.steps_of(kind)) <= 6
        assert len(texts.mistakes_of(kind)) == 2
        for name in ("end_card_step", "end_card_mistake", "end_card_caution"):
            numbers = [row["number"] for row in table(name) if row["card"] == kind]
            assert numbers == [str(n) for n in range(1, len(numbers) + 1)]
    for name in TABLES:
        assert {row["card"] for row in table(name)} <= {*kinds(), texts.BATTERY}


def test_an_end_that_no_row_speaks_of_is_refused() -> None:
    with pytest.raises(LookupError, match="no card tells how to make 'sticky tape'"):
        texts.kind_of("sticky tape", "fingers")


def test_every_label_points_at_something() -> None:
    """Each spot that the table names is a place of the good picture."""
    specs = {spec.kind: spec for _, spec in all_specs()}
    for kind in kinds():
        spots = drawer_of(kind)(specs[kind], View.GOOD, Reach(-30, 60)).spots
        assert set(texts.labels_of(kind)) <= set(spots), kind


def test_words_are_ours_short_and_end_as_sentences() -> None:
    """Everything can be set in our type; steps, mistakes and cautions are sentences that a hurried reader takes in."""
    for name in TABLES:
        for row in table(name):
            assert all(is_ours(cell, Face.TEXT) for cell in row.values()), row
    for name in ("end_card_step", "end_card_mistake", "end_card_caution"):
        for row in table(name):
            assert re.search(r"[.?]$", row["words"]), row
            for sentence in re.split(r"(?<=[.?:]) ", row["words"]):
                assert len(sentence.split()) <= _LONGEST_SENTENCE, sentence


def test_flag_and_heat_shrink_come_before_the_crimp() -> None:
    """Wherever a wire is cut to fit, its first step is what can't be put on later."""
    for kind in kinds():
        first = texts.steps_of(kind)[0]
        assert ("flag" in first) == (kind not in {"network plug", "fitted plug"}), kind
    ends = {(row["terminal"], row["tool"]): row["insulation"] for row in table("end_treatment")}
    kinds_of = ((row["card"], ends[row["terminal"], row["tool"]]) for row in table("end_card_kind"))
    shrunk = {kind for kind, insulation in kinds_of if "heat-shrink" in insulation}
    assert shrunk
    for kind in shrunk:
        assert "heat-shrink" in texts.steps_of(kind)[0], kind


def test_every_size_has_a_source_and_a_unit_less_number() -> None:
    """Typical sizes are from memory and say so."""
    rows = table("terminal_size")
    assert len({(row["shape"], row["variant"], row["measure"]) for row in rows}) == len(rows)
    for row in rows:
        assert float(row["value_mm"]) > 0
        assert row["source"] in sources()


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_a_source(name: str) -> None:
    assert all(row["source"] in sources() for row in table(name))
