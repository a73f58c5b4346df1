"""What sizing has to tell and to ask: wires that nothing fits, and lengths that nobody gave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.jobs.requests import CONDUCTOR_C, DROP_RATIO, given_gauge
from loomwright.layout.lengths import AS_MADE
from loomwright.model.reason import Origin
from loomwright.sizing.result import ConstraintName
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.fact import Fact
    from loomwright.model.mark import Mark
    from loomwright.plan.result import Plan, PlannedCircuit
    from loomwright.sizing.result import Constraint, Sizing
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit

_GRAVE = (ConstraintName.AMPACITY, ConstraintName.PORTS, ConstraintName.RULE_BOOK)
#: What only a fault brings about: an overload that the protection just bears, or a short.
IN_A_FAULT = (ConstraintName.HOLD_HEAT, ConstraintName.SHORT_CIRCUIT)
_LENGTH_FIX = "Give `at:` a place on both ends, or write `length: 85 cm`."
_PATH_FIX = (
    "Write `lead length: 20 cm` on the battery (its leads to the plug), the main breaker (from the plug) and the block "
    "(from the breaker), or give all of them a place with `at:`."
)
_SHOWN_NAMES = 3
_SHOWN_GAUGES = 2


def sizing_findings(plan: Plan) -> Iterator[Finding]:
    """Give a finding for each circuit whose wire does not do, and one question for each group of unknown lengths."""
    for circuit in plan.circuits:
        if circuit.sizing is None or circuit.sizing.gauge is not None:
            continue
        if circuit.gauge.value is not None and circuit.gauge.origin is Origin.COMPUTED:
            yield _too_hot_in_a_fault(circuit, circuit.sizing)
            continue
        given = circuit.gauge.value is not None
        broken = [c for c in circuit.sizing.constraints if c.ok is False]
        # The rule book has its own words for a given gauge on a slot; an output's own limit is no rule of a slot.
        elsewhere = given and circuit.protection_a.value is not None
        told = [c for c in broken if not elsewhere or c.name is not ConstraintName.RULE_BOOK]
        if told or not broken:
            yield _given_breaks(plan, circuit, told) if given else _no_gauge(circuit, circuit.sizing, broken)
    yield from _lengths(plan)


def _given_breaks(plan: Plan, circuit: PlannedCircuit, broken: list[Constraint]) -> Finding:
    """Tell what a gauge that the team wrote breaks; only what burns or does not fit must be changed.

    A gauge that the rule book asks for and that carries its load, such as 18 AWG on a 20 A fuse, is what the trade
    does: that a fault would heat it above its class is worth a thought, and no more.
    """
    severity = _how_grave(circuit, broken)
    made = circuit.gauge.reason == AS_MADE
    return Finding(
        "made-gauge" if made else "given-gauge",
        severity,
        _place(circuit, given_gauge(plan.robot, circuit.circuit).mark),
        f"{circuit.id}: the {circuit.gauge.value} that is {'made' if made else 'written'} does not do everything. "
        f"It has to {_needs(broken)}.",
        "Nothing to do while its load stays far below that; a thicker wire or a smaller bundle stays cool even then."
        if severity is Severity.CONSIDER
        else "Lower its current limit; or take `(fitted)` away, plan again, and make the wire anew."
        if made
        else f"Take the `{_key(circuit)}:` out to let it be chosen, shorten the run, or lower the current limit.",
        source=broken[0].source,
        rests_on=_rests_on(broken),
    )


def _too_hot_in_a_fault(circuit: PlannedCircuit, sizing: Sizing) -> Finding:
    """Tell that the thickest wire that fits bears its load, and not what the protection would let through."""
    broken = [c for c in sizing.constraints if c.ok is False]
    return Finding(
        "hot-in-a-fault",
        Severity.SHOULD,
        _place(circuit),
        f"{circuit.id}: {circuit.gauge.value} is the thickest that fits, and it carries the load, but a fault heats it "
        f"too much. It would have to {_needs(broken)}.",
        "Use a smaller fuse or breaker, cooler air, better insulation, or a smaller bundle.",
        source=broken[0].source,
        rests_on=_rests_on(broken),
    )


def _how_grave(circuit: PlannedCircuit, broken: list[Constraint]) -> Severity:
    if any(c.name in _GRAVE for c in broken):
        return Severity.MUST
    rule = circuit.sizing.constraint(ConstraintName.RULE_BOOK) if circuit.sizing is not None else None
    by_the_book = rule is not None and rule.ok is True
    return Severity.CONSIDER if by_the_book and all(c.name in IN_A_FAULT for c in broken) else Severity.SHOULD


def _no_gauge(circuit: PlannedCircuit, sizing: Sizing, broken: list[Constraint]) -> Finding:
    breaks = f" It has to {_needs(broken)}." if broken else ""
    return Finding(
        "no-gauge",
        Severity.MUST,
        _place(circuit),
        f"{circuit.id}: no wire on hand does everything. {sizing.shown_for} comes nearest.{breaks}",
        "Stock a gauge between these limits, shorten the run, lower the current limit, or pick another slot.",
        source=broken[0].source if broken else "",
        rests_on=_rests_on(broken),
    )


def lead_that_does_not_fit(circuit: Circuit, said: Fact[Gauge], sizing: Sizing) -> Iterator[Finding]:
    """Give a finding where a lead of the battery's path, written thicker than the thinnest, does not fit its ends."""
    ports = sizing.constraint(ConstraintName.PORTS)
    if ports is not None and ports.ok is False and said.mark is not None:
        yield Finding(
            "given-gauge",
            Severity.MUST,
            Place(said.mark.file, said.mark.line, said.mark.column, circuit.path),
            f"{circuit.id}: the {said.value} that is written does not fit everywhere: {ports.reason}.",
            "Write a gauge that both ends take, or another part.",
        )


