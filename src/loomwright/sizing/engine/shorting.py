"""Whether a wire outlives a dead short until its protection has opened."""

from __future__ import annotations

from loomwright.catalogue.conductor import area_mm2
from loomwright.catalogue.protection_curve import TripCurve
from loomwright.sizing.engine.heat import ADIABATIC_LONGEST_S, k_factor, smallest_section_mm2
from loomwright.sizing.engine.limit import at_most
from loomwright.sizing.request import Request
from loomwright.sizing.result import Constraint, ConstraintName
from loomwright.units.gauge import Gauge


def short_circuit_holds(request: Request, gauge: Gauge) -> Constraint | None:
    """Judge the section against every fault current up to the dead short, on the protection's own curve.

    A smaller fault may let more energy through than the dead short, since it takes longer to be cleared; so all points
    of the curve below it count. Only times up to 5 s are adiabatic; slower ones belong to hold heat.
    Beyond its last point a curve is taken to let the same I2t through, and the verdict says so.
    The conductor is taken as hot as its insulation allows when the short happens.
    """
    curve, fault_a, rating_a = request.trip_curve, request.fault_current_a, request.protection_a
    if curve is None or fault_a is None or rating_a is None:
        return None
    name = ConstraintName.SHORT_CIRCUIT
    needs = f"outlive a short of up to {fault_a:.4g} A until the {rating_a:.4g} A {curve.kind} has opened"
    faults = _cleared_faults(curve, fault_a=fault_a, rating_a=rating_a)
    reason = _not_judged(request, faults)
    if reason:
        return Constraint(
            name=name, ok=None, needs=needs, reason=reason, unit="mm2", source=curve.source, rests_on=curve.rests_on
        )
    k = k_factor(initial_c=request.insulation_c, final_c=request.short_circuit_c)
    section_mm2 = max(smallest_section_mm2(current_a=a, time_s=s, k=k) for a, s in faults)
    last = curve.points[-1].multiple * rating_a
    beyond = (
        (f"the curve ends at {last:.4g} A; what it lets through is taken as constant beyond",) if fault_a > last else ()
    )
    return at_most(
        name,
        actual=section_mm2,
        limit=area_mm2(gauge),
        unit="mm2",
        needs=needs,
        source="iec-60364-5-54",
        rests_on=(*curve.rests_on, *beyond),
    )


def _not_judged(request: Request, faults: list[tuple[float, float]]) -> str:
    """Say why a short circuit can't be judged, empty where it can."""
    if request.short_circuit_c <= request.insulation_c:
        return f"say what {request.insulation_c:g} C insulation stands in a short"
    if not faults:
        return "the curve says nothing about opening within 5 s at this current"
    return ""


def _cleared_faults(curve: TripCurve, *, fault_a: float, rating_a: float) -> list[tuple[float, float]]:
    """Give fault currents [A] up to the dead short and the longest times [s] to clear them, times up to 5 s only."""
    opening = [point for point in curve.points if point.max_s is not None]
    if not opening or fault_a < opening[0].multiple * rating_a:
        return []
    times = {p.multiple * rating_a: p.max_s for p in opening if p.multiple * rating_a <= fault_a}
    # Beyond the last point there is no time, and the point itself stands for all that lies beyond: I2t is constant
    # where a fuse or a bimetal heats faster than it can give heat away.
    times[fault_a] = curve.max_s(fault_a / rating_a)
    return [(current, time) for current, time in times.items() if time is not None and time <= ADIABATIC_LONGEST_S]
