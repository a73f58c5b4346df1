"""Loads without a motor controller: what each circuit of the block takes, through regulators and sub-blocks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.match.machine import LoadBranch, LoadKind
from loomwright.match.of_breakers import trip_of
from loomwright.match.of_copper import above_of, feed_path, wire_copper
from loomwright.match.of_practice import practice
from loomwright.match.of_wire_heat import wire_heat
from loomwright.rulebook.lookup import outlet_of
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from loomwright.match.machine import Trip
    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device
    from loomwright.model.part import Part
    from loomwright.plan.result import Plan, PlannedCircuit

_FEEDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_PASSES_ON = ("block", "regulator")


@dataclass(frozen=True, slots=True)
class _Loads:
    plan: Plan
    find_part: Callable[[str], Part | None] | None
    notes: Notes


def loads_of(plan: Plan, find_part: Callable[[str], Part | None] | None, notes: Notes) -> tuple[LoadBranch, ...]:
    """Return the loads: circuits on the main block that move nothing, compressors, motor controllers at rest.

    A thing takes its draw times 12 V, behind a regulator its draw times the output's voltage over an efficiency:
    power for power, as a switching regulator takes it.
    """
    asked = _Loads(plan, find_part, notes)
    found: list[LoadBranch] = []
    for circuit in plan.circuits:
        if circuit.circuit.kind not in _FEEDS:
            continue
        if not circuit.source:
            notes.assume("what has no feed yet is left out", circuit.id)
        elif _on_main_block(plan, circuit):
            found += _top(asked, circuit)
    return (*found, *_controllers(asked))


def compressors_of(plan: Plan) -> tuple[Device, ...]:
    """Return the compressors that something feeds."""
    fed = {c.circuit.load for c in plan.circuits if c.circuit.kind in _FEEDS}
    return tuple(device for device in plan.robot.of_kind("compressor") if device.id in fed)


def _on_main_block(plan: Plan, circuit: PlannedCircuit) -> bool:
    """Tell whether a circuit stands on a block of the battery's path."""
    above = above_of(plan, circuit)
    source = plan.robot.device(circuit.source)
    on_path = above is None or above.circuit.kind is CircuitKind.MAIN
    return source is not None and source.kind == "block" and on_path


def _top(asked: _Loads, circuit: PlannedCircuit) -> Iterator[LoadBranch]:
    load = asked.plan.robot.device(circuit.circuit.load)
    if load is None or load.mechanism:
        return
    pumps = [c for c in _below(asked.plan, circuit) if _kind(asked.plan, c) == "compressor"]
    for pump in pumps:
        yield _pump(asked, circuit, pump)
    power_w = _power_w(asked, circuit, set())
    if power_w <= 0:
        return
    line = feed_path(asked.plan, circuit, asked.notes)
    # Where a compressor shares the breaker, its current is the one that counts there.
    yield LoadBranch(
        load.called,
        circuit.id,
        LoadKind.POWER,
        line.ohm,
        line.joints,
        power_w=power_w,
        works_from_v=load.part.number("works from") or practice("works from"),
        trip=None if pumps else _trip(asked, circuit),
        wire=None if pumps else wire_heat(asked.plan, circuit, asked.notes),
    )


def _pump(asked: _Loads, circuit: PlannedCircuit, pump: PlannedCircuit) -> LoadBranch:
    device = asked.plan.robot.device(pump.circuit.load)
    draw_a = (device.draw.value or device.part.number("draw")) if device is not None else None
    if draw_a is None:
        draw_a = practice("pump draw")
        asked.notes.assume(f"a draw of {draw_a:g} A is taken for a compressor that says none", pump.id)
    start_a = device.part.number("peak draw") if device is not None else None
    line = feed_path(asked.plan, circuit, asked.notes)
    if pump is not circuit:
        for wire in pump.wires:
            line += wire_copper(wire, asked.notes)
    return LoadBranch(
        device.called if device is not None else pump.id,
        circuit.id,
        LoadKind.PUMP,
        line.ohm,
        line.joints,
        current_a=draw_a,
        start_a=max(start_a or draw_a, draw_a),
        trip=_trip(asked, circuit),
        wire=wire_heat(asked.plan, circuit, asked.notes),
    )


def _controllers(asked: _Loads) -> Iterator[LoadBranch]:
    drives = [
        d
        for d in asked.plan.robot
        if d.mechanism and (d.kind == "controller" or (d.kind == "motor" and not d.driven_by))
    ]
    power_w = practice("nominal voltage") * sum(device.part.number("draw") or 0.0 for device in drives)
    if power_w > 0:
        asked.notes.assume("what motor controllers take at rest is one load, close to the block")
        yield LoadBranch(
            "motor controllers", "", LoadKind.POWER, 0.0, 0, power_w=power_w, works_from_v=practice("works from")
        )


def _below(plan: Plan, circuit: PlannedCircuit) -> Iterator[PlannedCircuit]:
    """Give a circuit and all that hang on its load, but no motors."""
    waiting, seen = [circuit], set[str]()
    while waiting:
        one = waiting.pop()
        load = plan.robot.device(one.circuit.load)
        if one.id in seen or load is None or load.mechanism:
            continue
        seen.add(one.id)
        yield one
        waiting += [c for c in plan.circuits if c.source == load.id and c.circuit.kind in _FEEDS]


def _power_w(asked: _Loads, circuit: PlannedCircuit, seen: set[str]) -> float:
    """Return what a circuit takes from its source [W], without motors and compressors."""
    load = asked.plan.robot.device(circuit.circuit.load)
    if load is None or load.mechanism or load.kind == "compressor" or circuit.id in seen:
        return 0.0
    seen.add(circuit.id)
    outlet = outlet_of(asked.plan, circuit)
    volts = outlet.volts if outlet is not None else None
    below = [c for c in asked.plan.circuits if c.source == load.id and c.circuit.kind in _FEEDS]
    own_w = _draw_a(asked, load) * (volts or practice("nominal voltage")) + sum(_power_w(asked, c, seen) for c in below)
    if volts is None:
        return own_w
    asked.notes.assume("regulated outputs are taken power for power at 85 %", circuit.source)
    return own_w / practice("regulator efficiency")


def _draw_a(asked: _Loads, load: Device) -> float:
    """Return what a thing takes by itself [A]; a valve's coils come and go."""
    draw_a = load.draw.value if load.draw.value is not None else load.part.number("draw")
    if draw_a is not None:
        return draw_a * practice("coil share") if load.kind == "valve" else draw_a
    if load.kind in _PASSES_ON:
        return 0.0
    usual = practice("unknown draw")
    asked.notes.assume(f"a draw of {usual:g} A is taken where none is known", load.called)
    asked.notes.ask(
        "draw-unknown",
        load.mark,
        f"{load.path}.draw",
        f"What {load.called} draws is not known; the study takes {usual:g} A.",
        f"Write `draw: 1 A` for {load.called}, as measured or from its label.",
    )
    return usual


def _trip(asked: _Loads, circuit: PlannedCircuit) -> Trip | None:
    part = asked.find_part(circuit.protection) if asked.find_part is not None else None
    return trip_of(circuit, part, asked.notes)


def _kind(plan: Plan, circuit: PlannedCircuit) -> str:
    load = plan.robot.device(circuit.circuit.load)
    return load.kind if load is not None else ""
