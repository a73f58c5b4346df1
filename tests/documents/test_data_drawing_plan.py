"""The Data drawing shows what the plan holds: every device of a bus and every data wire once, in order, with its id."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, Phase, given, settings

from loomwright.documents.data_wiring.drawing import draw
from loomwright.documents.data_wiring.plan import data_scenes, data_sheet, data_svg
from loomwright.documents.data_wiring.sheet import DataChain, DataSheet, Ending
from loomwright.documents.legibility import faults
from loomwright.documents.plate.page import Paper
from loomwright.documents.scene import Group, Scene, Text, marks
from loomwright.model.part import Polarity, Valued
from loomwright.plan.result import Plan
from loomwright.wiring.result import CircuitKind
from tests.robots import EXAMPLES, as_text, example_text, plan_of, robots, shuffled

PAPERS = (Paper("A4", 297, 210), Paper("A4", 210, 297), Paper("Letter", 279.4, 215.9), Paper("Letter", 215.9, 279.4))
ON_IT = (CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.SIGNAL)


@lru_cache(maxsize=4)
def example(name: str) -> Plan:
    """Plan a shipped example with the first answers."""
    return plan_of(example_text(name))


def data_wires(plan: Plan) -> Counter[str]:
    """Count the ids of all wires that carry data or a signal, and of all cables."""
    cables = [w for w in plan.wires if Polarity.CABLE in (w.a.polarity, w.b.polarity)]
    return Counter({wire.id for wire in [*(w for w in plan.wires if w.kind in ON_IT), *cables]})


def drawn(scenes: tuple[Scene, ...], role: str) -> list[Group]:
    """Return the groups of one role, page by page."""
    return [group for scene in scenes for group in scene.groups(role)]


def texts_of(group: Group) -> list[str]:
    """Return the whole texts of a group."""
    return [mark.full or mark.text for mark in marks(group.items) if isinstance(mark, Text)]


def by_chain(scenes: tuple[Scene, ...]) -> dict[str, list[Group]]:
    """Return the devices of each chain in the order in which they are drawn."""
    held: dict[str, list[Group]] = {}
    for row in drawn(scenes, "chain-row"):
        held.setdefault(row.about, []).extend(g for g in row.items if isinstance(g, Group) and g.role == "device")
    return held


def check(plan: Plan, scenes: tuple[Scene, ...]) -> None:
    """Hold a drawing against its plan."""
    assert [faults(scene) for scene in scenes] == [()] * len(scenes)
    assert Counter(group.about for group in drawn(scenes, "wire")) == data_wires(plan)
    chains = by_chain(scenes)
    for bus in plan.robot.buses:
        if bus.kind != "bus":
            continue
        told = bus.order.value if bus.order.value is not None else tuple(bus.members)
        there = [name for name in told if (d := plan.robot.device(name)) is not None and not d.absent]
        shown = [group.about for group in chains.get(bus.name, [])]
        assert shown == there if bus.order.value is not None else set(there) <= set(shown)
        for place, group in enumerate(chains.get(bus.name, []), 1):
            device = plan.robot.device(group.about)
            assert device is not None
            words = texts_of(group)
            assert (str(place) in words) or bus.order.value is None
            assert device.called in words
            number = device.key.number.value
            assert number is None or any(word.rstrip("?") == f"id {number}" for word in words)


# ------------------------------------------------------------------ the examples
@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: f"{paper.name} {paper.width_mm:g}")
def test_everything_stands_on_the_pages_of_an_example_once(name: str, paper: Paper) -> None:
    check(example(name), data_scenes(example(name), page=paper))


@pytest.mark.parametrize("name", EXAMPLES)
def test_everything_stands_on_the_one_sheet_of_an_example_once(name: str) -> None:
    check(example(name), (draw(data_sheet(example(name))),))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wire_says_its_colour_gauge_and_length_as_the_plan_has_them(name: str) -> None:
    plan = example(name)
    wires = {wire.id: wire for wire in plan.wires}
    for shown in data_sheet(plan).wires():
        wire = wires[shown.id]
        assert (shown.colour, shown.gauge) == (wire.colour, str(wire.gauge) if wire.gauge else "")
        assert bool(shown.length) is (wire.length_m is not None)
        assert (shown.role, shown.own) == (wire.role, wire.captive)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_plan_gives_the_same_bytes_whatever_the_order_of_the_file(name: str) -> None:
    typed = yaml.load(example_text(name), Loader=yaml.BaseLoader)  # noqa: S506  texts only
    text = as_text(shuffled(typed, 3))
    assert data_svg(example(name)) == data_svg(example(name)) == data_svg(plan_of(text))


def test_an_order_that_the_tool_chose_is_said_to_be_its_own() -> None:
    sheet = data_sheet(example("breakwater"))
    assert [chain.name for chain in sheet.chains] == ["drive chain", "tool chain"]
    drive, tool = sheet.chains
    assert "wire" in drive.order
    assert tool.order == "order as planned"


def test_terminators_of_the_examples_stand_at_the_ends_that_the_file_names() -> None:
    main = data_sheet(example("tidepool")).chains[0]
    assert main.start is not None
    assert main.end is not None
    assert (main.start.state, main.start.how, main.start.ohms) == (Ending.FITTED, "built in", "120 Ω")
    assert (main.end.state, main.end.how, main.end.ohms) == (Ending.FITTED, "switch on", "120 Ω")
    tool = data_sheet(example("breakwater")).chains[1]
    assert tool.end is not None
    assert (tool.end.state, tool.end.how) == (Ending.FITTED, "plug-on")
    assert (main.expect, tool.expect) == ("60 Ω", "60 Ω")


def test_the_computer_says_which_of_its_bus_sockets_each_chain_is_on() -> None:
    drive, tool = data_sheet(example("breakwater")).chains
    assert (drive.places[0].outlet, tool.places[0].outlet) == ("bus 1", "bus 2")


def test_cables_meet_at_the_switch_and_the_one_that_feeds_the_radio_says_so() -> None:
    network = data_sheet(example("breakwater")).sections[0]
    switch, regulator = network.hubs
    assert [lead.socket for lead in switch.leads] == [f"network {i}" for i in range(1, 6)]
    assert [lead.far for lead in switch.leads][-1] == "rear camera"
    (radio,) = regulator.leads
    assert (regulator.name, radio.socket, radio.far, radio.power) == ("regulator", "radio", "radio", "12 V")
    assert [lead.power for lead in switch.leads] == [""] * 5
    assert [wire.from_left for lead in (*switch.leads, radio) for wire in lead.wires] == [False] * 5 + [True]


def test_signal_leads_start_at_the_sockets_that_they_are_plugged_into() -> None:
    signals = next(s for s in data_sheet(example("tidepool")).sections if s.title == "Signal leads")
    told = {(hub.name, lead.socket): lead.far for hub in signals.hubs for lead in hub.leads}
    assert told == {
        ("robot controller", "digital 0"): "lift low",
        ("robot controller", "digital 1"): "lift high",
        ("robot controller", "pulse 0"): "climber",
        ("air module", "pressure switch"): "pressure switch",
        ("arm", "data"): "compass",
    }
    assert signals.hubs[0].name == "robot controller"


def test_the_jumper_of_the_signal_light_stands_between_its_terminals() -> None:
    jumper = next(s for s in data_sheet(example("rockpool")).sections if s.title.startswith("Jumper"))
    (lead,) = jumper.hubs[0].leads
    assert (lead.socket, lead.far, lead.far_detail) == ("terminal L1", "beacon", "terminal L2")
    assert jumper.notes == (
        "beacon: L1 has two openings: one for the plus wire, one for the jumper. The file says that it is set: look.",
    )


# ------------------------------------------------------------------ robots made for the test
@settings(
    max_examples=4,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
@given(robots(most_motors=8))
def test_everything_stands_on_the_drawing_of_any_robot_once(robot: dict[str, Any]) -> None:
    plan = plan_of(as_text(robot))
    check(plan, (draw(data_sheet(plan)),))
    check(plan, data_scenes(plan))


def robot_with(names: list[str], **chain: Any) -> dict[str, Any]:  # noqa: ANN401  any data of a file
    """Return a robot with a brushless motor of each name on a chain that is said as given."""
    motors = {
        name: {"motor": "motor/brushless-500w", "controller": "controller/inline-40a", "id": i, "maker": "group A"}
        for i, name in enumerate(names, 1)
    }
    return {
        "robot": "Testling",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG"},
        "main breaker": {"part": "breaker/main-120a"},
        "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused"}},
        "mechanisms": {"all": {"motors": motors}},
        "electronics": {"robot controller": {"part": "computer/robot-controller", "feed": "fused"}},
        "data": {"chain": chain or {"order": ["robot controller", *names, "block"]}},
    }


def sheet_of(robot: dict[str, Any]) -> tuple[Plan, DataSheet]:
    """Plan a robot and return what its Data drawing shows."""
    plan = plan_of(as_text(robot))
    return plan, data_sheet(plan)


def only_chain(robot: dict[str, Any]) -> DataChain:
    """Return the one chain of a robot."""
    (chain,) = sheet_of(robot)[1].chains
    return chain


def test_a_chain_of_24_devices_is_whole() -> None:
    plan = plan_of(as_text(robot_with([f"m {i}" for i in range(1, 23)])))
    for paper in PAPERS:
        check(plan, data_scenes(plan, page=paper))
    assert len(data_sheet(plan).chains[0].places) == 24


def test_an_unknown_order_is_told_and_no_hop_is_drawn() -> None:
    robot = robot_with(["a", "b", "c"], order="unknown", devices=["a", "b", "c"], terminators=["robot controller"])
    robot["data"]["chain"]["devices"].append("robot controller")
    plan, sheet = sheet_of(robot)
    (chain,) = sheet.chains
    assert not chain.ordered
    assert chain.order == "nobody knows its order"
    assert [place.name for place in chain.places] == ["a", "b", "c", "robot controller"]
    assert chain.places[-1].hint == "terminator built in: at an end"
    assert any("The order of the devices along chain is not known" in note for note in chain.notes)
    check(plan, data_scenes(plan))


def test_who_is_said_to_have_a_terminator_is_on_a_chain_of_unknown_order() -> None:
    robot = robot_with(["a", "b"], order="unknown", terminators=["robot controller", "block"])
    for motor in robot["mechanisms"]["all"]["motors"].values():
        motor["bus"] = "chain"
    chain = only_chain(robot)
    assert [place.name for place in chain.places] == ["a", "b", "block", "robot controller"]
    assert [place.hint for place in chain.places][2:] == ["terminator on: at an end", "terminator built in: at an end"]


def test_orders_that_disagree_and_orders_that_can_not_be_chosen_are_told_apart() -> None:
    disputed = {"claims": [{"value": ["robot controller", "a"], "source": "code"}, ["a", "robot controller"]]}
    assert only_chain(robot_with(["a"], order=disputed)).order == "2 statements about its order disagree"
    waiting = only_chain(robot_with(["a", "b"], order="shortest", devices=["robot controller", "a", "b"]))
    assert (waiting.ordered, waiting.order) == (False, "its order can't be chosen yet")


def test_ends_that_the_file_does_not_tell_are_asked_and_a_missing_terminator_is_a_fault() -> None:
    asked = only_chain(robot_with(["a"]))
    assert asked.end is not None
    assert (asked.end.state, asked.end.how, asked.expect) == (Ending.ASKED, "has a switch", "")
    order = ["robot controller", "block", "a"]
    missing = only_chain(robot_with(["a"], order=order, terminators=["robot controller"]))
    assert missing.end is not None
    assert (missing.end.state, missing.end.how, missing.expect) == (Ending.MISSING, "fit one", "")
    assert missing.places[1].hint == "terminator switch: off"
    assert any("without a terminator" in note for note in missing.notes)


def test_a_terminator_between_the_ends_is_a_warning() -> None:
    order = ["a", "robot controller", "block", "b"]
    chain = only_chain(robot_with(["a", "b"], order=order, terminators=["a", "block"]))
    assert [place.warning for place in chain.places] == ["", "terminator inside", "terminator inside", ""]
    assert chain.seen_from == 2


def test_the_reading_follows_from_the_resistors_that_the_parts_have() -> None:
    """120 and 180 ohm in parallel are 72 ohm."""
    plan = plan_of(as_text(robot_with(["a"], order=["robot controller", "a", "block"], terminators=["block"])))
    held = plan.robot.device("block")
    assert held is not None
    values = MappingProxyType({**held.part.values, "terminator resistance": Valued(180.0, "resistance", "given")})
    block = replace(held, part=replace(held.part, values=values))
    devices = tuple(block if device.id == "block" else device for device in plan.robot.devices)
    other = replace(plan, robot=replace(plan.robot, devices=devices))
    assert (data_sheet(plan).chains[0].expect, data_sheet(other).chains[0].expect) == ("60 Ω", "72 Ω")


def test_ids_are_asked_where_a_device_has_one_and_nobody_said_which() -> None:
    robot = robot_with(["a", "b", "c", "d"])
    motors = robot["mechanisms"]["all"]["motors"]
    motors["a"]["id"] = "unknown"
    motors["b"]["id"] = "7 (guessed)"
    del motors["c"]["id"]
    places = {place.name: place for place in only_chain(robot).places}
    told = {name: (place.number, place.asks) for name, place in places.items()}
    assert told == {
        "robot controller": ("", False),
        "a": ("", True),
        "b": ("7", True),
        "c": ("", True),
        "d": ("4", False),
        "block": ("", True),
    }


def test_only_ids_of_one_type_and_maker_clash() -> None:
    """Two controllers of one maker with one id are marked; a sensor with the same id, and another maker's, are not."""
    robot = robot_with(["a", "b", "c"], order=["robot controller", "a", "b", "c", "wheel angle"])
    motors = robot["mechanisms"]["all"]["motors"]
    for name, maker in (("a", "group A"), ("b", "group A"), ("c", "group B")):
        motors[name] |= {"id": 5, "maker": maker}
    robot["sensors"] = {"wheel angle": {"part": "sensor/angle-bus", "from": "block", "id": 5, "maker": "group A"}}
    chain = only_chain(robot)
    warned = {place.name: place.warning for place in chain.places if place.warning}
    assert warned == {"a": "id used twice here", "b": "id used twice here"}
    assert any("share the number 5" in note for note in chain.notes)


