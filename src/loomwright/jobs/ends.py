"""Give each wire its id, colour, length and two ends, once slot and gauge are known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.jobs.colours import wire_colour
from loomwright.jobs.requests import port_at
from loomwright.jobs.wire_gauges import wire_gauge
from loomwright.model.part import Polarity
from loomwright.plan.result import PlannedEnd, PlannedWire
from loomwright.wiring.made import made_ends
from loomwright.wiring.treat import HOUSED, PHASES, treat

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.layout import Lengths
    from loomwright.model.device import Device
    from loomwright.model.part import Port
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, EndAt, Wire


@dataclass(slots=True)
class WireIds:
    """Hands out wire ids: the one a wire always had, else the next that no wire ever had."""

    known: Mapping[tuple[str, str], str]
    next_number: int

    def of(self, key: tuple[str, str]) -> str:
        """Return the id of a wire by its circuit and role. Letter W as in IEC 81346."""
        held = self.known.get(key)
        if held is not None:
            return held
        number = self.next_number
        self.next_number += 1
        return f"W{number}"


def planned_wires(
    robot: Robot,
    rules: RuleBook,
    circuit: Circuit,
    *,
    source: str,
    slot: str,
    gauge: Gauge | None,
    ids: WireIds,
    lengths: Lengths,
    paths: Mapping[tuple[str, str], tuple[str, ...]],
) -> Iterator[PlannedWire]:
    """Give the wires of one circuit with everything that follows from its slot, its gauge and its way."""
    by_role = {wire.role: ids.of(wire.key) for wire in circuit.wires}
    for wire in circuit.wires:
        a_port, b_port = (port_at(robot, end, source, slot) for end in (wire.a, wire.b))
        gauge_here = wire_gauge(robot, rules, circuit, wire, decided=gauge, source=source, slot=slot)
        made_a, made_b = made_ends(a_port, b_port, captive=wire.captive)
        joint = _joint(robot, circuit, wire)
        a = _end("A", robot, wire, wire.a, a_port, gauge_here, source, slot, joint, made=made_a)
        b = _end("B", robot, wire, wire.b, b_port, gauge_here, source, slot, joint, made=made_b)
        stripped_m = sum(_taken_m(end) for end in (a, b))
        yield PlannedWire(
            id=by_role[wire.role],
            circuit=circuit.id,
            role=wire.role,
            kind=wire.kind,
            gauge=gauge_here,
            colour=wire_colour(robot, rules, circuit, wire).value,
            length_m=lengths.cut(lengths.wire(circuit, wire, source), allowance_m=stripped_m),
            a=a,
            b=b,
            twisted_with=by_role.get(wire.twisted_with, ""),
            captive=wire.captive,
            path=paths.get(wire.key, ()),
        )


def _taken_m(end: PlannedEnd) -> float:
    """Return the wire that an end's terminal takes [m]: what is stripped."""
    return (end.treatment.strip_m or 0.0) if end.treatment is not None else 0.0


def _joint(robot: Robot, circuit: Circuit, wire: Wire) -> str:
    """Return the joint that is written; a motor of two leads on three terminals has a plain pair, no row of three."""
    load = robot.device(circuit.load)
    said = load.wishes.joint.value if load is not None else None
    if said is not None and said != "none":
        return said
    return HOUSED if wire.a.polarity in PHASES and wire.b.polarity not in PHASES else ""


def _end(
    letter: str,
    robot: Robot,
    wire: Wire,
    end: EndAt,
    port: Port | None,
    gauge: Gauge | None,
    source: str,
    slot: str,
    joint: str,
    *,
    made: bool,
) -> PlannedEnd:
    device_id, socket = end.device or source, end.socket or slot
    device = robot.device(device_id)
    known = gauge is not None or wire.a.polarity is Polarity.CABLE
    treatment = treat(port, gauge, joint=joint) if made and known and port is not None else None
    if treatment is not None and device is not None and device.kind == "battery":
        treatment = replace(treatment, hand_pull=False)  # nobody pulls at a battery, whatever its terminals are
    return PlannedEnd(letter, device_id, socket, end.polarity, port, _where(device, device_id, socket, end), treatment)


def _where(device: Device | None, device_id: str, socket: str, end: EndAt) -> str:
    if not device_id:
        return "not known yet"
    name = device.id if device is not None else device_id
    said = socket.split()[-1:] == [str(end.polarity)]  # a cable's socket may be called by it: "supply by cable"
    return " ".join(word for word in (name, socket or "slot not known yet", "" if said else str(end.polarity)) if word)
