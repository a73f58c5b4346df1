"""Small questions to a plan that several checks ask: what feeds a thing, what guards a wire, which socket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.rulebook.parameters import word, words
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.part import Part, Socket
    from loomwright.model.robot import Bus
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd

_FEEDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_INPUTS = (Role.SUPPLY, Role.SIGNAL_IN)
BUS_ROLES = (Role.BUS_IN, Role.BUS_OUT)


def called(plan: Plan, device_id: str) -> str:
    """Return the id that the file uses for a device: "left front" for "left front controller"."""
    device = plan.robot.device(device_id)
    return device_id if device is None else told_as(device)


def told_as(device: Device) -> str:
    """Return the id that the file uses for this device."""
    return device.called or device.id


def is_a(part: Part, word: str) -> bool:
    """Tell whether a part is of this kind or class: "light", "light/signal", "breaker/main" for main-120a."""
    return word in (part.kind, part.id) or part.id.startswith((f"{word}-", f"{word}/"))


def named_by(rule: Rule, device: Device) -> bool:
    """Tell whether a rule's parameters name this device: by its part, or by what one of its inputs is used for."""
    use = word(rule, "input")
    by_use = bool(use) and any(socket.use == use and socket.role in _INPUTS for socket in device.part.sockets)
    return by_use or any(is_a(device.part, part) for part in words(rule, "part"))


def feeds(plan: Plan, device_id: str) -> tuple[PlannedCircuit, ...]:
    """Return the circuits that bring power to a device from a slot or an output."""
    return tuple(c for c in plan.circuits if c.circuit.kind in _FEEDS and c.circuit.load == device_id)


def fed_from_slot(circuit: PlannedCircuit) -> bool:
    """Tell whether this circuit stands on a protected slot of a block."""
    return circuit.circuit.kind in (CircuitKind.FEEDER, CircuitKind.BRANCH)


def is_fed(circuit: PlannedCircuit) -> bool:
    """Tell whether this circuit brings power from a slot or an output."""
    return circuit.circuit.kind in _FEEDS


def source_of(circuit: PlannedCircuit) -> str:
    """Return the device that feeds a circuit, "" where it isn't known or there is a choice."""
    only = circuit.circuit.sources[0] if len(circuit.circuit.sources) == 1 else ""
    return circuit.source or only


def slot_of(circuit: PlannedCircuit) -> str:
    """Return the slot a circuit stands on, or the one it is pinned to; "" where neither is known."""
    return circuit.slot.value or circuit.circuit.slot.value or ""


def outlet_of(plan: Plan, circuit: PlannedCircuit) -> Socket | None:
    """Return the outlet that a circuit stands on."""
    source = plan.robot.device(source_of(circuit))
    return source.part.socket(slot_of(circuit)) if source else None


def guard_of(plan: Plan, circuit: PlannedCircuit) -> PlannedCircuit | None:
    """Return the circuit whose protection guards these wires; None where a source's own limit does."""
    seen: set[str] = set()
    while circuit.protection_a.value is None:
        seen.add(circuit.id)
        above = plan.circuit(circuit.circuit.upstream) if circuit.circuit.kind is CircuitKind.MOTOR else None
        if above is None or above.id in seen:
            return None
        circuit = above
    return circuit


def power_path(plan: Plan, device_id: str) -> Iterator[PlannedCircuit]:
    """Give the circuits that bring power to a device, nearest first, up to the block's own feed."""
    seen: set[str] = set()
    waiting = [device_id]
    while waiting:
        for circuit in feeds(plan, waiting.pop()):
            if circuit.id not in seen:
                seen.add(circuit.id)
                yield circuit
                waiting.append(source_of(circuit))


def socket_at(plan: Plan, end: PlannedEnd) -> Socket | None:
    """Return the socket that a wire's end goes to, None while it is undecided."""
    device = plan.robot.device(end.device)
    return device.part.socket(end.socket) if device else None


def drives(device: Device) -> bool:
    """Tell whether this is what drives a motor: a controller, or a motor with one built in."""
    if device.kind == "motor":
        return device.part.first(Role.SUPPLY) is not None
    return device.part.first(Role.MOTOR_OUT) is not None


def on_bus(plan: Plan, name: str) -> Device | None:
    """Return the device that a name in a data chain means: of a motor and its controller, the one with the bus."""
    both = plan.robot.named(name)
    with_bus = [device for device in both if any(socket.role in BUS_ROLES for socket in device.part.sockets)]
    return next(iter(with_bus or both), None)


def members(bus: Bus) -> tuple[str, ...]:
    """Return the names on a bus, in chain order where it is known."""
    return bus.order.value or bus.members


def buses_of(plan: Plan, device: Device) -> tuple[str, ...]:
    """Return the names of the buses that a device is on, as far as the file says."""
    if device.key.bus.value is not None:
        return (device.key.bus.value,)
    chains = [bus for bus in plan.robot.buses if bus.kind == "bus"]
    named = [bus.name for bus in chains if any(on_bus(plan, name) is device for name in members(bus))]
    return tuple(named)
