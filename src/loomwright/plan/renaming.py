"""Find what was only renamed in the robot file, so that its wires keep their ids.

A wire's id is kept by circuit and role, and both speak of ids that people write. When one of these is renamed, the old
keys are gone and new ones are there. `carried_over` gives the memory under the new names.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from loomwright.plan.same_thing import alone, renamed_devices

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Mapping

    from loomwright.model.robot import Robot
    from loomwright.plan.memory import KeptEnd, KeptWire, Key, Memory
    from loomwright.wiring.result import EndAt, Wire, Wiring

    N = TypeVar("N", bound=Hashable)
    V = TypeVar("V")


def carried_over(memory: Memory, wiring: Wiring, robot: Robot) -> Memory:
    """Return the memory with all that was only renamed under its new name; `renamed` gives old names by new ones.

    What counts as the same thing is told in `same_thing`. A wire that joins the same two places as a wire that is gone
    is that wire. Where two could be meant, neither is taken: a new id is a nuisance, a wrong one is a trap.
    """
    devices = renamed_devices(memory, wiring, robot)
    memory = _devices_under_new_names(memory, devices, robot)
    wires = _renamed_wires(memory, wiring)
    memory = _wires_under_new_names(memory, wires)
    # A block that has its name back may be what a motor on it can be known by.
    return carried_over(memory, wiring, robot) if devices else memory


def _devices_under_new_names(memory: Memory, devices: Mapping[str, str], robot: Robot) -> Memory:
    """Return the memory in which these devices (new names by old ones) have their new names, at every end too."""
    if not devices:
        return memory
    called = {device.id: device.called for device in robot}
    kept = {devices.get(name, name): held for name, held in memory.devices.items()}
    return replace(
        memory,
        devices={name: replace(held, called=called.get(name, held.called)) for name, held in kept.items()},
        sources={circuit: devices.get(source, source) for circuit, source in memory.sources.items()},
        kept_wires={key: _with_ends(wire, devices) for key, wire in memory.kept_wires.items()},
        renamed=_noted(memory.renamed, devices.items()),
    )


def _with_ends(wire: KeptWire, devices: Mapping[str, str]) -> KeptWire:
    a, b = (replace(end, device=devices.get(end.device, end.device)) for end in (wire.a, wire.b))
    return replace(wire, a=a, b=b)


def _renamed_wires(memory: Memory, wiring: Wiring) -> dict[Key, Key]:
    """Return new keys of wires by old ones."""
    derived = {wire.key: wire for wire in wiring.wires}
    gone = {key: wire for key, wire in memory.kept_wires.items() if key not in derived}
    new = [wire for key, wire in derived.items() if key not in memory.wires]
    return dict(alone((key, wire.key) for key, kept in gone.items() for wire in new if _joins_the_same(kept, wire)))


def _joins_the_same(kept: KeptWire, wire: Wire) -> bool:
    return _is_at(kept.a, wire.a) and _is_at(kept.b, wire.b)


def _is_at(kept: KeptEnd, end: EndAt) -> bool:
    """Tell whether an end is where it was; an end on a slot that is not decided yet may be anywhere."""
    if str(end.polarity) != kept.polarity:
        return False
    return not end.device or (end.device, end.socket) == (kept.device, kept.socket)


def _wires_under_new_names(memory: Memory, wires: Mapping[Key, Key]) -> Memory:
    if not wires:
        return memory
    circuits = {old: new for (old, _), (new, _) in wires.items() if old != new}
    return replace(
        memory,
        wires=_rekeyed(memory.wires, wires),
        kept_wires=_rekeyed(memory.kept_wires, wires),
        fitted=frozenset(wires.get(key, key) for key in memory.fitted),
        made=frozenset(wires.get(key, key) for key in memory.made),
        slots=_rekeyed(memory.slots, circuits),
        sources=_rekeyed(memory.sources, circuits),
        slot_reasons=_rekeyed(memory.slot_reasons, circuits),
        gauges=_rekeyed(memory.gauges, circuits),
        routes={_run_name(run, circuits): route for run, route in memory.routes.items()},
        renamed=_noted(memory.renamed, circuits.items()),
    )


def _rekeyed(held: Mapping[N, V], names: Mapping[N, N]) -> dict[N, V]:
    return {names.get(key, key): value for key, value in held.items()}


def _run_name(run: str, circuits: Mapping[str, str]) -> str:
    """Rename a run: it is called as its circuit, a second lane of it "NAME (2)"."""
    head, space, lane = run.rpartition(" (")
    return circuits.get(run) or (f"{circuits[head]}{space}{lane}" if head in circuits else run)


def _noted(renamed: Mapping[str, str], names: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Note old names by new ones; what was renamed is never named twice in one file."""
    return {**renamed, **{new: old for old, new in names}}
