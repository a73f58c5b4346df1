"""Rest voltage and charge: the named curve, and how far a rest voltage is off that was read too early."""

from __future__ import annotations

from itertools import pairwise
from math import exp, hypot

from loomwright.match.of_battery import rest_curve
from loomwright.rack.health.practice import practice

_HOUR_DAYS = 1 / 24


def rest_voltage(charge: float) -> float:
    """Return the rest voltage of a sealed battery [V], the middle of what the sources say, as a match takes it.

    One battery's curve lies within `curve doubt` of it (one standard deviation).
    """
    for (z0, v0), (z1, v1) in pairwise(rest_curve()):
        if z0 <= charge <= z1:
            return v0 + (v1 - v0) * (charge - z0) / (z1 - z0)
    return rest_curve()[0][1] if charge < 0 else rest_curve()[-1][1]


def not_yet_rested(since_charge_h: float | None, since_load_h: float | None) -> tuple[float, float]:
    """Return how far a rest voltage is off because of what came before it, and the doubt of that [V].

    Surface charge shows too much for hours after a charge; a load leaves a dip for minutes. Half of what is expected
    counts as doubt, and where nobody knows either time the doubt alone.
    """
    if since_charge_h is None and since_load_h is None:
        return 0.0, practice("untold past doubt")
    above = _fading("surface", since_charge_h)
    if since_load_h is not None and (since_charge_h is None or since_load_h <= since_charge_h):
        above = 0.0  # what lay on the surface is the first to be used
    below = _fading("dip", since_load_h)
    return above - below, practice("passing doubt") * hypot(above, below)


def hours_since(day: float, before: float | None) -> float | None:
    """Return the hours from one day to another, None where nobody knows the first."""
    return None if before is None else (day - before) / _HOUR_DAYS


def _fading(what: str, since_h: float | None) -> float:
    if since_h is None:
        return 0.0
    return practice(f"{what} voltage") * exp(-max(since_h, 0.0) / practice(f"{what} time"))
