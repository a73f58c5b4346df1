"""The rows of ends and cards: every end that somebody makes, each with the card of its kind."""

from __future__ import annotations

from dataclasses import replace

from loomwright.documents.tables.ends import card_rows, end_rows
from loomwright.documents.tables.wiring import wire_rows
from loomwright.model.part import Polarity, Port, PortKind
from loomwright.units import Gauge
from tests.documents_plan.factories import CLAMP, branch, plan, wire
from tests.robots import EXAMPLES, example_plan

LUG = replace(CLAMP, terminal="a lug", pull_n=100.0)


def test_an_end_is_told_with_what_hands_need_and_with_its_card() -> None:
    first, second, *_ = end_rows(plan((branch("left front", 1),)))
    assert first == {
        "wire": "W1",
        "end": "A",
        "gauge": "12 AWG",
        "colour": "RD",
        "where": "block H3 plus",
        "terminal": "bare end",
        "strip_mm": 12.0,
        "tool": "wire stripper",
        "hand_pull": "yes",
        "card": 1.0,
    }
    assert (second["wire"], second["end"], second["strip_mm"], second["card"]) == ("W1", "B", 12.7, 2.0)


def test_a_card_tells_a_kind_of_end_once_and_how_many_there_are() -> None:
    flat, folded = card_rows(plan((branch("left front", 1), branch("right front", 3))))
    assert flat == {
        "card": 1.0,
        "ends": 4.0,
        "terminal": "bare end",
        "gauge": "12 AWG",
        "strip_mm": 12.0,
        "tool": "wire stripper",
        "insulation": "none",
        "good": "no strand stands out",
        "pull_standard": "ul-486e",
        "pull_n": 80.1,
        "pull_lbf": 18.0,
    }
    assert (folded["card"], folded["ends"], folded["pull_n"], folded["pull_standard"]) == (2.0, 4.0, "-", "-")


def test_another_gauge_or_treatment_is_another_card_and_cards_are_sorted_by_both() -> None:
    lugs = tuple(
        replace(one, gauge=Gauge(number), a=replace(one.a, treatment=LUG), b=replace(one.b, treatment=CLAMP))
        for number, one in ((10, wire("W1", "a", "plus")), (6, wire("W2", "a", "minus")))
    )
    cards = card_rows(plan((branch("a", 1, wires=lugs),)))
    assert [(card["terminal"], card["gauge"], card["ends"]) for card in cards] == [
        ("a lug", "6 AWG", 1.0),
        ("a lug", "10 AWG", 1.0),
        ("bare end", "6 AWG", 1.0),
        ("bare end", "10 AWG", 1.0),
    ]


def test_a_port_that_may_not_be_pulled_is_on_the_same_card() -> None:
    """Whether a fitted end may be pulled is told by its row: the hands make it the same way."""
    one = wire("W1", "a", "plus")
    held = replace(one, a=replace(one.a, treatment=CLAMP), b=replace(one.b, treatment=replace(CLAMP, hand_pull=False)))
    told = plan((branch("a", 1, wires=(held,)),))
    assert [(row["hand_pull"], row["card"]) for row in end_rows(told)] == [("yes", 1.0), ("no", 1.0)]


def test_ends_that_came_finished_are_left_out_and_undecided_ones_have_no_card() -> None:
    finished = wire("W1", "a", "plus", captive=True)
    lead = Port("plus", PortKind.LEAD, Polarity.PLUS)
    finished = replace(finished, b=replace(finished.b, port=lead, treatment=None))
    lost = replace(wire("W2", "a", "minus"), gauge=None)
    lost = replace(lost, a=replace(lost.a, treatment=None))
    told = plan((branch("a", 1, wires=(finished, lost)),))
    assert [(row["wire"], row["end"], row["terminal"], row["card"]) for row in end_rows(told)] == [
        ("W1", "A", "bare end", 1.0),
        ("W2", "A", "unknown", "-"),
        ("W2", "B", "bare end", 2.0),
    ]
    assert [card["terminal"] for card in card_rows(told)] == ["bare end", "bare end"]


def test_an_end_that_no_terminal_of_the_table_fits_is_told_as_unknown() -> None:
    """Its gauge is known and somebody makes it: it must not vanish from the sheet of ends."""
    held = wire("W1", "a", "plus")
    held = replace(held, b=replace(held.b, treatment=None))
    told = plan((branch("a", 1, wires=(held,)),))
    assert [(row["end"], row["terminal"], row["card"]) for row in end_rows(told)] == [
        ("A", "bare end", 1.0),
        ("B", "unknown", "-"),
    ]


def test_ends_and_cards_of_the_examples_agree_with_the_wires() -> None:
    """Twin: counted again from the rows of the wires."""
    for name in EXAMPLES:
        told = example_plan(name)
        made = [end for row in wire_rows(told) for end in (row.a, row.b) if end.terminal != "-"]
        ends, cards = end_rows(told), card_rows(told)
        assert len(ends) == len(made) == sum(int(float(str(card["ends"]))) for card in cards)
        by_number = {card["card"]: card for card in cards}
        for row, end_row in zip(ends, made, strict=True):
            card = by_number[row["card"]]
            assert (card["good"], card["pull_n"], card["gauge"]) == (end_row.good, end_row.pull_n, row["gauge"])
