"""Links: ladders between rails, ways round keep-outs, joints between heights, and the words to paste."""

from __future__ import annotations

import networkx as nx
import pytest

from loomwright.layout.net import as_trunk_lines, build_net
from loomwright.layout.result import Course, Net
from loomwright.model.robot import KeepOut, Plate, Robot
from tests.layout.net.net_robots import graph_of, read, robot_of, terminals_of, things, trunk, with_deck, with_plate

LADDER = ("link 1", "link 2", "link 3")


def net_of(robot: Robot) -> Net:
    """Return the net of all terminals."""
    return build_net(robot, terminals_of(robot))


def links_of(net: Net) -> dict[str, float]:
    """Return the links by name, with their whole length."""
    found: dict[str, float] = {}
    for edge in net.edges:
        if edge.course is Course.LINK:
            found[edge.trunk] = found.get(edge.trunk, 0.0) + edge.length_m
    return found


def rails(robot: Robot, *, low: float = 100, high: float = 500) -> Robot:
    """Give a robot a left and a right rail."""
    left = trunk(robot, "left rail", (100, low), (100, high))
    return with_plate(robot, trunks=(left, trunk(robot, "right rail", (500, low), (500, high))))


def test_parallel_rails_get_a_ladder() -> None:
    """A rung at both ends and one beside the block in the middle of the plate, straight across."""
    assert links_of(net_of(rails(robot_of()))) == pytest.approx({"link 1": 0.4, "link 2": 0.4, "link 3": 0.4})


def test_a_trunk_between_is_joined_on_the_way() -> None:
    """The rungs meet it, so that wires may turn off there."""
    robot = rails(robot_of())
    net = net_of(with_plate(robot, trunks=(trunk(robot, "centre", (300, 50), (300, 550)),)))
    joined = {edge.b for edge in net.edges if edge.course is Course.LINK} | {
        edge.a for edge in net.edges if edge.course is Course.LINK
    }
    assert {"centre 50 mm", "centre 285 mm", "centre 450 mm"} <= joined
    assert sum(links_of(net).values()) == pytest.approx(1.2)


def test_where_a_trunk_leads_across_there_is_no_rung() -> None:
    """A ring that the team drew gets one rung across, beside the block: whatever else there is lies close to a bar."""
    robot = rails(robot_of())
    bars = (trunk(robot, "front bar", (100, 500), (500, 500)), trunk(robot, "rear bar", (100, 100), (500, 100)))
    assert sorted(links_of(net_of(with_plate(robot, trunks=bars))).values()) == pytest.approx([0.4])


def test_links_go_round_keep_outs_if_that_is_not_far() -> None:
    """A small hole in the way of a rung is passed; a wide one takes the rung away, and the net stays whole."""
    small = KeepOut("hole", ((0.28, 0.28), (0.32, 0.28), (0.32, 0.31), (0.28, 0.31)))
    net = net_of(with_plate(rails(robot_of()), keep_outs=(small,)))
    assert links_of(net)["link 2"] == pytest.approx(2 * (0.18**2 + 0.01**2) ** 0.5 + 0.04, abs=1e-3)
    wide = KeepOut("gap", ((0.28, 0.11), (0.32, 0.11), (0.32, 0.7), (0.28, 0.7)))
    net = net_of(with_plate(rails(robot_of()), keep_outs=(wide,)))
    assert list(links_of(net)) == ["link 1"]
    assert nx.has_path(graph_of(net, without=("drop",)), "left rail 0 mm", "right rail 0 mm")


def test_a_deck_is_joined_by_the_shortest_way_up() -> None:
    """One link straight up where a rail lies over the other."""
    robot = with_plate(robot_of(), trunks=())
    robot = with_plate(robot, trunks=(trunk(robot, "low rail", (100, 100), (100, 500)),))
    deck = Plate(trunks=(trunk(robot, "high rail", (100, 200, 250), (100, 400, 250)),), name="deck", height_m=0.25)
    assert links_of(net_of(with_deck(robot, deck))) == pytest.approx({"link 1": 0.25})


