"""First facts of wires, typed from the sources named beside them: copper, heat, protection, what a rule book asks.

Nothing of the program is imported here: tests compare its plans with this arithmetic.
"""

from __future__ import annotations

import math
from itertools import pairwise

#: Annealed copper: 1/58 ohm mm2/m at 20 C (IACS, IEC 60028).
RHO_OHM_MM2_PER_M = 1 / 58
#: 33 CFR 183.425 Table 5, insulation 105 C, outside engine spaces, air 30 C, up to three conductors together.
AMPACITY_A = {18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 8: 80, 6: 120, 4: 160}
#: The same, Note 2: what is left of it where more carry current together, up to so many.
TOGETHER = {2: 1.0, 3: 0.7, 6: 0.6, 24: 0.5}
#: MIL-W-5088B, one wire in free air of 50 C, insulation 105 C.
THIN_ALONE_A = {22: 5.0, 20: 8.33}
#: MIL-W-5088B, bundle curve, fully loaded: what is left with so many in the bundle.
_LEFT = (
    0.825,
    0.725,
    0.66,
    0.61,
    0.5725,
    0.54,
    0.5125,
    0.485,
    0.465,
    0.445,
    0.43,
    0.415,
    0.3975,
    0.385,
    0.37,
    0.36,
    0.35,
)
THIN_TOGETHER = dict(enumerate(_LEFT, start=2))
AIR_C, INSULATION_C, SHORT_C = 30.0, 105.0, 160.0
#: Opening times, at the latest [s], by multiple of the rating. Breakers: common practice, assumed. Fuses: ISO 8820-3.
SNAP = {1.35: 3600, 2: 30, 3: 8, 6: 0.35, 10: 0.12}
MAIN_120 = {1.33: 3600, 2: 60, 3: 15, 6: 2, 10: 0.6}
BLADE = {1.35: 600, 1.6: 50, 2: 5, 3.5: 0.5, 6: 0.1}
#: What each surely carries for ever: a breaker its rating, a blade fuse 110 % of it (ISO 8820-3).
HOLDS = {"snap": 1.0, "main": 1.0, "blade": 1.1, "limit": 1.0}
CURVES: dict[str, dict[float, float]] = {"snap": SNAP, "main": MAIN_120, "blade": BLADE, "limit": {}}
#: The book's least gauges (common practice): rating up to [A] -> AWG.
BOOK = {"snap": {20: 18, 30: 14, 40: 12}, "blade": {10: 22, 20: 18, 30: 14, 40: 12}}
BOOK["limit"] = BOOK["blade"]


def area_mm2(awg: int) -> float:
    """Return the section of a gauge: ASTM B258, 0.127 mm x 92^((36 - n)/39) in diameter."""
    diameter_mm: float = 0.127 * 92 ** ((36 - awg) / 39)
    return math.pi / 4 * diameter_mm**2


def loop_ohm(awg: int, one_way_m: float) -> float:
    """Return the resistance out and back."""
    return 2 * one_way_m * RHO_OHM_MM2_PER_M / area_mm2(awg)


def ampacity_a(awg: int, together: int = 2) -> float:
    """Return what a wire may carry where so many carry current side by side; a thin one never more than 18 AWG."""
    if awg in AMPACITY_A:
        return AMPACITY_A[awg] * next(left for most, left in TOGETHER.items() if together <= most)
    return min(THIN_ALONE_A[awg] * THIN_TOGETHER[together], AMPACITY_A[18])


def alone_a(awg: int) -> float:
    """Return what the wire may carry by itself, whatever lies beside it."""
    return AMPACITY_A.get(awg) or THIN_ALONE_A[awg]


def temperature_c(awg: int, current_a: float, carries_a: float) -> float:
    """Return the steady temperature: the rise goes with the current squared, and is full at the ampacity."""
    table_air_c = AIR_C if awg in AMPACITY_A else 50.0
    return AIR_C + (INSULATION_C - table_air_c) * (current_a / carries_a) ** 2


def section_for_short_mm2(kind: str, rating_a: float, fault_a: float) -> float:
    """Return the section that outlives every short that is cleared within 5 s: I sqrt(t)/k, IEC 60364-5-54.

    k = 226 sqrt(ln((234.5 + 160)/(234.5 + 105))) from the insulation's limit on. At the dead short itself the time
    lies on a straight line between the curve's points on logarithmic scales.
    """
    k = 226 * math.sqrt(math.log((234.5 + SHORT_C) / (234.5 + INSULATION_C)))
    points = sorted(CURVES[kind].items())
    needs = [m * rating_a * math.sqrt(t) / k for m, t in points if t <= 5 and m * rating_a <= fault_a]
    m = fault_a / rating_a
    for (low, at_low), (high, at_high) in pairwise(points):
        if low <= m <= high:
            time_s = at_low * (at_high / at_low) ** (math.log(m / low) / math.log(high / low))
            if time_s <= 5:
                needs.append(fault_a * math.sqrt(time_s) / k)
    return max(needs, default=0.0)
