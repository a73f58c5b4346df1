"""Moving trunks: entered at the fixed end, left at the far end, with the slack counted once."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import networkx as nx
import pytest

from loomwright.layout.net import build_net, loose_edge
from loomwright.layout.net.trunks import LOOP_M
from loomwright.layout.result import Edge, Net
from loomwright.model.fact import Fact
from loomwright.model.robot import Robot, Trunk
from tests.layout.net.net_robots import graph_of, robot_of, shared, terminals_of, things, trunk, with_plate

RIDERS = things((300, 400), high=300, more=", rides on: lift")
LOAD = ("a", "supply")
SLOT = ("block", "S1")


def moving(robot: Robot, name: str, *points: tuple[float, ...], travel_m: float | None = 0.6) -> Trunk:
    """Make a moving trunk."""
    line = trunk(robot, name, *points, flags=("moving",))
    return line if travel_m is None else replace(line, travel=Fact.of(travel_m))


def lifted(*points: tuple[float, ...], riders: str = RIDERS, travel_m: float | None = 0.6) -> Robot:
    """Return a robot with a spine beside its block, a lift tower, and something that rides on the lift."""
    robot = robot_of(things=riders)
    spine = trunk(robot, "spine", (200, 100), (200, 500))
    return with_plate(robot, trunks=(spine, moving(robot, "lift tower", *points, travel_m=travel_m)))


def way_of(net: Net) -> list[Edge]:
    """Return the edges from the slot to what it feeds."""
    graph = graph_of(net)
    nodes = nx.shortest_path(graph, net.terminals[SLOT], net.terminals[LOAD], "weight")
    steps = [min(graph[a][b].values(), key=lambda data: data["weight"]) for a, b in pairwise(nodes)]
    names = [step["name"] for step in steps]
    return sorted((edge for edge in net.edges if edge.name in names), key=lambda edge: names.index(edge.name))


def net_of(robot: Robot) -> Net:
    """Return the net of all terminals."""
    return build_net(robot, terminals_of(robot))


TOWER = ((200, 400, 0), (200, 400, 300), (250, 400, 300))


@pytest.mark.parametrize("points", [TOWER, TOWER[::-1]])
def test_a_rider_takes_the_whole_joint_and_its_slack_once(points: tuple[tuple[float, ...], ...]) -> None:
    """Drawn from either end: travel and loop are added on the edge at the fixed end, and nowhere else."""
    net = net_of(lifted(*points))
    joint = [edge for edge in way_of(net) if edge.moving]
    assert [edge.trunk for edge in joint] == ["lift tower"] * 2
    assert [edge.slack_m for edge in joint] == pytest.approx([0.6 + LOOP_M, 0.0])
    assert sum(edge.length_m for edge in joint) == pytest.approx(0.35)
    assert joint[0].path[0] == (0.2, 0.4, 0.0) or joint[0].path[-1] == (0.2, 0.4, 0.0)


def test_an_unknown_travel_gets_the_loop_and_a_question() -> None:
    """Nobody guesses how far a joint goes."""
    net = net_of(lifted(*TOWER, travel_m=None))
    assert sum(edge.slack_m for edge in net.edges) == pytest.approx(LOOP_M)
    asked = [finding for finding in net.findings if finding.asks]
    assert [finding.code for finding in asked] == ["travel-unknown"]
    assert "lift tower moves" in asked[0].what
    assert asked[0].place.line == 2


@pytest.mark.parametrize("top", [450, 500])
def test_a_joint_that_lies_on_a_trunk_is_left_at_its_end_only(top: float) -> None:
    """Drawn along the spine, even to its end, it has an end of its own: riders' wires can't slip off the joint."""
    net = net_of(lifted((200, 300), (200, top)))
    assert [edge.moving for edge in way_of(net)].count(True) == 1
    end = next(edge for edge in net.edges if edge.moving)
    far = end.b if end.path[-1] == (0.2, top / 1000, 0.0) else end.a
    assert {edge.name.split(":")[0] for edge in net.edges if far in (edge.a, edge.b) and not edge.moving} == {"a"}


def test_what_stays_behind_does_not_hang_on_the_joint() -> None:
    """The block, beside the tower, drops to the spine alone."""
    net = net_of(lifted(*TOWER))
    ends = {edge.b for edge in net.edges if edge.a.startswith("block:")}
    assert all(end.startswith("spine") for end in ends)


def test_a_trunk_at_the_far_end_is_carried_along() -> None:
    """A boom drawn at the top of the tower takes drops of riders, and no link leads past the joint to it."""
    riders = things((300, 540), high=300, more=", rides on: lift")
    robot = lifted((200, 400, 0), (200, 400, 300), riders=riders)
    net = net_of(with_plate(robot, trunks=(trunk(robot, "boom", (200, 400, 300), (200, 560, 300)),)))
    assert {edge.b.split(" ")[0] for edge in net.edges if edge.a == net.terminals[LOAD]} == {"boom", "lift"}
    assert "lift tower" in {edge.trunk for edge in way_of(net)}
    graph = graph_of(net)
    graph.remove_edges_from([(edge.a, edge.b) for edge in net.edges if edge.moving])
    assert not nx.has_path(graph, net.terminals[SLOT], net.terminals[LOAD])


def test_a_boom_is_not_joined_past_a_joint_for_signals() -> None:
    """Where the joint takes signals only, no link brings power to what it carries."""
    robot = lifted((200, 400, 0), (200, 400, 300))
    joint = replace(robot.plate.trunks[1], flags=("moving", "signal only"))
    boom = trunk(robot, "boom", (200, 400, 300), (200, 560, 300))
    net = net_of(replace(robot, plate=replace(robot.plate, trunks=(robot.plate.trunks[0], joint, boom))))
    assert {edge.trunk for edge in shared(net)} == {"spine", "lift tower", "boom"}


def test_a_joint_on_a_joint_is_taken_after_it() -> None:
    """What rides on the arm goes through tower and arm, what rides on the lift through the tower alone."""
    riders = "  arm: {part: computer/vision-12v, at: [400 mm, 400 mm], height: 300 mm, rides on: lift}\n"
    riders += "  a: {part: computer/vision-12v, at: [420 mm, 500 mm], height: 300 mm, rides on: arm}"
    robot = lifted((200, 400, 0), (200, 400, 300), riders=riders)
    arm = moving(robot, "arm joint", (200, 400, 300), (300, 400, 300), travel_m=0.2)
    net = net_of(with_plate(robot, trunks=(arm,)))
    assert [edge.trunk for edge in way_of(net) if edge.moving] == ["lift tower", "arm joint"]
    assert {edge.b for edge in net.edges if edge.a.startswith("arm:")} == {"lift tower 300 mm"}


def test_no_loose_wire_leads_past_a_joint() -> None:
    """From the rider to the block there is only the way with slack; between two that stay there is a loose one."""
    robot = lifted(*TOWER)
    net = net_of(robot)
    assert loose_edge(robot, net, SLOT, LOAD) is None
    assert loose_edge(robot, net, SLOT, ("block", "supply")) is not None


def test_riders_without_a_joint_are_told_and_still_wired() -> None:
    """No moving trunk at all: a finding, and drops as for anything else."""
    robot = robot_of(things=RIDERS)
    net = net_of(with_plate(robot, trunks=(trunk(robot, "spine", (200, 100), (200, 500)),)))
    told = [finding for finding in net.findings if finding.code == "rides-without-joint"]
    assert [finding.what.split(",")[0] for finding in told] == ["a rides on something that moves"]
    assert any(edge.a == net.terminals[LOAD] for edge in net.edges)


def test_a_joint_that_nothing_rides_on_is_a_thought() -> None:
    """Its trunk is in the net, and nobody takes it."""
    net = net_of(lifted(*TOWER, riders=things((300, 400), high=300)))
    assert "nothing-rides" in {finding.code for finding in net.findings}
    assert any(edge.moving for edge in shared(net))
    assert not any(edge.moving for edge in way_of(net))
