"""The checker refuses a plan in which any one thing is wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.rack.checker.day import faults
from loomwright.rack.day.problem import OnCharger
from loomwright.rack.day.result import DayPlan, Stint
from loomwright.rack.planning import plan_day
from tests.rack.day.days import usual_day

DAY = usual_day(6, (1.0, 0.9), gap_min=60)
PLAN = plan_day(DAY)


def use(number: int, **change: object) -> DayPlan:
    """Give the plan with something else about one of its uses."""
    uses = list(PLAN.uses)
    uses[number] = replace(uses[number], **change)  # type: ignore[arg-type]
    return replace(PLAN, uses=tuple(uses))


def stint(number: int, **change: object) -> DayPlan:
    """Give the plan with something else about one of its stints."""
    stints = list(PLAN.stints)
    stints[number] = replace(stints[number], **change)  # type: ignore[arg-type]
    return replace(PLAN, stints=tuple(stints))


def score(**change: int) -> DayPlan:
    """Give the plan with another number in its score."""
    return replace(PLAN, score=replace(PLAN.score, **change))


def first_with(test: Callable[[Stint], bool]) -> int:
    """Give the number of the first stint of which something holds."""
    return next(number for number, one in enumerate(PLAN.stints) if test(one))


FAST = first_with(lambda one: one.fast)
GENTLE = first_with(lambda one: not one.fast)
LATER = first_with(lambda one: one.from_min > DAY.begins_min)
DUE_MIN = {one.match: one.due_min for one in PLAN.uses}


def too_warm(number: int) -> int:
    """Give the last minute at which the battery of a stint is not cool yet."""
    out = [one.out_min for one in PLAN.uses if one.battery == PLAN.stints[number].battery]
    return max(out_min for out_min in out if out_min <= PLAN.stints[number].from_min) + 14


def test_the_plan_itself_is_right() -> None:
    """The plan that the wrong ones are made of passes, and has stints of both kinds."""
    assert faults(DAY, PLAN) == []
    assert PLAN.stints[FAST].amps == 6.0
    assert PLAN.stints[GENTLE].amps == 2.0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (replace(PLAN, uses=PLAN.uses[1:]), "the uses are not the matches"),
        (use(0, battery="B9"), "B9 is on no list"),
        (stint(0, charger="C9"), "C9 is on no list"),
        (use(0, charge=PLAN.uses[0].charge + 0.001), "is told, it is"),
        (use(0, worth=PLAN.uses[0].worth + 0.001), "is told, it is"),
        (use(2, short=0.1), "what it lacks"),
        (use(2, due_min=PLAN.uses[2].due_min + 1), "the battery is due at"),
        (use(2, ready_min=PLAN.uses[2].ready_min - 1), "is ready at"),
        (use(2, stays=not PLAN.uses[2].stays), "is ready at"),
        (stint(0, charge_to=PLAN.stints[0].charge_to + 0.001), "after its charge"),
        (stint(0, charge_from=PLAN.stints[0].charge_from + 0.001), "is told, it is"),
        (stint(0, from_min=DAY.begins_min - 1), "before minute 480"),
        (stint(LATER, from_min=too_warm(LATER)), "before minute"),
        (stint(LATER, to_min=PLAN.stints[LATER].from_min), "for no time"),
        (stint(FAST, to_min=DUE_MIN[PLAN.stints[FAST].match] - 14), "is charged too long for"),
        (stint(GENTLE, amps=3.0), "can't be set to 3 A"),
        (stint(FAST, fast=False), "is told as the wrong kind"),
        (stint(0, match="match 99"), "is charged for match 99 and not used in it"),
        (replace(PLAN, stints=(*PLAN.stints, PLAN.stints[0])), "is charged twice"),
        (score(worst=PLAN.score.worst + 1), "the score is"),
        (score(fast_min=0), "the score is"),
        (score(swaps=1), "the score is"),
        (replace(PLAN, proof=replace(PLAN.proof, worst=replace(PLAN.proof.worst, cost=1))), "certificate is about"),
        (replace(PLAN, proof=replace(PLAN.proof, late=replace(PLAN.proof.late, bound=9))), "certificate is about"),
        (
            replace(PLAN, rules=(replace(PLAN.rules[0], score=replace(PLAN.score, worst=1000)),)),
            "a plain rule does better",
        ),
    ],
)
def test_one_thing_wrong_is_found(wrong: DayPlan, words: str) -> None:
    """Each fault, put into a plan that is right, is told in words."""
    assert any(words in fault for fault in faults(DAY, wrong)), faults(DAY, wrong)


def test_two_batteries_on_one_charger_are_found() -> None:
    """Every stint on one charger: somewhere two overlap."""
    together = tuple(replace(one, charger="fast 1") for one in PLAN.stints)
    assert any("share fast 1" in fault for fault in faults(DAY, replace(PLAN, stints=together)))


def test_a_battery_that_sits_somewhere_else_is_found() -> None:
    """Where a battery sits on a charger as the day begins, a plan that forgets it is refused."""
    battery = replace(DAY.batteries[0], on=OnCharger(charger="slow 1", amps=2.0, from_min=470))
    other = replace(DAY, batteries=(battery, DAY.batteries[1]))
    assert any("stay where it sits" in fault or "never left its" in fault for fault in faults(other, PLAN))
    assert faults(other, plan_day(other)) == []
