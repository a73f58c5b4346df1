"""How hot a conductor gets: steadily at a current, and at once in a short circuit."""

from __future__ import annotations

import math

ADIABATIC_LONGEST_S = 5.0
"""Up to here a short circuit heats the copper alone [iec-60364-5-54]."""
_K_COPPER = 226.0
_BETA_COPPER_C = 234.5


def conductor_temperature_c(
    *, current_a: float, ampacity_a: float, insulation_c: float, ambient_c: float, table_c: float
) -> float:
    """Return the steady temperature [C] of a conductor that carries a current for long.

    The ampacity is the current that brings the insulation to its limit, and the rise goes with the
    current squared: T = ambient + (insulation - warmer of ambient and table ambient) (I/ampacity)^2. AC 43.13-1B, par.
    11-66 d(4), estimates with the square root of I/ampacity instead; that is higher below the ampacity and lower
    above it, so it isn't used. Sources: heat-balance, ac-43.13-11-66.
    """
    rise_at_ampacity = insulation_c - max(ambient_c, table_c)
    return ambient_c + rise_at_ampacity * (current_a / ampacity_a) ** 2


def k_factor(*, initial_c: float, final_c: float) -> float:
    """Return k [A s^0.5/mm2] of copper between two temperatures: 226 sqrt(ln((234.5 + Tf)/(234.5 + Ti))).

    Sources: iec-60949, iec-60364-5-54.

    Raises
    ------
    ValueError
        Where the final temperature is not above the initial one.
    """
    if final_c <= initial_c:
        raise ValueError(f"a conductor at {initial_c:g} C has no room left up to {final_c:g} C")
    return _K_COPPER * math.sqrt(math.log((_BETA_COPPER_C + final_c) / (_BETA_COPPER_C + initial_c)))


def smallest_section_mm2(*, current_a: float, time_s: float, k: float) -> float:
    """Return the section [mm2] that takes a short circuit: S = I sqrt(t)/k, for times up to 5 s.

    Source: iec-60364-5-54.
    """
    return current_a * math.sqrt(time_s) / k


def longest_short_s(*, current_a: float, section_mm2: float, k: float) -> float:
    """Return how long [s] a section takes a short circuit: t = (k S/I)^2, meaningful up to 5 s."""
    return (k * section_mm2 / current_a) ** 2
