"""What a hand-held meter is like and what people go by: the table of measuring practice, by name."""

from __future__ import annotations

from functools import lru_cache

from loomwright.catalogue.tables import table


@lru_cache(maxsize=1)
def _rows() -> dict[str, tuple[float, str]]:
    return {row["name"]: (float(row["amount"]), row["source"]) for row in table("meter_practice")}


def practice(name: str) -> float:
    """Return one number of the table in SI; raise KeyError for a name that it does not have."""
    return _rows()[name][0]


def practice_source(name: str) -> str:
    """Return the source of one number of the table."""
    return _rows()[name][1]


@lru_cache(maxsize=8)
def ranges(function: str) -> tuple[tuple[float, str], ...]:
    """Return the ranges of a usual meter for "ohms" or "DC volts", smallest first: highest reading in SI, its name."""
    return tuple((float(row["highest"]), row["name"]) for row in table("meter_range") if row["function"] == function)


def leads_ohm() -> tuple[float, float]:
    """Return what a meter's own leads add to a reading [ohm], least and most."""
    return practice("leads from"), practice("leads to")
