"""Resistances as a hand-held meter shows them: no finer than its last digit means anything."""

from __future__ import annotations

from typing import Final

from loomwright.units import Dimension, show

_TENTHS_UP_TO_OHM: Final = 10.0
_WHOLE_UP_TO_OHM: Final = 200.0
_FIGURES: Final = 2


def as_shown(resistance_ohm: float) -> float:
    """Return a finite resistance [ohm] as it is read: tenths below 10 ohm, whole ones to 200, two figures above."""
    if resistance_ohm < _TENTHS_UP_TO_OHM:
        return round(resistance_ohm, 1)
    if resistance_ohm < _WHOLE_UP_TO_OHM:
        return float(round(resistance_ohm))
    return float(f"{resistance_ohm:.{_FIGURES}g}")


def ohm_words(resistance_ohm: float) -> str:
    """Write a resistance as it is read: "0.3 Ω", "56 Ω", "2.1 kΩ"."""
    shown = as_shown(resistance_ohm)
    if shown < _WHOLE_UP_TO_OHM:
        return f"{shown:g} Ω"
    return show(shown, Dimension.RESISTANCE, digits=_FIGURES)


def ohm_range(low_ohm: float, high_ohm: float) -> str:
    """Write a range of resistances; one that begins at nothing has only its upper end."""
    one, other = ohm_words(low_ohm), ohm_words(high_ohm)
    if one == other:
        return one
    return f"{one} to {other}" if as_shown(low_ohm) else f"at most {other}"
