"""The small questions that checks ask of a plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.rulebook.lookup import (
    drives,
    guard_of,
    is_a,
    members,
    on_bus,
    outlet_of,
    power_path,
    slot_of,
    source_of,
    told_as,
)
from tests.rulebook.factory import BREAKER, CONTROLLER, MOTOR, said, sound_plan, unknown, with_circuit, with_device


@pytest.mark.parametrize(
    ("word", "fits"),
    [
        ("breaker", True),
        ("breaker/main", True),
        ("breaker/main-plain", True),
        ("breaker/mai", False),
        ("main", False),
        ("break", False),
    ],
)
def test_a_word_names_a_kind_a_class_or_the_beginning_of_one(word: str, *, fits: bool) -> None:
    """Whole words only."""
    assert is_a(BREAKER, word) is fits


def test_a_device_is_told_by_the_name_in_the_file() -> None:
    """A controller goes by its motor's name; a device without such a name by its id."""
    held = sound_plan().robot.device("left drive controller")
    assert held is not None
    assert told_as(held) == "left drive"
    assert told_as(replace(held, called="")) == "left drive controller"


def test_a_source_is_known_where_it_is_decided_or_the_only_one() -> None:
    """Two that could feed it are no answer."""
    held = with_circuit(sound_plan(), "left drive", source="").circuit("left drive")
    assert held is not None
    assert source_of(held) == "block"
    assert source_of(replace(held, circuit=replace(held.circuit, sources=("block", "other")))) == ""


def test_a_slot_is_the_decided_one_before_the_pinned_one() -> None:
    """A pin that could not be had is still what the file says."""
    held = with_circuit(sound_plan(), "left drive", slot="H3", pinned=said("H4")).circuit("left drive")
    assert held is not None
    assert slot_of(held) == "H3"
    assert slot_of(replace(held, slot=replace(held.slot, value=""))) == "H4"
    nowhere = with_circuit(sound_plan(), "left drive", slot="", pinned=unknown()).circuit("left drive")
    assert nowhere is not None
    assert slot_of(nowhere) == ""
    assert outlet_of(sound_plan(), nowhere) is None


def test_a_motors_wires_are_guarded_by_its_branch() -> None:
    """Outputs with a limit of their own have no guard; a circle of circuits ends."""
    plan = sound_plan()
    motor, radio = plan.circuit("left drive motor side"), plan.circuit("radio")
    assert motor is not None
    assert radio is not None
    assert guard_of(plan, motor) is plan.circuit("left drive")
    assert guard_of(plan, radio) is None
    circle = replace(motor, circuit=replace(motor.circuit, upstream=motor.id))
    looped = replace(plan, circuits=tuple(circle if c is motor else c for c in plan.circuits))
    assert guard_of(looped, circle) is None


def test_power_reaches_the_radio_through_the_regulator() -> None:
    """Nearest first, up to the block."""
    assert [c.id for c in power_path(sound_plan(), "radio")] == ["radio", "regulator"]


def test_a_motor_drives_only_with_a_controller_built_in() -> None:
    """A bare motor has no supply side."""
    plan = with_device(sound_plan(), "left drive", part=MOTOR)
    bare, controller = plan.robot.device("left drive"), plan.robot.device("left drive controller")
    assert bare is not None
    assert controller is not None
    assert (drives(bare), drives(controller)) == (False, True)
    assert drives(replace(bare, part=replace(CONTROLLER, id="motor/built-in")))


def test_a_chain_names_the_controller_by_its_motor() -> None:
    """Of the two devices that share a name, the one with a bus is meant."""
    held = on_bus(sound_plan(), "left drive")
    assert held is not None
    assert held.id == "left drive controller"
    assert on_bus(sound_plan(), "nobody") is None


def test_members_of_a_bus_come_in_chain_order_where_it_is_known() -> None:
    """Else in the order of the file."""
    bus = sound_plan().robot.buses[0]
    turned = replace(bus, order=said(tuple(reversed(bus.members))))
    assert members(turned) == tuple(reversed(bus.members))
    assert members(replace(bus, order=unknown())) == bus.members
