"""The order of building: every wire once, in an order that hands can follow, and that one more motor does not upset."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.proof.build_order import BuildGroup, Stage, build_order
from loomwright.proof.steps import Step, Work
from loomwright.proof.trunk_walk import walk
from loomwright.rulebook.lookup import feeds
from loomwright.search import Effort
from loomwright.wiring.result import CircuitKind
from tests.proof.small_robots import TWO_PLATES
from tests.robots import EXAMPLES, as_text, example_plan, example_text, measured_trainer, plan_of, robots, shuffled


@lru_cache(maxsize=1)
def two_plates() -> Plan:
    return plan_of(TWO_PLATES, effort=Effort.USUAL)


def _steps(groups: tuple[BuildGroup, ...]) -> list[Step]:
    return [step for group in groups for step in group.steps]


def _keys(plan: Plan) -> list[tuple[str, str]]:
    """Return circuit and role of every wire in the order of building: names that stay when ids do not."""
    by_id = {wire.id: wire.key for wire in plan.wires}
    return [by_id[wire] for group in build_order(plan) for wire in group.wires]


def test_a_small_robot_in_an_order_worked_by_hand() -> None:
    """Seen from the block, the waist is 15 cm away and both rails 18 cm; the arm hangs behind the moving tower."""
    told = [(group.title, [step.circuit for step in group.steps]) for group in build_order(two_plates())]
    assert told == [
        ("Main leads", ["main", "main", "main"]),
        ("Feeds of sub-blocks", ["sub"]),
        ("waist: power", ["regulator", "robot controller", "left front"]),
        ("left rail: power", ["left rear"]),
        ("right rail: power", ["vision"]),
        ("waist: small power", ["radio"]),
        ("right rail: small power", ["beacon"]),
        ("Off the trunks: motor leads", ["left front: motor side", "left rear: motor side"]),
        ("left rail: data", ["chain: left rear to left front"]),
        ("right rail: data", ["net: robot controller to regulator", "chain: robot controller to left rear"]),
        ("Off the trunks: data", ["beacon: jumper"]),
        ("tower: power", ["arm"]),
        ("tower: motor leads", ["arm: motor side"]),
        ("tower: data", ["chain: left front to arm", "chain: arm to block"]),
        ("Waiting for an answer", ["reach: on digital 0"]),
        ("Battery leads", ["main"]),
    ]
    assert [group.title for group in build_order(two_plates()) if group.moving] == [
        "tower: power",
        "tower: motor leads",
        "tower: data",
    ]


def test_the_main_leads_come_first_and_those_that_touch_the_battery_last() -> None:
    """Plug to breaker, breaker to block, plug to block; at the end the pair that is closed at the posts."""
    groups = build_order(two_plates())
    by_id = {wire.id: wire.role for wire in two_plates().wires}
    assert [by_id[wire] for wire in groups[0].wires] == [
        "battery plug to main breaker, plus",
        "main breaker to block, plus",
        "battery plug to block, minus",
    ]
    last = groups[-1]
    assert last.stage is Stage.BATTERY, "what waits for an answer comes before it"
    assert [by_id[wire] for wire in last.wires] == ["battery to battery plug, plus", "battery to battery plug, minus"]
    assert [(step.first, step.second) for step in last.steps] == [("B", "A")]
    assert "One post at a time" in last.do


def test_each_kind_of_wire_says_what_is_done_and_what_goes_on_before_its_second_end() -> None:
    """A lug's heat-shrink and both flags are on the wire in time; a clamp is closed in place, after the crimped end."""
    by_circuit: dict[str, list[Step]] = {}
    for step in _steps(build_order(two_plates())):
        by_circuit.setdefault(step.circuit, []).append(step)
    to_breaker, to_block, _, battery = by_circuit["main"]
    assert (to_block.first, to_block.second) == ("A", "B")
    assert to_block.reminder == "Before end B is made, put on flag A, flag B and heat-shrink for end A."
    assert to_breaker.second == "A"
    assert battery.waits_for == ("flag A", "flag B", "boot for end A", "heat-shrink for end A")
    (radio,) = by_circuit["radio"]
    assert (radio.work, radio.second, radio.reminder) == (Work.PLUG, "", "Put on flag A and flag B.")
    (motor,) = by_circuit["left front: motor side"]
    assert (motor.work, motor.first, motor.second, len(motor.wires)) == (Work.LEAD, "", "A", 3)
    assert by_circuit["left front"][0].work is Work.CUT


