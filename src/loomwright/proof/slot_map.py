"""The slot map: what stands on each slot of each block, and on each output of what else gives power."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.proof.protection_words import protection_of, protection_words
from loomwright.rulebook.lookup import called, fed_from_slot, is_fed, slot_of, source_of
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.plan.result import Plan, PlannedCircuit


@dataclass(frozen=True, slots=True)
class SlotLine:
    """One slot: its name, what is written on it, its breaker or fuse, its load and wires; `free` where there is none.

    A free slot that is kept for something names it as its load. `protection` tells an output's own limit where
    nothing is plugged in.
    """

    slot: str
    label: str
    protection: str
    load: str
    wires: tuple[str, ...]
    free: bool


@dataclass(frozen=True, slots=True)
class SlotMap:
    """All slots of one block, or the outputs in use of another source, in the order of the part."""

    source: str
    title: str
    lines: tuple[SlotLine, ...]


def slot_maps(plan: Plan) -> tuple[SlotMap, ...]:
    """Return a map for each block, then one for each other source that feeds something."""
    blocks = sorted(plan.robot.of_kind("block"), key=_by_name)
    feeding = {source_of(circuit) for circuit in plan.circuits if is_fed(circuit)}
    others = sorted((d for d in plan.robot if d.kind != "block" and d.id in feeding), key=_by_name)
    maps = (SlotMap(held.id, held.part.title, tuple(_lines(plan, held))) for held in (*blocks, *others))
    return tuple(held for held in maps if held.lines)


def without_slot(plan: Plan) -> tuple[str, ...]:
    """Name the loads whose slot nobody knows yet."""
    waiting = {called(plan, c.circuit.load) for c in plan.circuits if is_fed(c) and not slot_of(c)}
    return tuple(sorted(waiting, key=lambda name: (natural(name), name)))


def _lines(plan: Plan, source: Device) -> Iterator[SlotLine]:
    for socket in source.part.with_role(Role.OUTLET):
        here = [c for c in plan.circuits if is_fed(c) and source_of(c) == source.id and slot_of(c) == socket.name]
        for circuit in sorted(here, key=lambda held: (natural(held.id), held.id)):
            yield _used(plan, source, socket, circuit)
        if not here and source.kind == "block":
            kept = source.reserved.get(socket.name)
            load = f"kept free: {kept.describe()}" if kept is not None and kept.said else ""
            yield SlotLine(socket.name, _label(source, socket), "", load, (), free=True)


def _used(plan: Plan, source: Device, socket: Socket, circuit: PlannedCircuit) -> SlotLine:
    wires = tuple(wire.id for wire in circuit.wires)
    load = called(plan, circuit.circuit.load)
    return SlotLine(socket.name, _label(source, socket), _protection(plan, socket, circuit), load, wires, free=False)


def _protection(plan: Plan, socket: Socket, circuit: PlannedCircuit) -> str:
    held = protection_of(plan, circuit)
    if held is not None:
        return protection_words(*held)
    if socket.limit_a is not None:
        return f"own limit, {socket.limit_a:g} A"
    return "unknown" if fed_from_slot(circuit) else ""


def _label(source: Device, socket: Socket) -> str:
    label = source.labels.get(socket.name)
    return label.describe() if label is not None and label.said else ""


def _by_name(device: Device) -> tuple[object, ...]:
    return natural(device.id), device.id
