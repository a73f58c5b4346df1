"""The copper of an AWG wire: diameter, area, resistance at a temperature, mass."""

from __future__ import annotations

import math

from loomwright.units.gauge import Gauge

RESISTIVITY_OHM_MM2_PER_M = 1 / 58
"""Annealed copper at 20 C, 100 % IACS [iacs]."""
TEMPERATURE_COEFFICIENT_PER_K = 0.00393
"""Per kelvin of the 20 C resistance [iacs]."""
DENSITY_G_PER_CM3 = 8.89
"""Annealed copper [nbs-100]."""
NEC_LAY_ALLOWANCE = 0.02
"""Strands run around the wire, so they are longer than it: what NEC Chapter 9 Table 8 adds [nec-ch9-table-8]."""

_MM_PER_IN = 25.4
_REFERENCE_C = 20.0


def diameter_mm(gauge: Gauge) -> float:
    """Return the diameter of the solid wire [mm]: 0.005 in x 92^((36 - n)/39).

    Source: astm-b258.
    """
    return 0.005 * math.pow(92, (36 - gauge.number) / 39) * _MM_PER_IN


def area_mm2(gauge: Gauge) -> float:
    """Return the copper area [mm2] of a solid wire of this gauge; strand of the same gauge has about as much."""
    return math.pi / 4 * diameter_mm(gauge) ** 2


def area_cmil(gauge: Gauge) -> float:
    """Return the area in circular mils: the square of the diameter in thousandths of an inch."""
    return (diameter_mm(gauge) / _MM_PER_IN * 1000) ** 2


def mass_g_per_m(gauge: Gauge) -> float:
    """Return the mass of the copper alone [g/m], without insulation and lay."""
    return area_mm2(gauge) * DENSITY_G_PER_CM3


def temperature_factor(*, conductor_c: float) -> float:
    """Return the resistance at a temperature over that at 20 C: 1 + 0.00393 (T - 20).

    Source: iacs; a straight line that holds from about -50 to 200 C. IEC 60228 rounds the coefficient
    to 0.004, which is 0.4 % more at 75 C.
    """
    return 1 + TEMPERATURE_COEFFICIENT_PER_K * (conductor_c - _REFERENCE_C)


def section_resistance_ohm_per_m(*, section_mm2: float, conductor_c: float = 20.0, lay_allowance: float = 0.0) -> float:
    """Return the direct-current resistance [ohm/m] of a copper section.

    `lay_allowance` is the fraction by which strands are longer than the wire: 0 for solid wire,
    `NEC_LAY_ALLOWANCE` for the stranded rows of NEC Chapter 9 Table 8.
    """
    solid = RESISTIVITY_OHM_MM2_PER_M / section_mm2
    return solid * temperature_factor(conductor_c=conductor_c) * (1 + lay_allowance)


def resistance_ohm_per_m(gauge: Gauge, *, conductor_c: float = 20.0, lay_allowance: float = 0.0) -> float:
    """Return the direct-current resistance [ohm/m] of a gauge at a conductor temperature [C].

    Source: astm-b258 for the section, iacs for the copper.
    """
    return section_resistance_ohm_per_m(
        section_mm2=area_mm2(gauge), conductor_c=conductor_c, lay_allowance=lay_allowance
    )
