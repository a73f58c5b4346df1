"""Days that slip, and what more batteries or chargers would do."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from loomwright.rack.day.board import Board, board_of
from loomwright.rack.day.practice import usual_slips
from loomwright.rack.day.problem import Day, DayBattery, DayCharger
from loomwright.rack.day.replay import Schedule, Sit, replay
from loomwright.rack.day.rules import play, rules
from loomwright.rack.day.slips import Slipped, SlipPractice, days_played, follow
from loomwright.rack.planning import how_many_more, plan_day, slips_of
from tests.rack.day.days import small_days, usual_day

EVEN = usual_day(8, (1.0, 0.95, 0.9), gap_min=22)
# With 25 min more after the fourth match, in which a delay is caught up.
TIGHT = replace(
    EVEN,
    matches=tuple(replace(match, at_min=match.at_min + 25 * (n > 3)) for n, match in enumerate(EVEN.matches)),
    practice=replace(EVEN.practice, least_charge=0.87),
)


def fast_day() -> tuple[Board, Schedule]:
    """Give two matches an hour apart, one battery, charged fast in between up to the last minute."""
    day = usual_day(2, (1.0,), gap_min=60, slow=0)
    # Out at 550, cool at 565; due at 590, so off the fast charger at 575.
    sit = Sit(charger=0, setting=1, from_min=565, to_min=575)
    return board_of(day), Schedule(batteries=(0, 0), sits=(None, sit))


@given(small_days())
@settings(max_examples=60)
def test_a_day_without_slips_goes_as_planned(day: Day) -> None:
    """Each rule's day, followed without any slip, gives the very charges and delays of the simulator."""
    board = board_of(day)
    for liking in rules().values():
        schedule = play(board, liking)
        went = follow(board, schedule, Slipped(delay_min=(0,) * len(board.slots), extra_min=(0,) * len(board.slots)))
        played = replay(board, schedule)
        assert went.charge_mah == tuple(turn.charge_mah for turn in played.turns)
        assert sum(went.late_min) == played.score.late_min


def test_a_known_delay_stretches_a_charge() -> None:
    """The first match is 8 min late and so is the next: out and cool come 8 min later, and so does the end."""
    board, schedule = fast_day()
    went = follow(board, schedule, Slipped(delay_min=(8, 8), extra_min=(0, 0)))
    assert went.late_min == (0, 0)
    assert went.charge_mah == follow(board, schedule, Slipped(delay_min=(0, 0), extra_min=(0, 0))).charge_mah


def test_a_delay_that_is_caught_up_makes_a_fast_charge_late() -> None:
    """8 min late after the first match, on time again for the second: the battery has still 8 min to cool."""
    board, schedule = fast_day()
    assert follow(board, schedule, Slipped(delay_min=(8, 0), extra_min=(0, 0))).late_min == (0, 8)


def test_a_slow_turn_around_shortens_a_charge() -> None:
    """Out 4 min later: 4 min less of 90 mAh."""
    board, schedule = fast_day()
    usual = follow(board, schedule, Slipped(delay_min=(0, 0), extra_min=(0, 0))).charge_mah[1]
    slow = follow(board, schedule, Slipped(delay_min=(0, 0), extra_min=(4, 0)))
    assert usual - slow.charge_mah[1] == 4 * 90 // 3  # above the bend at 80 %, three times slower
    assert slow.late_min == (0, 0)


def test_a_day_holds_so_often_and_the_seed_gives_it_again() -> None:
    """Counts with Wilson's range; the same seed the same days; no slips, no failure; wild slips, many."""
    plan = plan_day(TIGHT)
    held = slips_of(TIGHT, plan, days=200, seed=4)
    assert held == slips_of(TIGHT, plan, days=200, seed=4)
    assert held != slips_of(TIGHT, plan, days=200, seed=5)
    low, high = held.holds.span
    assert low < held.holds.share < high
    assert held.holds.of == 200
    assert held.late.count > 0
    assert held.short.count > 0
    assert held.holds.count >= 200 - held.late.count - held.short.count
    assert held.worst_5 < plan.worst * 1000
    none = SlipPractice(late_chance=0.0, late_mean_min=3.0, caught=0.5, turn_extra_min=0)
    assert slips_of(TIGHT, plan, days=20, seed=1, practice=none).holds.count == 20
    wild = SlipPractice(late_chance=0.0, late_mean_min=3.0, caught=0.5, turn_extra_min=60)
    assert slips_of(TIGHT, plan, days=20, seed=1, practice=wild).late.count == 20


def test_no_days_are_no_answer() -> None:
    """Nothing can be said of no days."""
    board, schedule = fast_day()
    with pytest.raises(ValueError, match="at least one day"):
        days_played(board, schedule, usual_slips(), days=0, seed=1)


def short_day(charge: float = 0.85, **more: object) -> Day:
    """Give six matches 20 min apart, two batteries, one slow charger: too little for 80 % at each."""
    return replace(usual_day(6, (1.0, 0.9), gap_min=20, fast=0, charge=charge), **more)  # type: ignore[arg-type]


def test_the_fewest_more_batteries_do_and_one_less_does_not() -> None:
    """Counted by planning with so many more, full and like the best."""
    day = short_day()
    more = how_many_more(day)
    assert not plan_day(day).holds
    assert more.proved
    assert more.batteries is not None
    assert more.batteries > 0
    assert more.battery.health == 1.0
    assert more.battery.charge == 1.0
    extra = tuple(replace(more.battery, label=f"X{n}") for n in range(more.batteries))
    assert plan_day(replace(day, batteries=(*day.batteries, *extra))).holds
    assert not plan_day(replace(day, batteries=(*day.batteries, *extra[1:]))).holds


def test_more_slow_chargers_may_not_do_at_all() -> None:
    """At 70 % as the day begins, 50 min at 2 A bring the first match's battery to 78 %, on however many chargers."""
    more = how_many_more(short_day(0.7))
    assert more.chargers is None
    assert more.tried == 4


def test_a_fast_charger_does_where_gaps_are_long() -> None:
    """Matches an hour and a half apart, one battery and no charger: one fast charger does, and so does a battery."""
    day = usual_day(3, (1.0,), gap_min=90, fast=0, slow=0, charge=0.9)
    more = how_many_more(day, charger=DayCharger(label="new", gentle_a=2.0, fast_a=6.0))
    assert (more.batteries, more.chargers) == (1, 1)
    assert how_many_more(day).chargers is None  # like which?


def test_a_day_that_holds_needs_nothing() -> None:
    """None of both."""
    more = how_many_more(usual_day(2, (1.0, 1.0)))
    assert (more.batteries, more.chargers) == (0, 0)


def test_a_battery_may_be_like_one_that_is_named() -> None:
    """A half charged one does not do where a full one does."""
    poor = DayBattery(label="poor", health=0.9, capacity_ah=18.0, charge=0.3)
    assert how_many_more(short_day(chargers=()), battery=poor).batteries is None
