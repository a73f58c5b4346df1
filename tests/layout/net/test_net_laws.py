"""Laws of the net, on drawn robots of all kinds."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import lru_cache

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright.layout.net import build_net, loose_edge
from loomwright.layout.net.bodies import bodies_of
from loomwright.layout.net.drops import REACH_M
from loomwright.layout.net.ground import ground_of
from loomwright.layout.net.line import MEET_M
from loomwright.layout.net.mesh import SAME_M
from loomwright.layout.places import terminal_at
from loomwright.layout.result import Course, Edge, Net
from loomwright.model.device import Device, Spot
from loomwright.model.fact import Fact
from loomwright.model.part import Part, Socket
from loomwright.model.robot import KeepOut, Robot, Trunk
from tests.layout.net.net_robots import (
    distances,
    placed,
    robot_of,
    terminals_of,
    things,
    through_bodies,
    trunk,
    with_plate,
)

WIDE_M = 0.6
_FACES = {"left": "right", "right": "left", "front": "front", "back": "back"}


class Sketch:
    """A drawn robot that tells in short what was drawn."""

    def __init__(self, robot: Robot) -> None:
        self.robot = robot

    def __repr__(self) -> str:
        """Write what was drawn, and not the whole robot."""
        spots = {
            d.id: (d.spot.at.value, d.spot.height.value, d.spot.facing.value) for d in self.robot if d.spot.at.said
        }
        rails = {t.name: (t.points, t.flags) for t in self.robot.trunks}
        return f"{spots} {rails} {[k.corners for k in self.robot.plate.keep_outs]}"


@lru_cache(maxsize=8)
def blank(count: int) -> Robot:
    """Return a robot with a block and so many more things; a test puts them elsewhere."""
    return robot_of(things=things(*((100.0 * i, 100.0) for i in range(count))))


@st.composite
def sketches(draw: st.DrawFn, *, most_rails: int = 4, cut: bool = True, low: bool = True) -> Sketch:
    """Draw a robot: a few things, rails and cross bars, keep-outs, some of it signal only or high.

    Without `low` the things stand higher than any rail, so that no link has to go round them.
    """
    steps = st.integers(3, 57)
    spots = draw(st.lists(st.tuples(steps, steps), min_size=2, max_size=5, unique=True))
    high = draw(st.sampled_from([0, 0, 300])) if low else 300
    robot = blank(len(spots))
    places = {name: (x / 100 + 0.001, y / 100 + 0.002) for name, (x, y) in zip("abcde", spots, strict=False)}
    places["block"] = (0.3, 0.3)
    facing = st.sampled_from(["front", "left", "back", "right"])
    devices = tuple(
        replace(d, spot=Spot(Fact.of(places[d.id]), Fact.of(high / 1000), Fact.of(draw(facing))))
        if d.id in places
        else d
        for d in robot.devices
    )
    robot = replace(robot, devices=devices)
    rails = tuple(draw(_rail(robot, f"rail {i}")) for i in range(draw(st.integers(1, most_rails))))
    keep_outs = tuple(draw(_keep_out(f"hole {i}")) for i in range(draw(st.integers(0, 2)) if cut else 0))
    return Sketch(with_plate(robot, trunks=rails, keep_outs=keep_outs))


@st.composite
def _rail(draw: st.DrawFn, robot: Robot, name: str) -> Trunk:
    at = draw(st.integers(2, 58)) * 10
    low, high = sorted(draw(st.tuples(st.integers(2, 25), st.integers(35, 58))))
    ends = ((at, low * 10), (at, high * 10))
    if draw(st.booleans()):
        ends = ((low * 10, at), (high * 10, at))
    up = draw(st.sampled_from([0, 0, 0, 120]))
    flags = ("signal only",) if draw(st.integers(0, 4)) == 0 else ()
    return trunk(robot, name, *((x, y, up) for x, y in ends), flags=flags)


@st.composite
def _keep_out(draw: st.DrawFn, name: str) -> KeepOut:
    x, y = (draw(st.integers(1, 50)) / 100 + 0.003 for _ in range(2))
    width, depth = (draw(st.integers(3, 15)) / 100 for _ in range(2))
    return KeepOut(name, ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth)))


def net_of(robot: Robot) -> Net:
    """Return the net of a robot for all of its terminals."""
    return build_net(robot, terminals_of(robot))


@settings(max_examples=40)
@given(sketches())
def test_every_terminal_has_a_node_and_no_way_is_shorter_than_straight(sketch: Sketch) -> None:
    """And every edge starts and ends at its nodes, under a name of its own."""
    net = net_of(sketch.robot)
    at = {node.name: node.at for node in net.nodes}
    assert set(net.terminals) == placed(sketch.robot)
    assert len(at) == len(net.nodes)
    assert len({edge.name for edge in net.edges}) == len(net.edges)
    for edge in net.edges:
        assert (edge.path[0], edge.path[-1]) == (at[edge.a], at[edge.b])
        assert edge.length_m >= math.dist(at[edge.a], at[edge.b]) - 1e-9


@settings(max_examples=60)
@given(sketches())
def test_no_edge_crosses_a_keep_out(sketch: Sketch) -> None:
    """Trunks that were drawn through one lose that stretch, links and drops and loose runs go round.

    To within the 5 mm at which lines meet: a corner that is so close to a trunk is drawn as if it were on it.
    """
    net = net_of(sketch.robot)
    terminals = sorted(net.terminals)
    loose = [loose_edge(sketch.robot, net, a, b) for a, b in zip(terminals, terminals[3::3], strict=False)]
    for keep_out in sketch.robot.plate.keep_outs:
        area = shapely.Polygon(keep_out.corners).buffer(-MEET_M)
        for edge in (*net.edges, *(edge for edge in loose if edge is not None)):
            path = [point[:2] for point in edge.path]
            assert not shapely.intersects(area, shapely.LineString(path if len(path) > 1 else path * 2)), edge.name


@settings(max_examples=40)
@given(sketches(), st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_nothing(sketch: Sketch, shaker: random.Random) -> None:
    """Devices, trunks, keep-outs and terminals in another order give the same net, names and all."""
    robot = sketch.robot
    devices, trunks, keep_outs = list(robot.devices), list(robot.plate.trunks), list(robot.plate.keep_outs)
    terminals = terminals_of(robot)
    expected = build_net(robot, terminals)
    for pile in (devices, trunks, keep_outs, terminals):
        shaker.shuffle(pile)
    plate = replace(robot.plate, trunks=tuple(trunks), keep_outs=tuple(keep_outs))
    found = build_net(replace(robot, devices=tuple(devices), plate=plate), terminals)
    assert (found.nodes, found.edges) == (expected.nodes, expected.edges)
    assert dict(found.terminals) == dict(expected.terminals)
    assert found.findings == expected.findings


@settings(max_examples=40)
@given(sketches(cut=False, low=False))
def test_a_mirrored_robot_has_a_mirrored_net(sketch: Sketch) -> None:
    """Left for right: as many edges of the same lengths, and the same metres between any two terminals."""
    net, other = net_of(sketch.robot), net_of(mirrored(sketch.robot))
    assume(not net.proposed)
    for course in Course:
        lengths, theirs = (sorted(edge.length_m for edge in n.edges if edge.course is course) for n in (net, other))
        assert len(lengths) == len(theirs)
        assert all(abs(a - b) < 1e-6 for a, b in zip(lengths, theirs, strict=True))
    here, there = distances(net), distances(other)
    assert here.keys() == there.keys()
    assert all(abs(here[pair] - there[pair]) < 1e-6 for pair in here)


@settings(max_examples=30)
@given(sketches())
def test_a_mirrored_robot_goes_round_mirrored_keep_outs_and_devices(sketch: Sketch) -> None:
    """The same metres again, to within the 5 mm at which the corners of two links become one."""
    net = net_of(sketch.robot)
    assume(not net.proposed)
    here, there = distances(net), distances(net_of(mirrored(sketch.robot)))
    assert here.keys() == there.keys()
    assert all(abs(here[pair] - there[pair]) < 4 * MEET_M for pair in here)


@settings(max_examples=60)
@given(sketches(most_rails=2, cut=False, low=False), st.data())
def test_a_further_trunk_makes_no_way_longer(sketch: Sketch, data: st.DataObject) -> None:
    """With up to three trunks in reach, every drop and every stretch that was there is still there.

    Links are left out on both sides: what only joins trunks that would stay apart may move. So are terminals that no
    trunk was in reach of: theirs go to the nearest one, and that may be the new one.
    """
    assert _longer_m(sketch.robot, data.draw(_rail(sketch.robot, "rail new"))) <= 1e-6


@settings(max_examples=30)
@given(sketches(most_rails=2, cut=False), st.data())
def test_a_further_trunk_moves_nodes_by_no_more_than_corners_of_links_do(sketch: Sketch, data: st.DataObject) -> None:
    """Where links go round devices, their corners may lie within 5 mm of a trunk, and are then on it."""
    assert _longer_m(sketch.robot, data.draw(_rail(sketch.robot, "rail new"))) <= 4 * MEET_M


def _longer_m(robot: Robot, more: Trunk) -> float:
    """Return by how much the way between any two terminals gets longer at most by a further trunk [m]."""
    net = net_of(robot)
    assume(not net.proposed)
    far = {edge.a for edge in net.edges if edge.course is Course.DROP and _level_m(edge) > REACH_M}
    before = distances(net, without=("link",))
    after = distances(net_of(with_plate(robot, trunks=(more,))), without=("link",))
    kept = [pair for pair in before if not {net.terminals[pair[0]], net.terminals[pair[1]]} & far]
    return max((after[pair] - before[pair] for pair in kept), default=0.0)


def _level_m(edge: Edge) -> float:
    return edge.length_m - abs(edge.path[0][2] - edge.path[-1][2])


@settings(max_examples=25)
@given(st.integers(11, 49), st.tuples(st.integers(5, 25), st.integers(35, 55)))
def test_a_trunk_between_two_rails_takes_no_cross_link_away(at: int, ends: tuple[int, int]) -> None:
    """The cross links of two rails stay where they were, links and all, wherever the new trunk lies.

    To within the 2 mm at which cuts of one line become one: a breakout of the new trunk may move a corner that far.
    """
    robot = robot_of(things=things((60, 100), (540, 100), (60, 500), (540, 500)))
    rails = (
        trunk(robot, "left rail", (100, 100), (100, 500)),
        trunk(robot, "right rail", (500, 100), (500, 500)),
    )
    robot = with_plate(robot, trunks=rails)
    more = trunk(robot, "centre", *((at * 10.0, end * 10.0) for end in ends))
    net, other = net_of(robot), net_of(with_plate(robot, trunks=(more,)))
    before, after = distances(net), distances(other)
    corners = [(name, "supply") for name in "abcd"]
    for i, one in enumerate(corners):
        for two in corners[i + 1 :]:
            assert after[one, two] <= before[one, two] + SAME_M


def bare(sketch: Sketch) -> Robot:
    """Return a drawn robot without its trunks, which has a net proposed."""
    return replace(sketch.robot, plate=replace(sketch.robot.plate, trunks=()))


@settings(max_examples=40)
@given(sketches())
def test_a_proposal_crosses_no_body_where_a_free_way_leads(sketch: Sketch) -> None:
    """A stretch may run under a device only where its ends can't be joined otherwise."""
    robot = bare(sketch)
    ground, bodies = ground_of(robot.plates), bodies_of(robot)
    for edge, name in through_bodies(robot, net_of(robot)):
        assert ground.way(edge.path[0], edge.path[-1], walls=bodies.at(0.0)) is None, (edge.name, name)


