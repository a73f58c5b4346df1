"""How warm the hottest wire of a branch gets: its ampacity tells how it cools, its copper how fast it warms."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import (
    diameter_mm,
    mass_g_per_m,
    resistance_ohm_per_m,
    temperature_factor,
)
from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.match.machine import WireHeat
from loomwright.match.of_copper import gauges_of
from loomwright.match.of_practice import practice
from loomwright.sizing import OutOfTableError, Surroundings, ampacity, ampacity_bases

if TYPE_CHECKING:
    from loomwright.match.of_notes import Notes
    from loomwright.plan.result import Plan, PlannedCircuit
    from loomwright.units import Gauge

_THIN = "mil-w-5088"


def wire_heat(plan: Plan, circuit: PlannedCircuit, notes: Notes) -> WireHeat | None:
    """Return the thinnest wire or lead of a circuit as it warms; None where no gauge or no ampacity is known.

    At the ampacity I the insulation is just at its limit: G = I^2 R20 (1 + alpha (T - 20))/(T - air), with the air
    that the ampacity holds for. Its copper counts in full and its insulation by a share, since that warms later.
    """
    gauges = gauges_of(circuit)
    if not gauges:
        return None
    gauge = max(gauges, key=lambda g: g.number)
    house = plan.robot.house
    limit_c = min(house.insulation.values, default=practice("insulation"))
    basis = next(iter(ampacity_bases().values()))
    air_c = max(*house.ambient.values, basis.ambient_c) if house.ambient.values else basis.ambient_c
    carried_a = _ampacity_a(circuit, gauge, basis.name, Surroundings(limit_c, air_c))
    if carried_a is None or limit_c <= air_c:
        notes.assume("no ampacity is known, so the wire's heat is not played", circuit.id)
        return None
    ohm_per_m = resistance_ohm_per_m(gauge)
    at_limit_w = carried_a**2 * ohm_per_m * temperature_factor(conductor_c=limit_c)
    return WireHeat(gauge.label, ohm_per_m, at_limit_w / (limit_c - air_c), heat_joule_per_k_m(gauge), limit_c)


def heat_joule_per_k_m(gauge: Gauge) -> float:
    """Return what warms one metre of a wire by one kelvin [J/(K m)]: copper, and a share of its insulation."""
    copper = mass_g_per_m(gauge) / 1000 * practice("copper heat")
    outside_mm = outside_diameter_mm(gauge)
    if outside_mm is None:
        return copper
    around_m2 = pi / 4 * (outside_mm**2 - diameter_mm(gauge) ** 2) * 1e-6
    return copper + practice("insulation share") * practice("insulation heat") * around_m2


def _ampacity_a(circuit: PlannedCircuit, gauge: Gauge, basis: str, around: Surroundings) -> float | None:
    """Return the ampacity in the circuit's bundle [A]: the sizing's own, for another gauge in the same proportion."""
    sizing = circuit.sizing
    if sizing is not None and sizing.ampacity_a is not None:
        if sizing.shown_for == gauge:
            return sizing.ampacity_a
        sized, other = (_alone_a(basis, g, around) for g in (sizing.shown_for, gauge))
        if sized and other:
            return sizing.ampacity_a * other / sized
    wires = int(practice("bundle wires"))
    return _alone_a(basis, gauge, Surroundings(around.insulation_c, around.ambient_c, wires))


def _alone_a(basis: str, gauge: Gauge, around: Surroundings) -> float | None:
    for name in (basis, _THIN):
        try:
            found = ampacity(name, gauge, around).ampacity_a
        except OutOfTableError:
            continue
        if found is not None:
            return found
    return None
