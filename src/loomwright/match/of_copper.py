"""Copper and contacts on the way of a current: wires, the leads that parts bring along, joints, protection."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import resistance_ohm_per_m
from loomwright.match.of_practice import practice, practice_range
from loomwright.model.part import PortKind
from loomwright.units import Gauge
from loomwright.wiring.battery_path import MAIN
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.match.of_notes import Notes
    from loomwright.model.part import Part, Port
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

_FEEDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)


@dataclass(frozen=True, slots=True)
class Copper:
    """Resistance of copper and protection at 20 C [ohm], and the number of contacts beside it."""

    ohm: float = 0.0
    joints: int = 0

    def __add__(self, other: Copper) -> Copper:
        """Put two ways one after the other."""
        return Copper(self.ohm + other.ohm, self.joints + other.joints)

    @property
    def with_usual_joints_ohm(self) -> float:
        """All of it with contacts in the middle of what is usual in a branch [ohm]."""
        low, high = practice_range("joint")
        return self.ohm + self.joints * sqrt(low * high)


def main_path(plan: Plan, notes: Notes) -> Copper:
    """Return the main leads from the battery's posts to the first block and back."""
    circuit = plan.circuit(MAIN)
    if circuit is None:
        return Copper()
    path = sum((wire_copper(wire, notes) for wire in circuit.wires), Copper())
    # A mated plug has one more contact in plus and in minus, between its halves.
    plug = plan.robot.device("battery plug")
    mated = Copper(joints=2) if plug is not None and not plug.absent else Copper()
    return path + mated + Copper(main_breaker_ohm(plan))


def main_breaker_ohm(plan: Plan) -> float:
    """Return what the main breaker adds to the main leads [ohm]."""
    circuit, breaker = plan.circuit(MAIN), plan.robot.device("main breaker")
    part = breaker.part if breaker is not None and not breaker.absent else None
    return protection(circuit, part, in_slot=False).ohm if circuit is not None else 0.0


def feed_path(plan: Plan, circuit: PlannedCircuit, notes: Notes) -> Copper:
    """Return the way from the main block to a circuit's load and back, through the sub-blocks before it."""
    path = sum((wire_copper(wire, notes) for wire in circuit.wires), Copper())
    path += protection(circuit, None, in_slot=True)
    above = above_of(plan, circuit)
    return path if above is None else path + feed_path(plan, above, notes)


def above_of(plan: Plan, circuit: PlannedCircuit) -> PlannedCircuit | None:
    """Return the circuit that feeds what feeds this one; None right behind the main block."""
    for above in plan.circuits:
        # A further block beside the first one has its own lead of the battery's path.
        lead = above.circuit.kind is CircuitKind.MAIN and above.id != MAIN
        if circuit.source and above.circuit.load == circuit.source and (lead or above.circuit.kind in _FEEDS):
            return above
    return None


def protection(circuit: PlannedCircuit, part: Part | None, *, in_slot: bool) -> Copper:
    """Return what a circuit's breaker or fuse adds: its own resistance, and two contacts where it is plugged in.

    Where its part does not state a resistance, it drops a usual voltage at its rating.
    """
    rating_a = circuit.protection_a.value
    if not rating_a or (in_slot and circuit.circuit.kind is CircuitKind.OUTPUT):
        return Copper()
    said = part.number("resistance") if part is not None else None
    return Copper(said or practice("protection drop") / rating_a, 2 if in_slot else 0)


def wire_copper(wire: PlannedWire, notes: Notes) -> Copper:
    """Return one wire with the leads that it is joined to: a contact at each end, or one where leads alone reach."""
    leads = [lead for end in (wire.a, wire.b) if (lead := end.port) is not None and lead.kind is PortKind.LEAD]
    if wire.captive and leads and all(lead.lead_gauge and lead.lead_length_m for lead in leads):
        return Copper(sum(lead_ohm(lead, wire, notes) for lead in leads), 1)
    own = _gauge(wire, notes)
    length_m = wire.length_m
    if length_m is None:
        length_m = practice("main length" if wire.kind is CircuitKind.MAIN else "wire length")
        notes.assume(f"wires of {length_m:g} m are taken where no length is known", wire.circuit)
    ohm = resistance_ohm_per_m(own) * length_m
    if wire.captive:
        return Copper(ohm, 1)
    return Copper(ohm + sum(lead_ohm(lead, wire, notes) for lead in leads), 2)


def lead_ohm(lead: Port, wire: PlannedWire, notes: Notes) -> float:
    """Return the resistance of one lead that a part brings along [ohm]."""
    length_m = lead.lead_length_m
    if length_m is None:
        length_m = practice("lead length")
        notes.assume(f"own leads of {length_m:g} m are taken where their part says no length", wire.circuit)
    return resistance_ohm_per_m(lead.lead_gauge or _gauge(wire, notes)) * length_m


def gauges_of(circuit: PlannedCircuit) -> tuple[Gauge, ...]:
    """Return the gauges of a circuit's wires and of the leads at their ends, as far as they are known."""
    wires = [wire.gauge for wire in circuit.wires]
    leads = [end.port.lead_gauge for wire in circuit.wires for end in (wire.a, wire.b) if end.port is not None]
    return tuple(gauge for gauge in (*wires, *leads) if gauge is not None)


def _gauge(wire: PlannedWire, notes: Notes) -> Gauge:
    if wire.gauge is not None:
        return wire.gauge
    cable = wire.a.port is not None and wire.a.port.kind is PortKind.SOCKET
    name = "network lead" if cable else "main gauge" if wire.kind is CircuitKind.MAIN else "wire gauge"
    gauge = Gauge(int(practice(name)))
    notes.assume(f"wires of {gauge} are taken where no gauge is known", wire.circuit)
    return gauge