def _needs(broken: list[Constraint]) -> str:
    """Say what a gauge would have to do; of its ends, only those that refuse it."""
    told = (f"fit its ends ({c.reason})" if c.name is ConstraintName.PORTS else c.needs.rstrip(".") for c in broken)
    return "; it has to ".join(told)


def _rests_on(broken: list[Constraint]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(note for c in broken for note in c.rests_on))


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
        answer = f"{listed(words, 'and')} at {current} and {_drop_words(plan, circuit)}"
        groups.setdefault(answer if words else _reach_alone(sizing), []).append(circuit)
    for answer, circuits in groups.items():
        yield _length_question(answer, circuits)


def _reach_alone(sizing: Sizing) -> str:
    """Say how far the gauge that is shown would reach, though it breaks something else."""
    drop = sizing.constraint(ConstraintName.DROP)
    return drop.reason.removeprefix("length unknown: ") if drop is not None else ""


def _drop_words(plan: Plan, circuit: PlannedCircuit) -> str:
    load = plan.robot.device(circuit.circuit.load)
    said = load.wishes.drop.value if load is not None else None
    drop = said or plan.robot.house.drop.value or DROP_RATIO
    said_c = plan.robot.house.conductor_temperature.value
    return f"{drop * 100:.3g} %, copper at {CONDUCTOR_C if said_c is None else said_c:g} C"


def _length_question(answer: str, circuits: list[PlannedCircuit]) -> Finding:
    names = [circuit.id for circuit in circuits]
    more = len(names) - _SHOWN_NAMES
    names = ["the battery path" if name == "main" else name for name in names]
    who = listed(names, "and") if more <= 0 else f"{', '.join(names[:_SHOWN_NAMES])} and {more} more"
    has = "has" if len(names) == 1 else "have"
    wire = "its wire" if len(names) == 1 else "their wires"
    return Finding(
        "length-unknown",
        Severity.SHOULD,
        _place(circuits[0]),
        f"{who} {has} no known length, so {wire} can't be cut to size or checked for drop. {answer}.",
        _PATH_FIX if circuits[0].circuit.kind is CircuitKind.MAIN else _LENGTH_FIX,
        asks=True,
    )


def _key(circuit: PlannedCircuit) -> str:
    return "leads" if circuit.circuit.kind is CircuitKind.MAIN else "wire"


def _place(circuit: PlannedCircuit, said: Mark | None = None) -> Place:
    mark = said or circuit.circuit.mark
    return Place(mark.file, mark.line, mark.column, circuit.circuit.path)
