"""Check that the wires of a packed bundle lie beside one another and inside it, wire by wire."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import dist, hypot

_HAIR = 1e-9


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
