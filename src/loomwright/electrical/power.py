"""The same network with its battery in: what is alive, what it takes at idle, and the voltages that follow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.electrical.board import Board, Side
from loomwright.electrical.network_of import network_of
from loomwright.electrical.parts import fed_sockets, minus_node, passes_plus, plus_node
from loomwright.electrical.practice import practice
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.network import Draw, Network, Resistor, Source
from loomwright.rulebook.lookup import is_fed, outlet_of
from loomwright.wiring.battery_path import top_blocks

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.network import Element
    from loomwright.plan.result import Plan, PlannedCircuit

ON_COMMAND = ("valve", "compressor")
"""Outputs that stay off until a program switches them on."""
_OF_PEAK = 0.5
"""What a device takes of its peak as a rule (own choice: most parts state their peak alone)."""


def power_network(
    plan: Plan, fitted: frozenset[str], side: Side, takes: Callable[[Device], float | None] | None = None
) -> Network | None:
    """Return the robot with its battery in and these circuits' protection in; None where its battery is not known.

    On the low side the battery is at its least, every resistance at its most and every load takes its peak, or what
    `takes` says [A]; on the high side nothing takes anything. A regulator takes from its feed, ampere for ampere, what
    its outputs give.
    """
    battery = _battery(plan, side)
    if battery is None:
        return None
    board = Board(fitted=fitted, breaker_on=True, plugged=True)
    copper = network_of(plan, board, Side.HIGH if side is Side.LOW else Side.LOW, inputs=False, data=False)
    on = alive(plan, fitted)
    loads = [element for device in on for element in _device(plan, device, on, side, takes or idle_a)]
    return copper.along_with(battery, *loads)


def alive(plan: Plan, fitted: frozenset[str]) -> tuple[Device, ...]:
    """Return the devices that have power, from the block outwards."""
    on = {block.id: block for block in top_blocks(plan.robot)}
    grows = True
    while grows:
        before = len(on)
        for circuit in plan.circuits:
            load = plan.robot.device(circuit.circuit.load)
            if load is not None and circuit.source in on and is_fed(circuit) and _is_on(plan, circuit, fitted):
                on[load.id] = load
        grows = len(on) > before
    return tuple(on.values())


def idle_a(device: Device) -> float | None:
    """Return the most that a device takes without moving anything [A]; None where its part does not say."""
    said = device.draw.value
    return said if said is not None else device.part.number("peak draw") or device.part.number("draw")


def usual_a(device: Device) -> float | None:
    """Return what a device takes without moving anything as a rule [A]: half of its peak where nothing else is said."""
    said = device.draw.value
    peak_a = device.part.number("peak draw")
    usual = device.part.number("draw") or (peak_a * _OF_PEAK if peak_a else None)
    return said if said is not None else usual


def has_wires(outlet: Socket) -> bool:
    """Tell whether an outlet gives its power by a plus and a minus wire, and not by a network cable."""
    plus, minus = outlet.port(Polarity.PLUS), outlet.port(Polarity.MINUS)
    return plus is not None and minus is not None and plus.kind is not PortKind.SOCKET


def _is_on(plan: Plan, circuit: PlannedCircuit, fitted: frozenset[str]) -> bool:
    outlet = outlet_of(plan, circuit)
    if outlet is None or outlet.use in ON_COMMAND:
        return False
    return circuit.id in fitted or circuit.protection_a.value is None


def _battery(plan: Plan, side: Side) -> Source | None:
    battery = plan.robot.device("battery")
    posts = battery.part.first(Role.OUTLET) if battery is not None else None
    rest_v = battery.part.number("rested from" if side is Side.LOW else "rested to") if battery is not None else None
    if battery is None or posts is None or rest_v is None:
        return None
    return Source(
        name=("battery",),
        plus=plus_node(battery, posts),
        minus=minus_node(battery, posts),
        voltage_v=rest_v,
        resistance_ohm=battery.part.number("internal resistance") or 0.0,
    )


def _device(
    plan: Plan, device: Device, on: tuple[Device, ...], side: Side, takes: Callable[[Device], float | None]
) -> Iterator[Element]:
    """Give what a device that has power takes, and what its outlets give."""
    supplies = fed_sockets(plan, device)
    taken_a = _taken_a(plan, device, on, takes) if side is Side.LOW else 0.0
    for supply in supplies[:1]:
        yield Draw(
            name=("draw", device.id),
            plus=plus_node(device, supply),
            minus=minus_node(device, supply),
            current_a=taken_a,
        )
        for outlet in device.part.with_role(Role.OUTLET):
            if not passes_plus(device.part, outlet) and outlet.use not in ON_COMMAND and has_wires(outlet):
                yield _outlet(device, supply, outlet, side)


def _outlet(device: Device, supply: Socket, outlet: Socket, side: Side) -> Element:
    """Return an outlet that is on: a steady voltage where it states one, else its supply's own plus."""
    name = ("outlet", device.id, outlet.name)
    if outlet.volts is None:
        return Resistor(name=name, a=plus_node(device, supply), b=plus_node(device, outlet), resistance_ohm=0.0)
    off = practice("output tolerance")
    return Source(
        name=name,
        plus=plus_node(device, outlet),
        minus=minus_node(device, outlet),
        voltage_v=outlet.volts * (1 - off if side is Side.LOW else 1 + off),
    )


def _taken_a(plan: Plan, device: Device, on: tuple[Device, ...], takes: Callable[[Device], float | None]) -> float:
    """Return what a device takes from its feed [A], with what its steady or cabled outputs give."""
    total_a = takes(device) or 0.0
    names = {other.id for other in on}
    for circuit in plan.circuits:
        outlet = outlet_of(plan, circuit) if circuit.source == device.id and is_fed(circuit) else None
        load = plan.robot.device(circuit.circuit.load)
        if outlet is not None and load is not None and load.id in names and _counts_here(outlet):
            total_a += _taken_a(plan, load, on, takes)
    return total_a


def _counts_here(outlet: Socket) -> bool:
    return outlet.volts is not None or not has_wires(outlet)