def test_the_factory_id_is_marked_on_a_controller_and_not_on_the_block() -> None:
    robot = robot_with(["a", "b"])
    robot["mechanisms"]["all"]["motors"]["a"]["id"] = 0
    robot["blocks"]["block"]["id"] = 0
    chain = only_chain(robot)
    assert {place.name: place.warning for place in chain.places if place.warning} == {"a": "still the factory id"}
    assert chain.places[-1].number == "0"


def test_a_stretch_that_no_ports_allow_is_drawn_as_an_unknown_wire() -> None:
    robot = robot_with(["a"], order=["robot controller", "end", "a"])
    robot["electronics"]["end"] = {"part": "terminator/bus-120-ohm"}
    plan, sheet = sheet_of(robot)
    (chain,) = sheet.chains
    assert [len(hop) for hop in chain.hops] == [2, 0]
    assert any(chain.places[1].name in finding.what for finding in plan.findings)
    check(plan, data_scenes(plan))


def test_a_radio_whose_feed_nobody_knows_hangs_on_nothing_known() -> None:
    robot = robot_with(["a"])
    robot["electronics"]["radio"] = {"part": "radio/generic", "from": "unknown", "over": "network cable"}
    plan, sheet = sheet_of(robot)
    network = next((s for s in sheet.sections if s.title == "Network cables"), None)
    assert network is not None
    assert [(hub.name, lead.far) for hub in network.hubs for lead in hub.leads] == [("not known yet", "radio")]
    check(plan, data_scenes(plan))


