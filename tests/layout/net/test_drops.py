"""Drops and loose runs: out on the terminal's side, round bodies and keep-outs, up and down, crossings counted."""

from __future__ import annotations

import math

import pytest

from loomwright.layout.net import build_net, loose_edge
from loomwright.layout.result import Net
from loomwright.model.robot import KeepOut, Robot
from tests.layout.net.net_robots import drops_from, robot_of, terminals_of, things, trunk, with_plate

# The supply of the vision computer is on its left face, its network socket on its right one; it is 110 mm by 80 mm.
HALF_M = 0.055


def net_of(robot: Robot) -> Net:
    """Return the net of all terminals, and of both sides of the computer "a"."""
    sockets = [("a", socket.name) for socket in robot.devices[-1].part.sockets]
    return build_net(robot, [*terminals_of(robot), *sockets])


def beside(right_mm: float, *, high: float = 0.0, keep_outs: tuple[KeepOut, ...] = ()) -> Robot:
    """Return a robot with a rail at a place to the right, and a computer in the middle of its length at 300, 450."""
    robot = robot_of(things=things((300, 450), high=high))
    return with_plate(robot, trunks=(trunk(robot, "rail", (right_mm, 250), (right_mm, 550)),), keep_outs=keep_outs)


def face_of(robot: Robot, socket: str) -> str:
    """Return the face of a socket of the computer."""
    device = robot.device("a")
    found = device.part.socket(socket) if device is not None else None
    assert found is not None
    return found.face


def test_a_drop_runs_straight_on_its_own_side_and_round_from_the_other() -> None:
    """To a rail on the left: the supply's drop is as long as the gap, the network's goes round the body."""
    robot = beside(150)
    assert (face_of(robot, "supply"), face_of(robot, "network")) == ("left", "right")
    net = net_of(robot)
    straight = drops_from(net, "a", "supply")[0]
    assert straight.length_m == pytest.approx(0.15 - HALF_M)
    round_it = drops_from(net, "a", "network")[0]
    assert len(round_it.path) > 2
    assert round_it.length_m > math.dist(round_it.path[0], round_it.path[-1]) + 0.001


def test_a_drop_goes_up_or_down_by_the_difference_in_height() -> None:
    """Level at the terminal's height, then down: both are counted."""
    low, high = (drops_from(net_of(beside(150, high=high)), "a", "supply")[0] for high in (0.0, 200.0))
    assert high.length_m == pytest.approx(low.length_m + 0.2)
    assert [point[2] for point in high.path] == [0.2, 0.2, 0.0]


def test_a_drop_goes_round_a_keep_out() -> None:
    """A wall between terminal and rail makes it longer, and it bends at the wall's corner."""
    wall = KeepOut("wall", ((0.19, 0.40), (0.21, 0.40), (0.21, 0.52), (0.19, 0.52)))
    drop = drops_from(net_of(beside(150, keep_outs=(wall,))), "a", "supply")[0]
    assert drop.length_m > 0.15 - HALF_M + 0.02
    assert any(math.dist(point[:2], (0.21, 0.40)) < 1e-3 for point in drop.path)


def test_a_terminal_drops_to_the_three_nearest_trunks_in_reach_and_to_no_far_one() -> None:
    """Of five rails, three; where none is in reach, the nearest."""
    robot = robot_of(things=things((300, 450)))
    near = tuple(trunk(robot, f"rail {at}", (at, 350), (at, 550)) for at in (230, 210, 190, 170, 20))
    drops = drops_from(net_of(with_plate(robot, trunks=near)), "a", "supply")
    assert [drop.b.split(" ")[1] for drop in drops] == ["230", "210", "190"]
    far = (trunk(robot, "far", (20, 50), (20, 100)), trunk(robot, "further", (580, 50), (580, 80)))
    drops = drops_from(net_of(with_plate(robot, trunks=far)), "a", "supply")
    assert [drop.b for drop in drops] == ["far 50 mm"]


