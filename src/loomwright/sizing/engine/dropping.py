"""Whether a wire keeps the allowed voltage drop, or, with its length unknown, how far it would."""

from __future__ import annotations

from loomwright.sizing.engine.drop import drop_basis, drop_v, longest_circuit_m
from loomwright.sizing.engine.limit import at_most
from loomwright.sizing.request import Request
from loomwright.sizing.result import Constraint, ConstraintName
from loomwright.units.gauge import Gauge


def longest_one_way_m(request: Request, gauge: Gauge) -> float | None:
    """Return the longest one-way length [m] that keeps the allowed drops; None where the basis has no such gauge.

    It is 0 where the leads before it lose all that is allowed.
    """
    left_v = request.allowed_drop_v
    if request.path_drop_v is not None:
        left_v = min(left_v, request.path_drop_v - request.before_v)
    circuit_m = longest_circuit_m(
        request.drop_basis,
        gauge,
        current_a=request.current_a,
        allowed_drop_v=max(0.0, left_v - _leads_v(request)),
        conductor_c=request.conductor_c,
    )
    return None if circuit_m is None else circuit_m / request.conductors


def dropped_v(request: Request, gauge: Gauge) -> float | None:
    """Return the drop [V] over the circuit with its parts' own leads.

    None for an unknown length or a gauge that the basis does not have.
    """
    if request.one_way_m is None:
        return None
    wire_v = drop_v(
        request.drop_basis,
        gauge,
        current_a=request.current_a,
        circuit_m=request.one_way_m * request.conductors,
        conductor_c=request.conductor_c,
    )
    return None if wire_v is None else wire_v + _leads_v(request)


def drop_holds(request: Request, gauge: Gauge) -> Constraint:
    """Judge the drop; not judged (`ok` is None) where the length is unknown, with the longest length as the reason."""
    name, basis = ConstraintName.DROP, drop_basis(request.drop_basis)
    said = basis.spoken(conductor_c=request.conductor_c)
    percent = f"{request.allowed_drop_v / request.supply_v * 100:.3g} %"
    needs = f"drop at most {request.allowed_drop_v:.3g} V ({percent}) at {request.current_a:.4g} A, {said}"
    reach_m = longest_one_way_m(request, gauge)
    if reach_m is None:
        reason = f"{basis.name} has no {gauge}"
        return Constraint(name=name, ok=False, needs=needs, reason=reason, unit="V", source=basis.source)
    actual_v = dropped_v(request, gauge)
    if actual_v is None:
        reach = f"{gauge} holds up to {reach_m:.2f} m one way at {request.current_a:.4g} A and {percent}, {said}"
        return Constraint(
            name=name,
            ok=None,
            needs=needs,
            reason=f"length unknown: {reach}",
            limit=request.allowed_drop_v,
            unit="V",
            source=basis.source,
        )
    return at_most(name, actual=actual_v, limit=request.allowed_drop_v, unit="V", needs=needs, source=basis.source)


def path_drop_holds(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge the drop from the battery to the load: this circuit's own and what is lost in the leads before it."""
    dropped = dropped_v(request, gauge)
    if request.path_drop_v is None or dropped is None:
        return None
    share = f"{request.path_drop_v / request.supply_v * 100:.3g} %"
    needs = (
        f"drop at most {request.path_drop_v:.3g} V ({share}) from the battery on, of which {request.before_v:.3g} V "
        "in the leads that it shares with the others"
    )
    return at_most(
        ConstraintName.PATH_DROP,
        actual=dropped + request.before_v,
        limit=request.path_drop_v,
        unit="V",
        needs=needs,
        source=drop_basis(request.drop_basis).source,
    )


def _leads_v(request: Request) -> float:
    return request.current_a * request.leads_ohm
