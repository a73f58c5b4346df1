"""How the rack treats batteries, from its table."""

from __future__ import annotations

from loomwright.catalogue.tables import table


def rack_practice(name: str) -> float:
    """Return a number of `rack_practice.csv`, in the unit that stands there; KeyError where there is none."""
    return {row["name"]: float(row["amount"]) for row in table("rack_practice")}[name]