def test_a_lead_that_no_wire_goes_to_is_insulated() -> None:
    """A brushed motor leaves the middle one of three phases bare; three-phase motors leave none (common practice)."""
    steps = [step for group in build_order(example_plan("tidepool")) for step in group.steps]
    bare = {step.circuit: step.to_cover for step in steps if step.to_cover}
    assert bare == {"arm: motor side": ("arm controller motor phase b",)}
    told = next(step.reminder for step in steps if step.to_cover)
    assert told.endswith("Insulate the bare end of arm controller motor phase b: no wire goes there.")


def test_a_wire_that_waits_says_what_is_missing_and_comes_last() -> None:
    """The sensor has no place and no length; what has no slot says where it does not go yet."""
    (waiting,) = (step for step in _steps(build_order(two_plates())) if step.missing)
    assert waiting.missing == ("its length",)
    unknown = TWO_PLATES.replace("slot: H1", "slot: unknown")
    steps = {step.circuit: step for step in _steps(build_order(plan_of(unknown)))}
    assert steps["left front"].missing == ("its length", "where end A goes")


def test_fixed_work_says_to_fit_the_edge_first_and_moving_work_to_try_the_travel() -> None:
    """The left rail has a sharp edge; only wires that cross the joint themselves are tried over its travel."""
    by_title = {group.title: group for group in build_order(two_plates())}
    assert by_title["left rail: power"].do.endswith("Fit the edge strip or grommet first.")
    assert "edge strip" not in by_title["waist: power"].do
    assert "both ends of the travel" in by_title["tower: power"].why
    assert "both ends of the travel" not in by_title["tower: motor leads"].why
    assert "nicked" in by_title["left rail: data"].why


def test_lower_trunks_come_before_upper_ones_and_inner_before_outer() -> None:
    """The deck rail lies on the second plate; among those below, the distance from the block decides."""
    turns = {name: turn for name, turn in walk(two_plates()).items() if not name.startswith("link")}
    assert sorted(turns, key=lambda name: turns[name]) == [
        "tower",
        "waist",
        "left rail",
        "right rail",
        "mast",
        "deck rail",
    ]
    assert [turns[name][:2] for name in ("waist", "left rail", "mast", "deck rail")] == [
        (1, 150),
        (1, 180),
        (1, 234),
        (2, 180),
    ]


def test_the_examples_are_built_in_so_many_groups() -> None:
    """Main numbers of the three examples, counted on their printed order."""
    told = {}
    for name in EXAMPLES:
        groups = build_order(example_plan(name))
        told[name] = (len(groups), len(_steps(groups)), sum(len(group.wires) for group in groups))
    assert told == {"tidepool": (16, 52, 107), "breakwater": (27, 69, 138), "rockpool": (8, 13, 22)}
    untold = measured_trainer().replace("    signal length: 35 cm\n", "")
    waiting = build_order(plan_of(untold, effort=Effort.USUAL))[-2]
    assert (waiting.title, waiting.wires) == ("Waiting for an answer", ("W19", "W20", "W21", "W22"))


def test_the_order_of_the_file_decides_nothing() -> None:
    data = shuffled(yaml.safe_load(TWO_PLATES), 4)
    turned = plan_of(yaml.safe_dump(data, sort_keys=False), effort=Effort.USUAL)
    assert build_order(turned) == build_order(two_plates())


def test_one_more_motor_shuffles_nothing_else() -> None:
    """Planned again with a fourth motor, ids kept: the wires that were there stand in the same order as before."""
    new = "  a new one: {motor: motor/brushless-500w, controller: controller/inline-40a, at: [54 cm, 52 cm], id: 4}\n"
    more = TWO_PLATES.replace("  arm: {", f"{new}  arm: {{")
    before = two_plates()
    after = plan_of(more, memory=remembered(before), effort=Effort.USUAL)
    known = set(_keys(before))
    assert {wire.circuit for wire in after.wires} - {wire.circuit for wire in before.wires} == {
        "a new one",
        "a new one: motor side",
    }
    assert [key for key in _keys(after) if key in known] == _keys(before)


