"""When wires fit through a trunk: the one rule that the routing and its checker share."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from loomwright.catalogue.wire_diameter import bundle_diameter_mm, bundle_over_wire

_SAME_MM = 1e-9
# How much too small the estimate of a mixed bundle can be, see `bundle_diameter_mm`.
_SAFE = 1.036


def bundle_mm(wire_mm: Iterable[float]) -> float:
    """Return how wide a trunk must be for wires of these outside diameters [mm], 0 for none.

    On the safe side for a mix: 3.6 % above the estimate, but never more than so many of its thickest wire need. And
    one more wire never needs less room: the widest of the bundles of the thickest one, two, three... wires counts.
    """
    return _bundle_mm(tuple(sorted(wire_mm, reverse=True)))


def fits(wire_mm: Iterable[float], capacity_m: float | None) -> bool:
    """Whether wires of these outside diameters [mm] go through a trunk of this width [m], None: as wide as needed."""
    return capacity_m is None or bundle_mm(wire_mm) <= capacity_m * 1e3 + _SAME_MM


@lru_cache(maxsize=1 << 16)
def _bundle_mm(thickest_first: tuple[float, ...]) -> float:
    if not thickest_first:
        return 0.0
    equal_mm = bundle_over_wire(len(thickest_first)) * thickest_first[0]
    alone_mm = min(_SAFE * bundle_diameter_mm(thickest_first), equal_mm)
    return max(alone_mm, _bundle_mm(thickest_first[:-1]))
