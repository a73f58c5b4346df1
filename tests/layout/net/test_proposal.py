"""Proposed nets: lanes where wires are needed and room is, risers that pay."""

from __future__ import annotations

import math

import networkx as nx
import pytest

from loomwright.layout.net import build_net
from loomwright.layout.net.lanes import Lane
from loomwright.layout.places import TerminalAt
from loomwright.layout.result import Course, Net
from loomwright.model.robot import KeepOut, Robot
from tests.layout.net.net_robots import (
    SQUARE,
    graph_of,
    read,
    robot_of,
    shared,
    terminals_of,
    things,
    through_bodies,
    trunk,
    with_plate,
)

CORNERS = things((80, 100), (520, 100), (80, 500), (520, 500))

BOX = "\n  box: {part: computer/robot-controller, at: [300 mm, 480 mm], height: 20 cm}"


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
    """There is room beside the things and the block, so nothing that is proposed runs under one."""
    robot = robot_of(things=CORNERS)
    assert not through_bodies(robot, net_of(robot), air_m=0.004)


def test_a_block_with_outlets_on_both_sides_has_a_lane_beside_each() -> None:
    """So that no wire crosses the block or turns round it; links straight across join the two before and behind it."""
    text = "robot: T\nbattery: {part: battery/agm-12v-18ah}\nblocks:\n  block: {part: block/6-heavy-10-light-2-fused, "
    text += f"at: [300 mm, 300 mm]}}\nplate:\n  outline: {SQUARE}\n"
    net = net_of(read(text))
    assert lanes_of(net) == pytest.approx({"proposed left rail": 0.21, "proposed right rail": 0.39}, abs=1e-5)
    links = [edge for edge in net.edges if edge.trunk.startswith("link")]
    assert [edge.length_m for edge in links] == pytest.approx([0.18, 0.18], abs=1e-5)


def test_a_wire_that_leaves_away_from_a_lane_has_further_to_go() -> None:
    """10 cm straight across, 10 cm more for the way round its own device, and what it is away from the lane's end."""
    lane = Lane(0.2, ((0.0, ((0.2, 0.1, 0.0), (0.2, 0.5, 0.0))),), 0.0)
    assert lane.drop_m(TerminalAt((0.1, 0.3, 0.0), (1.0, 0.0))) == pytest.approx(0.1)
    assert lane.drop_m(TerminalAt((0.1, 0.3, 0.0), (-1.0, 0.0))) == pytest.approx(0.2)
    assert lane.drop_m(TerminalAt((0.1, 0.56, 0.0), (0.0, 1.0))) == pytest.approx(0.16)


def test_devices_all_over_the_plate_leave_lanes_under_them() -> None:
    """Where nothing is free, a net under devices is better than none."""
    crowd = things(*((x, y) for x in (55, 165, 275, 385, 495) for y in (150, 240)))
    robot = robot_of(things=crowd, outline="[[0, 100 mm], [550 mm, 100 mm], [550 mm, 290 mm], [0, 290 mm]]")
    net = net_of(robot)
    assert lanes_of(net)
    assert nx.is_connected(graph_of(net))


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


def test_a_riser_stands_where_no_device_is_above_its_foot() -> None:
    """A box 20 cm up over the nearest part of the lane moves the riser along the lane, out from under it."""
    mast = things(*((300 + 30 * i, 480) for i in range(2)), high=400)
    free, held = (_foot(net_of(robot_of(things=mast + more))) for more in ("", BOX))
    assert math.dist(free, (0.3, 0.47)) < 0.07
    assert not (0.225 < held[0] < 0.375 and 0.42 < held[1] < 0.54)


def _foot(net: Net) -> tuple[float, float]:
    return next(edge.path[0][:2] for edge in net.edges if "riser" in edge.trunk)


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
