"""Chains whose order is left to the tool: the least wire, ends as pinned, and questions for lost places."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest

from loomwright.jobs.chains import chained
from loomwright.layout import chain_order
from loomwright.plan.memory import Memory
from loomwright.plan.remembering import remembered
from loomwright.search import SILENT, Effort
from tests.robots import plan_of, robot_of

ROBOT = """
robot: Chained
battery: {{part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}}
main breaker: {{part: breaker/main-120a, lead length: 20 cm}}
blocks:
  block: {{part: block/6-heavy-10-light-2-fused, lead length: 20 cm, at: [30 cm, 30 cm]}}
electronics:
  robot controller: {{part: computer/robot-controller, feed: fused, at: [45 cm, 20 cm]}}
mechanisms:
  a: {{motor: motor/brushless-500w, controller: controller/inline-40a, at: [5 cm, 50 cm], id: 1}}
  b: {{motor: motor/brushless-500w, controller: controller/inline-40a, at: [55 cm, 50 cm], id: 2}}
  c: {{motor: motor/brushless-500w, controller: controller/inline-40a, at: [30 cm, 55 cm], id: 3}}
  d: {{motor: motor/brushless-500w, controller: controller/inline-40a{place}, id: 4}}
data:
  main chain: {{order: shortest, devices: [d, c, b, a, robot controller], ends: [robot controller]{more}}}
"""
PLACED = ROBOT.format(place=", at: [5 cm, 10 cm]", more="")


def length(order: tuple[int, ...], places: list[tuple[float, float, float]]) -> float:
    """Add up the hops along the plate's edges."""
    return sum(sum(abs(x - y) for x, y in zip(places[i], places[j], strict=True)) for i, j in pairwise(order))


def test_the_chain_of_a_robot_is_the_shortest_of_all_orders() -> None:
    """Every order of the five devices that starts at the robot controller is tried by hand: none is shorter."""
    plan = plan_of(PLACED, effort=Effort.USUAL)
    order = plan.robot.buses[0].order.value
    assert order is not None
    at = {
        "robot controller": (0.45, 0.2, 0.0),
        "a controller": (0.05, 0.5, 0.0),
        "b controller": (0.55, 0.5, 0.0),
        "c controller": (0.3, 0.55, 0.0),
        "d controller": (0.05, 0.1, 0.0),
    }
    names = list(at)
    places = list(at.values())
    least = min(length((0, *rest), places) for rest in permutations(range(1, 5)))
    found = length(tuple(names.index(name) for name in order), places)
    assert "robot controller" in (order[0], order[-1])
    assert found == pytest.approx(least)
    assert plan.chains["main chain"].proved
    assert plan.chains["main chain"].cost == pytest.approx(least * 1000)
    assert sum(1 for c in plan.circuits if c.id.startswith("main chain: ")) == 4


def test_a_device_without_a_place_is_asked_for() -> None:
    """Nobody can measure a way to nowhere: the chain waits, and the question names the device."""
    plan = plan_of(ROBOT.format(place="", more=""))
    (asked,) = [f for f in plan.findings if f.code == "chain-without-places"]
    assert asked.asks
    assert asked.place.line == 15
    assert asked.what == "The shortest order of main chain can't be found: d has no place."
    assert not [c for c in plan.circuits if c.id.startswith("main chain: ")]


def test_a_current_chain_is_read_back_and_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """With nothing changed the order comes out of the wires of the last plan."""
    plan = plan_of(PLACED, effort=Effort.USUAL, inputs="same")
    memory = remembered(plan)

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("searched")

    monkeypatch.setattr("loomwright.jobs.chains.chain_order", refuse)
    robot = robot_of(PLACED)
    again = chained(robot, memory, current=True, effort=Effort.USUAL, watch=SILENT)
    assert again.robot.buses[0].order.value == plan.robot.buses[0].order.value
    assert again.certificates == dict(plan.chains)
    with pytest.raises(AssertionError, match="searched"):
        chained(robot, Memory(), current=False, effort=Effort.USUAL, watch=SILENT)


def test_a_chain_goes_up_and_down_too() -> None:
    """A device high up is far from one below it: 0, 40 cm up, 10 cm beside."""
    order, proof = chain_order([(0.0, 0.0, 0.0), (0.0, 0.0, 0.4), (0.1, 0.0, 0.0)], effort=Effort.USUAL)
    assert order in ((1, 0, 2), (2, 0, 1))
    assert proof.cost == 500


def test_a_terminator_that_cannot_be_switched_off_stands_at_an_end() -> None:
    """The robot controller lies in the middle of the others, and its terminator is built in: the chain ends there."""
    text = PLACED.replace("at: [45 cm, 20 cm]", "at: [30 cm, 45 cm]").replace(", ends: [robot controller]", "")
    plan = plan_of(text)
    order = plan.robot.buses[0].order.value
    assert order is not None
    assert "robot controller" in (order[0], order[-1])
    assert not [f for f in plan.findings if f.code == "terminator-inside-chain"]
