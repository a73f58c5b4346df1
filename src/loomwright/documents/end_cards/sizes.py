"""How large things are: wires by their gauge, terminals by shape and variant; all in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from loomwright.catalogue.conductor import diameter_mm
from loomwright.catalogue.tables import table
from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.units import Gauge

_SEVEN_STRANDS_FROM: Final = 20
_LAID: Final = {3: 7, 5: 19}
"""Strands across the conductor to strands in it: one in the middle, six around it, then twelve more."""
_THICKEST, _THINNEST = -3, 30


@dataclass(frozen=True, slots=True)
class WireSize:
    """A wire's diameter over the insulation and over the copper [mm], and how many strands lie across it.

    `known` is False where nobody has decided the gauge yet: then this is a usual one, drawn dashed.
    """

    gauge: Gauge
    outside_mm: float
    copper_mm: float
    across: int
    known: bool = True


def wire_size(gauge: Gauge, *, known: bool = True) -> WireSize:
    """Tell how thick a stranded wire is: n equal strands of its copper area, laid concentrically.

    Source: astm-b258 for the copper; over the insulation the wire table's hook-up wire, and where it has none, what
    `terminal_size.csv` remembers; a gauge between two rows takes the mean of its neighbours.
    """
    across = 3 if gauge.number >= _SEVEN_STRANDS_FROM else 5
    copper_mm = across * diameter_mm(gauge) / _LAID[across] ** 0.5
    return WireSize(gauge, max(_outside_mm(gauge.number), copper_mm + 0.3), copper_mm, across, known)


def size_mm(shape: str, variant: str, measure: str) -> float:
    """Look up one typical measure [mm]; raise KeyError where the table has none."""
    return _sizes()[shape, variant, measure]


def sizes_mm(shape: str, variant: str) -> Mapping[str, float]:
    """Return all measures [mm] of a shape's variant by name; raise KeyError where the table has none."""
    found = {measure: value for (s, v, measure), value in _sizes().items() if (s, v) == (shape, variant)}
    if not found:
        raise KeyError(f"terminal_size.csv has no {shape} {variant}")
    return found


def has_sizes(shape: str, variant: str) -> bool:
    """Tell whether the table has this shape's variant."""
    return any((s, v) == (shape, variant) for s, v, _ in _sizes())


def by_gauge(shape: str, gauge: Gauge) -> Mapping[str, float]:
    """Return the measures [mm] of the variant made for a gauge: the thinnest that takes it, else the thickest."""
    made = sorted({Gauge.parse(v).number for s, v, _ in _sizes() if s == shape and v != "any"}, reverse=True)
    number = next((n for n in made if n <= gauge.number), made[-1])
    return sizes_mm(shape, Gauge(number).label)


@cache
def _sizes() -> dict[tuple[str, str, str], float]:
    rows = table("terminal_size")
    return {(row["shape"], row["variant"], row["measure"]): float(row["value_mm"]) for row in rows}


@cache
def _outside_mm(number: int) -> float:
    if number > _THINNEST:
        return _outside_mm(_THINNEST)
    gauge = Gauge(number)
    known = outside_diameter_mm(gauge) or _sizes().get(("wire", gauge.label, "outside"))
    if known is not None:
        return known
    thicker = next(n for n in range(number, _THICKEST - 1, -1) if _has(n))
    thinner = next(n for n in range(number, _THINNEST + 1) if _has(n))
    return (_outside_mm(thicker) + _outside_mm(thinner)) / 2


def _has(number: int) -> bool:
    gauge = Gauge(number)
    return outside_diameter_mm(gauge) is not None or ("wire", gauge.label, "outside") in _sizes()
