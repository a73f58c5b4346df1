"""When wires fit through a trunk: the one rule that the routing and its checker share."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from loomwright.catalogue.wire_diameter import bundle_diameter_mm, bundle_over_wire

_SAME_MM = 1e-9
# The estimate of a mixed bundle can be 4.4 % too small, see `bundle_diameter_mm`.
_SAFE = 1 / (1 - 0.044)
_PAIR = 2


def bundle_mm(wire_mm: Iterable[float]) -> float:
    """Return how wide a trunk must be for wires of these outside diameters [mm], 0 for none.

    On the safe side for a mix: above the estimate by what that can be too small, but never more than so many of its
    thickest wire need. One more wire, or a thicker one, never needs less room.
    """
    return _bundle_mm(tuple(sorted(wire_mm, reverse=True)))


def fits(wire_mm: Iterable[float], capacity_m: float | None) -> bool:
    """Whether wires of these outside diameters [mm] go through a trunk of this width [m], None: as wide as needed."""
    return capacity_m is None or bundle_mm(wire_mm) <= capacity_m * 1e3 + _SAME_MM


@lru_cache(maxsize=1 << 16)
def _bundle_mm(thickest_first: tuple[float, ...]) -> float:
    if len(thickest_first) <= _PAIR:
        return sum(thickest_first)
    all_thick_mm = bundle_over_wire(len(thickest_first)) * thickest_first[0]
    return min(_SAFE * bundle_diameter_mm(thickest_first), all_thick_mm)
