"""The packet's wires in build order: group by group, what is made, where both ends go, and which end waits for what."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Chapter, Column, Look, Points, Rows, Table
from loomwright.documents.packet.pairs import runs_of
from loomwright.documents.tables.cells import NOT_APPLICABLE, UNKNOWN
from loomwright.documents.tables.wiring import wire_rows
from loomwright.model.part import PortKind
from loomwright.proof.build_order import build_order
from loomwright.proof.ends import all_ends
from loomwright.proof.steps import REWIRED, cover
from loomwright.units import Dimension, show
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.documents.tables.wiring import EndRow, WireRow
    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.proof.build_order import BuildGroup
    from loomwright.proof.steps import Step

_COLUMNS: Final = (
    Column("made", 0, Look.TICK),
    Column("wire", 0, Look.STRONG),
    Column("colour", 0, Look.WIRE),
    Column("gauge", 0),
    Column("cut, cm", 0, Look.NUMBER),
    Column("end A", 2.8, Look.END_A),
    Column("card", 0, Look.NUMBER),
    Column("end B", 3.2, Look.END_B),
    Column("card", 0, Look.NUMBER),
    Column("2nd", 0),
)
_RULES: Final = (
    "Work from top to bottom: what comes later needs what is there already.",
    "Flags (from flags.pdf) and heat-shrink go on before the second end is made. The column 2nd names that end.",
    REWIRED,
    "How an end is made stands on the card with its number. Own lead: the wire comes with its part; nothing is cut.",
    "A wire that meets a part's own lead is cut shorter by that lead.",
)
_FLAGS: Final = frozenset({"flag A", "flag B"})


def wires_in_order(plan: Plan) -> Chapter:
    """Return every wire once, in the order in which people can build them."""
    rows = {row.wire: row for row in wire_rows(plan)}
    cards = {end.name: end.card for end in all_ends(plan)}
    told: set[str] = set()
    wires = {wire.id: wire for wire in plan.wires}
    groups: list[Rows] = []
    for group in build_order(plan):
        note = _note(group, _own_leads(group, wires), why=group.why not in told)
        told.add(group.why)
        lines = (line for step in group.steps for line in _lines(step, rows, cards))
        groups.append(Rows(tuple(lines), group.title, note, runs_of(plan, group.wires)))
    return Chapter(
        "Wires in build order",
        (Points(_RULES), Table(_COLUMNS, tuple(groups), empty="No wire follows from the robot file.", small=True)),
        work=True,
    )


def _own_leads(group: BuildGroup, wires: Mapping[str, PlannedWire]) -> str:
    """Say how long the leads are that parts bring along and wires of a group meet: the wires are as much shorter."""
    cut = (wires[name] for name in group.wires if not wires[name].captive)
    ports = [end.port for wire in cut for end in (wire.a, wire.b) if end.port is not None]
    found = sorted({port.lead_length_m for port in ports if port.kind is PortKind.LEAD and port.lead_length_m})
    lengths = listed([show(length_m, Dimension.LENGTH) for length_m in found], "and")
    return f"Some meet a part's own lead of {lengths}." if found else ""


def _note(group: BuildGroup, own_leads: str, *, why: bool) -> str:
    """Say what to do, why it is its turn where that was not said before, what has to be on in time and be covered."""
    more = dict.fromkeys(word for step in group.steps for word in step.waits_for if word not in _FLAGS)
    waits = f"Put on in time: {', '.join(more)}." if more else ""
    bare = cover(tuple(dict.fromkeys(word for step in group.steps for word in step.to_cover)))
    missing = dict.fromkeys(word for step in group.steps for word in step.missing)
    lacks = f"Still to be told: {', '.join(missing)}." if missing else ""
    return " ".join(word for word in (group.do, group.why if why else "", own_leads, waits, bare, lacks) if word)


def _lines(
    step: Step, rows: Mapping[str, WireRow], cards: Mapping[tuple[str, str], int | None]
) -> Iterator[tuple[str, ...]]:
    for wire in step.wires:
        row = rows[wire]
        card_a, card_b = (_card(cards, wire, letter) for letter in "AB")
        yield (
            "done" if step.made else "",
            wire,
            row.colour if row.colour != NOT_APPLICABLE else _cable(row),
            row.gauge,
            _cut_cm(row),
            _where(row.a),
            card_a,
            _where(row.b),
            card_b,
            step.second or NOT_APPLICABLE,
        )


def _where(end: EndRow) -> str:
    return end.where


def _cable(row: WireRow) -> str:
    return "cable" if row.gauge == NOT_APPLICABLE else NOT_APPLICABLE


def _cut_cm(row: WireRow) -> str:
    if row.captive == "yes":
        return "own lead"
    return f"{row.length_m * 100:.1f}".removesuffix(".0") if isinstance(row.length_m, float) else row.length_m


def _card(cards: Mapping[tuple[str, str], int | None], wire: str, letter: str) -> str:
    """Give the number of an end's card; nobody makes an end that is not among the made ones."""
    if (wire, letter) not in cards:
        return NOT_APPLICABLE
    number = cards[wire, letter]
    return UNKNOWN if number is None else str(number)
