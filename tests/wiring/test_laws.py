"""Laws that every derived wiring keeps, on the examples and on generated robots."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from loomwright.layout import assign_slots
from loomwright.layout.result import Net
from loomwright.model.part import OPPOSITE, Polarity, PortKind, Role
from loomwright.model.robot import Robot
from loomwright.search import Effort
from loomwright.wiring import CircuitKind, Wiring, derive
from tests.robots import EXAMPLES, as_text, example_text, robot_of, robots

_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
# A motor's two leads go to two of a controller's three terminals; all else joins like to like.
_JOINED = {(Polarity.PHASE_A, Polarity.PLUS), (Polarity.PHASE_C, Polarity.MINUS)}


def check_ends(robot: Robot, wiring: Wiring) -> None:
    """Assert that every wire has two ends on existing ports of opposite role and of the same conductor."""
    choices = assign_slots(robot, wiring, Net(), effort=Effort.FIRST).choices
    for circuit in wiring.circuits:
        for wire in circuit.wires:
            sockets = []
            for end in (wire.a, wire.b):
                choice = choices.get(circuit.id)
                device = robot.device(end.device or (choice.device if choice else ""))
                if device is None:
                    assert circuit.kind in _FED, f"{circuit.id} has an end nowhere"
                    break
                socket = device.part.socket(end.socket or (choice.slot if choice else ""))
                assert socket is not None, f"{circuit.id}: {device.id} has no socket {end.socket!r}"
                assert socket.port(end.polarity) is not None, f"{circuit.id}: no {end.polarity} on {device.id}"
                sockets.append(socket)
            else:
                one, other = sockets
                assert OPPOSITE[one.role] is other.role, f"{circuit.id}: {one.role} meets {other.role}"
                same = wire.a.polarity is wire.b.polarity
                assert same or (wire.a.polarity, wire.b.polarity) in _JOINED, f"{circuit.id}: conductors cross"


def reached(robot: Robot, wiring: Wiring) -> set[tuple[str, str]]:
    """Walk from the battery along the wires and return every supply socket that is reached."""
    choices = assign_slots(robot, wiring, Net(), effort=Effort.FIRST).choices
    found: set[tuple[str, str]] = set()
    live = {"battery"}
    while True:
        before = len(found)
        for circuit in wiring.circuits:
            choice = choices.get(circuit.id)
            for wire in circuit.wires:
                start = wire.a.device or (choice.device if choice else "")
                if start in live and circuit.kind in (*_FED, CircuitKind.MAIN):
                    found.add((wire.b.device, wire.b.socket))
                    live.add(wire.b.device)
        if len(found) == before:
            return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wire_of_the_examples_has_two_fitting_ends(name: str) -> None:
    """Every derived wire ends on two existing ports of opposite role."""
    robot = robot_of(example_text(name))
    check_ends(robot, derive(robot))


@given(robots())
@settings(max_examples=60)
def test_every_wire_has_two_fitting_ends(data: dict[str, Any]) -> None:
    """The same holds for whatever robot somebody writes."""
    robot = robot_of(as_text(data))
    check_ends(robot, derive(robot))


@given(robots())
@settings(max_examples=60)
def test_every_supply_is_reached_from_the_battery(data: dict[str, Any]) -> None:
    """Each thing that takes power gets it over one of its supplies, and nothing hangs in the air."""
    robot = robot_of(as_text(data))
    wiring = derive(robot)
    found = reached(robot, wiring)
    choices = assign_slots(robot, wiring, Net(), effort=Effort.FIRST).choices
    for device in robot:
        supplies = [s.name for s in device.part.with_role(Role.SUPPLY)]
        full = any(c.load == device.id and not choices[c.id].slot for c in wiring.circuits if c.kind in _FED)
        if supplies and not full:
            assert any((device.id, name) in found for name in supplies), f"{device.id} has no power"


@given(robots())
@settings(max_examples=40)
def test_the_breaker_breaks_plus_only(data: dict[str, Any]) -> None:
    """No minus wire ever ends on the main breaker."""
    wiring = derive(robot_of(as_text(data)))
    for wire in wiring.wires:
        for end in (wire.a, wire.b):
            assert end.device != "main breaker" or end.polarity is Polarity.PLUS


@given(robots())
@settings(max_examples=40)
def test_keys_of_wires_are_unique(data: dict[str, Any]) -> None:
    """Circuit and role name one wire each, so an id can follow it through every change."""
    keys = [wire.key for wire in derive(robot_of(as_text(data))).wires]
    assert len(keys) == len(set(keys))


@given(robots())
@settings(max_examples=40)
def test_nobody_ends_a_lead_inside_its_part(data: dict[str, Any]) -> None:
    """A captive wire touches at least one lead that a part brings along."""
    robot = robot_of(as_text(data))
    for wire in derive(robot).wires:
        if not wire.captive:
            continue
        ports = []
        for end in (wire.a, wire.b):
            device = robot.device(end.device)
            socket = device.part.socket(end.socket) if device else None
            ports.append(socket.port(end.polarity) if socket else None)
        assert any(port is not None and port.kind is PortKind.LEAD for port in ports)