@settings(max_examples=40)
@given(sketches(cut=False))
def test_a_mirrored_robot_has_a_mirrored_proposal(sketch: Sketch) -> None:
    """The same lanes, and the same metres to within the 5 mm at which corners become one.

    Left out are robots that are their own mirror image or close: there a single spine is on one side or the other, and
    a riser stands on one of two lanes that are as near.
    """
    robot = bare(sketch)
    rights = [place.at[0] for t in placed(robot) if (place := terminal_at(robot, *t)) is not None]
    assume(abs(sum(rights) / len(rights) - WIDE_M / 2) > 1e-4)
    here, there = net_of(robot), net_of(mirrored(robot))
    assume(not any("riser" in edge.trunk for edge in here.edges))
    lanes, theirs = (sorted(_rights(net)) for net in (here, there))
    assert lanes == pytest.approx(sorted(WIDE_M - right for right in theirs))
    metres, their_metres = distances(here), distances(there)
    assert metres.keys() == their_metres.keys()
    assert all(abs(metres[pair] - their_metres[pair]) < 4 * MEET_M for pair in metres)


def _rights(net: Net) -> set[float]:
    return {round(edge.path[0][0], 6) for edge in net.edges if edge.trunk.startswith("proposed")}


@settings(max_examples=25)
@given(sketches(), st.randoms(use_true_random=False))
def test_the_order_of_the_file_changes_no_proposal(sketch: Sketch, shaker: random.Random) -> None:
    """Devices and keep-outs in another order have the same net proposed, names and all."""
    robot = bare(sketch)
    devices, keep_outs = list(robot.devices), list(robot.plate.keep_outs)
    shaker.shuffle(devices)
    shaker.shuffle(keep_outs)
    other = replace(robot, devices=tuple(devices), plate=replace(robot.plate, keep_outs=tuple(keep_outs)))
    assert net_of(other).edges == net_of(robot).edges


