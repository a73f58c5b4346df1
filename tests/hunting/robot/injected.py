"""Faults put into the examples by the twin, with what a team reports of them, and hunts of them played once."""

from __future__ import annotations

import random
from functools import lru_cache

from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from tests.hunting.robot.hunted import Played, hunt_down, wrong_outcomes
from tests.hunting.robot.twin import Injected, Trouble, Twin
from tests.robots import example_plan

PAINS = Pains(looked_at=0.97, most_looked_at=300, tell=20)


@lru_cache(maxsize=3)
def twin(name: str) -> Twin:
    """Return the twin of an example."""
    return Twin(example_plan(name))


@lru_cache(maxsize=3)
def tracing(name: str) -> tuple[RobotHunt, Tracker]:
    """Return the tracer's side of an example; with pairs on the trainer alone, since on others they take long here."""
    robot = robot_hunt(example_plan(name), pairs=name == "rockpool")
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


def missed(name: str, count: int) -> list[tuple[str, ...]]:
    """Return the seats of a sample that were not found; none of them may be ruled out."""
    went = played(name, count)
    assert [seats for seats, one in went if not (one.found(*seats) or one.place(*seats))] == []
    return [seats for seats, one in went if not one.found(*seats)]
