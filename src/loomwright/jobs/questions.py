"""What sizing has to tell and to ask: wires that nothing fits, and lengths that nobody gave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.jobs.requests import CONDUCTOR_C, DROP_RATIO
from loomwright.model.reason import Origin
from loomwright.units import Dimension, show
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan, PlannedCircuit

_SHOWN_NAMES = 3
_SHOWN_GAUGES = 2


def sizing_findings(plan: Plan) -> Iterator[Finding]:
    """Give a finding for each circuit without a gauge, and one question for each group of unknown lengths."""
    for circuit in plan.circuits:
        if circuit.sizing is not None and circuit.sizing.gauge is None:
            yield _no_gauge(circuit)
    yield from _lengths(plan)


def _no_gauge(circuit: PlannedCircuit) -> Finding:
    sizing = circuit.sizing
    assert sizing is not None  # noqa: S101  asked only of sized circuits
    broken = [c for c in sizing.constraints if c.ok is False]
    needs = "; ".join(c.needs.rstrip(".") for c in broken) or listed(sizing.decided_by, "and")
    return Finding(
        "no-gauge",
        Severity.MUST,
        _place(circuit),
        f"{circuit.id}: no wire on hand satisfies everything. Nearest is {sizing.shown_for}, and it breaks: {needs}.",
        "Stock a gauge between these limits, shorten the run, lower the current limit, or pick another slot.",
        source=broken[0].source if broken else "",
        rests_on=tuple(dict.fromkeys(note for c in broken for note in c.rests_on)),
    )


def _lengths(plan: Plan) -> Iterator[Finding]:
    """Ask for lengths, one question for all circuits that have the same answer to give."""
    groups: dict[str, list[PlannedCircuit]] = {}
    for circuit in plan.circuits:
        sizing = circuit.sizing
        if sizing is None or circuit.length.value is not None or circuit.length.origin is not Origin.UNKNOWN:
            continue
        reaches = [r for r in sizing.reach if sizing.gauge is None or not r.gauge.thinner_than(sizing.gauge)]
        words = [
            f"{r.gauge} holds up to {show(r.one_way_m, Dimension.LENGTH)} one way" for r in reaches[:_SHOWN_GAUGES]
        ]
        current = show(circuit.current.value or 0.0, Dimension.CURRENT)
        drop = _drop_words(plan, circuit)
        groups.setdefault(f"{listed(words, 'and')} at {current} and {drop}", []).append(circuit)
    for answer, circuits in groups.items():
        yield _length_question(answer, circuits)


def _drop_words(plan: Plan, circuit: PlannedCircuit) -> str:
    load = plan.robot.device(circuit.circuit.load)
    said = load.wishes.drop.value if load is not None else None
    drop = said or plan.robot.house.drop.value or DROP_RATIO
    said_c = plan.robot.house.conductor_temperature.value
    return f"{drop * 100:.3g} %, copper at {CONDUCTOR_C if said_c is None else said_c:g} C"


def _length_question(answer: str, circuits: list[PlannedCircuit]) -> Finding:
    names = [circuit.id for circuit in circuits]
    more = len(names) - _SHOWN_NAMES
    who = listed(names, "and") if more <= 0 else f"{', '.join(names[:_SHOWN_NAMES])} and {more} more"
    has = "has" if len(names) == 1 else "have"
    wire = "its wire" if len(names) == 1 else "their wires"
    return Finding(
        "length-unknown",
        Severity.SHOULD,
        _place(circuits[0]),
        f"{who} {has} no known length, so {wire} can't be cut to size or checked for drop. {answer}.",
        "Give `at:` a place on both ends, or write `length: 85 cm`.",
    )


def _place(circuit: PlannedCircuit) -> Place:
    mark = circuit.circuit.mark
    return Place(mark.file, mark.line, mark.column, circuit.circuit.path)
