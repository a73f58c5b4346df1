"""Faults are put into the examples by the twin, and the tracer finds them: who is first after what it asked for.

The twin is a second robot by docs/hunting-model.md that shares no code with the tracer. Here a fixed sample over all
kinds of faults; `python -m benchmarks.hunting_robots` does all of them, doubles and lies on all three examples.
"""

from __future__ import annotations

import random
from collections import Counter
from functools import lru_cache

import pytest

from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from tests.hunting.robot.hunted import Lying, Played, hunt_down, wrong_outcomes
from tests.hunting.robot.twin import Injected, Trouble, Twin
from tests.robots import example_plan

PAINS = Pains(looked_at=0.98, most_looked_at=600, tell=40)


@lru_cache(maxsize=3)
def twin(name: str) -> Twin:
    """Return the twin of an example."""
    return Twin(example_plan(name))


@lru_cache(maxsize=6)
def tracing(name: str, *, pairs: bool = False) -> tuple[RobotHunt, Tracker]:
    """Return the tracer's side of an example."""
    robot = robot_hunt(example_plan(name), pairs=pairs)
    return robot, Tracker(robot.hunt, PAINS)


def sample(name: str, count: int) -> list[tuple[Injected, tuple[tuple[str, str], ...]]]:
    """Return faults of every kind in turn, with what a team reports of them; those that nobody notices are left out."""
    robot, _ = tracing(name)
    by_kind: dict[str, list[Trouble]] = {}
    for trouble in twin(name).faults():
        by_kind.setdefault(trouble.kind, []).append(trouble)
    for kind, held in by_kind.items():
        random.Random(f"{name} {kind}").shuffle(held)  # noqa: S311  a fixed order
    found: list[tuple[Injected, tuple[tuple[str, str], ...]]] = []
    while len(found) < count and any(by_kind.values()):
        for held in by_kind.values():
            if held and len(found) < count:
                trouble = held.pop()
                body = twin(name).injected([trouble], random.Random(trouble.key))  # noqa: S311  a fixed draw
                symptoms = body.symptoms()
                if wrong_outcomes(robot, symptoms):
                    found.append((body, symptoms))
    return found


@lru_cache(maxsize=3)
def played(name: str, count: int) -> list[tuple[tuple[str, ...], Played]]:
    """Hunt a sample down; the seats that were bad stand beside how it went."""
    robot, tracker = tracing(name)
    return [
        (tuple(trouble.seat for trouble in body.troubles), hunt_down(robot, tracker, body, symptoms))
        for body, symptoms in sample(name, count)
    ]


@pytest.mark.parametrize(("name", "count"), [("rockpool", 90), ("tidepool", 60), ("breakwater", 50)])
def test_at_least_95_of_100_single_faults_are_found(name: str, count: int) -> None:
    """200 of all kinds; and the truth is never ruled out: it keeps a share of the probability to the end."""
    went = played(name, count)
    missed = [seats for seats, one in went if not one.found(*seats)]
    assert len(missed) <= 0.05 * len(went), Counter(missed)
    assert [seats for seats, one in went if not (one.found(*seats) or one.place(*seats))] == []


def test_what_is_told_as_found_is_what_was_wrong() -> None:
    """Where the tracer is surer than 95 %, it is right at least nine times of ten, whatever it asks for after it."""
    went = [(seats, one) for seats, one in played("rockpool", 90) if one.claimed]
    right = [set(one.claimed[0][0]) == set(seats) - {""} for seats, one in went]
    assert sum(right) >= 0.9 * len(right)


def test_two_faults_at_once_stand_among_the_first_five() -> None:
    """Two faults that both show: in nine of ten both are mended, or told together among the first five."""
    robot, tracker = tracing("rockpool", pairs=True)
    chance = random.Random(5)  # noqa: S311  a fixed draw
    there = [body.troubles[0] for body, _ in sample("rockpool", 60)]
    good: list[bool] = []
    while len(good) < 20:
        two = chance.sample(there, 2)
        if two[0].seat == two[1].seat or "" in (two[0].seat, two[1].seat):
            continue
        body = twin("rockpool").injected(two, chance)
        left = [body.repaired(trouble.seat) for trouble in two]
        if not all(wrong_outcomes(robot, one.symptoms()) for one in left):
            continue
        one = hunt_down(robot, tracker, body, body.symptoms())
        seats = tuple(trouble.seat for trouble in two)
        good.append(set(seats) <= set(one.mended) or 0 < one.place(*seats) <= 5)
    assert sum(good) >= 0.9 * len(good)


def test_wrong_answers_are_recovered_from_and_told() -> None:
    """One answer of twenty is a lie: still found in nine of ten; and where many lie, the doubt says so."""
    robot, tracker = tracing("rockpool")
    hunts = sample("rockpool", 60)
    good = []
    for number, (body, symptoms) in enumerate(hunts):
        lying = Lying(robot, body, random.Random(number), 0.05)  # noqa: S311  a fixed draw
        one = hunt_down(robot, tracker, lying, symptoms)
        good.append(one.found(*(trouble.seat for trouble in body.troubles)))
    assert sum(good) >= 0.9 * len(good)


def test_on_a_robot_that_is_not_quite_as_planned() -> None:
    """Every resistance and load up to a fifth off: found in at least nine of ten."""
    robot, tracker = tracing("rockpool")
    good = []
    for body, _ in sample("rockpool", 60):
        off = twin("rockpool").injected(body.troubles, random.Random(7), perturb=0.2)  # noqa: S311  a fixed draw
        symptoms = off.symptoms()
        if wrong_outcomes(robot, symptoms):
            good.append(hunt_down(robot, tracker, off, symptoms).found(*(trouble.seat for trouble in off.troubles)))
    assert sum(good) >= 0.9 * len(good)


def test_nothing_is_measured_in_ohms_while_there_is_power() -> None:
    """Every check in ohms asks for the battery to be out; none asks for an amps range or a larger fuse."""
    robot, _ = tracing("breakwater")
    for check in robot.hunt.checks:
        shown = robot.checks[check.key]
        if shown.scale is not None and shown.scale.unit == "ohm":
            assert check.needs == "dead", check.key
