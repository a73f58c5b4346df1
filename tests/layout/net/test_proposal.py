"""Proposed nets: lanes where wires are needed and room is, risers that pay."""

from __future__ import annotations

import networkx as nx
import pytest

from loomwright.layout.net import build_net
from loomwright.layout.result import Course, Net
from loomwright.model.robot import KeepOut, Robot
from tests.layout.net.net_robots import graph_of, robot_of, shared, terminals_of, things, trunk, with_plate

CORNERS = things((80, 100), (520, 100), (80, 500), (520, 500))


def net_of(robot: Robot) -> Net:
    """Return the net of all terminals."""
    return build_net(robot, terminals_of(robot))


def lanes_of(net: Net) -> dict[str, float]:
    """Return how far to the right each proposed lane runs."""
    return {edge.trunk: edge.path[0][0] for edge in net.edges if edge.trunk.startswith("proposed")}


def test_a_lane_runs_in_each_third_that_has_terminals() -> None:
    """Things at both sides and a block in the middle: two rails and a spine; only a block: the spine alone."""
    net = net_of(robot_of(things=CORNERS))
    assert set(lanes_of(net)) == {"proposed left rail", "proposed spine", "proposed right rail"}
    assert set(lanes_of(net_of(robot_of()))) == {"proposed spine"}
    assert nx.is_connected(graph_of(net))


def test_lanes_keep_clear_of_devices() -> None:
    """There is room beside the things and the block, so no lane runs under one."""
    lanes = lanes_of(net_of(robot_of(things=CORNERS)))
    bodies = [(0.025, 0.135), (0.465, 0.575), (0.255, 0.345)]
    assert not [lane for lane in lanes.values() if any(left < lane < right for left, right in bodies)]


def test_lanes_and_links_keep_out_of_keep_outs() -> None:
    """A hole across the left third cuts its lane in two, and the pieces are joined over the spine."""
    hole = KeepOut("hole", ((0.0, 0.28), (0.22, 0.28), (0.22, 0.32), (0.0, 0.32)))
    net = net_of(with_plate(robot_of(things=CORNERS), keep_outs=(hole,)))
    left = [edge for edge in net.edges if edge.trunk == "proposed left rail"]
    assert not [edge for edge in left if edge.path[0][1] < 0.3 < edge.path[1][1]]
    assert nx.is_connected(graph_of(net))


@pytest.mark.parametrize(("count", "risers"), [(1, 0), (2, 1)])
def test_a_riser_pays_for_two_things_high_up(count: int, risers: int) -> None:
    """One thing on a mast has its own drop; two share a riser up to the higher one."""
    net = net_of(robot_of(things=things(*((300 + 30 * i, 480) for i in range(count)), high=400)))
    high = {edge.trunk for edge in shared(net) if edge.path[0][2] != edge.path[1][2]}
    assert len(high) == risers
    top = max(point[2] for edge in shared(net) for point in edge.path)
    assert top == pytest.approx(0.4 * risers)


def test_trunks_for_signals_alone_get_a_proposal_for_power() -> None:
    """The lane that was drawn stays, and what takes power is proposed beside it."""
    robot = robot_of(things=CORNERS)
    net = net_of(with_plate(robot, trunks=(trunk(robot, "lane", (200, 100), (200, 500), flags=("signal only",)),)))
    assert net.proposed
    assert {edge.course for edge in shared(net) if edge.trunk == "lane"} == {Course.TRUNK}
    power = graph_of(net)
    power.remove_edges_from([(edge.a, edge.b) for edge in net.edges if edge.signal_only])
    assert nx.has_path(power, net.terminals["a", "supply"], net.terminals["block", "S1"])


def test_without_an_outline_the_places_make_the_plate() -> None:
    """The net spans the devices and no more than a hand's width around them."""
    net = net_of(robot_of(things=CORNERS, outline=""))
    assert net.proposed
    assert all(-0.0 <= c <= 0.6 for edge in shared(net) for point in edge.path for c in point[:2])
