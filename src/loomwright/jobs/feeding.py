"""Whether each thing gets what it can live on: the right voltage, an output that switches it, a fuse that bears it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.model.reason import Origin
from loomwright.units import Dimension, show
from loomwright.wiring.feeds import NOMINAL_V
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.part import Socket
    from loomwright.plan.result import Plan, PlannedCircuit

_FED = (CircuitKind.BRANCH, CircuitKind.OUTPUT)
_SWITCHED = ("valve", "compressor")
_SAME = 1e-6


def feeding_findings(plan: Plan) -> Iterator[Finding]:
    """Give a finding for each thing that its feed would burn, starve, never switch, or cut off.

    Of a part whose class is not known nothing is claimed.
    """
    for circuit in plan.circuits:
        load, source = plan.robot.device(circuit.circuit.load), plan.robot.device(circuit.source)
        if circuit.circuit.kind not in _FED or load is None or source is None or load.part.family:
            continue
        outlet, supply = source.part.socket(circuit.slot.value), load.part.socket(circuit.circuit.load_socket)
        if outlet is not None and supply is not None and not source.part.family:
            yield from _voltage(circuit, load, source, outlet, supply)
            yield from _never_switched(circuit, load, source, outlet, supply)
        yield from _cut_off(plan, circuit, load)
    yield from _small_main_breaker(plan)


def _voltage(
    circuit: PlannedCircuit, load: Device, source: Device, outlet: Socket, supply: Socket
) -> Iterator[Finding]:
    wants, gets = supply.volts or NOMINAL_V, outlet.volts or NOMINAL_V
    spot = f"{outlet.name} of {source.called}"
    if abs(wants - gets) > _SAME:
        end = "That destroys it." if gets > wants else "That is too little for it."
        yield Finding(
            "wrong-voltage",
            Severity.MUST,
            _place(circuit, load.feed.slot, load.feed.source),
            f"{load.called} wants {_volts(wants)}, and {spot} gives {_volts(gets)}. {end}",
            f"Feed it from an output of {_volts(wants)}.",
        )
    elif supply.volts is not None and outlet.volts is None:
        yield Finding(
            "unsteady-supply",
            Severity.SHOULD,
            _place(circuit, load.feed.slot, load.feed.source),
            f"{load.called} wants a steady {_volts(wants)}, and {spot} gives what the battery has, which sags by "
            "several volts whenever the robot pushes.",
            "Feed it from a regulated output, or from a sub-block at a steady voltage.",
            source="common practice",
        )


def _never_switched(
    circuit: PlannedCircuit, load: Device, source: Device, outlet: Socket, supply: Socket
) -> Iterator[Finding]:
    if supply.use in _SWITCHED and outlet.use != supply.use:
        yield Finding(
            "never-switched",
            Severity.SHOULD,
            _place(circuit, load.feed.slot, load.feed.source),
            f"{load.called} is on {outlet.name} of {source.called}, which is no output for a {supply.use}: "
            "it is on as long as the robot is, and nothing stops it.",
            f"Put it on a {supply.use} output of a pneumatics module, or write what switches it in a `note`.",
            source="common practice",
        )


def _cut_off(plan: Plan, circuit: PlannedCircuit, load: Device) -> Iterator[Finding]:
    """Find things that surely ask for more than their own fuse or breaker holds; drives have limits of their own."""
    rating_a = circuit.protection_a.value
    if rating_a is None or load.mechanism or load.kind == "block":
        return
    least_a = _asks_at_least(plan, load)
    if least_a > rating_a * (1 + _SAME):
        yield Finding(
            "load-above-protection",
            Severity.MUST,
            _place(circuit, load.draw, load.wishes.protection),
            f"{load.called} asks for {_amps(least_a)}, and its {_amps(rating_a)} protection opens at that in the end.",
            "Use a larger fuse or breaker with the wire it asks for, or spread what hangs on it.",
        )


def _asks_at_least(plan: Plan, load: Device) -> float:
    """Return the least current [A] that a thing is known to take: its own, and what it passes on.

    An output of less voltage takes less current at the input, in the best case by the ratio of the two.
    """
    if load.draw.said:
        return min(load.draw.values)
    total = load.part.number("draw") or 0.0
    for circuit in plan.circuits:
        if circuit.source != load.id or circuit.circuit.kind is not CircuitKind.OUTPUT:
            continue
        outlet = load.part.socket(circuit.slot.value)
        if circuit.current.value is not None and circuit.current.origin is not Origin.ASSUMED and outlet is not None:
            total += circuit.current.value * min(1.0, (outlet.volts or NOMINAL_V) / NOMINAL_V)
    return total


def _small_main_breaker(plan: Plan) -> Iterator[Finding]:
    """Find a main breaker that one branch alone can open."""
    main = next((c for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN), None)
    holds_a = main.protection_a.value if main is not None else None
    fed = [c for c in plan.circuits if c.circuit.kind in (CircuitKind.FEEDER, CircuitKind.BRANCH)]
    largest = max(fed, key=lambda c: c.protection_a.value or 0.0, default=None)
    if main is None or holds_a is None or largest is None or (largest.protection_a.value or 0.0) <= holds_a:
        return
    breaker = plan.robot.device("main breaker")
    mark = breaker.mark if breaker is not None else main.circuit.mark
    yield Finding(
        "small-main-breaker",
        Severity.SHOULD,
        Place(mark.file, mark.line, mark.column, "main breaker"),
        f"The main breaker holds {_amps(holds_a)}, and {largest.id} alone may take "
        f"{_amps(largest.protection_a.value or 0.0)}: it can switch the whole robot off.",
        "Use a larger main breaker with the leads it asks for, or smaller breakers in the slots.",
        source="common practice",
    )


def _place(circuit: PlannedCircuit, *facts: Fact[str] | Fact[float]) -> Place:
    mark = next((fact.mark for fact in facts if fact.mark is not None), circuit.circuit.mark)
    return Place(mark.file, mark.line, mark.column, circuit.circuit.path)


def _amps(current_a: float) -> str:
    return show(current_a, Dimension.CURRENT)


def _volts(voltage_v: float) -> str:
    return show(voltage_v, Dimension.VOLTAGE)
