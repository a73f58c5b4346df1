"""The cards of a plan say what its tables say, and every end that somebody makes is on exactly one."""

from __future__ import annotations

from collections import Counter

import pytest

from loomwright.documents.end_cards import cards
from loomwright.documents.legibility import faults
from loomwright.documents.tables.cells import NOT_APPLICABLE, as_words
from loomwright.documents.tables.ends import card_rows, end_rows
from tests.documents.end_cards.measures import scale_of
from tests.robots import EXAMPLES, as_text, example_plan, plan_of


@pytest.mark.parametrize("robot", EXAMPLES)
def test_cards_are_those_of_the_tables(robot: str) -> None:
    """Same numbers in the same order, with the same gauge, strip length, tool, insulation and pull."""
    plan = example_plan(robot)
    made, rows = cards(plan), card_rows(plan)
    assert [card.number for card in made] == [int(float(as_words(row["card"]))) for row in rows]
    for card, row in zip(made, rows, strict=True):
        told = (card.gauge, card.tool, card.insulation, card.good)
        assert told == tuple(row[key] for key in ("gauge", "tool", "insulation", "good"))
        assert card.title.lower().startswith(as_words(row["terminal"]).lower())
        assert (NOT_APPLICABLE if card.strip_mm is None else card.strip_mm) == row["strip_mm"]
        assert (NOT_APPLICABLE if card.pull is None else card.pull.force_n) == row["pull_n"]
        assert len(card.used) == row["ends"]
        if card.pull:
            assert "Samples only" in card.pull.words


@pytest.mark.parametrize("robot", EXAMPLES)
def test_every_end_that_somebody_makes_is_on_exactly_one_card(robot: str) -> None:
    plan = example_plan(robot)
    on_cards = Counter((end.wire, end.end, card.number) for card in cards(plan) for end in card.used)
    made = Counter(
        (as_words(row["wire"]), as_words(row["end"]), int(row["card"]))
        for row in end_rows(plan)
        if isinstance(row["card"], float)
    )
    assert made
    assert on_cards == made
    assert len({(wire, end) for wire, end, _ in on_cards}) == sum(on_cards.values())


@pytest.mark.parametrize("robot", EXAMPLES)
def test_the_examples_cards_can_be_read_and_told_apart(robot: str) -> None:
    """No fault in any drawing, a scale on each, and no two cards with one title and gauge and strip length."""
    made = cards(example_plan(robot))
    for card in made:
        assert faults(card.scene) == (), card.title
        assert scale_of(card.scene) >= 1
        assert (" clamp" in card.title) == card.title.startswith(("Bare end", "Ferrule")), card.title
    names = Counter((card.title, card.gauge, card.strip, card.pull) for card in made)
    assert max(names.values()) == 1


@pytest.mark.parametrize("robot", EXAMPLES)
def test_what_sits_on_a_battery_says_how_to_stay_safe(robot: str) -> None:
    """Where an end of a card is on the battery, its card speaks of live posts, and only there."""
    seen = set()
    for card in cards(example_plan(robot)):
        on_battery = any(end.where.startswith("battery posts") for end in card.used)
        assert any("posts of a battery" in words for words in card.cautions) == on_battery, card.title
        seen.add(on_battery)
    assert seen == {True, False}


def test_an_end_at_a_device_of_its_own_board_gets_no_pull_by_hand() -> None:
    """The card lists which of its ends are pulled by hand, as the table of ends does."""
    plan = example_plan("breakwater")
    pulled = {(as_words(row["wire"]), row["end"]): row["hand_pull"] == "yes" for row in end_rows(plan)}
    for card in cards(plan):
        for end in card.used:
            assert pulled[end.wire, end.end] == end.hand_pull
    assert set(pulled.values()) == {True, False}


def test_an_unfinished_robot_with_hostile_names_gets_its_cards() -> None:
    """Unknown parts and names of any script leave the drawings alone; ends that wait for an answer get no card."""
    motor = {"motor": "motor/brushed-340w", "controller": "controller/inline-40a", "id": 1}
    robot = {
        "robot": "=1+1 ../x 🤖",
        "battery": {"part": "battery/agm-12v-18ah", "lead length": "25 cm"},
        "main breaker": {"part": "breaker/main-120a"},
        "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused"}},
        "mechanisms": {"x" * 60: {"motors": {"מנוע שמאל": motor}}},
    }
    plan = plan_of(as_text(robot))
    made = cards(plan)
    assert made
    for card in made:
        assert faults(card.scene) == ()
    assert len(made) == len(card_rows(plan))
    assert cards(plan) == made
