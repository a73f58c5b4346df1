"""What must hold for every planned day."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.rack.day.board import board_of
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, Match
from loomwright.rack.day.replay import replay
from loomwright.rack.day.rules import play, rules
from loomwright.rack.planning import plan_day
from loomwright.search import Effort
from tests.rack.day.days import decided, small_days, usual_day

ROUGH = usual_day(7, (1.0, 0.9, 0.8), gap_min=27)


@given(small_days(), st.sampled_from((Effort.FIRST, Effort.USUAL)))
@settings(max_examples=40)
def test_a_plan_is_never_worse_than_a_plain_rule(day: Day, effort: Effort) -> None:
    """Each rule played anew in the simulator does no better than the plan, searched or not."""
    plan, board = plan_day(day, effort=effort), board_of(day)
    for name, liking in rules().items():
        score = replay(board, play(board, liking)).score
        assert plan.score.key <= score.key
        assert score in [rule.score for rule in plan.rules if rule.rule == name]


@given(small_days(), st.randoms(use_true_random=False))
@settings(max_examples=25)
def test_the_order_of_the_input_is_no_matter(day: Day, random: Random) -> None:
    """Matches, batteries and chargers in any order give the same plan."""
    matches, batteries, chargers = list(day.matches), list(day.batteries), list(day.chargers)
    for rows in (matches, batteries, chargers):
        random.shuffle(rows)
    other = replace(day, matches=tuple(matches), batteries=tuple(batteries), chargers=tuple(chargers))
    assert decided(plan_day(other)) == decided(plan_day(day))


@given(small_days(), st.permutations(("P", "Q", "R")), st.permutations(("X", "Y")))
@settings(max_examples=25)
def test_new_labels_change_nothing_of_the_value(day: Day, names: list[str], posts: list[str]) -> None:
    """The score is that of the day, whatever batteries and chargers are called."""
    called = {battery.label: name for battery, name in zip(day.batteries, names, strict=False)}
    stand = {charger.label: name for charger, name in zip(day.chargers, posts, strict=False)}
    other = replace(
        day,
        batteries=tuple(
            replace(
                battery,
                label=called[battery.label],
                on=battery.on and replace(battery.on, charger=stand[battery.on.charger]),
            )
            for battery in day.batteries
        ),
        chargers=tuple(replace(charger, label=stand[charger.label]) for charger in day.chargers),
        in_robot=called.get(day.in_robot, ""),
    )
    assert plan_day(other, effort=Effort.PROVE).score == plan_day(day, effort=Effort.PROVE).score


@given(small_days(), st.booleans())
@settings(max_examples=40)
def test_one_more_never_makes_a_day_worse(day: Day, more_batteries: bool) -> None:  # noqa: FBT001  hypothesis draws it
    """Neither a battery nor a charger more."""
    if more_batteries:
        extra = DayBattery(label="more", health=0.8, capacity_ah=0.06, charge=0.5)
        more = replace(day, batteries=(*day.batteries, extra))
    else:
        more = replace(day, chargers=(*day.chargers, DayCharger(label="more", gentle_a=0.2)))
    assert plan_day(more, effort=Effort.PROVE).score.key <= plan_day(day, effort=Effort.PROVE).score.key


def test_the_same_day_gives_the_same_plan() -> None:
    """Twice the same input: the same uses, stints and proof."""
    one, two = plan_day(ROUGH), plan_day(ROUGH)
    assert one == two


def test_a_plan_beats_the_rules_where_chargers_are_few() -> None:
    """Seven matches 27 min apart, three batteries, a fast and a slow charger; all played in one simulator."""
    plan = plan_day(ROUGH)
    assert plan.proof.proved
    assert plan.score.worst > max(rule.score.worst for rule in plan.rules)
    assert 0 <= plan.worst * 1000 - plan.score.worst < ROUGH.practice.worth_step


def test_twelve_matches_eight_batteries_four_chargers_are_proved() -> None:
    """The size of a real day, with one fast charger."""
    healths = (1.0, 0.97, 0.95, 0.93, 0.9, 0.86, 0.82, 0.78)
    plan = plan_day(usual_day(12, healths, gap_min=23, slow=3))
    assert plan.proof.proved
    assert plan.holds


def test_a_stretch_of_a_play_off_is_covered() -> None:
    """Nine matches in three hours, gaps of 6 to 30 min, some perhaps not played: each has a battery all the same."""
    at = (600, 606, 620, 640, 646, 676, 700, 706, 730)
    matches = tuple(Match(name=f"round {n}", at_min=minute, may=n > 5) for n, minute in enumerate(at))
    plan = plan_day(replace(usual_day(1, (1.0, 0.95, 0.9, 0.85), fast=2), matches=matches))
    assert plan.holds
    assert [use.may for use in plan.uses] == [False] * 6 + [True] * 3
    assert all(one.out_min <= two.due_min for one, two in zip(plan.uses, plan.uses[1:], strict=False))


def test_a_match_without_a_good_battery_is_told_and_not_missed() -> None:
    """One battery at 60 %, no charger, two matches: both are played, and what lacks is said."""
    day = usual_day(2, (0.9,), fast=0, slow=0, charge=0.6)
    plan = plan_day(day)
    assert [use.battery for use in plan.uses] == ["B1", "B1"]
    assert [use.short for use in plan.uses] == pytest.approx([0.2, 0.2 + 1.5 / 18])
    assert plan.score.short_mah == 3600 + 5100
    assert [finding.code for finding in plan.findings] == ["rack-day-short"] * 2
    assert "match 1 gets B1 with 60% of its charge, 20.0% too little" in plan.findings[0].what
    assert not plan.holds


def test_which_of_two_alike_is_in_the_robot_is_no_matter() -> None:
    """Both cool until 535, and the first match is due at 530: only the one in the robot is in time."""
    day = usual_day(6, (1.0, 1.0), gap_min=27)
    day = replace(day, batteries=tuple(replace(battery, ready_min=535) for battery in day.batteries))
    one, two = (plan_day(replace(day, in_robot=label)) for label in ("B1", "B2"))
    assert one.score == two.score
    assert one.score.late_min == 0
    assert one.score.key < min(rule.score.key for rule in one.rules)
    assert (one.uses[0].battery, two.uses[0].battery) == ("B1", "B2")


def test_which_of_two_alike_was_planned_is_no_matter() -> None:
    """A plan before that names them the other way round is kept just so, with the same score."""
    day = usual_day(6, (1.0, 1.0), gap_min=27)
    orders = [("B1", "B2") * 3, ("B2", "B1") * 3]
    names = [match.name for match in day.matches]
    one, two = (plan_day(day, before=dict(zip(names, order, strict=True))) for order in orders)
    assert [use.battery for use in two.uses] == list(orders[1])
    assert one.score == two.score
    assert two.score.swaps == 0
    assert two.proof.proved


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"matches": ()}, "no match"),
        ({"batteries": ()}, "no battery"),
        ({"matches": (Match(name="a", at_min=5), Match(name="b", at_min=5))}, "a and b begin at the same minute"),
        ({"matches": (Match(name="a", at_min=5), Match(name="a", at_min=9))}, "match a is there twice"),
        (
            {"batteries": (DayBattery(label="B", health=1.0, capacity_ah=18, charge=-0.1),)},
            "battery B has a charge of -0.1",
        ),
        ({"batteries": (DayBattery(label="B", health=0.0, capacity_ah=18, charge=1),)}, "a health of 0"),
        ({"batteries": (DayBattery(label="B", health=1.0, capacity_ah=0, charge=1),)}, "a capacity of 0 Ah"),
        ({"chargers": (DayCharger(label="C", gentle_a=2.0, fast_a=9.0),)}, "charger C: set its currents"),
        ({"in_robot": "B9"}, "B9 is said to be in the robot"),
        ({"practice": replace(ROUGH.practice, match_ah=-1.0)}, "below 0"),
    ],
)
def test_a_day_that_makes_no_sense_is_refused(change: dict[str, object], words: str) -> None:
    """In a plain sentence, before anything is searched."""
    with pytest.raises(ValueError, match=words):
        plan_day(replace(ROUGH, **change))  # type: ignore[arg-type]
