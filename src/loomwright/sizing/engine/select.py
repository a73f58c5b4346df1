"""Choose the thinnest stocked gauge that satisfies everything, and say what decided it."""

from __future__ import annotations

from dataclasses import replace

from loomwright.catalogue.conductor import area_mm2
from loomwright.sizing.engine.ampacity import ampacity_basis
from loomwright.sizing.engine.carrying import sustained_a, temperature_c
from loomwright.sizing.engine.constraints import judged
from loomwright.sizing.engine.drop import drop_basis, wire_ohm_per_m
from loomwright.sizing.engine.dropping import dropped_v, longest_one_way_m
from loomwright.sizing.engine.surroundings import allowed
from loomwright.sizing.request import Request
from loomwright.sizing.result import Constraint, ConstraintName, Exclusion, Reach, Sizing
from loomwright.units.gauge import Gauge

_FULLY_LOADED_PCT = 100


def select(request: Request) -> Sizing:
    """Return the thinnest stocked gauge that satisfies every constraint, with the margin of each.

    Raises
    ------
    OutOfTableError
        Where a basis named in the request can't answer it: unknown name, insulation class, bundle or loading.
    """
    stock = sorted(request.stock, key=lambda gauge: -gauge.number)
    verdicts = {gauge: judged(request, gauge) for gauge in stock}
    broken = {gauge: _broken(request, gauge, verdicts[gauge]) for gauge in stock}
    chosen = next((gauge for gauge in stock if not broken[gauge]), None)
    shown = chosen or min(stock, key=lambda gauge: _how_far_off(gauge, broken[gauge]))
    constraints = tuple(_with_smallest(constraint, verdicts) for constraint in verdicts[shown])
    ampacity = allowed(request, shown)
    dropped = dropped_v(request, shown)
    return Sizing(
        gauge=chosen,
        shown_for=shown,
        decided_by=_decided_by(stock, broken, chosen),
        constraints=constraints,
        exclusions=tuple(Exclusion(g, broken[g], _reason(verdicts[g])) for g in stock if broken[g]),
        reach=_reach(request, broken),
        area_mm2=area_mm2(shown),
        resistance_ohm=_resistance_ohm(request, shown),
        drop_v=dropped,
        drop_pct=None if dropped is None else dropped / request.supply_v * 100,
        ampacity_a=ampacity.ampacity_a,
        conductor_temperature_c=temperature_c(request, ampacity, current_a=sustained_a(request)),
        drop_basis=request.drop_basis,
        ampacity_basis=request.ampacity_basis,
        assumptions=_assumptions(request, constraints),
        sources=tuple(dict.fromkeys(c.source for c in constraints if c.source)),
    )


def _broken(request: Request, gauge: Gauge, constraints: tuple[Constraint, ...]) -> tuple[str, ...]:
    names = tuple(str(constraint.name) for constraint in constraints if constraint.ok is False)
    below = request.floor is not None and gauge.thinner_than(request.floor)
    return names or (("floor",) if below else ())


def _how_far_off(gauge: Gauge, broken: tuple[str, ...]) -> tuple[int, bool, int]:
    """Rank gauges of which none will do: fewest breaches, those that fit their ports, then the nearest to fit.

    What fits its ports is too thin, so the thickest comes nearest; of what does not fit, the thinnest.
    """
    misfit = ConstraintName.PORTS in broken
    return len(broken), misfit, -gauge.number if misfit else gauge.number


def _reason(constraints: tuple[Constraint, ...]) -> str:
    return "; ".join(dict.fromkeys(c.reason for c in constraints if c.ok is False and c.reason))


def _decided_by(stock: list[Gauge], broken: dict[Gauge, tuple[str, ...]], chosen: Gauge | None) -> tuple[str, ...]:
    """Name what the next thinner stocked gauge breaks; with no gauge chosen, what stands in the way of all."""
    if chosen is None:
        return tuple(dict.fromkeys(name for gauge in stock for name in broken[gauge]))
    thinner = stock[: stock.index(chosen)]
    return broken[thinner[-1]] if thinner else ("stock",)


def _with_smallest(constraint: Constraint, verdicts: dict[Gauge, tuple[Constraint, ...]]) -> Constraint:
    """Add the thinnest stocked gauge that satisfies this constraint alone."""
    for gauge, constraints in verdicts.items():
        if any(other.name == constraint.name and other.ok for other in constraints):
            return replace(constraint, smallest=gauge)
    return constraint


def _reach(request: Request, broken: dict[Gauge, tuple[str, ...]]) -> tuple[Reach, ...]:
    """Give the longest one-way length for every gauge that satisfies all but the drop."""
    reaches = (
        (gauge, longest_one_way_m(request, gauge))
        for gauge, names in broken.items()
        if set(names) <= {ConstraintName.DROP, ConstraintName.PATH_DROP}
    )
    return tuple(Reach(gauge, length_m) for gauge, length_m in reaches if length_m is not None)


def _resistance_ohm(request: Request, gauge: Gauge) -> float | None:
    if request.one_way_m is None:
        return None
    ohm_per_m = wire_ohm_per_m(request.drop_basis, gauge, conductor_c=request.conductor_c)
    return None if ohm_per_m is None else ohm_per_m * request.one_way_m * request.conductors


def _assumptions(request: Request, constraints: tuple[Constraint, ...]) -> tuple[str, ...]:
    """Say what the answer rests on, in plain sentences."""
    drop, carry = drop_basis(request.drop_basis), ampacity_basis(request.ampacity_basis)
    said = [f"Drop: {drop.title}. {drop.note}".strip(), f"Ampacity: {carry.title}, air at {carry.ambient_c:g} C."]
    said.append(carry.note)
    if request.bundle_wires > 1:
        said.append(carry.bundle_note)
    if request.loading_pct < _FULLY_LOADED_PCT and not carry.knows_loading:
        said.append(
            f"{carry.name} counts loaded wires and knows no loading, so {request.loading_pct:g} % changes nothing."
        )
    if request.ambient_c < carry.ambient_c:
        said.append(f"Air colder than {carry.ambient_c:g} C is not credited.")
    if request.one_way_m is not None:
        said.append(f"The current runs through {request.conductors} x {request.one_way_m:.4g} m of wire.")
    if any(c.name is ConstraintName.SHORT_CIRCUIT and c.ok is not None for c in constraints):
        said.append(f"The insulation stands {request.short_circuit_c:g} C for the few seconds of a short.")
    said += [f"{note[0].upper()}{note[1:]}." for c in constraints for note in c.rests_on]
    return tuple(dict.fromkeys(sentence for sentence in said if sentence))
