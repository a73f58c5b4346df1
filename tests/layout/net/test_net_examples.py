"""The nets of the shipped examples: whole, sparse, and as drawn."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise

import networkx as nx
import pytest

from loomwright.layout.net import build_net
from loomwright.layout.result import Course, Net
from loomwright.model.robot import Robot
from tests.layout.net.net_robots import graph_of, placed, read, shared, terminals_of, through_bodies
from tests.robots import measured_trainer

NODES_PER_TERMINAL = 0.75


@lru_cache(maxsize=8)
def example(name: str, *, drawn: bool = True) -> tuple[Robot, Net]:
    """Return a shipped example and its net, with its trunks or with none."""
    robot = read((files("loomwright") / "data" / "examples" / name / "robot.yaml").read_text(encoding="utf-8"))
    if not drawn:
        plates = [replace(plate, trunks=()) for plate in robot.plates]
        robot = replace(robot, plate=plates[0], upper_plates=tuple(plates[1:]))
    return robot, build_net(robot, terminals_of(robot))


CASES = [("tidepool", True), ("tidepool", False), ("breakwater", True), ("breakwater", False)]


@pytest.mark.parametrize(("name", "drawn"), CASES)
def test_the_net_is_whole_and_sparse(name: str, drawn: bool) -> None:  # noqa: FBT001  a case
    """Every terminal with a place reaches every other, over few shared nodes: 60 for 80 terminals."""
    robot, net = example(name, drawn=drawn)
    assert set(net.terminals) == placed(robot)
    assert len(net.terminals) > 80
    assert nx.is_connected(graph_of(net))
    few = NODES_PER_TERMINAL * len(net.terminals)
    assert len({node for edge in shared(net) for node in (edge.a, edge.b)}) <= few
    for node in net.terminals.values():
        assert 1 <= sum(edge.a == node for edge in net.edges) <= 3


@pytest.mark.parametrize(("name", "drawn"), CASES)
def test_lengths_names_and_ends_fit_together(name: str, drawn: bool) -> None:  # noqa: FBT001  a case
    """Names are unique, paths start and end at their nodes, and no edge is shorter than straight."""
    _, net = example(name, drawn=drawn)
    assert len({node.name for node in net.nodes}) == len(net.nodes)
    assert len({edge.name for edge in net.edges}) == len(net.edges)
    at = {node.name: node.at for node in net.nodes}
    for edge in net.edges:
        assert edge.path[0] == at[edge.a]
        assert edge.path[-1] == at[edge.b]
        assert edge.length_m >= math.dist(at[edge.a], at[edge.b]) - 1e-9
        assert edge.length_m > 0 or edge.course is Course.DROP


@pytest.mark.parametrize("name", ["tidepool", "breakwater"])
def test_trunks_stay_as_they_were_drawn(name: str) -> None:
    """The edges of a trunk add up to it, and links are told apart from it."""
    robot, net = example(name)
    assert not net.proposed
    for trunk in robot.trunks:
        edges = [edge for edge in net.edges if edge.trunk == trunk.name]
        drawn_m = sum(math.dist(a, b) for a, b in pairwise(trunk.points))
        assert sum(edge.length_m for edge in edges) == pytest.approx(drawn_m, abs=2e-3)
        assert {edge.course for edge in edges} == {Course.TRUNK}
    links = {edge.trunk for edge in net.edges if edge.course is Course.LINK}
    assert links == {f"link {n}" for n in range(1, len(links) + 1)}


@pytest.mark.parametrize("name", ["tidepool", "breakwater"])
def test_where_nothing_is_drawn_everything_is_proposed(name: str) -> None:
    """A left rail, a spine or two and a right rail, all of them links, over few nodes."""
    _, net = example(name, drawn=False)
    assert net.proposed
    assert {edge.course for edge in shared(net)} == {Course.LINK}
    lines = {edge.trunk for edge in shared(net)}
    assert {"proposed left rail", "proposed right rail"} <= lines
    assert lines & {"proposed spine", "proposed left spine"}
    assert len({node for edge in shared(net) for node in (edge.a, edge.b)}) <= 60


@pytest.mark.parametrize(("name", "drawn"), CASES)
def test_no_proposed_stretch_runs_through_a_device(name: str, drawn: bool) -> None:  # noqa: FBT001  a case
    """There is a free way everywhere, so nothing that is proposed comes nearer than 5 mm to a body at its height."""
    robot, net = example(name, drawn=drawn)
    assert not through_bodies(robot, net, air_m=0.004)


def test_outlets_on_both_sides_of_a_block_far_from_the_rails_have_two_spines() -> None:
    """The block of Tidepool stands between devices that leave no rail room beside it."""
    _, net = example("tidepool", drawn=False)
    spines = {edge.trunk: edge.path[0][0] for edge in net.edges if "spine" in edge.trunk}
    assert sorted(spines) == ["proposed left spine", "proposed right spine"]
    assert spines["proposed left spine"] < spines["proposed right spine"]


def test_a_robot_without_places_has_no_net() -> None:
    """Nothing is guessed: no node, no edge, no word."""
    robot = read(measured_trainer())
    net = build_net(robot, terminals_of(robot))
    assert net == Net(terminals=net.terminals)
    assert not net.terminals
