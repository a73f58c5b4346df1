"""The data wiring on one page: each chain in order with its numbers, and the network cables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.model.part import Polarity
from loomwright.rulebook.lookup import members, on_bus
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.robot import Bus
    from loomwright.plan.result import Plan

UNKNOWN: Final = "unknown"
_NUMBERED: Final = ("controller", "motor", "sensor", "pneumatics")


@dataclass(frozen=True, slots=True)
class Stop:
    """One device of a chain: its number as the file tells it ("" for what needs none), whether it ends the chain."""

    device: str
    number: str
    terminator: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """A data bus; `ordered` is not set where nobody knows the order, so that the stops are only a list."""

    name: str
    ordered: bool
    terminators_known: bool
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class NetworkCable:
    """A network cable: its id, its two plugs, and whether it brings power as well."""

    wire: str
    a: str
    b: str
    length_m: float | None
    power: bool


def chains(plan: Plan) -> tuple[Chain, ...]:
    """Return every data bus with its devices, in chain order where it is known."""
    buses = sorted(
        (bus for bus in plan.robot.buses if bus.kind == "bus"), key=lambda bus: (natural(bus.name), bus.name)
    )
    return tuple(_chain(plan, bus) for bus in buses)


def network_cables(plan: Plan) -> tuple[NetworkCable, ...]:
    """Return every network cable, those that also bring power among them."""
    cables = (wire for wire in plan.wires if wire.a.polarity is Polarity.CABLE)
    return tuple(
        NetworkCable(
            wire.id,
            _plug(wire.a.device, wire.a.socket),
            _plug(wire.b.device, wire.b.socket),
            wire.length_m,
            wire.kind.carries_power,
        )
        for wire in sorted(cables, key=lambda held: natural(held.id))
    )


def _chain(plan: Plan, bus: Bus) -> Chain:
    ends = bus.terminators.value
    return Chain(bus.name, bus.order.value is not None, ends is not None, tuple(_stops(plan, bus, ends or ())))


def _stops(plan: Plan, bus: Bus, ends: tuple[str, ...]) -> Iterator[Stop]:
    for name in members(bus):
        device = on_bus(plan, name)
        if device is None:
            continue
        ended = name in ends or device.id in ends or device.called in ends
        yield Stop(device.called or device.id, _number(device), ended)


def _number(device: Device) -> str:
    if device.key.number.said:
        return device.key.number.describe()
    return UNKNOWN if device.kind in _NUMBERED else ""


def _plug(device: str, socket: str) -> str:
    return f"{device or UNKNOWN}, {socket}" if socket else device or UNKNOWN
