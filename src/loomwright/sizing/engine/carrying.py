"""What heats a wire for long: its load, the current its protection never stops, and the protection's rating."""

from __future__ import annotations

from dataclasses import replace

from loomwright.catalogue.sources import source
from loomwright.sizing.engine.ampacity import Ampacity, ampacity_basis
from loomwright.sizing.engine.heat import conductor_temperature_c
from loomwright.sizing.engine.limit import at_most
from loomwright.sizing.engine.surroundings import allowed
from loomwright.sizing.request import Request
from loomwright.sizing.result import Constraint, ConstraintName
from loomwright.units.gauge import Gauge

_PROTECTION_OVER_AMPACITY = 1.5  # [cfr-183.455]


def sustained_a(request: Request) -> float:
    """Return the current [A] that heats the wire for long."""
    return request.current_a if request.sustained_a is None else request.sustained_a


def temperature_c(request: Request, ampacity: Ampacity, *, current_a: float) -> float | None:
    """Return the conductor's steady temperature [C] at a current, None where its ampacity is unknown or nought."""
    if not ampacity.ampacity_a:
        return None
    return conductor_temperature_c(
        current_a=current_a,
        ampacity_a=ampacity.ampacity_a,
        insulation_c=request.insulation_c,
        ambient_c=request.ambient_c,
        table_c=ampacity.basis.ambient_c,
    )


def ampacity_holds(request: Request, gauge: Gauge) -> Constraint:
    """Judge whether the wire may carry its load for ever."""
    name, current_a = ConstraintName.AMPACITY, sustained_a(request)
    alone = "alone" if request.bundle_wires == 1 else f"{request.bundle_wires} wires in the bundle"
    where = f"{request.insulation_c:g} C insulation, air at {request.ambient_c:g} C, {alone}"
    needs = f"carry {current_a:.4g} A for long ({where})"
    ampacity = allowed(request, gauge)
    if not ampacity.ampacity_a:
        return _not_held(name, ampacity, actual=current_a, needs=needs)
    return at_most(
        name,
        actual=current_a,
        limit=ampacity.ampacity_a,
        unit="A",
        needs=needs,
        source=ampacity.source,
        rests_on=_rests_on(request, ampacity, gauge),
    )


def hold_heat_holds(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge whether the insulation stands the current that the protection carries for ever.

    It is the current of a stalled or failing load, so the table counts corrected for the air and not for the
    bundle: while one circuit is held at its protection, its neighbours run at their loads. That those together
    don't heat the bundle too much is the business of the ampacity constraint.
    """
    if (hold_a := request.hold_a) is None:
        return None
    name = ConstraintName.HOLD_HEAT
    needs = f"stay within {request.insulation_c:g} C at the {hold_a:.4g} A that the protection carries for ever"
    ampacity = replace(allowed(request, gauge), bundle_factor=1.0)
    if (hot_c := temperature_c(request, ampacity, current_a=hold_a)) is None:
        return _not_held(name, ampacity, actual=hold_a, needs=needs)
    rise = at_most(
        name,
        actual=hot_c - request.ambient_c,
        limit=request.insulation_c - request.ambient_c,
        unit="C",
        needs=needs,
        source="heat-balance",
        rests_on=(*_rests_on(request, ampacity, gauge), *_alone(request)),
    )
    return Constraint(
        name=name,
        ok=rise.ok,
        needs=needs,
        margin=rise.margin,
        limit=request.insulation_c,
        actual=hot_c,
        unit="C",
        source=rise.source,
        rests_on=rise.rests_on,
    )


def _alone(request: Request) -> tuple[str, ...]:
    """Say what is taken of the neighbours in a bundle, where there are any beyond the circuit's own return."""
    if request.bundle_wires <= request.conductors:
        return ()
    return ("the others in the bundle are not at their protection's current at the same time",)


def protection_holds(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge the protection's rating against the wire: at most 150 % of the table's ampacity below 50 V.

    33 CFR 183.455(c)(1) measures against the table, corrected for the air and not for the bundle; bundles
    are the business of the ampacity constraint. Source: cfr-183.455.
    """
    if (rating_a := request.protection_a) is None:
        return None
    name = ConstraintName.PROTECTION
    needs = f"have a table ampacity of at least {rating_a / _PROTECTION_OVER_AMPACITY:.3g} A behind {rating_a:.4g} A"
    ampacity = allowed(request, gauge)
    if not ampacity.unbundled_a:
        return _not_held(name, ampacity, actual=rating_a, needs=needs)
    return at_most(
        name,
        actual=rating_a,
        limit=ampacity.unbundled_a * _PROTECTION_OVER_AMPACITY,
        unit="A",
        needs=needs,
        source="cfr-183.455",
        rests_on=_rests_on(request, ampacity, gauge),
    )


def _not_held(name: ConstraintName, ampacity: Ampacity, *, actual: float, needs: str) -> Constraint:
    reason = ampacity.reason or "the air is as hot as the insulation stands"
    return Constraint(name=name, ok=False, needs=needs, reason=reason, actual=actual, unit="A", source=ampacity.source)


def _rests_on(request: Request, ampacity: Ampacity, gauge: Gauge) -> tuple[str, ...]:
    said = []
    if ampacity.basis.name != request.ampacity_basis:
        wanted = ampacity_basis(request.ampacity_basis)
        said.append(f"{wanted.table} has no {gauge}; {ampacity.basis.table} was taken for it")
    if source(ampacity.source).standing == "from memory":
        said.append(f"the ampacity of {gauge} is from memory")
    return tuple(said)
