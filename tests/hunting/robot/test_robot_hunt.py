"""A plan as a hunt: chances that are chances, on the examples and on robots made up, and in step with the twin."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from loomwright.hunting.pairs import Floats
from loomwright.hunting.robot.practice import check_kinds, fixes, practice, rate, work_states
from loomwright.hunting.robot.robot_hunt import NoBatteryError, RobotHunt, reweighed, robot_hunt
from loomwright.plan.result import Plan
from tests.hunting.robot.traced import ROBOTS, planned, traced
from tests.hunting.robot.twin import Trouble, Twin
from tests.robots import as_text, plan_of, robots


def sound(robot: RobotHunt) -> None:
    """Assert what holds of every table of chances."""
    chances = robot.hunt.chances
    assert chances.shape[:2] == (len(robot.hunt.faults) + 1, len(robot.checks))
    assert np.abs(chances.sum(axis=2) - 1).max() < 1e-9
    assert chances.min() >= 0
    assert not np.isnan(chances).any()
    for number, check in enumerate(robot.hunt.checks):
        assert chances[:, number, len(check.outcomes) :].max(initial=0) == 0, check.key
        assert chances[0, number, 0] > 0.65, check.key
    felt = np.abs(chances - chances[0]).max(axis=(1, 2))
    assert [key for key, rows in robot.rows.items() if felt[list(rows)].max() < 0.05] == []


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
    assert [key for key, rows in robot.rows.items() for _ in rows] == [fault.key for fault in robot.hunt.faults]
    assert [row for rows in robot.rows.values() for row in rows] == list(range(1, len(robot.hunt.faults) + 1))
    assert list(robot.rows) == list(robot.faults)
    assert [robot.numbers[check.key] for check in robot.hunt.checks] == list(range(len(robot.checks)))
    for check in robot.hunt.checks:
        shown, kind = robot.checks[check.key], check_kinds()[robot.checks[check.key].kind]
        assert check.key == f"{shown.kind} {shown.about}".strip()
        assert (check.outcomes, check.misread) == (kind.outcomes, kind.misread)
        assert check.needs == ("" if kind.state == "any" else kind.state)
        doing_s = kind.seconds if shown.seconds is None else shown.seconds
        assert check.seconds == practice("reading a card") + doing_s
        assert check.spoils == (check.key,)
    for fault in robot.hunt.faults:
        own = robot.faults[fault.key]
        assert fault.key == f"{own.kind} {own.seat}".strip()
        assert fault.parts == (own.seat,)
        assert fault.repair_s == fixes()[own.kind].seconds


def test_odds_are_those_of_the_table() -> None:
    """A pulse lead's pins come off six times as often as a lever clamp's end is poor; a battery is flat most of all."""
    robot = traced("rockpool")
    assert robot.faults["open W19 B"].per_match == rate("open", "pin header") == 0.0006
    assert robot.faults["off main breaker"].per_match == rate("off", "main breaker")
    wired = {key: fault.per_match for key, fault in robot.faults.items() if key != "software"}
    assert max(wired, key=lambda key: wired[key]) in ("flat battery", "weak battery")
    assert robot.hunt.other_odds == practice("unlisted")
    assert robot.hunt.healthy_odds == practice("nothing wrong")
    assert robot.hunt.healthy_s == fixes()["software"].seconds


def test_records_raise_odds_and_nothing_else() -> None:
    """A factor for one fault multiplies the odds of its degrees; all other odds and all chances stay as they are."""
    factors = {"open W6 A": 6.0, "poor W6 A": 3.0, "open W99 A": 9.0}
    plain, raised = traced("rockpool"), reweighed(traced("rockpool"), factors)
    told = [(one.key, one.odds) for one in raised.hunt.faults]
    assert told == [(one.key, one.odds * factors.get(one.key, 1.0)) for one in plain.hunt.faults]
    assert len(plain.rows["poor W6 A"]) > 1
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
    """Of the same table, where they are asked for alone."""
    assert traced("rockpool").hunt.pairs is False
    assert robot_hunt(planned("rockpool"), pairs=True).hunt.pairs is True


def test_what_was_seen_in_the_match_is_tried_all_the_same() -> None:
    """A motor that ran backward in the match: whether it does now, and what its mechanism did, tell something more."""
    spoils = {check.key: set(check.spoils) for check in traced("breakwater").hunt.checks}
    for key in ("drove lift left", "run lift left", "direct lift left", "mechanism lift"):
        assert spoils[key] == {key}


@pytest.mark.parametrize("name", ROBOTS)
def test_degrees_of_a_fault_are_rows_with_one_key(name: str) -> None:
    """Their odds add up to the table's, and what they show together is the mean of all cases by their shares."""
    robot = traced(name)
    keys = list(robot.rows)
    for key, rows in robot.rows.items():
        odds = [robot.hunt.faults[row - 1].odds for row in rows]
        assert {robot.hunt.faults[row - 1].key for row in rows} == {key}
        assert sum(odds) == pytest.approx(robot.faults[key].per_match)
    of_cases = [keys.index(case.fault.key) for case in robot.cases[1:] if case.fault]
    shares = np.array([case.share for case in robot.cases[1:]])
    of_rows = [keys.index(fault.key) for fault in robot.hunt.faults]
    parts = np.array([one.odds / robot.faults[one.key].per_match for one in robot.hunt.faults])
    assert np.all(np.bincount(of_rows) <= np.bincount(of_cases))
    for number, shown in enumerate(robot.checks.values()):
        told = robot.hunt.chances[1:, number, : shown.chances.shape[1]]
        mean, true = _added(of_rows, parts, told), _added(of_cases, shares, shown.chances[1:])
        assert np.abs(mean - true).max() < 1e-9, shown.key


