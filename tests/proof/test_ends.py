"""The ends that people make, and their cards: the sheets of ends and cards tell the same."""

from __future__ import annotations

import re
from dataclasses import replace

from hypothesis import given, settings

from loomwright.documents.tables.ends import card_rows, end_rows
from loomwright.model.part import Polarity, Port, PortKind
from loomwright.proof.ends import all_ends, cards, ends_of
from loomwright.units import Gauge
from tests.documents_plan.factories import branch, plan, wire
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots


def test_both_ends_of_a_cut_wire_are_made_and_one_of_a_lead_that_meets_a_lead() -> None:
    """A moulded end is nobody's work; an end whose terminal nobody knows yet is."""
    cut = wire("W1", "a", "plus")
    lead = Port("plus", PortKind.LEAD, Polarity.PLUS)
    own = replace(cut, captive=True, b=replace(cut.b, port=lead, treatment=None))
    waits = replace(cut, a=replace(cut.a, treatment=None))
    assert [[end.letter for end in ends_of(one)] for one in (cut, own, waits)] == [["A", "B"], ["A"], ["A", "B"]]
    assert [end.card for end in all_ends(plan((branch("a", 1, wires=(waits,)),)))] == [None, 1]


def test_cards_are_numbered_by_terminal_then_gauge_the_thick_one_first() -> None:
    """6 AWG stands before 10 AWG: numbers are read as numbers."""
    wires = tuple(replace(wire(f"W{n}", "a", "plus"), gauge=Gauge(n)) for n in (10, 6))
    told = plan((branch("a", 1, wires=wires),))
    assert [(card.number, str(card.gauge), card.ends) for card in cards(told)] == [
        (1, "6 AWG", 1),
        (2, "6 AWG", 1),
        (3, "10 AWG", 1),
        (4, "10 AWG", 1),
    ]
    assert [(end.name, end.card) for end in all_ends(told)] == [
        (("W10", "A"), 3),
        (("W10", "B"), 4),
        (("W6", "A"), 1),
        (("W6", "B"), 2),
    ]


def test_the_examples_have_as_many_ends_and_kinds_of_ends_as_counted_by_hand() -> None:
    """Two ends a cut wire, one a captive lead: 22 x 2; 79 x 2 + 28; 111 x 2 + 27."""
    told = example_plan("rockpool")
    assert (len(told.wires), len(all_ends(told)), len(cards(told))) == (22, 44, 10)
    counts = {name: (len(all_ends(example_plan(name))), len(cards(example_plan(name)))) for name in EXAMPLES}
    assert counts["tidepool"] == (186, 27)
    assert counts["breakwater"] == (249, 24)


@settings(max_examples=15, deadline=None)
@given(robots(most_motors=5))
def test_sheets_and_lists_number_the_cards_alike(robot: dict[str, object]) -> None:
    """Every end stands once, with the card whose terminal, strip and pull are its own."""
    told = plan_of(as_text(robot))
    by_name = {(row["wire"], row["end"]): row for row in end_rows(told)}
    rows = {row["card"]: row for row in card_rows(told)}
    ends = all_ends(told)
    assert sorted(by_name) == sorted(end.name for end in ends)
    for end in ends:
        row = by_name[end.name]
        if end.end.treatment is None:
            assert (end.card, row["card"], row["terminal"]) == (None, "-", "unknown")
            continue
        assert row["card"] == end.card
        assert rows[end.card]["terminal"] == row["terminal"] == end.end.treatment.terminal
        assert rows[end.card]["good"] == end.end.treatment.good
    assert [row["card"] for row in card_rows(told)] == list(range(1, len(rows) + 1))
    assert all(re.fullmatch(r"W\d+", str(name)) for name, _ in by_name)
