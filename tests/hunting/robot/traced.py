"""The tracer's side of a few robots, made once, and short ways to ask its table."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from loomwright.hunting.pairs import Floats
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from loomwright.plan.result import Plan, PlannedCircuit
from tests.proof.small_robots import TWO_PLATES
from tests.robots import EXAMPLES, example_plan, plan_of

#: The shipped examples, and a small one with a sub block, a regulator and a moving joint.
ROBOTS = (*EXAMPLES, "two plates")
HEALTHY = ""


@lru_cache(maxsize=4)
def planned(name: str) -> Plan:
    """Return the plan of one of these robots."""
    return plan_of(TWO_PLATES) if name == "two plates" else example_plan(name)


@lru_cache(maxsize=4)
def traced(name: str) -> RobotHunt:
    """Return the hunt on one of these robots; nothing changes it."""
    return robot_hunt(planned(name))


def circuit_of(name: str, circuit: str) -> PlannedCircuit:
    """Return a circuit of a robot."""
    found = planned(name).circuit(circuit)
    assert found is not None
    return found


def shows(name: str, fault: str, check: str) -> dict[str, float]:
    """Return the chance of every outcome of a check under a fault by its key, whatever its degree; HEALTHY is none."""
    robot = traced(name)
    outcomes = robot.hunt.checks[robot.numbers[check]].outcomes
    return dict(zip(outcomes, (float(one) for one in chances_of(robot, fault, check)), strict=False))


def chances_of(robot: RobotHunt, fault: str, check: str) -> Floats:
    """Return the same in the order of the outcomes: the mean of its degrees, each by its odds."""
    rows = list(robot.rows[fault]) if fault else [0]
    odds = [robot.hunt.faults[row - 1].odds for row in rows] if fault else [1.0]
    return np.asarray(np.average(robot.hunt.chances[rows, robot.numbers[check]], axis=0, weights=odds))


def likeliest(name: str, fault: str, *checks: str) -> tuple[str, ...]:
    """Return the likeliest outcome of each check under a fault."""
    found = [shows(name, fault, check) for check in checks]
    return tuple(max(chances, key=lambda outcome: chances[outcome]) for chances in found)
