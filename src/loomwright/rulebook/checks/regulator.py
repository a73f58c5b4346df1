"""Outputs with a limit of their own: regulators, fused and switched outputs of computers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.model.reason import Origin
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import called, outlet_of, slot_of, source_of, told_as
from loomwright.rulebook.telling import at_circuit, fault, names
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit

_SAME = 1e-6


def _within_limit(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Add up what hangs on each output; loads of unknown current count nothing."""
    on_output: dict[tuple[str, str], list[PlannedCircuit]] = defaultdict(list)
    for circuit in plan.circuits:
        if source_of(circuit) and slot_of(circuit) and _asks_a(circuit) is not None:
            on_output[source_of(circuit), slot_of(circuit)].append(circuit)
    for (source_id, slot), circuits in on_output.items():
        outlet, source = outlet_of(plan, circuits[0]), plan.robot.device(source_id)
        total = sum(_asks_a(c) or 0.0 for c in circuits)
        if source is None or outlet is None or outlet.limit_a is None or total <= outlet.limit_a + _SAME:
            continue
        loads = names([called(plan, c.circuit.load) for c in circuits])
        first = plan.robot.device(circuits[0].circuit.load)
        yield fault(
            rule,
            "output-overloaded",
            at_circuit(circuits[0], draw=first.draw if first else Fact()),
            f"{loads} {'asks' if len(circuits) == 1 else 'ask'} for {show(total, Dimension.CURRENT)} from {slot} of "
            f"{told_as(source)}, which gives {show(outlet.limit_a, Dimension.CURRENT)}.",
            "Move a load to another output, or use a regulator that gives more.",
            rests_on=("assumed currents of some loads",) if any(_assumed(c) for c in circuits) else (),
        )


def _asks_a(circuit: PlannedCircuit) -> float | None:
    return circuit.current.value if circuit.current.value is not None else circuit.sustained.value


def _assumed(circuit: PlannedCircuit) -> bool:
    return (circuit.current if circuit.current.value is not None else circuit.sustained).origin is Origin.ASSUMED


CHECKS = (
    Check("output within its limit", "Whether the loads on an output ask for more than it gives.", _within_limit),
)
