"""Weak points: what one loss takes down, held against a second way; what it costs; what would help."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pytest
from hypothesis import given, settings

from loomwright.hunting.robot.match_cost import match_cost, seconds
from loomwright.hunting.robot.robot_hunt import NoBatteryError, robot_hunt
from loomwright.hunting.robot.taken_down import Down
from loomwright.hunting.robot.weak_points import WeakPoint, weak_points, weak_points_of
from loomwright.plan.result import Plan
from tests.hunting.robot.lost_by_graph import Lost, dark_by_dominators, lost_without
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots

BUILDS = [(name, build) for name in EXAMPLES for build in ("", *example_plan(name).robot.builds)]


@lru_cache(maxsize=8)
def points(name: str, build: str = "") -> tuple[WeakPoint, ...]:
    return weak_points(example_plan(name, build))


def by_wire(found: tuple[WeakPoint, ...]) -> dict[str, Down]:
    """Return what each wire takes down; a wire stands in one point only."""
    held = [(wire, point.down) for point in found for wire in point.wires]
    assert len({wire for wire, _ in held}) == len(held)
    return dict(held)


def compare(plan: Plan, found: tuple[WeakPoint, ...]) -> None:
    """Hold every wire's down against the graph without it; wires whose two ends nobody joins are left out."""
    told = by_wire(found)
    for wire in plan.wires:
        down = told.get(wire.id, Down())
        is_so = Lost(frozenset(down.dark), frozenset(down.missing), frozenset(down.motors))
        assert is_so == lost_without(plan, wire.id), (wire.id, wire.circuit, wire.role)


@pytest.mark.parametrize(("name", "build"), BUILDS)
def test_every_wire_takes_down_what_the_graph_without_it_can_not_reach(name: str, build: str) -> None:
    """Currents and chances on one side, a deleted edge on the other: dark, missing and stopped are the same sets."""
    compare(example_plan(name, build), points(name, build))


@pytest.mark.parametrize(("name", "build"), BUILDS)
def test_what_goes_dark_is_what_a_wire_dominates(name: str, build: str) -> None:
    """A third way: the dominators of each pole's wiring, seen from the battery."""
    told = by_wire(points(name, build))
    for wire, loads in dark_by_dominators(example_plan(name, build)).items():
        down = told.get(wire)
        assert frozenset(down.dark if down else ()) == loads, wire


@settings(max_examples=6)
@given(robots(most_motors=5))
def test_generated_robots_agree_with_the_graph(robot: dict[str, Any]) -> None:
    """Sub-blocks, pneumatics, chains, radios over wires or cables: the same sets.

    Every motor has a length, since a wire of no length known may have up to an ohm, and none a pulse lead, whose minus
    of no length known is the way back for a controller that has lost its own. Every block feeds something, since a
    meter reads anything where a block without a load has lost its minus.
    """
    if "sub" in robot["blocks"]:
        robot["electronics"]["vision"]["from"] = "sub"
    for motor in robot["mechanisms"]["all of it"]["motors"].values():
        motor.setdefault("length", "60 cm")
        if motor.pop("port", ""):
            motor["controller"] = "controller/inline-40a"
    plan = plan_of(as_text(robot))
    compare(plan, weak_points(plan))


def point(found: tuple[WeakPoint, ...], what: str, name: str) -> WeakPoint:
    (one,) = (held for held in found if held.what == what and name in (held.circuits or held.seats))
    return one


def test_a_hunt_that_is_there_already_tells_the_same() -> None:
    """With all of its other faults and networks, rounding aside."""
    plan = example_plan("rockpool")
    mine, its = weak_points(plan), weak_points_of(robot_hunt(plan))
    assert [(one.what, one.seats, one.down) for one in mine] == [(one.what, one.seats, one.down) for one in its]
    assert [one.expected_s for one in mine] == pytest.approx([one.expected_s for one in its])


def test_both_ends_and_both_poles_of_a_circuit_are_one_point() -> None:
    """Four ends that take down the same: one line, its ends counted, how often they open added up."""
    one = point(points("breakwater"), "ends", "front left drive")
    assert (one.seats, one.ends) == (("W18 A", "W18 B", "W19 A", "W19 B"), 4)
    assert one.down == Down(dark=("front left drive",), motors=("front left drive",))
    # Lever clamps at the block, snap-in contacts at the motor (data/tables/hunt_rate.csv), each twice, in 100 matches.
    assert (one.moments, one.stays) == pytest.approx((100 * 2 * (0.0001 + 0.0001), 100 * 2 * (0.0002 + 0.0002)))
    assert one.expected_s == pytest.approx(one.moments * 0.3 * 1 + one.stays * 0.3 * 75)


