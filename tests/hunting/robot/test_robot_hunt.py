"""A plan as a hunt: chances that are chances, on the examples and on robots made up, and in step with the twin."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from loomwright.hunting.pairs import WorseOfTwo
from loomwright.hunting.robot.practice import check_kinds, fixes, practice, rate, work_states
from loomwright.hunting.robot.robot_hunt import NoBatteryError, RobotHunt, reweighed, robot_hunt
from loomwright.plan.result import Plan
from tests.hunting.robot.traced import ROBOTS, planned, traced
from tests.hunting.robot.twin import Trouble, Twin
from tests.robots import as_text, plan_of, robots

#: Row 0 is no fault of the wiring: what settings or programs do stands in it, and who looks into the program finds it.
OF_PROGRAMS = ("program",)


def sound(robot: RobotHunt) -> None:
    """Assert what holds of every table of chances."""
    chances = robot.hunt.chances
    assert chances.shape[:2] == (len(robot.faults) + 1, len(robot.checks))
    assert np.abs(chances.sum(axis=2) - 1).max() < 1e-9
    assert chances.min() >= 0
    assert not np.isnan(chances).any()
    for number, check in enumerate(robot.hunt.checks):
        assert chances[:, number, len(check.outcomes) :].max(initial=0) == 0, check.key
        best = int(chances[0, number].argmax())
        assert best == 0 or check.key in OF_PROGRAMS, check.key
        assert chances[0, number, 0] > 0.65 or check.key in OF_PROGRAMS, check.key
    felt = np.abs(chances[1:] - chances[0]).max(axis=(1, 2))
    silent = [fault for fault, most in zip(robot.faults, felt, strict=True) if most < 0.05]
    assert silent == []


@pytest.mark.parametrize("name", ROBOTS)
def test_chances_are_chances(name: str) -> None:
    """They add up to 1, none is negative, a healthy robot's likeliest outcome is the best, every fault shows."""
    sound(traced(name))