def test_a_keep_out_holds_on_its_own_plate_only() -> None:
    """Under a deck with a hole, wires cross; over a hole in the base plate a deck's rail stays whole."""
    hole = KeepOut("hole", ((0.05, 0.25), (0.15, 0.25), (0.15, 0.35), (0.05, 0.35)))
    robot = robot_of()
    low = trunk(robot, "low rail", (100, 100), (100, 500))
    high = trunk(robot, "high rail", (100, 100, 250), (100, 500, 250))
    deck = Plate(trunks=(high,), name="deck", height_m=0.25)
    net = net_of(with_deck(with_plate(robot, trunks=(low,), keep_outs=(hole,)), deck))
    lengths = {
        name: sum(edge.length_m for edge in net.edges if edge.trunk == name) for name in ("low rail", "high rail")
    }
    assert lengths == pytest.approx({"low rail": 0.3, "high rail": 0.4}, abs=1e-3)


def test_power_is_joined_past_signal_trunks() -> None:
    """A link between two power rails takes power, though it passes a trunk for signals; one to that trunk does not."""
    robot = rails(robot_of())
    lane = trunk(robot, "lane", (300, 150), (300, 400), flags=("signal only",))
    side = trunk(robot, "side lane", (550, 150), (550, 400), flags=("signal only",))
    net = net_of(with_plate(robot, trunks=(lane, side)))
    power = [edge for edge in net.edges if edge.course is Course.LINK and not edge.signal_only]
    assert {edge.a for edge in power} | {edge.b for edge in power} >= {"left rail 235 mm", "right rail 235 mm"}
    signal = [edge for edge in net.edges if edge.course is Course.LINK and edge.signal_only]
    assert {node for edge in signal for node in (edge.a, edge.b)} >= {"side lane 185 mm"}
    assert not {node for edge in power for node in (edge.a, edge.b)} & {"side lane 185 mm"}


def test_a_proposed_net_can_be_pasted_and_is_then_the_teams_own() -> None:
    """Reading the lines back gives trunks of the same total length, nothing proposed, and no link left to join."""
    text = "robot: T\nblocks: {block: {part: block/sub-6-light, at: [300 mm, 300 mm]}}\nelectronics:\n"
    text += things((80, 100), (520, 110), (90, 500), (510, 520)) + "\n"
    text += things((300, 480), (330, 500), high=400).replace("  a:", "  x:").replace("  b:", "  y:") + "\n"
    text += "battery: {part: battery/agm-12v-18ah}\nplate:\n"
    robot = read(text + "  outline: [[0, 0], [600 mm, 0], [600 mm, 600 mm], [0, 600 mm]]\n")
    net = net_of(robot)
    lines = as_trunk_lines(net)
    assert net.proposed
    assert "proposed riser 1: [[" in lines
    assert lines.startswith("trunks:\n")
    again = read(text + "\n".join(f"  {line}" for line in lines.splitlines()) + "\n")
    own = net_of(again)
    assert not own.proposed
    drawn_m = sum(edge.length_m for edge in own.edges if edge.course is Course.TRUNK)
    assert drawn_m == pytest.approx(sum(links_of(net).values()), abs=0.01)
    assert nx.is_connected(graph_of(own))


def test_a_net_as_drawn_has_nothing_to_paste() -> None:
    """One trunk needs no link."""
    robot = robot_of()
    assert as_trunk_lines(net_of(with_plate(robot, trunks=(trunk(robot, "spine", (200, 100), (200, 500)),)))) == ""


def test_no_rung_lies_beside_a_trunk_that_leads_the_same_way() -> None:
    """A bar across, 12 cm from two of three rungs, takes these away; at the place of one, that one alone."""
    robot = rails(robot_of())
    for forward, count in ((220, 1), (500, 2)):
        bar = trunk(robot, "bar", (100, forward), (500, forward))
        assert len(links_of(net_of(with_plate(robot, trunks=(bar,))))) == count


