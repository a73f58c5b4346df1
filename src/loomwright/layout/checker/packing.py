"""Check that the wires of a packed bundle lie beside one another and inside it, and that a told diameter can be."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import dist, hypot, sqrt

_HAIR = 1e-9
#: Diameters are told to this [mm], rounded up.
_TOLD = 0.0101


def check_packing(diameters_mm: Sequence[float], *, diameter_mm: float, centres: Sequence[tuple[float, float]]) -> None:
    """Look at a bundle of this diameter [mm] whose wires lie at these centres [mm].

    Raises
    ------
    ValueError
        A wire is missing, two of them overlap, or one stands out of the bundle.
    """
    if len(centres) != len(diameters_mm):
        raise ValueError(f"{len(diameters_mm)} wires have {len(centres)} places in their bundle")
    hair = _HAIR * diameter_mm
    for wire, (centre, d) in enumerate(zip(centres, diameters_mm, strict=True)):
        if not hypot(*centre) + d / 2 <= diameter_mm / 2 + hair:
            raise ValueError(f"wire {wire} stands out of its bundle")
    for one, other in combinations(range(len(centres)), 2):
        if not dist(centres[one], centres[other]) >= (diameters_mm[one] + diameters_mm[other]) / 2 - hair:
            raise ValueError(f"wires {one} and {other} overlap in their bundle")


def could_be_bundle(diameters_mm: Sequence[float], *, diameter_mm: float) -> bool:
    """Tell whether wires of these diameters [mm] could be a bundle of this diameter, before anything is packed.

    It is no less than the two thickest side by side, nor than a circle of their area; a row of them all is never
    the tightest.
    """
    thickest = sorted(diameters_mm, reverse=True)
    least = max(sum(thickest[:2]), sqrt(sum(d * d for d in thickest)))
    return least <= diameter_mm * (1 + _HAIR) and diameter_mm <= sum(thickest) + _TOLD
