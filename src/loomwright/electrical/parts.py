"""What lies inside of devices: joined minus ports, slots with their protection, and inputs from plus to minus."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.electrical.board import pick
from loomwright.model.part import Polarity, Role
from loomwright.network import Node, Resistor
from loomwright.rulebook.lookup import is_fed
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.electrical.board import Board, Side, Span
    from loomwright.model.device import Device
    from loomwright.model.part import Part, Socket
    from loomwright.plan.result import Plan

ELECTRONICS, WINDING, NOTHING = "electronics", "winding", "nothing"
_PATH = ("battery", "plug", "breaker")
_MOTOR_SIDE = (Role.MOTOR_OUT, Role.MOTOR_IN)
_FEEDS = (CircuitKind.MAIN, CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_NOMINAL_V = 12.0


def part_elements(plan: Plan, board: Board, side: Side, *, swapped: bool, inputs: bool) -> Iterator[Resistor]:
    """Give what lies inside of every device on the robot."""
    for device in plan.robot:
        yield from _through(plan, device, board)
        if inputs:
            for socket in fed_sockets(plan, device):
                yield from _input(device, socket, side, swapped=swapped)


def input_span(device: Device, *, swapped: bool) -> Span | None:
    """Return what an ohmmeter reads from plus to minus at a device's supply [ohm]; None where its part does not say.

    A winding has its supply voltage over the current that it takes at standstill.
    """
    part = device.part
    between = part.word("plus to minus")
    if between == NOTHING:
        return (math.inf, math.inf)
    if between == WINDING:
        current_a = part.number("peak draw") or part.number("draw")
        return (_NOMINAL_V / current_a, _NOMINAL_V / current_a) if current_a else None
    low, high = (part.number(f"{'reversed input' if swapped else 'input resistance'} {end}") for end in ("from", "to"))
    return None if low is None or high is None or low > high else (low, high)


def fed_sockets(plan: Plan, device: Device) -> tuple[Socket, ...]:
    """Return the supply sockets of a device that wires of this plan lead to, those of the battery's path left out."""
    if device.kind in _PATH:
        return ()
    feeds = [c for c in plan.circuits if c.circuit.load == device.id and c.circuit.kind in _FEEDS]
    used = {circuit.circuit.load_socket for circuit in feeds}
    return tuple(s for s in device.part.with_role(Role.SUPPLY) if s.name in used and _pair(s))


def plus_node(device: Device, socket: Socket) -> Node:
    """Return the plus port of a socket."""
    return ("port", device.id, socket.name, Polarity.PLUS)


def minus_node(device: Device, socket: Socket) -> Node:
    """Return the minus port of a socket."""
    return ("port", device.id, socket.name, Polarity.MINUS)


def passes_plus(part: Part, outlet: Socket) -> bool:
    """Tell whether an outlet's plus is the supply's own plus behind a breaker or fuse, and not made by electronics."""
    return part.kind == "block" and outlet.volts is None


def _pair(socket: Socket) -> bool:
    return socket.port(Polarity.PLUS) is not None and socket.port(Polarity.MINUS) is not None


def _through(plan: Plan, device: Device, board: Board) -> Iterator[Resistor]:
    """Give what a device joins: a plug both of its halves, a breaker its studs, everything else its minus ports."""
    if device.kind == "plug":
        yield from _halves(device, math.inf if not board.plugged else 0.0)
    elif device.kind == "breaker":
        yield from _studs(device, board)
    elif device.kind != "battery":
        yield from _common_minus(device)
        if device.kind == "block":
            yield from _slots(plan, device, board)


def _halves(device: Device, resistance_ohm: float) -> Iterator[Resistor]:
    one, other = device.part.first(Role.SUPPLY), device.part.first(Role.OUTLET)
    if one is None or other is None:
        return
    for polarity in (Polarity.PLUS, Polarity.MINUS):
        a, b = (("port", device.id, socket.name, polarity) for socket in (one, other))
        yield Resistor(name=("plug", device.id, polarity), a=a, b=b, resistance_ohm=resistance_ohm)


def _studs(device: Device, board: Board) -> Iterator[Resistor]:
    one, other = device.part.first(Role.SUPPLY), device.part.first(Role.OUTLET)
    if one is None or other is None:
        return
    closed_ohm = device.part.number("resistance") or 0.0
    yield Resistor(
        name=("breaker", device.id),
        a=plus_node(device, one),
        b=plus_node(device, other),
        resistance_ohm=closed_ohm if board.breaker_on else math.inf,
    )


def _common_minus(device: Device) -> Iterator[Resistor]:
    """Join the minus ports of a device, but not those of windings, and not a motor's leads."""
    if device.part.word("plus to minus") == WINDING:
        return
    joined = [
        socket
        for socket in device.part.sockets
        if socket.role not in _MOTOR_SIDE and socket.port(Polarity.MINUS) is not None
    ]
    for socket in joined[1:]:
        name = ("minus", device.id, socket.name)
        yield Resistor(name=name, a=minus_node(device, joined[0]), b=minus_node(device, socket), resistance_ohm=0.0)


def _slots(plan: Plan, device: Device, board: Board) -> Iterator[Resistor]:
    supply = device.part.first(Role.SUPPLY)
    if supply is None or supply.port(Polarity.PLUS) is None:
        return
    on = {c.slot.value: c.id for c in plan.circuits if c.source == device.id and is_fed(c) and c.id in board.fitted}
    for outlet in device.part.with_role(Role.OUTLET):
        if passes_plus(device.part, outlet) and outlet.port(Polarity.PLUS) is not None:
            yield Resistor(
                name=("slot", device.id, outlet.name),
                a=plus_node(device, supply),
                b=plus_node(device, outlet),
                resistance_ohm=0.0 if outlet.name in on else math.inf,
            )


def _input(device: Device, socket: Socket, side: Side, *, swapped: bool) -> Iterator[Resistor]:
    span = input_span(device, swapped=swapped)
    if span is not None:
        yield Resistor(
            name=("input", device.id, socket.name),
            a=plus_node(device, socket),
            b=minus_node(device, socket),
            resistance_ohm=pick(span, side),
        )
