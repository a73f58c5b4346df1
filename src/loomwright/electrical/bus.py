"""A data chain as a meter sees it: two lines from device to device, a receiver in each, terminators at both ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.electrical.board import Side, pick
from loomwright.electrical.practice import practice
from loomwright.model.part import Polarity
from loomwright.network import Node, Resistor
from loomwright.rulebook.lookup import members, on_bus
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.model.robot import Bus
    from loomwright.plan.result import Plan, PlannedCircuit

_LINES = (Polarity.BUS_HIGH, Polarity.BUS_LOW)
_BUILT_IN = "built in"


@dataclass(frozen=True, slots=True)
class Chain:
    """One data chain: its devices in order, the hops between them, and the devices whose terminator is on."""

    bus: Bus
    devices: tuple[Device, ...]
    hops: tuple[PlannedCircuit, ...]
    terminated: tuple[Device, ...]


def chains(plan: Plan) -> tuple[Chain, ...]:
    """Return every data chain by its name; the devices are in chain order where that is known."""
    return tuple(
        _chain(plan, bus) for bus in sorted(plan.robot.buses, key=lambda b: natural(b.name)) if bus.kind == "bus"
    )


def line_node(chain: Chain, device: Device, line: Polarity) -> Node:
    """Return the node of one line inside of a device."""
    return ("bus", chain.bus.name, device.id, line)


def terminator_ohm(device: Device) -> float | None:
    """Return the resistance of a device's terminator [ohm]; None where its part does not say."""
    return device.part.number("terminator resistance")


def bus_elements(plan: Plan, side: Side) -> Iterator[Resistor]:
    """Give the insides of every device on a chain; the wires between them are wires like all others."""
    for chain in chains(plan):
        yield from chain_elements(chain, side)


def chain_elements(chain: Chain, side: Side) -> Iterator[Resistor]:
    """Give the insides of the devices on one chain: joined ports, terminators that are on, receivers."""
    yield from _ports(chain)
    off = practice("terminator tolerance")
    for device in chain.terminated:
        if nominal_ohm := terminator_ohm(device):
            resistance_ohm = pick((nominal_ohm * (1 - off), nominal_ohm * (1 + off)), side)
            yield _across(chain, device, "terminator", resistance_ohm)
    receiver_ohm = pick((practice("bus input from"), practice("bus input to")), side)
    for device in chain.devices:
        if device.kind != "terminator":
            yield _across(chain, device, "receiver", receiver_ohm)


def _chain(plan: Plan, bus: Bus) -> Chain:
    found = [device for name in members(bus) if (device := on_bus(plan, name)) is not None]
    devices = {device.id: device for device in found}
    told = {d.id for name in bus.terminators.value or () if (d := on_bus(plan, name)) is not None}
    on = [d for d in devices.values() if d.id in told or any(s.terminator == _BUILT_IN for s in d.part.sockets)]
    hops = [c for c in plan.circuits if c.circuit.kind is CircuitKind.BUS and c.circuit.path == bus.path]
    return Chain(bus, tuple(devices.values()), tuple(hops), tuple(on))


def _ports(chain: Chain) -> Iterator[Resistor]:
    """Join the ports that this chain uses to the device's own two lines."""
    ends = {(end.device, end.socket, end.polarity) for hop in chain.hops for w in hop.wires for end in (w.a, w.b)}
    for device in chain.devices:
        for line in _LINES:
            here = line_node(chain, device, line)
            yield Resistor(name=(*here, "line"), a=here, b=here, resistance_ohm=0.0)
            for name, socket, polarity in sorted(ends):
                if (name, polarity) == (device.id, line):
                    port = ("port", name, socket, polarity)
                    yield Resistor(name=("bus port", *port[1:]), a=here, b=port, resistance_ohm=0.0)


def _across(chain: Chain, device: Device, what: str, resistance_ohm: float) -> Resistor:
    high, low = (line_node(chain, device, line) for line in _LINES)
    return Resistor(name=(what, chain.bus.name, device.id), a=high, b=low, resistance_ohm=resistance_ohm)
