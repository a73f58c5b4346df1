"""The rows of circuits and wires: one definition for every paper, sheet and script.

The fields of a row are the keys of `columns.csv`, which says what each means.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from typing import Any

from loomwright.catalogue.pull_force import NEWTON_PER_LBF
from loomwright.documents.tables.cells import Amount, Cell, amount, blank, length_words, ratio, text, together, yes
from loomwright.model.device import Device
from loomwright.model.fact import Fact, State
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin, Reasoned
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire
from loomwright.units import Gauge
from loomwright.wiring.made import made_ends
from loomwright.wiring.result import CircuitKind
from loomwright.wiring.treatment import Treatment
from loomwright.wording import natural

#: Circuits that hang on an outlet of something.
_FROM_A_SLOT = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_DONE_TO_AN_END = (
    "terminal",
    "strip_mm",
    "folded",
    "tool",
    "insulation",
    "good",
    "pull_standard",
    "pull_n",
    "pull_lbf",
    "hand_pull",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitRow:
    """One circuit as every table tells it."""

    circuit: str
    kind: str
    mechanism: str
    load: str
    source: str
    slot: str
    slot_label: str
    protection_a: Amount
    protected_by: str
    gauge: str
    plus_colour: str
    minus_colour: str
    wires: str
    path: str
    length_m: Amount
    length: str
    current_a: Amount
    drop_v: Amount
    drop_pct: Amount
    sustained_a: Amount
    ampacity_a: Amount
    conductor_temperature_c: Amount
    tightest: str
    margin_ratio: Amount
    decided_by: str
    state: str
    reasons: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EndRow:
    """One end of a wire as every table tells it."""

    device: str
    where: str
    port: str
    polarity: str
    terminal: str
    strip_mm: Amount
    folded: str
    tool: str
    insulation: str
    good: str
    pull_standard: str
    pull_n: Amount
    pull_lbf: Amount
    hand_pull: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WireRow:
    """One wire as every table tells it; the keys of its ends begin with `a_` and `b_`."""

    wire: str
    circuit: str
    role: str
    use: str
    kind: str
    gauge: str
    colour: str
    length_m: Amount
    length: str
    twisted_with: str
    captive: str
    path: str
    a: EndRow
    b: EndRow


def in_order(plan: Plan) -> tuple[PlannedCircuit, ...]:
    """Sort circuits for reading: from the battery outwards, slot by slot, whatever the file's order is."""
    kinds = list(CircuitKind)
    return tuple(
        sorted(
            plan.circuits,
            key=lambda c: (kinds.index(c.circuit.kind), c.source, natural(c.slot.value), natural(c.id), c.id),
        )
    )


def circuit_rows(plan: Plan) -> tuple[CircuitRow, ...]:
    """Tell every circuit of a plan."""
    return tuple(_circuit_row(circuit, plan) for circuit in in_order(plan))


def wire_rows(plan: Plan) -> tuple[WireRow, ...]:
    """Tell every wire of a plan, circuit by circuit."""
    return tuple(_wire_row(wire, circuit) for circuit in in_order(plan) for wire in circuit.wires)


def flat(row: CircuitRow | WireRow) -> dict[str, Cell]:
    """Give a row as its cells by key, in the order of the columns."""
    cells: dict[str, Cell] = {}
    for held in fields(row):
        value = getattr(row, held.name)
        if isinstance(value, EndRow):
            cells |= {f"{held.name}_{inner.name}": getattr(value, inner.name) for inner in fields(value)}
        else:
            cells[held.name] = value
    return cells


def reasoned(circuit: PlannedCircuit) -> dict[str, Reasoned[Any]]:
    """Give everything that was decided or computed with a reason, by its key."""
    return {
        "slot": circuit.slot,
        "protection_a": circuit.protection_a,
        "current_a": circuit.current,
        "sustained_a": circuit.sustained,
        "length_m": circuit.length,
        "gauge": circuit.gauge,
        "colours": circuit.colours,
    }


def _circuit_row(circuit: PlannedCircuit, plan: Plan) -> CircuitRow:
    """Tell one circuit; nobody sizes the leads that a part brings, nor a ready-made cable."""
    powered = circuit.circuit.kind.carries_power
    sizing = circuit.sizing
    sized = powered and (sizing is not None or circuit.gauge.origin is Origin.UNKNOWN)
    tightest = circuit.tightest
    return CircuitRow(
        circuit=circuit.id,
        kind=str(circuit.circuit.kind),
        mechanism=_mechanism(circuit.circuit.load, plan),
        load=text(circuit.circuit.load, applies=False),
        source=text(circuit.source, applies=circuit.circuit.kind in _FROM_A_SLOT),
        slot=text(circuit.slot.value, applies=circuit.circuit.kind in _FROM_A_SLOT),
        slot_label=_slot_label(circuit, plan),
        protection_a=amount(circuit.protection_a.value, places=2, applies=powered and not circuit.protection),
        protected_by=text(circuit.protection, applies=powered),
        gauge=_gauge_words(circuit.gauge.value, applies=sized),
        plus_colour=_colours(circuit.wires, Polarity.PLUS),
        minus_colour=_colours(circuit.wires, Polarity.MINUS),
        wires=text(together(wire.id for wire in circuit.wires), applies=False),
        path=_ways(circuit.wires),
        length_m=amount(circuit.length.value, places=3),
        length=length_words(circuit.length.value),
        current_a=amount(circuit.current.value, places=2, applies=powered),
        drop_v=amount(sizing.drop_v if sizing else None, places=3, applies=sized),
        drop_pct=amount(sizing.drop_pct if sizing else None, places=2, applies=sized),
        sustained_a=amount(circuit.sustained.value, places=2, applies=powered),
        ampacity_a=amount(sizing.ampacity_a if sizing else None, places=1, applies=sized),
        conductor_temperature_c=amount(sizing.conductor_temperature_c if sizing else None, places=1, applies=sized),
        tightest=tightest[0] if tightest else blank(applies=sized),
        margin_ratio=ratio(tightest[1] if tightest else None, applies=sized),
        decided_by=text(together(sizing.decided_by) if sizing else "", applies=sized),
        state=_state(circuit, plan),
        reasons=tuple(f"{plain_key(key)}: {held.reason}" for key, held in reasoned(circuit).items() if held.reason),
        sources=_sources(circuit),
    )


