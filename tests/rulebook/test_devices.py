"""Devices that every robot has, where they are fed from, and what people have to look at."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.model.device import Feed
from loomwright.model.fact import State
from loomwright.model.part import Polarity
from loomwright.plan.result import Plan
from loomwright.wiring.result import CircuitKind
from tests.rulebook.factory import (
    BLOCK,
    LIGHT,
    adding,
    claims,
    device,
    end,
    feed,
    finds,
    judged,
    planned,
    said,
    silent,
    sound_plan,
    unknown,
    wire,
    with_circuit,
    with_device,
    with_robot,
    without,
)

REQUIRED = {
    "main breaker": "main-breaker-present",
    "battery plug": "battery-plug-present",
    "robot controller": "robot-controller-present",
    "beacon": "signal-light-present",
}


# ---------------------------------------------------------------- required devices
@pytest.mark.parametrize(("name", "rule"), REQUIRED.items())
def test_a_missing_device_is_found_with_the_line_to_write(name: str, rule: str) -> None:
    """Each required device by its own rule."""
    finding = finds("required device", without(sound_plan(), name), "required-device")
    assert finding.source == rule
    assert "`" in finding.fix


@pytest.mark.parametrize("name", REQUIRED)
def test_a_device_said_to_be_gone_is_found_where_that_is_said(name: str) -> None:
    """`present: no` of the only one."""
    plan = with_device(sound_plan(), name, present=said(value=False, line=66))
    finding = finds("required device", plan, "required-device")
    assert finding.place.line == 66


@pytest.mark.parametrize("name", REQUIRED)
def test_a_device_that_may_not_be_there_is_a_question(name: str) -> None:
    """Doubtful existence."""
    finds("required device", with_device(sound_plan(), name, present=unknown()), "required-device", "should")
    guess = said(value=True, state=State.GUESSED)
    finds("required device", with_device(sound_plan(), name, present=guess), "required-device", "should")


def test_a_robot_that_asks_is_asked_for_what_it_does_not_name() -> None:
    """Its file may simply not have got that far."""
    plan = with_robot(without(sound_plan(), "beacon"), asks=True)
    assert "Is there one?" in finds("required device", plan, "required-device", "should").what


def test_a_robot_that_asks_knows_what_it_says_is_gone() -> None:
    """`present: no` is an answer."""
    plan = with_device(with_robot(sound_plan(), asks=True), "beacon", present=said(value=False))
    finds("required device", plan, "required-device")


def test_one_of_two_lights_is_enough() -> None:
    """One is gone and one is there; one is gone and one is doubtful; one is doubtful and one is there."""
    spare = device("spare beacon", LIGHT, 70, checks={"jumper": said(value=True)})
    plan = with_robot(sound_plan(), devices=(*sound_plan().robot.devices, spare))
    gone = with_device(plan, "beacon", present=said(value=False))
    silent("required device", gone)
    silent("required device", with_device(plan, "beacon", present=unknown()))
    both = with_device(gone, "spare beacon", present=unknown(71))
    assert finds("required device", both, "required-device", "should").place.line == 71


def test_a_source_known_only_by_family_is_no_wrong_feed() -> None:
    """Nobody knows what it is."""
    plan = with_circuit(sound_plan(), "beacon", source="block", slot="H3")
    block = plan.robot.device("block")
    assert block is not None
    silent("fed by", with_device(plan, "block", part=replace(block.part, family=True)))


def test_without_anything_that_could_feed_it_the_fix_says_what_to_add() -> None:
    """No robot controller, and the light on the block."""
    plan = without(with_circuit(sound_plan(), "beacon", source="block", slot="H3"), "robot controller")
    assert finds("fed by", plan, "fed-from-wrong-place").fix == (
        "Add what can feed it (computer/robot-controller), and name it with `from:`."
    )


def test_a_light_of_the_teams_own_class_is_known_by_its_input() -> None:
    """`light/ours` with a signal light's input is a signal light; the controller's output is not."""
    own = replace(LIGHT, id="light/ours")
    silent("required device", with_device(sound_plan(), "beacon", part=own))
    silent("fed by", with_device(sound_plan(), "beacon", part=own))


# ---------------------------------------------------------------- fed by
def test_a_signal_light_on_the_block_is_found() -> None:
    """It would be on whatever the controller does."""
    plan = with_circuit(sound_plan(), "beacon", source="block", slot="H3")
    finding = finds("fed by", plan, "fed-from-wrong-place")
    assert finding.source == "signal-light-feed"
    assert finding.what.startswith("beacon is fed from block. The signal light is fed by")
    assert finding.fix == "Write `from: robot controller`."


def test_a_robot_controller_on_a_heavy_slot_is_found() -> None:
    """It has a fused output of its own."""
    finding = finds("fed by", with_circuit(sound_plan(), "robot controller", slot="H3"), "fed-from-wrong-place")
    assert finding.source == "robot-controller-feed"
    assert "from slot H3 of block" in finding.what


def test_a_fused_slot_under_another_name_will_do() -> None:
    """A block of the team's own may call its groups as it likes; the fuse counts."""
    own = replace(BLOCK, sockets=tuple(replace(s, group="small") if s.name == "F1" else s for s in BLOCK.sockets))
    silent("fed by", with_device(sound_plan(), "block", part=own))


def test_a_guess_about_the_feed_is_a_question() -> None:
    """`from: block (guessed)`."""
    plan = with_circuit(sound_plan(), "beacon", source="block", slot="H3")
    plan = with_device(plan, "beacon", feed=Feed(source=said("block", state=State.GUESSED)))
    finds("fed by", plan, "fed-from-wrong-place", "should")