def _added(of: list[int], shares: Floats, each: Floats) -> Floats:
    """Add up chances by the number of their fault, each by its share."""
    begins = np.flatnonzero(np.diff(of, prepend=-1))
    return np.asarray(np.add.reduceat(each * shares[:, None], begins))


def test_degrees_that_show_something_else_stand_apart() -> None:
    """Four grades of a poor joint, a slot with a breaker and one without, each whole; of an open end there is one."""
    robot = traced("rockpool")
    count = {key: len(robot.rows[key]) for key in ("poor W6 A", "wrong slot left wheel", "open W6 A", "dead beacon")}
    assert count == {"poor W6 A": 4, "wrong slot left wheel": 2, "open W6 A": 1, "dead beacon": 1}
    dark = robot.hunt.chances[:, robot.numbers["look left wheel controller"], 3]
    assert dark[list(robot.rows["wrong slot left wheel"])] == pytest.approx([1.0, 0.0], abs=1e-3)
    for key, rows in robot.rows.items():
        for one, other in pairwise(rows):
            assert np.abs(robot.hunt.chances[one] - robot.hunt.chances[other]).max() > 0.01, key


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
    """Return what the twin shows and the tracer has below 1 %, by kinds; of how many pairs, and how many not well.

    All of it is held against one degree of the fault, the one that goes best with it.
    """
    robot, twin = traced(name), Twin(planned(name))
    both = [key for key in twin.checks() if key in robot.checks]
    numbers = [robot.numbers[key] for key in both]
    strange: Counter[str] = Counter()
    pairs = unwell = 0
    for trouble in sample(name, each):
        body = twin.injected([trouble], random.Random(trouble.key))  # noqa: S311  a fixed draw
        outcomes = [body.answer(key) for key in both]
        places = [robot.hunt.checks[n].outcomes.index(one) for n, one in zip(numbers, outcomes, strict=True)]
        rare = robot.hunt.chances[list(robot.rows[trouble.key])][:, numbers, places] < 0.01
        for key, outcome, odd in zip(both, outcomes, rare[rare.sum(axis=1).argmin()], strict=True):
            if odd:
                strange[f"{trouble.kind}: {robot.checks[key].kind} {outcome} ({trouble.seat}, {key})"] += 1
        pairs, unwell = pairs + len(places), unwell + sum(place > 0 for place in places)
    return strange, pairs, unwell


@pytest.mark.parametrize(("name", "each"), [("rockpool", 8), ("two plates", 4), ("tidepool", 2)])
def test_the_table_leaves_room_for_what_the_twin_shows(name: str, each: int) -> None:
    """Of all pairs of a fault and a check hardly any is a surprise, nor of those alone that are not well."""
    strange, pairs, unwell = strangers(name, each)
    assert sum(strange.values()) <= 0.02 * pairs, strange
    assert sum(strange.values()) <= 0.05 * unwell, strange
