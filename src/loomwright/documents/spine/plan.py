"""Tell the Spine what a plan decided: stations on the battery path, then every bar with its branches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import diameter_mm
from loomwright.documents.print_room import print_room
from loomwright.documents.spine.drawing import draw
from loomwright.documents.spine.print import print_spine
from loomwright.documents.spine.sheet import Guard, SpineBlock, SpineBranch, SpineSheet, SpineStation, SpineWire
from loomwright.documents.svg import write
from loomwright.model.part import Polarity, Role
from loomwright.model.reason import Origin
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.scene import Scene
    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

_ON_THE_PATH = ("battery", "plug", "breaker")
_FAR_OVER = 9.99
_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)


def spine_svg(plan: Plan) -> bytes:
    """Draw the one-line power drawing of a plan as SVG."""
    return write(draw(spine_sheet(plan))).encode("utf-8")


def spine_scenes(plan: Plan, paper: str = "A4", *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw the Spine for a printed packet on "A4" or "Letter", on pages that lie, each as large as inside its margins.

    A foot of the packet's own is kept free [mm]. Raises KeyError for another paper.
    """
    return print_spine(spine_sheet(plan), print_room(paper, foot_mm=foot_mm))


def spine_sheet(plan: Plan) -> SpineSheet:
    """Return what the Spine shows of a plan; every text is the plan's own."""
    bars = [d for d in plan.robot if d.kind not in _ON_THE_PATH and _is_a_bar(plan, d)]
    names = {device.id for device in bars}
    return SpineSheet(
        robot=plan.robot.name,
        build=plan.robot.build,
        revision=plan.revision,
        stations=tuple(_stations(plan)),
        blocks=tuple(_block(plan, device, names) for device in bars),
    )


def _is_a_bar(plan: Plan, device: Device) -> bool:
    fed = any(c.source == device.id and c.slot.value for c in plan.circuits if c.circuit.kind in _FED)
    return device.kind == "block" or fed


def _stations(plan: Plan) -> Iterator[SpineStation]:
    wires = [w for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN for w in c.wires]
    for device in plan.robot:
        if device.kind not in _ON_THE_PATH or device.called == "":
            continue
        leaving = {p: _leaving(plan, wires, device.id, p) for p in (Polarity.PLUS, Polarity.MINUS)}
        out = device.part.first(Role.OUTLET)
        yield SpineStation(
            title=device.called,
            detail=device.part.title,
            both=out is not None and out.port(Polarity.MINUS) is not None,
            plus=leaving[Polarity.PLUS],
            minus=leaving[Polarity.MINUS],
        )


def _leaving(plan: Plan, wires: list[PlannedWire], device_id: str, polarity: Polarity) -> SpineWire | None:
    """Return the wire of one polarity from a station to the next one; wires to a block are told by the block."""
    for wire in wires:
        there = plan.robot.device(wire.b.device)
        if wire.a.device == device_id and wire.a.polarity is polarity and there is not None and there.kind != "block":
            return _wire(wire)
    return None


def _wire(wire: PlannedWire) -> SpineWire:
    return SpineWire(
        id=wire.id,
        colour=wire.colour,
        gauge=str(wire.gauge) if wire.gauge else "",
        length=show(wire.length_m, Dimension.LENGTH) if wire.length_m is not None else "",
        copper_mm=diameter_mm(wire.gauge) if wire.gauge else 1.0,
        cable="network cable" if wire.b.polarity is Polarity.CABLE else "",
    )


def _block(plan: Plan, device: Device, bars: set[str]) -> SpineBlock:
    feeding = [
        w for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN for w in c.wires if w.b.device == device.id
    ]
    by_polarity = {wire.b.polarity: _wire(wire) for wire in feeding}
    return SpineBlock(
        id=device.id,
        title=device.called,
        detail=device.part.title,
        branches=tuple(
            b for socket in device.part.with_role(Role.OUTLET) for b in _branches(plan, device, socket, bars)
        ),
        plus=by_polarity.get(Polarity.PLUS),
        minus=by_polarity.get(Polarity.MINUS),
    )


def _branches(plan: Plan, device: Device, socket: Socket, bars: set[str]) -> Iterator[SpineBranch]:
    """Give what stands on one slot; a free slot is shown on blocks only, where something could be put."""
    circuits = [c for c in plan.on_slot(device.id, socket.name) if c.circuit.kind in _FED]
    for circuit in circuits:
        yield _branch(plan, circuit, socket, bars)
    if not circuits and device.kind == "block":
        reserved = device.reserved.get(socket.name)
        kept = f"kept free: {reserved.value}" if reserved is not None and reserved.value else ""
        yield SpineBranch(slot=socket.name, free=True, load=kept)


def _branch(plan: Plan, circuit: PlannedCircuit, socket: Socket, bars: set[str]) -> SpineBranch:
    load = plan.robot.device(circuit.circuit.load)
    wires = {wire.b.polarity: _wire(wire) for wire in circuit.wires}
    used, binds = _margin(circuit)
    return SpineBranch(
        slot=socket.name,
        protection=_protection(circuit, socket),
        guard=_guard(circuit, socket),
        plus=wires.get(Polarity.PLUS) or wires.get(Polarity.CABLE),
        minus=wires.get(Polarity.MINUS),
        load=load.called if load is not None else circuit.circuit.load,
        detail=_detail(plan, circuit),
        used=used,
        binds=binds,
        drop=_drop(circuit),
        state=str(circuit.circuit.slot.state or "") if str(circuit.circuit.slot.state) != "planned" else "",
        feeds=circuit.circuit.load if circuit.circuit.load in bars else "",
    )


def _margin(circuit: PlannedCircuit) -> tuple[float | None, str]:
    """Return how much of the tightest limit is used, and its name; without a sizing, why there is none."""
    if circuit.tightest is None:
        return None, circuit.gauge.reason if _nobody_sizes(circuit) else ""
    name, ratio = circuit.tightest
    return (1 / ratio if ratio > 0 else _FAR_OVER), name


def _drop(circuit: PlannedCircuit) -> str:
    if circuit.sizing is not None and circuit.sizing.drop_v is not None:
        return f"{circuit.sizing.drop_v:.2f} V"
    return "-" if _nobody_sizes(circuit) else ""


def _nobody_sizes(circuit: PlannedCircuit) -> bool:
    """Tell whether a part or a ready-made cable brings its own copper."""
    return circuit.sizing is None and circuit.gauge.origin is Origin.CATALOGUE


def _protection(circuit: PlannedCircuit, socket: Socket) -> str:
    rating = circuit.protection_a.value if circuit.protection_a.value is not None else socket.limit_a
    return show(rating, Dimension.CURRENT) if rating is not None else ""


def _guard(circuit: PlannedCircuit, socket: Socket) -> Guard:
    if circuit.protection_a.value is None:
        return Guard.LIMIT if socket.limit_a is not None else Guard.NONE
    return Guard.FUSE if circuit.protection.startswith("fuse") else Guard.BREAKER


def _detail(plan: Plan, circuit: PlannedCircuit) -> str:
    """Tell the current that the wire is judged at, then what the load is: a long title may be cut, a number not."""
    load = plan.robot.device(circuit.circuit.load)
    motor = next((d for d in plan.robot if load is not None and d.driven_by == load.id), load)
    current = circuit.current.value
    told = [motor.part.title] if motor is not None else []
    return ", ".join([show(current, Dimension.CURRENT), *told] if current is not None else told)
