"""What eyes and noses find in every case: lights, lists, motors, breakers and fuses, colours, numbers, smells."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.bus import chains
from loomwright.hunting.robot.faults import FaultKind, has_protection, is_fuse
from loomwright.hunting.robot.motors import driven
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import Shown, columns
from loomwright.hunting.robot.shows import has_light, motors
from loomwright.rulebook.lookup import feeds
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.plan.result import PlannedCircuit

    Floats: TypeAlias = npt.NDArray[np.float64]

_SURE = 0.95
#: Chance that a regulator without outputs has no light of its own either.
_SOMETIMES = 0.3


def eye_checks(programs: Programs) -> Iterator[Shown]:
    """Give every check that takes no meter."""
    yield from _lights(programs)
    yield from _lists(programs)
    yield from _motors(programs)
    yield from _protections(programs)
    yield from _colours(programs)
    yield from _numbers(programs)


def _lights(programs: Programs) -> Iterator[Shown]:
    table = programs.table
    for device in programs.plan.robot:
        if not has_light(device):
            continue
        power = programs.lit.of(device)
        dark = 1 - power.has - power.flickers
        odd = table.flat()
        odd[table.software("odd", device.id)] = 1.0
        gone = table.of(FaultKind.DEAD, device.id)
        dark[gone], odd[gone] = practice("dead is dark"), practice("dead is odd")
        odd[table.of(FaultKind.WET, device.id)] = practice("wet is odd")
        dark[table.of(FaultKind.OUTPUTS_OFF, device.id)] = _SOMETIMES
        listed = programs.listed(device)
        if listed is not None and device.kind in ("controller", "motor"):
            odd = np.maximum(odd, practice("no command is odd") * (1 - listed.there) * power.has)
        yield Shown(kind="look", about=device.id, place=device.id, chances=columns(odd, power.flickers, dark))


def _lists(programs: Programs) -> Iterator[Shown]:
    for device in programs.plan.robot:
        listed = programs.listed(device)
        if listed is None:
            continue
        missing = np.clip(1 - listed.there - listed.unsteady, 0.0, 1.0)
        missing[programs.table.software("unseen", device.id)] = 1.0
        yield Shown(kind="seen", about=device.id, place=device.id, chances=columns(listed.unsteady, missing))


def _motors(programs: Programs) -> Iterator[Shown]:
    for motor, driver in motors(programs.plan):
        found = driven(programs, motor, driver)
        yield Shown(kind="run", about=motor.id, place=motor.id, chances=found.tried)
        yield Shown(kind="direct", about=motor.id, place=motor.id, chances=found.direct)
        yield Shown(kind="drove", about=motor.id, place=motor.id, chances=found.match)


def _protections(programs: Programs) -> Iterator[Shown]:
    """Give breakers and fuses, and the slots that they are in."""
    table, plan = programs.table, programs.plan
    for circuit in plan.circuits:
        if not has_protection(circuit):
            continue
        out, short = table.of(FaultKind.OUT, f"protection of {circuit.id}"), table.of(FaultKind.PAIR_SHORT, circuit.id)
        opened, warm = table.flat(), table.flat(0.01)
        opened[out], opened[short] = _SURE, practice("breaker acts")
        if is_fuse(plan, circuit):
            yield Shown(kind="fuse", about=circuit.id, place=_slot(circuit), chances=columns(opened))
        else:
            opened[short], warm[short] = practice("breaker acts") / 2, practice("breaker acts") / 2
            warm[table.at_ends(FaultKind.LOOSE, *(wire.id for wire in circuit.wires))] = 0.2
            yield Shown(
                kind="breaker",
                about=circuit.id,
                place=_slot(circuit),
                chances=columns(warm, opened),
            )
        other = table.flat(practice("another number") / 4)
        other[table.of(FaultKind.WRONG_SLOT, circuit.id)] = _SURE
        yield Shown(kind="slot", about=circuit.id, place=_slot(circuit), chances=columns(other))
    for breaker in (device for device in plan.robot if device.kind == "breaker"):
        opened, warm = table.flat(), table.flat(0.02)
        opened[table.of(FaultKind.OFF, breaker.id)] = _SURE
        mains = [c.id for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN]
        opened[table.of(FaultKind.PAIR_SHORT, *mains)] = practice("breaker acts")
        ends = [w.id for w in plan.wires if breaker.id in (w.a.device, w.b.device)]
        warm[table.at_ends(FaultKind.LOOSE, *ends)] = practice("warm shows")
        yield Shown(kind="breaker", about="main", place=breaker.id, chances=columns(warm, opened))


def _colours(programs: Programs) -> Iterator[Shown]:
    """Give the circuits whose wires may be crossed: their colours are compared at both ends."""
    table = programs.table
    for circuit in programs.plan.circuits:
        crossed = table.of(FaultKind.REVERSED, circuit.id)
        if crossed:
            other = table.flat(practice("another number") / 10)
            other[crossed] = _SURE
            yield Shown(kind="colours", about=circuit.id, place=circuit.id, chances=columns(other))


def _numbers(programs: Programs) -> Iterator[Shown]:
    """Give the numbers on the chains, and what is wet or burnt."""
    table = programs.table
    on_chain = {device.id for chain in chains(programs.plan) for device in chain.devices}
    for device in programs.plan.robot:
        if device.id in on_chain and device.kind not in ("computer", "terminator"):
            factory, other = table.flat(practice("another number") / 10), table.flat(practice("another number") / 10)
            factory[table.of(FaultKind.FACTORY_ID, device.id)] = _SURE
            other[table.of(FaultKind.DOUBLE_ID, device.id)] = _SURE
            yield Shown(kind="id", about=device.id, place=device.id, chances=columns(factory, other))
        wet, dead = table.of(FaultKind.WET, device.id), table.of(FaultKind.DEAD, device.id)
        if wet or dead:
            burnt = table.flat(0.001)
            swapped = table.of(FaultKind.REVERSED, *(circuit.id for circuit in feeds(programs.plan, device.id)))
            burnt[wet + dead + swapped] = practice("burnt shows")
            yield Shown(kind="smell", about=device.id, place=device.id, chances=columns(burnt))
        if wet:
            dirty = table.flat(0.01)
            dirty[wet] = _SURE
            yield Shown(kind="clean", about=device.id, place=device.id, chances=columns(dirty))


def _slot(circuit: PlannedCircuit) -> str:
    return f"{circuit.id}, slot {circuit.slot.value} of {circuit.source}"