def mirrored(robot: Robot) -> Robot:
    """Return the robot seen in a mirror: right for left, parts included."""

    def flip(x: float) -> float:
        return WIDE_M - x

    def device(one: Device) -> Device:
        if not one.spot.at.said:
            return one
        at = one.spot.at.map(lambda p: (flip(p[0]), p[1]))
        facing = one.spot.facing.map(lambda f: _FACES[f])
        return replace(one, part=_mirrored_part(one.part), spot=Spot(at, one.spot.height, facing, one.spot.rides_on))

    plate = robot.plate
    trunks = tuple(replace(t, points=tuple((flip(x), y, z) for x, y, z in t.points)) for t in plate.trunks)
    keep_outs = tuple(replace(k, corners=tuple((flip(x), y) for x, y in k.corners)) for k in plate.keep_outs)
    outline = tuple((flip(x), y) for x, y in plate.outline)
    devices = tuple(device(one) for one in robot.devices)
    return replace(robot, devices=devices, plate=replace(plate, outline=outline, trunks=trunks, keep_outs=keep_outs))


def _mirrored_part(part: Part) -> Part:
    def sockets(face: str) -> list[Socket]:
        found = [socket for socket in part.sockets if socket.face == face]
        return found[::-1] if face in ("front", "back") else found

    faces = dict.fromkeys(socket.face for socket in part.sockets)
    turned = [replace(s, face=_FACES.get(face, face)) for face in faces for s in sockets(face)]
    return replace(part, sockets=tuple(turned))