def test_far_drops_share_main_breakouts() -> None:
    """From 10 cm on, drops end at whole decimetres of a rail; next to it they leave where they are."""
    robot = robot_of()
    rail = trunk(robot, "rail", (50, 100), (50, 500))
    ends = {edge.b for edge in net_of(with_plate(robot, trunks=(rail,))).edges if edge.a.startswith("block: S")}
    assert ends <= {f"rail {at} mm" for at in (0, 100, 200, 300, 400)}


def test_a_power_terminal_always_has_a_trunk_that_takes_power() -> None:
    """A lane for signals next to it is not enough."""
    robot = robot_of(things=things((100, 450)))
    lane = trunk(robot, "lane", (30, 350), (30, 550), flags=("signal only",))
    rail = trunk(robot, "rail", (560, 350), (560, 550))
    drops = drops_from(net_of(with_plate(robot, trunks=(lane, rail))), "a", "supply")
    assert {drop.b.split(" ")[0] for drop in drops} == {"lane", "rail"}


def test_crossed_trunks_are_counted_once_each() -> None:
    """A drop over one rail to the next crosses one; a loose run over both crosses two."""
    robot = robot_of(things=things((300, 450), (60, 450)))
    rails = tuple(trunk(robot, f"rail {at}", (at, 350), (at, 550)) for at in (220, 180))
    robot = with_plate(robot, trunks=rails)
    net = build_net(robot, [("a", "supply"), ("b", "supply"), ("b", "network")])
    assert [(drop.b.split(" ")[1], drop.crosses) for drop in drops_from(net, "a", "supply")] == [("220", 0), ("180", 1)]
    loose = loose_edge(robot, net, ("a", "supply"), ("b", "network"))
    assert loose is not None
    assert loose.crosses == 2
    assert loose.length_m >= math.dist(loose.path[0], loose.path[-1])


def test_a_trunk_far_below_is_not_crossed() -> None:
    """Two things up on a mast: a loose run between them passes no trunk on the plate."""
    robot = robot_of(things=things((300, 450), (60, 450), high=300))
    robot = with_plate(robot, trunks=(trunk(robot, "rail", (180, 350), (180, 550)),))
    net = build_net(robot, [("a", "supply"), ("b", "network")])
    loose = loose_edge(robot, net, ("a", "supply"), ("b", "network"))
    assert loose is not None
    assert loose.crosses == 0


def test_a_loose_run_needs_two_places_and_a_way() -> None:
    """Nothing for a terminal without a place, nor into a room without a door."""
    robot = beside(150)
    net = net_of(robot)
    assert loose_edge(robot, net, ("a", "supply"), ("main breaker", "line")) is None
    room = (
        (0.20, 0.30),
        (0.42, 0.30),
        (0.42, 0.31),
        (0.21, 0.31),
        (0.21, 0.55),
        (0.42, 0.55),
        (0.42, 0.56),
        (0.20, 0.56),
    )
    door = KeepOut("door", ((0.41, 0.305), (0.42, 0.305), (0.42, 0.555), (0.41, 0.555)))
    shut = with_plate(robot, keep_outs=(KeepOut("room", room), door))
    assert loose_edge(shut, net_of(shut), ("a", "supply"), ("block", "supply")) is None


def test_a_wire_does_not_cross_the_dent_of_a_plate() -> None:
    """In a plate that is open to the front, the way from arm to arm goes round the opening."""
    outline = "[[0, 0], [600 mm, 0], [600 mm, 600 mm], [400 mm, 600 mm], [400 mm, 200 mm], "
    outline += "[200 mm, 200 mm], [200 mm, 600 mm], [0, 600 mm]]"
    robot = robot_of(things=things((100, 500), (500, 500)), outline=outline)
    robot = with_plate(robot, trunks=(trunk(robot, "rail", (30, 50), (30, 550)),))
    net = build_net(robot, [("a", "network"), ("b", "supply")])
    loose = loose_edge(robot, net, ("a", "network"), ("b", "supply"))
    assert loose is not None
    assert min(point[1] for point in loose.path) == pytest.approx(0.2, abs=1e-3)