def test_what_takes_down_all_of_the_robot_or_all_of_the_drive_is_told() -> None:
    """By hand: what radio and controller hang on; where the drive chain leaves the controller; nothing else."""
    robot = {(one.what, one.name) for one in points("breakwater") if one.whole == "robot"}
    feeds = ("regulator", "robot controller", "steady block", "switch")
    assert robot == {
        *(("ends", name) for name in ("main", "radio", *feeds)),
        *(("ends", f"field network: {name} to switch") for name in ("regulator", "robot controller")),
        *(("protection", name) for name in ("main breaker", "regulator", "robot controller", "steady block", "switch")),
        *(("device", name) for name in ("radio", *feeds)),
    }
    drive = [one for one in points("breakwater") if one.whole == "drive"]
    assert [one.name for one in drive] == ["drive chain: robot controller to front right drive"]


def test_a_moment_costs_what_it_takes_to_come_back() -> None:
    """The radio 50 s, the network switch 5 s, two cameras 20 s of a small share, a chain a second; all by hand."""
    plan = example_plan("breakwater")
    assert match_cost(plan, Down(dark=("radio",), vital=("radio",))).moment_s == 50
    switch = point(points("breakwater"), "ends", "switch")
    assert (switch.cost.moment_s, switch.cost.stays_s, switch.cost.back_after_s) == (5, 75, 5)
    cameras = match_cost(plan, Down(dark=("front camera", "rear camera")))
    assert (cameras.moment_s, cameras.stays_s) == pytest.approx((20 * 0.1, 75 * 0.1))
    steady = point(points("breakwater"), "ends", "steady block")
    # All stands for 5 s until the switch is back, then two cameras are away until 20 s; the sensors were back before.
    assert steady.cost.moment_s == pytest.approx(5 + 15 * 0.1)
    assert match_cost(plan, Down()).stays_s == 0


@pytest.mark.parametrize("name", EXAMPLES)
def test_laws_of_cost(name: str) -> None:
    """A moment never costs more than the rest of the match, nothing more than all of it; the dearest stand first."""
    found = points(name)
    for one in found:
        assert 0 <= one.cost.moment_s <= one.cost.stays_s <= seconds("match") / 2
        assert one.expected_s == pytest.approx(one.moments * one.cost.moment_s + one.stays * one.cost.stays_s)
        assert one.remedies
    assert [one.expected_s for one in found] == sorted((one.expected_s for one in found), reverse=True)
    assert len({seat for one in found for seat in one.seats}) == sum(len(one.seats) for one in found)


SMALL = """
robot: Small
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/12-heavy-12-light-2-fused, lead length: 20 cm}
  sub: {part: block/sub-6-light, from: block, lead length: 30 cm}
mechanisms:
  lift: {motor: motor/brushless-350w, controller: controller/inline-40a, from: sub, length: 60 cm,
        protection: 20 A, limit: {supply: 15 A}}
  arm: {motor: motor/brushless-350w, controller: controller/inline-40a, from: sub, length: 60 cm,
       protection: 20 A, limit: {supply: 15 A}}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, length: 40 cm}
  regulator: {part: regulator/12v-3a-5v-3a, feed: fused, length: 40 cm}
  radio: {part: radio/plug-fed, from: regulator, length: 40 cm}
lights:
  strip: {part: light/strip-5v, from: regulator, draw: 1 A, length: 40 cm}
data: {network: {kind: network, links: [[robot controller, radio]]}}
"""


def test_what_would_help_follows_from_what_is_lost() -> None:
    """A plug that friction holds, a regulator that all hangs on, two mechanisms on one feed, a button, a spare."""
    found = weak_points(plan_of(SMALL))
    radio = point(found, "ends", "radio")
    assert radio.remedies[0].startswith("A latch or a tie")
    assert "A feed of its own for radio" in point(found, "ends", "regulator").remedies[0]
    assert "one feed carries arm and lift" in point(found, "ends", "sub").remedies[0]
    assert point(found, "protection", "main breaker").remedies[0].startswith("A guard over its button")
    assert point(found, "device", "robot controller").remedies == (
        "A spare with its number and its settings, tried before the event.",
    )
    assert "lift tower" in point(points("breakwater"), "ends", "arm").remedies[0]
    chain = {one.name: one.remedies for one in points("breakwater") if one.name.startswith("drive chain")}
    assert not any("Drive first" in words for words in chain["drive chain: robot controller to front right drive"])
    assert "Drive first" in chain["drive chain: compass to front left angle"][0]


def test_a_plug_that_only_friction_holds_opens_three_times_as_often() -> None:
    held = SMALL.replace("radio/plug-fed", "radio/generic")
    loose, clamped = (point(weak_points(plan_of(text)), "ends", "radio") for text in (SMALL, held))
    assert loose.ends == clamped.ends == 4
    assert loose.moments > clamped.moments


def test_without_a_battery_that_is_known_nothing_is_told() -> None:
    with pytest.raises(NoBatteryError):
        weak_points(plan_of("robot: Bare\n"))