@settings(max_examples=settings().max_examples // 10)
@given(robots(most_motors=4))
def test_chances_of_any_robot_are_chances(robot: dict[str, Any]) -> None:
    """The same of robots that are made up: any motors, pneumatics, sub blocks, lengths known or not."""
    sound(robot_hunt(plan_of(as_text(robot))))


@pytest.mark.parametrize("name", ROBOTS)
def test_names_and_numbers_go_together(name: str) -> None:
    """Rows and numbers are the places in the table; times, states, outcomes and misreads are those of the tables."""
    robot = traced(name)
    assert [robot.rows[fault.key] for fault in robot.hunt.faults] == list(range(1, len(robot.faults) + 1))
    assert [robot.numbers[check.key] for check in robot.hunt.checks] == list(range(len(robot.checks)))
    for check in robot.hunt.checks:
        shown, kind = robot.checks[check.key], check_kinds()[robot.checks[check.key].kind]
        assert check.key == f"{shown.kind} {shown.about}".strip()
        assert (check.outcomes, check.misread) == (kind.outcomes, kind.misread)
        assert check.needs == ("" if kind.state == "any" else kind.state)
        doing_s = kind.seconds if shown.seconds is None else shown.seconds
        assert check.seconds == practice("reading a card") + doing_s
        assert check.spoils[0] == check.key
        assert set(check.spoils[1:]) == {key for key in shown.same if key in robot.checks}
    for fault in robot.hunt.faults:
        own = robot.faults[fault.key]
        assert fault.key == f"{own.kind} {own.seat}"
        assert (fault.odds, fault.parts) == (own.per_match, (own.seat,))
        assert fault.repair_s == fixes()[own.kind].seconds


def test_odds_are_those_of_the_table() -> None:
    """A pulse lead's pins come off six times as often as a lever clamp's end is poor; a battery is flat most of all."""
    robot = traced("rockpool")
    assert robot.faults["open W19 B"].per_match == rate("open", "pin header") == 0.0006
    assert robot.faults["off main breaker"].per_match == rate("off", "main breaker")
    assert max(robot.hunt.faults, key=lambda one: one.odds).key in ("flat battery", "weak battery")
    assert robot.hunt.other_odds == practice("unlisted")
    assert robot.hunt.healthy_s == fixes()["software"].seconds


def test_records_raise_odds_and_nothing_else() -> None:
    """A factor for one fault multiplies its odds; all other odds and all chances stay as they are."""
    plain, raised = traced("rockpool"), reweighed(traced("rockpool"), {"open W6 A": 6.0, "open W99 A": 9.0})
    told = {one.key: one.odds for one in raised.hunt.faults}
    assert told == {one.key: one.odds * (6.0 if one.key == "open W6 A" else 1.0) for one in plain.hunt.faults}
    assert np.array_equal(plain.hunt.chances, raised.hunt.chances)


def test_states_of_work() -> None:
    """It takes a while to come to each state that needs something, from wherever; to no state it takes none."""
    seconds = {name: taken for name, (_, taken) in work_states().items()}
    changes = {(one.was, one.then): one.seconds for one in traced("rockpool").hunt.changes}
    assert {then for _, then in changes} == {"dead", "alive", "driving"}
    assert all(taken == seconds[then] for (_, then), taken in changes.items())
    assert ("", "dead") in changes
    assert ("alive", "dead") in changes
    assert ("dead", "dead") not in changes


def test_pairs_are_weighed_where_they_are_asked_for() -> None:
    """Two faults show the worse of what each does."""
    assert traced("rockpool").hunt.pairs is None
    assert isinstance(robot_hunt(planned("rockpool"), pairs=True).hunt.pairs, WorseOfTwo)


def test_what_a_program_does_is_not_asked_for_twice() -> None:
    """A motor that ran backward in the match runs backward now as well, and its mechanism was not as ever."""
    spoils = {check.key: set(check.spoils) for check in traced("breakwater").hunt.checks}
    assert spoils["drove lift left"] == {"drove lift left", "run lift left", "mechanism lift"}
    assert spoils["run lift left"] == {"drove lift left", "run lift left", "mechanism lift"}
    assert spoils["direct lift left"] == {"direct lift left"}
    assert spoils["mechanism lift"] == {"mechanism lift"}
    assert "run left wheel" in {one.key for one in traced("rockpool").hunt.checks}


def test_cases_are_averaged_by_their_shares() -> None:
    """Half of all wrong slots have no breaker: the wheel is dark half of the time."""
    robot = traced("rockpool")
    shown = robot.checks["look left wheel controller"].chances
    places = [p for p, case in enumerate(robot.cases) if case.fault and case.fault.key == "wrong slot left wheel"]
    mean = sum(robot.cases[place].share * shown[place] for place in places)
    row = robot.hunt.chances[robot.rows["wrong slot left wheel"], robot.numbers["look left wheel controller"]]
    assert row[: shown.shape[1]] == pytest.approx(mean)


def test_a_battery_that_says_too_little_is_refused() -> None:
    """Without the voltage that it rests at, no voltage can be told."""
    plan = planned("rockpool")
    devices = tuple(
        replace(d, part=replace(d.part, values={k: v for k, v in d.part.values.items() if not k.startswith("rested")}))
        if d.kind == "battery"
        else d
        for d in plan.robot
    )
    bare: Plan = replace(plan, robot=replace(plan.robot, devices=devices))
    with pytest.raises(NoBatteryError, match="rests"):
        robot_hunt(bare)


def sample(name: str, each: int) -> list[Trouble]:
    """Return some faults of every kind that both sides know."""
    robot = traced(name)
    by_kind: dict[str, list[Trouble]] = {}
    for trouble in Twin(planned(name)).faults():
        if trouble.key in robot.faults:
            by_kind.setdefault(trouble.kind, []).append(trouble)
    chance = random.Random(name)  # noqa: S311  a fixed choice
    return [one for held in by_kind.values() for one in chance.sample(held, min(each, len(held)))]


def strangers(name: str, each: int) -> tuple[Counter[str], int, int]:
    """Return what the twin shows and the tracer has below 1 %, by kinds; of how many pairs, and how many not well."""
    robot, twin = traced(name), Twin(planned(name))
    both = [key for key in twin.checks() if key in robot.checks]
    strange: Counter[str] = Counter()
    pairs = unwell = 0
    for trouble in sample(name, each):
        body = twin.injected([trouble], random.Random(trouble.key))  # noqa: S311  a fixed draw
        for key in both:
            number, outcome = robot.numbers[key], body.answer(key)
            place = robot.hunt.checks[number].outcomes.index(outcome)
            pairs, unwell = pairs + 1, unwell + (place > 0)
            if robot.hunt.chances[robot.rows[trouble.key], number, place] < 0.01:
                strange[f"{trouble.kind}: {robot.checks[key].kind} {outcome} ({trouble.seat}, {key})"] += 1
    return strange, pairs, unwell


@pytest.mark.parametrize(("name", "each"), [("rockpool", 8), ("two plates", 4), ("tidepool", 2)])
def test_the_table_leaves_room_for_what_the_twin_shows(name: str, each: int) -> None:
    """Of all pairs of a fault and a check hardly any is a surprise, nor of those alone that are not well."""
    strange, pairs, unwell = strangers(name, each)
    assert sum(strange.values()) <= 0.02 * pairs, strange
    assert sum(strange.values()) <= 0.05 * unwell, strange
