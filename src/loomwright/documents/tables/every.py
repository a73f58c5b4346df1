"""The rows of every table by its name; those of findings, questions, values with their sources, and documents."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from loomwright.catalogue.sources import sources
from loomwright.documents.tables.bundles import bundle_rows
from loomwright.documents.tables.cells import NOT_APPLICABLE, UNKNOWN, Cell, length_words, text, yes
from loomwright.documents.tables.columns import columns
from loomwright.documents.tables.cuts import buy_rows, cut_rows, needed_rows
from loomwright.documents.tables.ends import card_rows, end_rows
from loomwright.documents.tables.pulls import pull_rows, sample_rows
from loomwright.documents.tables.wiring import circuit_rows, flat, in_order, plain_key, reasoned, wire_rows
from loomwright.findings import Finding, by_weight
from loomwright.model.part import Part, Valued
from loomwright.model.reason import Origin, Reasoned
from loomwright.model.rules import Rule
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.units import Dimension, Gauge, show


def rows_of(table: str, plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Give the rows of any table as cells by key.

    Raises
    ------
    KeyError
        For a table that there is not.
    """
    makers: dict[str, Callable[[], Iterable[dict[str, Cell]]]] = {
        "circuits": lambda: (flat(row) for row in circuit_rows(plan)),
        "wires": lambda: (flat(row) for row in wire_rows(plan)),
        "findings": lambda: (_finding("findings", finding) for finding in by_weight(plan.findings)),
        "questions": lambda: (_finding("questions", finding) for finding in questions(plan)),
        "sources": lambda: _source_rows(plan),
        "rules": lambda: (_rule(rule) for rule in plan.rules.rules),
        "documents": lambda: _documents(plan),
        "ends": lambda: end_rows(plan),
        "cards": lambda: card_rows(plan),
        "pull record": lambda: pull_rows(plan),
        "sample pulls": lambda: sample_rows(plan),
        "bundles": lambda: bundle_rows(plan),
        "cut list": lambda: cut_rows(plan),
        "to buy": lambda: buy_rows(plan),
        "wire needed": lambda: needed_rows(plan),
    }
    return tuple(makers[table]())


def questions(plan: Plan) -> tuple[Finding, ...]:
    """Give what the tool still has to be told: every finding that asks."""
    return by_weight(finding for finding in plan.findings if finding.asks)


def _finding(table: str, finding: Finding) -> dict[str, Cell]:
    told = finding.as_dict() | {"rests_on": finding.rests_on}
    return {column.key: _told(told[column.key]) for column in columns(table)}


def _told(value: object) -> Cell:
    """Write one field of a finding; line and column 0 mean that it stands in no file."""
    if isinstance(value, tuple):
        return tuple(str(item) for item in value)
    if isinstance(value, bool):
        return yes(value)
    if isinstance(value, int):
        return float(value) if value else NOT_APPLICABLE
    return text(str(value), applies=False)


def _rule(rule: Rule) -> dict[str, Cell]:
    return {
        "rule": rule.id,
        "severity": str(rule.severity),
        "sentence": rule.sentence,
        "source": text(rule.source),
        "dated": text(rule.dated, applies=False),
    }


def _source_rows(plan: Plan) -> Iterator[dict[str, Cell]]:
    parts = {device.part.id: device.part for device in plan.robot}
    for _, part in sorted(parts.items()):
        yield from _part_rows(part)
    for circuit, row in zip(in_order(plan), circuit_rows(plan), strict=True):
        yield from _circuit_rows(circuit, flat(row))


def _part_rows(part: Part) -> Iterator[dict[str, Cell]]:
    ours = Origin.GIVEN if part.mark else Origin.CATALOGUE
    for name, held in part.values.items():
        yield _row(part.id, name, _shown(held), Origin.ASSUMED if held.assumed else ours, (held.source,), held.note)
    if part.trip_curve:
        points = ", ".join(f"{point.multiple:g} x rating" for point in part.trip_curve)
        origin = Origin.ASSUMED if part.curve_assumed else ours
        yield _row(part.id, "trip curve", points, origin, (part.curve_source,))


def _circuit_rows(circuit: PlannedCircuit, row: dict[str, Cell]) -> Iterator[dict[str, Cell]]:
    """Tell where each value of a circuit comes from; what doesn't apply to it has nothing to tell."""
    for key, held in reasoned(circuit).items():
        if not held.reason and not held.source:
            continue
        value = _decided(key, held)
        if not NOT_APPLICABLE == value == row.get(key, value):
            yield _row(circuit.id, plain_key(key), value, held.origin, (held.source,), held.reason)
    if circuit.sizing:
        for assumption in circuit.sizing.assumptions:
            yield _row(circuit.id, "assumption", assumption, Origin.ASSUMED)
        if circuit.sizing.sources:
            yield _row(circuit.id, "sizing", "the limits of its wire", Origin.CATALOGUE, circuit.sizing.sources)


def _documents(plan: Plan) -> Iterator[dict[str, Cell]]:
    """Tell every document once whose key stands among the sources."""
    rows = (*_source_rows(plan), *map(_rule, plan.rules.rules))
    keys = {key for row in rows for key in str(row["source"]).split(", ")}
    for key, held in sorted(sources().items()):
        if key in keys:
            yield {"source": key, "title": str(held)}


def _row(
    thing: str, name: str, value: str, origin: Origin, keys: Sequence[str] = (), note: str = ""
) -> dict[str, Cell]:
    titles = [str(sources()[key]) for key in keys if key in sources()]
    return {
        "thing": thing,
        "name": name,
        "value": text(value),
        "origin": str(origin),
        "source": text(", ".join(keys), applies=False),
        "title": text("; ".join(titles), applies=False),
        "note": text(note, applies=False),
    }


def _shown(held: Valued) -> str:
    if isinstance(held.value, str):
        return held.value
    if held.dimension not in list(Dimension):
        return f"{held.value:g} {held.dimension}".strip()
    return show(held.value, Dimension(held.dimension), digits=4)


def _decided(key: str, held: Reasoned[Any]) -> str:
    if held.value is None or held.value == "":
        return UNKNOWN if held.origin is Origin.UNKNOWN else NOT_APPLICABLE
    if isinstance(held.value, Gauge | str):
        return str(held.value)
    return length_words(held.value) if key == "length_m" else show(held.value, Dimension.CURRENT)
