"""Everything that a gauge has to satisfy, each judged by itself."""

from __future__ import annotations

from loomwright.catalogue.conductor import area_mm2
from loomwright.sizing.engine.carrying import ampacity_holds, hold_heat_holds, protection_holds
from loomwright.sizing.engine.dropping import drop_holds, path_drop_holds
from loomwright.sizing.engine.limit import at_most
from loomwright.sizing.engine.shorting import short_circuit_holds
from loomwright.sizing.request import PortLimit, Request
from loomwright.sizing.result import Constraint, ConstraintName
from loomwright.units.gauge import Gauge


def judged(request: Request, gauge: Gauge) -> tuple[Constraint, ...]:
    """Return every constraint that applies to the request, judged at one gauge, in the order of their names."""
    found = (
        rule_book_holds(request, gauge),
        ampacity_holds(request, gauge),
        drop_holds(request, gauge),
        path_drop_holds(request, gauge),
        hold_heat_holds(request, gauge),
        short_circuit_holds(request, gauge),
        protection_holds(request, gauge),
        ports_hold(request, gauge),
    )
    return tuple(constraint for constraint in found if constraint is not None)


def rule_book_holds(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge the gauge against the rule book's thinnest one."""
    if (rule := request.rule_minimum) is None:
        return None
    return at_most(
        ConstraintName.RULE_BOOK,
        actual=area_mm2(rule.gauge),
        limit=area_mm2(gauge),
        unit="mm2",
        needs=f"be {rule.gauge} or thicker by rule {rule.rule}",
        source=rule.rule,
    )


def ports_hold(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge whether every end of the wire goes into its port."""
    limits = [port for port in request.ports if port.thinnest is not None or port.thickest is not None]
    if not limits:
        return None
    refused = [f"{port.place} takes {_range(port)}" for port in limits if not _takes(port, gauge)]
    return Constraint(
        name=ConstraintName.PORTS,
        ok=not refused,
        needs="fit " + " and ".join(f"{port.place} ({_range(port)})" for port in limits),
        reason="; ".join(refused),
    )


def _takes(port: PortLimit, gauge: Gauge) -> bool:
    too_thin = port.thinnest is not None and gauge.thinner_than(port.thinnest)
    too_thick = port.thickest is not None and port.thickest.thinner_than(gauge)
    return not too_thin and not too_thick


def _range(port: PortLimit) -> str:
    if port.thinnest is None:
        return f"{port.thickest} and thinner"
    if port.thickest is None:
        return f"{port.thinnest} and thicker"
    return f"{port.thinnest.label} to {port.thickest}"