def test_a_trunk_that_ends_where_it_starts_is_a_ring() -> None:
    """Its first and last place are one node, and every corner is a node."""
    ring = trunk(robot_of(), "ring", (100, 100), (500, 100), (500, 500), (100, 500), (100, 100))
    net = net_of(with_plate(robot_of(), trunks=(ring,)))
    edges = [edge for edge in net.edges if edge.trunk == "ring"]
    assert sum(edge.length_m for edge in edges) == pytest.approx(1.6)
    degrees = {node: sum(node in (edge.a, edge.b) for edge in edges) for edge in edges for node in (edge.a, edge.b)}
    assert set(degrees.values()) == {2}


def test_power_does_not_rely_on_a_signal_trunk_to_hang_together() -> None:
    """A lane for signals that meets both rails joins them for signals only, so power gets a link of its own."""
    robot = robot_of()
    rails_apart = (
        trunk(robot, "left rail", (100, 100), (100, 250)),
        trunk(robot, "right rail", (500, 350), (500, 550)),
        trunk(robot, "lane", (100, 200), (500, 400), flags=("signal only",)),
    )
    net = net_of(with_plate(robot, trunks=rails_apart))
    power = graph_of(net, without=("drop",))
    power.remove_edges_from([(edge.a, edge.b) for edge in net.edges if edge.signal_only])
    assert nx.has_path(power, "left rail 0 mm", "right rail 200 mm")


def test_a_mast_is_not_entered_at_its_foot() -> None:
    """What sits on the plate drops to the trunk that the mast stands on."""
    robot = robot_of()
    spine, mast = trunk(robot, "spine", (200, 100), (200, 500)), trunk(robot, "mast", (200, 333), (200, 333, 400))
    net = net_of(with_plate(robot, trunks=(spine, mast)))
    assert not [edge for edge in net.edges if edge.course is Course.DROP and abs(edge.path[-1][1] - 0.333) < 1e-3]


def test_only_the_lines_that_a_run_takes_are_listed() -> None:
    """One edge of a rung that some run takes keeps the whole rung, and nothing else; no edge, no word."""
    net = net_of(rails(robot_of()))
    rung = next(edge.name for edge in net.edges if edge.trunk == "link 2")
    assert as_trunk_lines(net, {rung, "left rail 0-100 mm"}) == (
        "trunks:\n  proposed link 2: [[100 mm, 335 mm], [500 mm, 335 mm]]\n"
    )
    assert as_trunk_lines(net, ()) == ""
    assert as_trunk_lines(net).count("proposed link") == 3


def test_a_link_goes_round_a_device_with_some_air() -> None:
    """A thing on the line of the front rung is gone round 5 mm off; one 20 cm higher up is not in its way."""
    low = rails(robot_of(things=things((300, 500))))
    high = rails(robot_of(things=things((300, 500), high=200)))
    rung = {name: length_m for name, length_m in links_of(net_of(low)).items() if length_m > 0.4 + 1e-6}
    aside_m, along_m = 0.045, 0.12
    assert list(rung.values()) == pytest.approx(
        [2 * ((0.2 - along_m / 2) ** 2 + aside_m**2) ** 0.5 + along_m], abs=1e-6
    )
    assert links_of(net_of(high)) == pytest.approx({"link 1": 0.4, "link 2": 0.4, "link 3": 0.4})


def test_where_devices_leave_no_way_links_run_under_them() -> None:
    """A row of things right across the plate parts two trunks; they are joined all the same."""
    robot = robot_of(things=things(*((x, 450) for x in (50, 155, 260, 365, 470, 570))))
    apart = (trunk(robot, "rear", (100, 100), (500, 100)), trunk(robot, "front", (100, 560), (500, 560)))
    net = net_of(with_plate(robot, trunks=apart))
    assert nx.has_path(graph_of(net, without=("drop",)), "rear 0 mm", "front 0 mm")


def test_a_trunk_that_was_drawn_through_a_device_is_joined_there() -> None:
    """The link has to reach it, so that one device is not in its way: the net is as short as if it stood elsewhere."""
    robot = robot_of(things=things((200, 500)))
    drawn = (trunk(robot, "left rail", (200, 200), (200, 510)), trunk(robot, "right rail", (500, 200), (500, 510)))
    assert links_of(net_of(with_plate(robot, trunks=drawn))) == pytest.approx(dict.fromkeys(LADDER, 0.3))
