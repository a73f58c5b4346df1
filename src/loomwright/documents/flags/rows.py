"""The flags of a plan: two for every wire that somebody makes or plugs in, in the order of building."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.documents.flags.wording import CodeWords, code_text
from loomwright.documents.tables.cells import NOT_APPLICABLE, UNKNOWN
from loomwright.documents.tables.wiring import CircuitRow, WireRow, circuit_rows, wire_rows
from loomwright.plan.result import Plan
from loomwright.units.gauge import Gauge
from loomwright.wording import listed

_CABLE = "ready-made cable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """One flag: for which end of which wire, what stands on it, and the text that its code holds.

    `where` is the place of this end, `far` that of the other one. `slot` is "-" where the wire hangs on no slot and
    "unknown" where none is decided. `outside_mm` is the wire's diameter over its insulation, None: not known.
    """

    id: str
    letter: str
    use: str
    slot: str
    where: str
    far: str
    gauge: str
    outside_mm: float | None
    code: str


def flags(plan: Plan, *, order: Sequence[str] | None = None) -> tuple[Flag, ...]:
    """Return the flags of a plan: end A, then end B of each wire, in an order of wire ids (None: the wire table's).

    Every wire of a plan has an end that somebody makes or plugs in, leads that a part brings too: somebody joins them.
    Wires that the order leaves out come last.

    Raises
    ------
    ValueError
        For an order with ids that no wire of the plan has, or one id twice.
    """
    circuits = {row.circuit: row for row in circuit_rows(plan)}
    rows = {row.wire: row for row in wire_rows(plan)}
    wanted = list(rows) if order is None else _checked(order, rows)
    return tuple(flag for wire in wanted for flag in _both(rows[wire], circuits[rows[wire].circuit], plan.revision))


def _checked(order: Sequence[str], rows: dict[str, WireRow]) -> list[str]:
    strange = [wire for wire in order if wire not in rows]
    if strange:
        raise ValueError(f"the order names wires that this plan does not have: {listed(strange, 'and')}")
    if len(set(order)) < len(order):
        raise ValueError("the order names a wire twice")
    return [*order, *(wire for wire in rows if wire not in set(order))]


def _both(row: WireRow, circuit: CircuitRow, revision: str) -> Iterator[Flag]:
    for letter, end, other in (("A", row.a, row.b), ("B", row.b, row.a)):
        words = CodeWords(
            wire=row.wire,
            letter=letter,
            use=row.use,
            gauge=_gauge(row),
            a=row.a.where,
            b=row.b.where,
            slot=_slot(circuit),
            revision=revision or UNKNOWN,
        )
        yield Flag(
            id=row.wire,
            letter=letter,
            use=row.use,
            slot=words.slot,
            where=end.where,
            far=other.where,
            gauge=words.gauge,
            outside_mm=_outside_mm(row),
            code=code_text(words),
        )


def _gauge(row: WireRow) -> str:
    """Tell the gauge and colour: "12 AWG RD", "gauge unknown RD"."""
    size = {UNKNOWN: f"gauge {UNKNOWN}", NOT_APPLICABLE: _CABLE}.get(row.gauge, row.gauge)
    return size if row.colour in (UNKNOWN, NOT_APPLICABLE) else f"{size} {row.colour}"


def _slot(circuit: CircuitRow) -> str:
    """Tell the slot with its device: "block H1"; a word that stands for a slot stays alone."""
    lone = circuit.slot in (UNKNOWN, NOT_APPLICABLE) or circuit.source in (UNKNOWN, NOT_APPLICABLE)
    return circuit.slot if lone else f"{circuit.source} {circuit.slot}"


def _outside_mm(row: WireRow) -> float | None:
    if row.gauge in (UNKNOWN, NOT_APPLICABLE):
        return None
    return outside_diameter_mm(Gauge.parse(row.gauge))
