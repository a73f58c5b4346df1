"""A day that has begun is planned again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.rack.day.problem import Day, Match
from loomwright.rack.day.result import DayPlan
from loomwright.rack.day.so_far import Charged, SoFar, rest_of
from loomwright.rack.planning import plan_again, plan_day
from tests.rack.day.days import small_days, usual_day

DAY = usual_day(12, (1.0, 0.97, 0.95, 0.93, 0.9, 0.86, 0.82, 0.78), gap_min=23, slow=3)
PLAN = plan_day(DAY)


def so_far_by(plan: DayPlan, day: Day, now_min: int) -> SoFar:
    """Give what is past at a minute where everybody kept to the plan."""
    at = {match.name: match.at_min for match in day.matches}
    return SoFar(
        now_min=now_min,
        played=tuple((use.match, use.battery) for use in plan.uses if at[use.match] < now_min),
        charged=tuple(
            Charged(
                charger=one.charger,
                battery=one.battery,
                amps=one.amps,
                from_min=one.from_min,
                to_min=one.to_min if one.to_min <= now_min else None,
            )
            for one in plan.stints
            if one.from_min <= now_min
        ),
    )


def later(day: Day, after_min: int, by_min: int) -> Day:
    """Give the day with the matches after a minute later."""
    return replace(
        day,
        matches=tuple(
            Match(name=match.name, at_min=match.at_min + (by_min if match.at_min >= after_min else 0))
            for match in day.matches
        ),
    )


@pytest.mark.parametrize("now_min", [541, 600, 655, 700, 770])
def test_nothing_happened_means_nothing_changes(now_min: int) -> None:
    """On a day that goes by its plan, no battery is swapped, and the rest is at least as good."""
    again = plan_again(DAY, so_far_by(PLAN, DAY, now_min), PLAN)
    planned = {use.match: use for use in PLAN.uses}
    assert again.score.swaps == 0
    assert again.holds
    assert [use.battery for use in again.uses] == [planned[use.match].battery for use in again.uses]
    assert min(use.worth for use in again.uses) >= min(planned[use.match].worth for use in again.uses) - 5e-3


def test_a_slip_of_a_quarter_of_an_hour_swaps_nothing() -> None:
    """Later matches leave more time to charge; the rest is proved, and what sits on a charger stays there."""
    slipped, so_far = later(DAY, 650, 15), so_far_by(PLAN, DAY, 650)
    again = plan_again(slipped, so_far, PLAN)
    running = [one for one in so_far.charged if one.to_min is None]
    assert again.proof.proved
    assert again.holds
    assert again.score.swaps == 0
    assert running
    for one in running:
        goes_on = [stint for stint in again.stints if stint.battery == one.battery and stint.from_min <= 650]
        assert all((stint.charger, stint.from_min) == (one.charger, one.from_min) for stint in goes_on)


def test_only_a_charge_that_lacks_makes_a_swap() -> None:
    """A battery that was used out of turn is low: as few matches as do it get another one, so that the day holds."""
    day = usual_day(3, (1.0, 1.0, 1.0), gap_min=20, fast=0, slow=0, charge=0.95)
    before = plan_day(day)
    first = [use.battery for use in before.uses]
    assert sorted(first) == ["B1", "B2", "B3"]
    so_far = SoFar(now_min=545, played=((before.uses[0].match, first[1]),))
    again = plan_again(replace(day, practice=replace(day.practice, least_charge=0.9)), so_far, before)
    assert again.holds
    assert again.score.swaps == 1
    assert again.uses[0].battery == first[0]
    assert again.uses[1].battery == first[2]


def test_the_battery_in_the_robot_may_stay() -> None:
    """The next match is 6 min after the last one: what is in there is in time, and told as staying."""
    day = replace(usual_day(2, (1.0,), fast=0), matches=(Match(name="a", at_min=540), Match(name="b", at_min=546)))
    again = plan_again(day, SoFar(now_min=541, played=(("a", "B1"),)), plan_day(day))
    assert again.uses[0].stays
    assert again.score.late_min == 0


def test_a_fast_charge_that_runs_too_long_is_told() -> None:
    """The only battery is on a fast charge 5 min before it is due: it has to cool 15 min and is 10 min late."""
    day = usual_day(1, (1.0,), slow=0, charge=0.5)
    so_far = SoFar(now_min=525, charged=(Charged(charger="fast 1", battery="B1", amps=6.0, from_min=500),))
    again = plan_again(day, so_far, plan_day(day))
    assert again.score.late_min == 10
    assert "rack-day-late" in {finding.code for finding in again.findings}


@given(small_days(), st.integers(2, 20), st.integers(0, 5))
@settings(max_examples=30)
def test_any_day_can_be_planned_again_at_any_minute(day: Day, now_min: int, by_min: int) -> None:
    """Whatever the plan and the slip, the rest is planned, passes the checker, and tells the past rightly."""
    day = replace(day, batteries=tuple(replace(battery, on=None) for battery in day.batteries))
    plan = plan_day(day)
    now_min = min(max(now_min, day.begins_min), max(match.at_min for match in day.matches))
    again = plan_again(later(day, now_min, by_min), so_far_by(plan, day, now_min), plan)
    assert {use.match for use in again.uses} == {match.name for match in day.matches if match.at_min >= now_min}
    assert all(stint.to_min >= now_min for stint in again.stints)


def test_charges_go_on_from_what_is_past() -> None:
    """A match takes 1.5 Ah, an hour at 2 A gives 1.8 Ah, and cooling counts from when the battery was out."""
    day = usual_day(2, (1.0,), gap_min=200, fast=0, charge=0.75)
    so_far = SoFar(
        now_min=640,
        played=(("match 1", "B1"),),
        charged=(Charged(charger="slow 1", battery="B1", amps=2.0, from_min=570, to_min=630),),
    )
    [battery] = rest_of(day, so_far).batteries
    assert battery.charge * 18 == pytest.approx(0.75 * 18 - 1.5 + 1.8)
    assert (battery.free_min, battery.on) == (630, None)
    [battery] = rest_of(day, replace(so_far, charged=(replace(so_far.charged[0], to_min=None),))).batteries
    assert battery.charge * 18 == pytest.approx(0.75 * 18 - 1.5)
    assert battery.on is not None
    assert battery.on.from_min == 570


@pytest.mark.parametrize(
    ("so_far", "words"),
    [
        (SoFar(now_min=600, played=(("match 99", "B1"),)), "match 99 is no match"),
        (SoFar(now_min=600, played=(("match 1", "B99"),)), "B99 is no battery"),
        (SoFar(now_min=600, charged=(Charged(charger="slow 9", battery="B1", amps=2.0, from_min=500),)), "not on the"),
        (
            SoFar(now_min=600, charged=(Charged(charger="slow 1", battery="B1", amps=2.0, from_min=601),)),
            "still to come",
        ),
        (SoFar(now_min=900, played=tuple((use.match, use.battery) for use in PLAN.uses)), "nothing is left"),
    ],
)
def test_a_past_that_makes_no_sense_is_refused(so_far: SoFar, words: str) -> None:
    """In a plain sentence."""
    with pytest.raises(ValueError, match=words):
        plan_again(DAY, so_far, PLAN)
