"""Wire ends on the right terminals: supply side and motor side, plus and minus, one wire each, the jumper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Polarity, PortKind, Role
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import called, fed_from_slot, socket_at, told_as
from loomwright.rulebook.parameters import Amount, Table, Word, amounts
from loomwright.rulebook.telling import at_circuit, at_device, fault, names
from loomwright.units import Dimension
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire

_SUPPLY_KINDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_MOTOR_SIDE = (Role.MOTOR_OUT, Role.MOTOR_IN)


def _supply_side(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find battery current on a motor's or a controller's motor side, and motor wires on a supply input."""
    for circuit in plan.circuits:
        supply = circuit.circuit.kind in _SUPPLY_KINDS
        wrong = _MOTOR_SIDE if supply else (Role.SUPPLY, Role.OUTLET)
        if not supply and circuit.circuit.kind is not CircuitKind.MOTOR:
            continue
        ends = [end for wire in circuit.wires for end in (wire.a, wire.b)]
        bad = next((e for e in ends if (socket := socket_at(plan, e)) is not None and socket.role in wrong), None)
        if bad is not None:
            yield fault(rule, "supply-on-motor-side", at_circuit(circuit), *_side_in_words(plan, bad, supply=supply))


def _side_in_words(plan: Plan, end: PlannedEnd, *, supply: bool) -> tuple[str, str]:
    name = called(plan, end.device)
    if supply:
        return (
            f"The supply of {name} goes to its motor side ({end.socket}). Powering it like this destroys it at once.",
            "Bring the supply to the supply side; a motor goes behind a controller.",
        )
    return (
        f"A motor wire goes to the supply side of {name} ({end.socket}).",
        "Bring the motor to the motor side, and keep the supply side for the branch wires.",
    )


def _plus_to_plus(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find wires that join plus to minus; a motor's own wires may be swapped to turn it round."""
    opposite = {Polarity.PLUS: Polarity.MINUS, Polarity.MINUS: Polarity.PLUS}
    for circuit in plan.circuits:
        if circuit.circuit.kind is CircuitKind.MOTOR:
            continue
        crossed = [w for w in circuit.wires if opposite.get(_polarity(w.a)) is _polarity(w.b)]
        if crossed:
            yield fault(
                rule,
                "plus-meets-minus",
                at_circuit(circuit),
                f"{circuit.id}: plus meets minus in wire {names([w.id for w in crossed])}.",
                "Swap the ends at one side; on the robot, take the meter before the battery goes in.",
            )


def _polarity(end: PlannedEnd) -> Polarity:
    """Return the polarity of the port where there is one, else the one the wire is meant for."""
    return end.port.polarity if end.port is not None else end.polarity


def _one_wire(plan: Plan, rule: Rule) -> Iterator[Finding]:
    most = amounts(rule, "at most")
    at_port: dict[tuple[str, str, str], list[tuple[PlannedWire, PlannedEnd]]] = defaultdict(list)
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            if end.port is not None and end.socket:
                at_port[end.device, end.socket, end.port.name].append((wire, end))
    for (device_id, socket, _), held in at_port.items():
        kind = str(held[0][1].port.kind) if held[0][1].port else ""
        device = plan.robot.device(device_id)
        # A slot of a block that is used twice is another check's to tell.
        twice = len([c for c in plan.on_slot(device_id, socket) if fed_from_slot(c)]) > 1
        if device is None or twice or len(held) <= most.get(kind, most["any"]):
            continue
        yield fault(
            rule,
            "too-many-wires",
            at_device(device),
            f"Wires {names([wire.id for wire, _ in held])} share one terminal: {held[0][1].where}.",
            "Give each wire a terminal of its own.",
        )


def _jumper(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for device in plan.robot:
        if device.part.jumper is None:
            continue
        joined = [{w.a.socket, w.b.socket} for w in plan.wires if w.a.device == w.b.device == device.id]
        if set(device.part.jumper) not in joined:
            yield fault(rule, "jumper", at_device(device), *_jumper_in_words(device, joined))


def _jumper_in_words(device: Device, joined: list[set[str]]) -> tuple[str, str]:
    right = listed(device.part.jumper or (), "and")
    fix = f"Make the jumper from {right}."
    if joined:
        return f"The jumper of {told_as(device)} joins {names(sorted(joined[0]))}; it belongs on {right}.", fix
    return f"{told_as(device)} has no jumper between {right}; without it the light can't show its state.", fix


CHECKS = (
    Check("supply side", "Whether supply and motor side of a controller or motor are mixed up.", _supply_side),
    Check("plus to plus", "Whether a wire joins plus to minus.", _plus_to_plus),
    Check(
        "one wire a terminal",
        "Whether more wires share a terminal than its kind takes.",
        _one_wire,
        {"at most": Table(Word(("any", *(str(kind) for kind in PortKind))), Amount(Dimension.COUNT))},
    ),
    Check("jumper", "Whether the jumper of a signal light joins the right two terminals.", _jumper),
)
