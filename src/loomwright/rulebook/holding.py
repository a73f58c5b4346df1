"""How long a branch's protection surely holds a current, also beyond its published points."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.catalogue.protection_curve import TripCurve

if TYPE_CHECKING:
    from loomwright.plan.result import PlannedCircuit

ASSUMED_CURVE = "an assumed breaker curve"
NO_CURVE = "common practice, since no curve is known for this protection"


@dataclass(frozen=True, slots=True)
class Holding:
    """A time [s] for which protection surely stays closed (infinite: for ever), and what that rests on."""

    seconds: float
    rests_on: tuple[str, ...] = ()


def holds_s(circuit: PlannedCircuit, multiple: float, *, bare: float, bare_s: float) -> Holding:
    """Return how long the circuit's protection surely holds this multiple of its rating.

    Up to the rating it holds for ever. Between the points of its curve the time follows the curve; below the
    first point the first point's time is a safe answer; above the last one the time falls with the square of
    the current, as in any short heating (I^2 t is constant). Without a curve, `bare` times the rating is
    held for `bare_s` [s] (common practice), and more falls with the square again.
    """
    if multiple <= 1:
        return Holding(math.inf)
    known = [(p.multiple, p.min_s) for p in circuit.trip_curve if p.min_s is not None]
    if not known:
        return Holding(bare_s if multiple <= bare else bare_s * (bare / multiple) ** 2, (NO_CURVE,))
    rests_on = (ASSUMED_CURVE,) if circuit.curve_assumed else ()
    (first, first_s), (last, last_s) = min(known), max(known)
    if multiple <= first:
        return Holding(first_s, rests_on)
    if multiple >= last:
        return Holding(last_s * (last / multiple) ** 2, rests_on)
    curve = TripCurve("of this circuit", circuit.trip_curve)
    return Holding(curve.min_s(multiple) or 0.0, rests_on)
