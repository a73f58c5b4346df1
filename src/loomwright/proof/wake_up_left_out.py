"""What has no row on the Wake-up list, why, and what finds a fault there: no wire of a plan goes unmentioned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.model.part import Polarity
from loomwright.proof.wake_up_board import blocks
from loomwright.proof.wake_up_result import NotMeasured
from loomwright.proof.wake_up_stages import stage_order
from loomwright.proof.wake_up_words import names
from loomwright.rulebook.lookup import called, drives
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire
    from loomwright.proof.wake_up_result import Measurement

_STAGED: Final = (CircuitKind.FEEDER, CircuitKind.BRANCH)
_FEEDS: Final = (*_STAGED, CircuitKind.OUTPUT)
#: Why the wires of one kind have no row, and what finds a fault in them; in the order in which it is told.
_BATTERY: Final = "the battery's own leads: no ohms, as the battery is on them. The volts at their plug prove both"
_UNFED: Final = "wires of {about}: no row, as what feeds them is not known yet. Tell it, and print this again"
_CAPTIVE: Final = (
    "own leads of {about}, which reach the slot: no joint to measure from, only plus against minus. "
    "Found by the volts or the light at its stage of the first power"
)
_CABLE: Final = (
    "ready-made cables of {about}: a probe does not fit into their plugs. "
    "Found by the lights at both ends in the first power; then try another cable"
)
_PULSE: Final = (
    "signal leads of {about}: their small contacts would be spread by a probe. "
    "A break or a swap is found at the motor's stage of the first power: it does not answer"
)
_SIGNAL: Final = (
    "signal leads of {about}: their small contacts would be spread by a probe. "
    "A break or a swap is found in the stage Signals of the first power: the program's value does not change"
)
_NO_ROW: Final = (
    "wires of {about}: no row, as too little of their two ends is known. Pull and look at both ends; "
    "a fault is found when they are used first"
)


def left_out(plan: Plan, rows: Iterable[Measurement]) -> Iterator[NotMeasured]:
    """Give what none of these rows measures: wires by the reason, then what is no wire."""
    through = {wire for row in rows for wire in row.through}
    circuits = {circuit.id: circuit for circuit in plan.circuits}
    found: dict[str, list[PlannedWire]] = {}
    for wire in plan.wires:
        if wire.id not in through:
            found.setdefault(_why(plan, circuits[wire.circuit], wire), []).append(wire)
    for why in (_BATTERY, _UNFED, _CAPTIVE, _CABLE, _PULSE, _SIGNAL, _NO_ROW):
        if why in found:
            yield _of_wires(plan, circuits, why, found[why])
    yield from _of_the_rest(plan)


def _why(plan: Plan, circuit: PlannedCircuit, wire: PlannedWire) -> str:
    """Return the reason why a wire has no row."""
    kind = circuit.circuit.kind
    load = plan.robot.device(circuit.circuit.load)
    if kind is CircuitKind.MAIN:
        return _BATTERY
    if Polarity.CABLE in (wire.a.polarity, wire.b.polarity):
        return _CABLE
    if kind in _FEEDS:
        return _CAPTIVE if circuit.source and circuit.slot.value else _UNFED
    if kind is CircuitKind.SIGNAL:
        return _PULSE if load is not None and drives(load) else _SIGNAL
    return _NO_ROW


def _of_wires(plan: Plan, circuits: dict[str, PlannedCircuit], why: str, wires: list[PlannedWire]) -> NotMeasured:
    ids = sorted((wire.id for wire in wires), key=natural)
    about = dict.fromkeys(called(plan, circuits[wire.circuit].circuit.load) for wire in wires)
    told = why.format(about=listed(sorted(about, key=natural), "and"))
    return NotMeasured(f"{listed(ids, 'and')}, {told}.", tuple(ids))


def _of_the_rest(plan: Plan) -> Iterator[NotMeasured]:
    if not blocks(plan):
        yield NotMeasured("Plus against minus of the whole robot: no row, as no block is known.")
    inside = [d.called for d in plan.robot.of_kind("motor") if d.part.word("bus type") and not d.driven_by]
    if inside:
        told = names(sorted(inside, key=natural))
        yield NotMeasured(f"The phases of {told}: they lie inside of the motor; the rows of the frame cover its case.")
    staged = {circuit.id for circuit in stage_order(plan)}
    missing = [c.id for c in plan.circuits if c.circuit.kind in _STAGED and c.id not in staged]
    if missing:
        told = names(sorted(missing, key=natural))
        yield NotMeasured(f"First power of {told}: no stage, as the way from the battery is not known.")
