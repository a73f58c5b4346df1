"""Leads that a thing brings along: no rule asks for their gauge, and a short heats them all the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.model.part import PortKind
from loomwright.sizing import ConstraintName
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.robot import Robot
    from loomwright.sizing import Sizing
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit

_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_BURNS = (ConstraintName.SHORT_CIRCUIT, ConstraintName.PROTECTION)


def own_supply_leads(robot: Robot, circuit: Circuit) -> Gauge | None:
    """Return the gauge of the leads that a circuit's load brings along for its supply; None where it brings none."""
    load = robot.device(circuit.load)
    socket = load.part.socket(circuit.load_socket) if load is not None and circuit.kind in _FED else None
    leads = [p.lead_gauge for p in socket.ports if p.kind is PortKind.LEAD and p.lead_gauge] if socket else []
    return max(leads, key=lambda gauge: gauge.number, default=None)


def own_lead_findings(circuit: Circuit, called: str, rating_a: float | None, judged: Sizing) -> Iterator[Finding]:
    """Give a finding where such leads are thinner than the book's and would burn before their protection opens.

    `judged` is a sizing with the leads' own gauge as the only one in stock.
    """
    found = [c for name in _BURNS if (c := judged.constraint(name)) is not None]
    broken = [c for c in found if c.ok is False and c.margin is not None]  # without a number nothing is known
    rule = judged.constraint(ConstraintName.RULE_BOOK)
    if not broken or rating_a is None or (rule is not None and rule.ok):
        return
    mark = circuit.mark
    yield Finding(
        "own-leads-thin",
        Severity.SHOULD,
        Place(mark.file, mark.line, mark.column, circuit.path),
        f"The leads that {called} brings along are {judged.shown_for}, behind {show(rating_a, Dimension.CURRENT)}. "
        f"They would have to {'; '.join(c.needs.rstrip('.') for c in broken)}.",
        "Use a smaller breaker or fuse. Rule books often leave such leads out; a short does not.",
        source=broken[0].source,
        rests_on=tuple(dict.fromkeys(note for c in broken for note in c.rests_on)),
    )
