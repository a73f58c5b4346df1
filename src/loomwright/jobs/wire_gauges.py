"""The gauge of each single wire: decided for its circuit, the part's own, or what its use asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.jobs.leads import lead_gauge
from loomwright.jobs.requests import port_at
from loomwright.model.part import Polarity, PortKind
from loomwright.rulebook import minimum_for_use
from loomwright.units import Gauge
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.model.part import Port
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.wiring.result import Circuit, Wire

_DATA_GAUGE = Gauge(22)


def wire_gauge(
    robot: Robot, rules: RuleBook, circuit: Circuit, wire: Wire, *, decided: Gauge | None, source: str, slot: str
) -> Gauge | None:
    """Return the gauge of one wire: its part's own for captive leads, the rule's for data lines.

    Of the battery's path each lead has the gauge that is written for it, or else the circuit's. None for a ready-made
    cable, and where the circuit's gauge is not `decided`.
    """
    ports = [p for end in (wire.a, wire.b) if (p := port_at(robot, end, source, slot)) is not None]
    if wire.captive:
        leads = [p.lead_gauge for p in reversed(ports) if p.kind is PortKind.LEAD and p.lead_gauge]
        return leads[0] if leads else decided
    if circuit.kind is CircuitKind.MAIN:
        return lead_gauge(robot, wire).value or decided
    if circuit.kind.carries_power:
        return decided
    if wire.a.polarity is Polarity.CABLE:
        return None
    least = minimum_for_use(rules, circuit.kind)
    usual = _DATA_GAUGE if least is None or least[0].thinner_than(_DATA_GAUGE) else least[0]
    return usual if all(port.takes(usual) for port in ports) else _fitting(ports, usual)


def _fitting(ports: list[Port], usual: Gauge) -> Gauge:
    """Return the gauge nearest to the usual one that every port takes, or the usual one."""
    numbers = sorted(range(usual.number - 8, usual.number + 7, 2), key=lambda n: abs(n - usual.number))
    return next((Gauge(n) for n in numbers if all(port.takes(Gauge(n)) for port in ports)), usual)
