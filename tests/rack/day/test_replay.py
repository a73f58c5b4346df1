"""The simulator refuses what can't be done, rules keep out of it, and filling costs nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from loomwright.rack.day.board import board_of
from loomwright.rack.day.fill import filled
from loomwright.rack.day.problem import Day, DayBattery, OnCharger
from loomwright.rack.day.replay import Schedule, Sit, replay
from loomwright.rack.day.rules import play, rules
from tests.rack.day.days import small_days, usual_day

# Due at 530, 590 and 650, out at 550, 610 and 670; cool 15 min later.
DAY = usual_day(3, (1.0, 0.9), gap_min=60, charge=0.85)
BOARD = board_of(DAY)
SLOW, FAST = (1, 0), (0, 1)


def sit(at: tuple[int, int], from_min: int, to_min: int) -> Sit:
    """Give a stay at a charger's setting."""
    return Sit(charger=at[0], setting=at[1], from_min=from_min, to_min=to_min)


@pytest.mark.parametrize(
    ("sits", "words"),
    [
        ((sit(SLOW, 479, 500), None, None), "B1 is not cool yet"),
        ((sit(SLOW, 500, 500), None, None), "for no time"),
        ((sit(SLOW, 500, 531), None, None), "B1 is charged too long for match 1"),
        ((sit(FAST, 500, 516), None, None), "B1 is charged too long for match 1"),
        ((sit(FAST, 500, 515), sit(SLOW, 500, 515), sit(FAST, 564, 600)), "B1 is not cool yet"),
        ((sit(SLOW, 500, 515), sit(SLOW, 514, 540), None), "two batteries share slow 1"),
    ],
)
def test_what_cannot_be_done_is_refused(sits: tuple[Sit | None, ...], words: str) -> None:
    """Too early, too long, or two at once."""
    with pytest.raises(ValueError, match=words):
        replay(BOARD, Schedule(batteries=(0, 1, 0), sits=sits))


def test_the_score_by_hand() -> None:
    """B1 at 85 %, charged 15 min at 6 A: 1.35 Ah, above the bend a third of it. B2 as it is. B1 again, uncharged."""
    played = replay(BOARD, Schedule(batteries=(0, 1, 0), sits=(sit(FAST, 495, 510), None, None)), (0, 0, None))
    assert [turn.charge_mah for turn in played.turns] == [15_300 + 450, 15_300, 15_300 + 450 - 1_500]
    assert played.score.key == (0, 14_400 - 14_250, 1, -765, -5, 15)


def test_nothing_is_charged_before_the_day_begins() -> None:
    """The rack opens at 580, after the first match: a battery that is cool at 565 waits for that."""
    board = board_of(replace(DAY, begins_min=580))
    with pytest.raises(ValueError, match="not cool yet"):
        replay(board, Schedule(batteries=(0, 1, 0), sits=(None, None, sit(SLOW, 579, 600))))
    assert all(one is None or one.from_min >= 580 for liking in rules().values() for one in play(board, liking).sits)


@pytest.mark.parametrize(
    ("name", "taken"), [("fullest first", (0, 1, 0)), ("charge times health", (1, 1, 0)), ("in turn", (0, 1, 0))]
)
def test_the_rules_take_what_they_say(name: str, taken: tuple[int, ...]) -> None:
    """Without chargers: A is full and worth 0.8, B has 95 % and is worth 0.95; a match takes 1.5 of 18 Ah."""
    full = DayBattery(label="A", health=0.8, capacity_ah=18.0, charge=1.0)
    good = replace(full, label="B", health=1.0, charge=0.95)
    day = replace(DAY, batteries=(full, good), chargers=())
    assert play(board_of(day), rules()[name]).batteries == taken


@pytest.mark.parametrize("name", rules())
def test_a_rule_takes_no_battery_that_is_late(name: str) -> None:
    """One cools still, one is on a fast charge; the third is poor and in time."""
    hot = DayBattery(label="A", health=1.0, capacity_ah=18.0, charge=1.0, ready_min=535)
    fast = replace(hot, label="B", ready_min=0, on=OnCharger(charger="fast 1", amps=6.0, from_min=500))
    poor = replace(hot, label="C", health=0.5, charge=0.5, ready_min=0)
    day = replace(DAY, batteries=(hot, fast, poor), matches=DAY.matches[:1], begins_min=520)
    assert play(board_of(day), rules()[name]).batteries == (2,)


def test_time_that_is_left_charges() -> None:
    """Nothing was charged: the first has 35 min to its spare time, the third what there is between its two matches."""
    bare = Schedule(batteries=(0, 1, 0), sits=(None, None, None))
    full = filled(BOARD, bare)
    before, after = replay(BOARD, bare), replay(BOARD, full)
    assert all(one is not None for one in full.sits)
    assert after.score.fast_min == 0
    assert after.score.spare_min == before.score.spare_min == 15
    assert full.sits[0] is not None
    assert (full.sits[0].from_min, full.sits[0].to_min) == (480, 515)


@given(small_days())
@settings(max_examples=40)
def test_filling_never_costs_anything(day: Day) -> None:
    """For every rule's day: the score is no worse, and all matches together have no less charge."""
    board = board_of(day)
    for liking in rules().values():
        schedule = play(board, liking)
        before, after = replay(board, schedule), replay(board, filled(board, schedule))
        assert after.score.key <= before.score.key
        assert sum(turn.charge_mah for turn in after.turns) >= sum(turn.charge_mah for turn in before.turns)