def _sources(circuit: PlannedCircuit) -> tuple[str, ...]:
    told = tuple(
        f"{plain_key(key)}: {held.origin}{f' ({held.source})' if held.source else ''}"
        for key, held in reasoned(circuit).items()
    )
    sizing = circuit.sizing
    return told + ((f"sizing: {together(sizing.sources)}",) if sizing and sizing.sources else ())


def plain_key(key: str) -> str:
    """Give the word for a value whose unit is told beside it: "current" for `current_a`."""
    return key.removesuffix("_a").removesuffix("_m")


def _mechanism(load: str, plan: Plan) -> str:
    """Name the mechanism of a load; a controller belongs where the motor that it drives does."""
    devices = [device for device in plan.robot.devices if load in (device.id, device.driven_by)]
    return text(together(device.mechanism for device in devices if device.mechanism), applies=False)


def _slot_label(circuit: PlannedCircuit, plan: Plan) -> str:
    source = plan.robot.device(circuit.source)
    label = source.labels.get(circuit.slot.value) if source else None
    return label.describe() if label else blank(applies=False)


def _colours(wires: Iterable[PlannedWire], polarity: Polarity) -> str:
    found = [wire for wire in wires if wire.a.polarity is polarity]
    return text(together(wire.colour for wire in found if wire.colour), applies=False)


def _ways(wires: Iterable[PlannedWire]) -> str:
    """Name the trunks along the way, each way once; it is unknown as long as the length is."""
    held = tuple(wires)
    ways = dict.fromkeys(", ".join(wire.path) for wire in held if wire.path)
    return text("; ".join(ways), applies=any(wire.length_m is None and not wire.captive for wire in held))


def _gauge_words(gauge: Gauge | None, *, applies: bool) -> str:
    return str(gauge) if gauge else blank(applies=applies)


def _state(circuit: PlannedCircuit, plan: Plan) -> str:
    """Tell how far the robot file can be relied on here: unknown, guessed, or the state of the pinned slot."""
    facts = [circuit.circuit.slot]
    for device in plan.robot.devices:
        if circuit.circuit.load in (device.id, device.driven_by):
            facts += _facts(device)
    if any(fact.asks for fact in facts):
        return blank(applies=True)
    if any(claim.state is State.GUESSED for fact in facts for claim in fact.said):
        return str(State.GUESSED)
    return str(circuit.circuit.slot.state or State.PLANNED)


def _facts(device: Device) -> Iterator[Fact[Any]]:
    yield from (device.part_said, device.present, device.feed.source, device.feed.slot)
    yield from (device.wishes.gauge, device.wishes.protection, device.wishes.length)


def _wire_row(wire: PlannedWire, circuit: PlannedCircuit) -> WireRow:
    sized = wire.kind.carries_power and wire.a.polarity is not Polarity.CABLE
    made_a, made_b = made_ends(wire.a.port, wire.b.port, captive=wire.captive)
    return WireRow(
        wire=text(wire.id),
        circuit=wire.circuit,
        role=wire.role,
        use=wire.role if wire.kind is CircuitKind.MAIN else together((circuit.circuit.load or wire.circuit, wire.role)),
        kind=str(wire.kind),
        gauge=_gauge_words(wire.gauge, applies=sized),
        colour=text(wire.colour, applies=False),
        length_m=amount(wire.length_m, places=3),
        length=length_words(wire.length_m),
        twisted_with=text(wire.twisted_with, applies=False),
        captive=yes(wire.captive),
        path=_ways((wire,)),
        a=_end_row(wire.a, made=made_a),
        b=_end_row(wire.b, made=made_b),
    )


def _end_row(end: PlannedEnd, *, made: bool) -> EndRow:
    """Tell one end; one that somebody makes and that has no treatment waits for an answer."""
    return EndRow(
        device=text(end.device),
        where=text(end.where),
        port=str(end.port.kind) if end.port else blank(applies=True),
        polarity=str(end.polarity),
        **(treated(end.treatment) if end.treatment else dict.fromkeys(_DONE_TO_AN_END, blank(applies=made))),
    )


def treated(done: Treatment) -> dict[str, Any]:
    """Give what is done to an end as cells by key."""
    pull_lbf = None if done.pull_n is None else done.pull_n / NEWTON_PER_LBF
    return {
        "terminal": text(done.terminal),
        "strip_mm": amount(None if done.strip_m is None else done.strip_m * 1000, places=2, applies=False),
        "folded": "fold back and twist" if done.folded else blank(applies=False),
        "tool": text(done.tool, applies=False),
        "insulation": text(done.insulation, applies=False),
        "good": text(done.good, applies=False),
        "pull_standard": text(done.pull_standard, applies=False),
        "pull_n": amount(done.pull_n, places=1, applies=False),
        "pull_lbf": amount(pull_lbf, places=2, applies=False),
        "hand_pull": yes(done.hand_pull),
    }
