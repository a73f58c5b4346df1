"""How thick a wire has to be: by what protects it, by its use, on the battery path."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import guard_of, outlet_of, told_as
from loomwright.rulebook.minimum import step_for
from loomwright.rulebook.parameters import Amount, Size, Table, Word, amount, gauge, gauge_steps, gauges
from loomwright.rulebook.telling import at_circuit, at_device, fault_or_question, guessed, names
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire
    from loomwright.units import Gauge

_GUARDED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.MOTOR, CircuitKind.OUTPUT)


def _by_protection(plan: Plan, rule: Rule) -> Iterator[Finding]:
    steps = gauge_steps(rule, "minimum")
    for circuit in plan.circuits:
        guard = guard_of(plan, circuit) if circuit.circuit.kind in _GUARDED else None
        if guard is None or guard.protection_a.value is None:
            continue
        outlet = outlet_of(plan, guard)
        least = step_for(steps, guard.protection_a.value, outlet.protection if outlet else "")
        behind = f"{show(guard.protection_a.value, Dimension.CURRENT)} protection"
        yield from _too_thin(plan, rule, circuit, least, f"behind {behind}")


def _by_use(plan: Plan, rule: Rule) -> Iterator[Finding]:
    least = gauges(rule, "minimum")
    for circuit in plan.circuits:
        yield from _too_thin(
            plan, rule, circuit, least.get(str(circuit.circuit.kind)), f"of a {circuit.circuit.kind} line"
        )


def _too_thin(plan: Plan, rule: Rule, circuit: PlannedCircuit, least: Gauge | None, why: str) -> Iterator[Finding]:
    """Tell one circuit's wires that are too thin; a device's own captive leads are exempt."""
    wires = [w for w in circuit.wires if w.gauge is not None and not w.captive]
    thin = [w for w in wires if least is not None and w.gauge is not None and w.gauge.thinner_than(least)]
    if not thin or least is None:
        return
    wish = _gauge_wish(plan, circuit)
    yield fault_or_question(
        rule,
        "wire-too-thin",
        at_circuit(circuit, wire=wish),
        f"{circuit.id}: wire {names([w.id for w in thin])} has {thin[0].gauge}; {why} it takes {least} or thicker.",
        f"Write `wire: {least}`, or leave the gauge out and let the plan choose."
        if wish.said
        else f"Use {least} or thicker; if the stock has none, buy some.",
        doubtful=guessed(wish),
    )


def _gauge_wish(plan: Plan, circuit: PlannedCircuit) -> Fact[Gauge]:
    load = plan.robot.device(circuit.circuit.load)
    return load.wishes.gauge if load else Fact()


def _battery_path(plan: Plan, rule: Rule) -> Iterator[Finding]:
    least = gauge(rule, "minimum")
    for circuit in plan.circuits:
        if circuit.circuit.kind is not CircuitKind.MAIN:
            continue
        for wire in circuit.wires:
            if wire.gauge is not None and wire.gauge.thinner_than(least):
                yield _thin_lead(plan, rule, circuit, wire, least)


def _thin_lead(plan: Plan, rule: Rule, circuit: PlannedCircuit, wire: PlannedWire, least: Gauge) -> Finding:
    ends = [device for end in (wire.a, wire.b) if (device := plan.robot.device(end.device))]
    said = next((device for device in ends if device.wishes.gauge.said), None)
    where = at_device(said, "leads", said.wishes.gauge) if said else at_circuit(circuit)
    return fault_or_question(
        rule,
        "battery-path-too-thin",
        where,
        f"Wire {wire.id} ({wire.role}) is {wire.gauge}; from the battery to the block it must be {least} or thicker.",
        f"Write `leads: {least}` and make this wire again.",
        doubtful=guessed(said.wishes.gauge) if said else False,
    )


def _lead_length(plan: Plan, rule: Rule) -> Iterator[Finding]:
    most = amount(rule, "at most") * (1 + amount(rule, "about"))
    for battery in plan.robot.of_kind("battery"):
        length = battery.wishes.length
        if length.value is not None and length.value > most:
            yield fault_or_question(
                rule,
                "battery-lead-too-long",
                at_device(battery, "lead length", length),
                f"The leads of {told_as(battery)} are {show(length.value, Dimension.LENGTH)} long; "
                f"about {show(amount(rule, 'at most'), Dimension.LENGTH)} is the most.",
                "Shorten the leads, or move the battery's plug nearer to the battery.",
                doubtful=guessed(length),
            )


_STEPS = Table(Word(("breaker", "fuse")), Table(Amount(Dimension.CURRENT), Size()))
CHECKS = (
    Check(
        "gauge by protection",
        "Whether a wire is too thin for the breaker or fuse before it. A device's own leads are exempt.",
        _by_protection,
        {"minimum": _STEPS},
    ),
    Check(
        "gauge by use",
        "Whether a signal, bus or network wire is too thin.",
        _by_use,
        {"minimum": Table(Word(("signal", "bus", "network")), Size())},
    ),
    Check(
        "battery path gauge",
        "Whether a wire between battery and block is too thin.",
        _battery_path,
        {"minimum": Size()},
    ),
    Check(
        "battery lead length",
        "Whether the battery's leads are longer than allowed, give or take.",
        _lead_length,
        {"at most": Amount(Dimension.LENGTH), "about": Amount(Dimension.RATIO)},
    ),
)
