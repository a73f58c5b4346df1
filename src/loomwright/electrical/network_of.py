"""From a plan to the network that a meter sees: wires, what lies inside devices, what is in or out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.electrical.board import pick
from loomwright.electrical.bus import bus_elements
from loomwright.electrical.hand_meter import as_shown
from loomwright.electrical.parts import part_elements
from loomwright.electrical.practice import leads_ohm, practice
from loomwright.model.part import PortKind
from loomwright.network import Network, Node, Resistor
from loomwright.sizing import wire_ohm_per_m
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.electrical.board import Board, Side, Span
    from loomwright.model.part import Port
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire

_APART = (CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.MOTOR)

FRAME: Node = ("frame",)
"""The robot's frame: nothing of a plan is joined to it, which is what its rows prove."""


def network_of(
    plan: Plan, board: Board, side: Side, *, swapped: bool = False, inputs: bool = True, data: bool = True
) -> Network:
    """Return the network of a plan, without its battery.

    `swapped` takes what electronics read with the probes the other way round. Without `inputs` nothing lies between
    plus and minus inside of devices; what no part states is left out in any case. Without `data` the chains are left
    out, and the motor side: they touch neither plus nor minus.
    """
    wires = [element for wire in plan.wires if data or wire.kind not in _APART for element in _wire(wire, side)]
    parts = part_elements(plan, board, side, swapped=swapped, inputs=inputs)
    frame = Resistor(name=FRAME, a=FRAME, b=("nothing",), resistance_ohm=float("inf"))
    return Network((frame, *wires, *parts, *(bus_elements(plan, side) if data else ())))


def port_node(device: str, socket: str, polarity: str) -> Node:
    """Return the node of one port."""
    return ("port", device, socket, polarity)


def end_node(wire: PlannedWire, end: PlannedEnd) -> Node:
    """Return the node of a wire's end: its port, or the joint with the lead that the part brings along."""
    if not end.device or not end.socket or _is_joint(wire, end):
        return ("end", *wire.key, end.letter)
    return port_node(end.device, end.socket, end.polarity)


def wire_name(wire: PlannedWire) -> Node:
    """Return the name of a wire's resistor."""
    return ("wire", *wire.key)


def wire_ohm(wire: PlannedWire) -> Span:
    """Return the resistance of a wire at 20 C [ohm], without the leads it is joined to.

    What is not known lies between nothing and the most that a sound wire has.
    """
    exact = copper_ohm(wire)
    return (0.0, practice("sound wire")) if exact is None else (exact, exact)


def wire_limit_ohm(wire: PlannedWire) -> float:
    """Return what no sound wire reads more than [ohm]: its copper, the most of a meter's leads, good joints."""
    return as_shown(wire_ohm(wire)[1] + leads_ohm()[1] + practice("contacts"))


def copper_ohm(wire: PlannedWire) -> float | None:
    """Return what a wire's copper has at 20 C [ohm]; None while its gauge or its length is not known."""
    if wire.gauge is None or wire.length_m is None:
        return None
    return (wire_ohm_per_m("copper", wire.gauge) or 0.0) * wire.length_m


def lead_ohm(port: Port) -> Span:
    """Return the resistance of a lead that a part brings along at 20 C [ohm]."""
    if port.lead_gauge is None or port.lead_length_m is None:
        return (0.0, practice("sound wire"))
    exact = (wire_ohm_per_m("copper", port.lead_gauge) or 0.0) * port.lead_length_m
    return (exact, exact)


def _wire(wire: PlannedWire, side: Side) -> Iterator[Resistor]:
    a, b = end_node(wire, wire.a), end_node(wire, wire.b)
    yield Resistor(name=wire_name(wire), a=a, b=b, resistance_ohm=pick(wire_ohm(wire), side))
    for end in (wire.a, wire.b):
        if end.port is not None and _is_joint(wire, end) and end.device and end.socket:
            there = port_node(end.device, end.socket, end.polarity)
            lead = pick(lead_ohm(end.port), side)
            yield Resistor(name=("lead", *wire.key, end.letter), a=end_node(wire, end), b=there, resistance_ohm=lead)


def _is_joint(wire: PlannedWire, end: PlannedEnd) -> bool:
    """Tell whether a cut wire meets a part's own lead here."""
    return not wire.captive and end.port is not None and end.port.kind is PortKind.LEAD