def test_what_is_fed_by_wires_that_wait_is_not_said_to_have_its_feed() -> None:
    """The starter's controllers have no supply wires yet, as their lengths wait; once those are told, they have."""
    untold = example_text("starter")
    told = untold.replace("inline-40a}", "inline-40a, length: 85 cm}")
    reasons = {}
    for text in (untold, told):
        groups = build_order(plan_of(text))
        (motors,) = [group for group in groups if group.stage is Stage.MOTORS]
        reasons[text] = motors.why
        assert groups[-1].stage is Stage.BATTERY
    assert "still wait" in reasons[untold]
    assert "has its wires now" in reasons[told]


def test_wires_that_are_on_the_robot_are_marked() -> None:
    """What the plan took for made need not be made again, so it waits for no length either."""
    plan = two_plates()
    some = frozenset(wire.key for wire in plan.wires if wire.circuit == "left front")
    done = [step.circuit for step in _steps(build_order(replace(plan, made=some))) if step.made]
    assert done == ["left front"]
    unknown = frozenset(wire.key for wire in plan.wires if wire.circuit == "reach: on digital 0")
    assert [group.stage for group in build_order(replace(plan, made=unknown)) if group.stage is Stage.WAITING] == []


@settings(max_examples=25, deadline=None)
@given(robots(most_motors=5), st.integers(0, 30))
def test_laws_of_the_order(robot: dict[str, Any], which: int) -> None:
    """Every wire once; pairs together; feeds first; data after power; without one motor the rest stands as it did."""
    plan = plan_of(as_text(robot))
    groups = build_order(plan)
    order = [wire for group in groups for wire in group.wires]
    assert sorted(order) == sorted(wire.id for wire in plan.wires)
    at = {wire: n for n, wire in enumerate(order)}
    for wire in plan.wires:
        if wire.twisted_with:
            assert abs(at[wire.id] - at[wire.twisted_with]) == 1
    _feeds_come_first(plan, at, {wire for group in groups if group.stage is Stage.WAITING for wire in group.wires})
    assert all(group.stage not in (Stage.WAITING, Stage.BATTERY) for group in groups[:-2])
    fixed = [group.stage for group in groups if not group.moving]
    assert all(list(Stage).index(one) <= list(Stage).index(other) for one, other in pairwise(fixed))
    for group in groups:
        assert group.do
        assert group.why
        assert all(bool(step.missing) == (group.stage is Stage.WAITING) for step in group.steps)
    motors = [c.id for c in plan.circuits if c.circuit.kind is CircuitKind.MOTOR]
    if motors:
        gone = motors[which % len(motors)]
        fewer = replace(plan, circuits=tuple(c for c in plan.circuits if c.id not in (gone, gone.split(":")[0])))
        left = {wire.id for wire in fewer.wires}
        assert [wire for group in build_order(fewer) for wire in group.wires] == [w for w in order if w in left]


def _feeds_come_first(plan: Plan, at: dict[str, int], waiting: set[str]) -> None:
    """Hold that a wire's feed is laid before it, unless one of the two waits for an answer."""
    for circuit in plan.circuits:
        if not circuit.circuit.kind.carries_power or circuit.circuit.kind is CircuitKind.MAIN or not circuit.source:
            continue
        for feed in feeds(plan, circuit.source):
            pairs = [(wire.id, other.id) for wire in circuit.wires for other in feed.wires]
            assert all(at[other] < at[wire] for wire, other in pairs if waiting.isdisjoint((wire, other)))


def test_hostile_names_are_told_as_they_are() -> None:
    """The longest name, one from right to left, an emoji, a leading =: they name groups and steps, no more."""
    names = ("x" * 60, "\u05de\u05e0\u05d5\u05e2", "\U0001f980", "=1+1", "../x")
    text = yaml.safe_load(TWO_PLATES)
    for n, name in enumerate(names):
        text["mechanisms"][name] = {
            "motor": "motor/brushless-350w",
            "controller": "controller/inline-40a",
            "id": 10 + n,
        }
    plan = plan_of(yaml.safe_dump(text, sort_keys=False, allow_unicode=True))
    assert set(names) <= {step.circuit for step in _steps(build_order(plan))}
