"""Which wires are made: those that were signed at the bench, and those that the robot file calls `fitted`."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from loomwright.model.fact import State
from loomwright.model.part import Role
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.model.robot import Robot
    from loomwright.plan.memory import KeptWire, Key, Memory
    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.wiring.result import Circuit, Wire, Wiring


class _Fitted(NamedTuple):
    """Of which facts of a wire the file says that they are so on the robot."""

    place: bool = False
    length: bool = False
    gauge: bool = False


def said_fitted(robot: Robot, wiring: Wiring) -> frozenset[Key]:
    """Return the wires that the file calls made: `fitted` stands at their slot, port, length, wire or chain order."""
    return frozenset(
        wire.key for circuit in wiring.circuits for wire in circuit.wires if any(_fitted(robot, circuit, wire))
    )


def made_wires(robot: Robot, wiring: Wiring, memory: Memory, *, inputs: str = "") -> frozenset[Key]:
    """Return the wires that are made: of the last plan, signed at the bench, or called fitted now or by that plan.

    A wire does not come apart because somebody changes a line of the file, so the word of then still counts once. Only
    a planned wire can be made: what was never planned has no id and no flag. With the digest of the inputs that the
    last plan was made from, the same are made as then, so that planning again decides nothing anew.
    """
    if inputs and memory.inputs == inputs:
        return memory.made
    fitted = said_fitted(robot, wiring) | memory.fitted
    return frozenset(key for key, name in memory.wires.items() if key in fitted or name in memory.signed)


def as_reported(memory: Memory, plan: Plan) -> Memory:
    """Return the memory with what the file newly calls fitted: it tells how these wires were really made.

    A team that put a wire on H5 where H3 was planned writes `slot: H5 (fitted)`, and nothing is to undo there.
    """
    known = dict(memory.kept_wires)
    for planned in plan.circuits:
        derived = {wire.key: wire for wire in planned.circuit.wires}
        for wire in planned.wires:
            kept = known.get(wire.key)
            if kept is not None and wire.key in derived and wire.key not in memory.fitted:
                told = _fitted(plan.robot, planned.circuit, derived[wire.key])
                known[wire.key] = _as_told(kept, wire, told)
    return replace(memory, kept_wires=known)


def _as_told(kept: KeptWire, wire: PlannedWire, told: _Fitted) -> KeptWire:
    place = replace(kept.a, device=wire.a.device, socket=wire.a.socket) if told.place else kept.a
    length_m = wire.length_m if told.length else kept.length_m
    return replace(kept, a=place, length_m=length_m, gauge=wire.gauge if told.gauge else kept.gauge)


def _fitted(robot: Robot, circuit: Circuit, wire: Wire) -> _Fitted:
    """Find the facts that speak of this wire; each kind of circuit has its own place for them in the file."""
    if circuit.kind in (CircuitKind.BUS, CircuitKind.NETWORK):
        return _Fitted(place=any(bus.path == circuit.path and bus.order.state is State.FITTED for bus in robot.buses))
    owner = robot.device(circuit.load)
    if circuit.kind is CircuitKind.MAIN:
        # Each lead is written at the part that it comes from or leads to; the battery's own stand at the battery.
        owner = robot.device(wire.a.device if wire.a.device == "battery" else wire.b.device)
    if owner is None:
        return _Fitted()
    length = owner.wishes.length.state is State.FITTED
    gauge = owner.wishes.gauge.state is State.FITTED
    if circuit.kind is not CircuitKind.SIGNAL:
        return _Fitted(owner.feed.slot.state is State.FITTED, length, gauge)
    port = owner.hookup.sockets.state is State.FITTED
    # What is written of a thing that takes power is about its power wires.
    alone = owner.part.first(Role.SUPPLY) is None
    return _Fitted(port, length and alone, gauge and alone)