def test_a_feed_that_is_not_decided_is_no_wrong_feed() -> None:
    """Nothing is known to be wrong yet."""
    silent("fed by", with_circuit(sound_plan(), "robot controller", source="", slot=""))
    silent("fed by", sound_plan())


# ---------------------------------------------------------------- what people look at
LOOKS = [
    ("main breaker", "reachable", "must"),
    ("main breaker", "guarded", "should"),
    ("main breaker", "nuts visible", "should"),
    ("battery", "strapped", "must"),
    ("battery", "posts insulated", "must"),
    ("battery", "lock nuts", "should"),
    ("beacon", "jumper", "must"),
    ("robot controller", "shock mounted", "consider"),
    ("radio", "shock mounted", "consider"),
    ("block", "wires tied", "consider"),
]


def _answering(name: str, about: str, answer: object) -> Plan:
    held = sound_plan().robot.device(name)
    assert held is not None
    return with_device(sound_plan(), name, checks={**held.checks, about: answer})


@pytest.mark.parametrize(("name", "about", "severity"), LOOKS)
def test_answered_no_is_a_fault_at_the_answer(name: str, about: str, severity: str) -> None:
    """Guarded and nuts visible are separate looks with separate rules."""
    plan = _answering(name, about, said(value=False, line=12))
    [finding] = judged("answered yes", plan)
    assert (str(finding.severity), finding.place.line) == (severity, 12)
    assert f"`{about}: no`" in finding.what


@pytest.mark.parametrize(("name", "about", "severity"), LOOKS)
def test_no_answer_is_a_question_and_a_guess_is_one_too(name: str, about: str, severity: str) -> None:
    """Silence is no alarm, however grave the rule."""
    held = sound_plan().robot.device(name)
    assert held is not None
    silence = with_device(sound_plan(), name, checks={k: v for k, v in held.checks.items() if k != about})
    doubts = [unknown(), said(value=True, state=State.GUESSED), said(value=False, state=State.GUESSED)]
    for plan in (silence, *(_answering(name, about, doubt) for doubt in doubts)):
        [finding] = judged("answered yes", plan)
        assert str(finding.severity) == ("consider" if severity == "consider" else "should")
    two = _answering(name, about, claims((True, "code"), (False, "notebook")))
    assert "disagree" in judged("answered yes", two)[0].what


def test_nobody_asks_what_a_robot_does_not_have() -> None:
    """Without a main breaker there is one finding, not three more questions about it."""
    silent("answered yes", without(sound_plan(), "main breaker"))
    silent("answered yes", sound_plan())
    finds("answered yes", _answering("main breaker", "guarded", unknown()), "breaker-guarded", "should")


# ---------------------------------------------------------------- main breaker in plus
def test_a_minus_wire_at_the_breaker_is_found() -> None:
    """The breaker belongs in the positive lead only."""
    plan = sound_plan()
    breaker, held = plan.robot.device("main breaker"), plan.circuit("main")
    assert breaker is not None
    assert held is not None
    last = held.wires[-1]
    wires = (*held.wires[:-1], replace(last, b=end("B", breaker, "battery side", Polarity.MINUS)))
    finding = finds("breaker in the positive lead", with_circuit(plan, "main", wires=wires), "breaker-in-minus")
    assert "into the positive lead only" in finding.fix


def test_a_load_before_the_breaker_is_found() -> None:
    """A camera straight on the battery stays live when the breaker is open."""
    plan = sound_plan()
    battery = plan.robot.device("battery")
    assert battery is not None
    camera = device("camera", LIGHT, 60, feed=Feed(source=said("battery", 61)))
    camera = replace(camera, part=replace(LIGHT, id="camera/plain", sockets=LIGHT.sockets[:1], jumper=None))
    fed = feed(camera, battery, "posts", protection_a=None, gauge=18, kind=CircuitKind.OUTPUT)
    finding = finds("breaker in the positive lead", adding(plan, camera, fed), "past-the-breaker")
    assert finding.what.startswith("camera gets battery plus without passing the main breaker")
    assert finding.place.line == 61


def test_a_second_path_around_the_breaker_is_found_at_the_block() -> None:
    """A wire from the plug straight to the block."""
    plan = sound_plan()
    plug, block = plan.robot.device("battery plug"), plan.robot.device("block")
    assert plug is not None
    assert block is not None
    bypass = wire(
        "main 2",
        CircuitKind.MAIN,
        "plus",
        end("A", plug, "out", Polarity.PLUS),
        end("B", block, "feed", Polarity.PLUS),
        6,
    )
    more = planned("main 2", CircuitKind.MAIN, block, (bypass,), source=plug.id)
    plan = replace(plan, circuits=(*plan.circuits, more))
    assert "block gets" in finds("breaker in the positive lead", plan, "past-the-breaker").what


def test_a_lead_that_only_senses_the_battery_carries_no_power() -> None:
    """A signal wire from the plug is no second path."""
    plan = sound_plan()
    plug, block = plan.robot.device("battery plug"), plan.robot.device("block")
    assert plug is not None
    assert block is not None
    ends = end("A", plug, "out", Polarity.PLUS), end("B", block, "feed", Polarity.PLUS)
    sense = planned("sense", CircuitKind.SIGNAL, block, (wire("sense", CircuitKind.SIGNAL, "plus", *ends, 22),))
    silent("breaker in the positive lead", replace(plan, circuits=(*plan.circuits, sense)))


def test_plug_and_minus_before_the_breaker_are_fine() -> None:
    """The negative goes straight to the block; without a breaker another rule speaks."""
    silent("breaker in the positive lead", sound_plan())
    silent("breaker in the positive lead", without(sound_plan(), "main breaker"))
