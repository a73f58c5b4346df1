"""From a plan to what is remembered of it: what plan.yaml holds, and what a later plan is compared with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.plan.fitted import said_fitted
from loomwright.plan.memory import KeptCut, KeptDevice, KeptEnd, KeptRoute, KeptWire, Memory

if TYPE_CHECKING:
    from loomwright.cutting.result import CutPlan
    from loomwright.layout.result import Layout
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire
    from loomwright.search import Certificate

#: Longer reasons are cut, so that a file can always be read again.
LONGEST_REASON: Final = 900


def remembered(plan: Plan) -> Memory:
    """Return everything of a plan that its file keeps, lengths to the millimetre as people cut."""
    wires = {wire.key: _wire(wire) for wire in plan.wires}
    return Memory(
        robot=plan.robot.name,
        build=plan.robot.build,
        revision=plan.revision,
        inputs=plan.inputs,
        next_wire=plan.next_wire,
        wires={key: wire.id for key, wire in wires.items()},
        slots={circuit.id: circuit.slot.value for circuit in plan.circuits if circuit.slot.value},
        sources={circuit.id: circuit.source for circuit in plan.circuits},
        slot_reasons={c.id: shortened(c.slot.reason) for c in plan.circuits if c.slot.value},
        gauges={circuit.id: circuit.gauge.value for circuit in plan.circuits},
        kept_wires=wires,
        fitted=said_fitted(plan.robot, plan.wiring) & wires.keys(),
        made=plan.made & wires.keys(),
        devices={device.id: _device(device) for device in plan.robot},
        routes=_routes(plan.layout) if plan.layout else {},
        shared=plan.layout.shared if plan.layout else 0,
        bundles={s.name: s.diameter_m for s in plan.layout.sections} if plan.layout else {},
        cuts=kept_cuts(plan.cut),
        crossings=plan.slots.crossings if plan.slots else 0,
        clashes=plan.slots.clashes if plan.slots else (),
        certificates=certificates(plan),
    )


def _routes(layout: Layout) -> dict[str, KeptRoute]:
    runs = {run.name: run for run in layout.runs}
    return {r.run: KeptRoute(r.edges, runs[r.run].options[r.option].gauge) for r in layout.routes}


def certificates(plan: Plan) -> dict[str, Certificate]:
    """Return how good each answer is proved to be, by what was searched for: slots, trunks, cut, "chain NAME"."""
    told = {f"chain {name}": held for name, held in plan.chains.items()} | {
        "slots": plan.slots.certificate if plan.slots else None,
        "trunks": plan.layout.certificate if plan.layout else None,
        "cut": plan.cut.certificate if plan.cut else None,
    }
    return {name: held for name, held in told.items() if held is not None}


def kept_cuts(cut: CutPlan | None) -> tuple[KeptCut, ...]:
    """Return which wires are cut from which spool, spools in the order of their names."""
    if cut is None:
        return ()
    kept = [
        KeptCut(
            one.spool.name,
            one.bought is not None,
            tuple(piece.wires for piece in one.pieces),
            round(one.left_m, 3),
            round(one.spool.length_m, 3),
        )
        for one in cut.cuts
    ]
    return tuple(sorted(kept, key=lambda held: (held.spool, held.bought, held.wires)))


def shortened(reason: str) -> str:
    """Cut a reason that is too long for a line."""
    return reason if len(reason) <= LONGEST_REASON else f"{reason[:LONGEST_REASON]}..."


def place_in_words(device: Device) -> str:
    """Say where a device is by the file, in whole millimetres: "350 mm, 480 mm, 300 mm up", "" where it is not said."""
    at = device.spot.at.value
    if at is None:
        return ""
    height = device.spot.height.value
    flat = ", ".join(_mm(part) for part in at)
    return flat if height is None else f"{flat}, {_mm(height)} up"


def _mm(length_m: float) -> str:
    return f"{round(length_m * 1000)} mm"


def _device(device: Device) -> KeptDevice:
    return KeptDevice(device.called, device.part.id, place_in_words(device))


def _wire(wire: PlannedWire) -> KeptWire:
    length_m = None if wire.length_m is None else round(wire.length_m, 3)
    return KeptWire(
        wire.id, wire.gauge, wire.colour, length_m, _end(wire.a), _end(wire.b), tuple(wire.path), wire.captive
    )


def _end(end: PlannedEnd) -> KeptEnd:
    terminal = end.treatment.terminal if end.treatment is not None else ""
    return KeptEnd(end.device, end.socket, str(end.polarity), terminal)