def test_one_output_that_drives_two_controllers_is_drawn_with_both() -> None:
    robot = robot_with(["a"])
    motors = robot["mechanisms"]["all"]["motors"]
    for name in ("p", "q"):
        motors[name] = {"motor": "motor/brushed-340w", "controller": "controller/clamp-brushed-30a", "port": "pulse 3"}
    plan, sheet = sheet_of(robot)
    signals = next(s for s in sheet.sections if s.title == "Signal leads")
    assert [(lead.socket, lead.far) for lead in signals.hubs[0].leads] == [("pulse 3", "p"), ("pulse 3", "q")]
    check(plan, data_scenes(plan))


def test_hostile_names_stay_in_their_boxes_with_their_ids() -> None:
    names = ["x" * 60, "W" * 40 + " y", "🤖🤖🤖 robot", "מנוע שמאל קדמי", "左前电机", "é" * 50, "=SUM", "../etc/passwd"]
    robot = robot_with(names)
    robot["robot"] = "R" * 60
    plan = plan_of(as_text(robot))
    check(plan, (draw(data_sheet(plan)),))
    for paper in PAPERS:
        check(plan, data_scenes(plan, page=paper))
    assert b"../etc" in data_svg(plan)


def test_a_plan_without_any_data_says_that_there_is_none() -> None:
    robot = robot_with(["a"])
    del robot["data"], robot["electronics"]
    (page,) = data_scenes(plan_of(as_text(robot)))
    assert any("no data bus" in text.text for text in page.texts())
