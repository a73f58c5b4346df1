"""Numbers that bundles are held to: bends, ties, grommets, size."""

from __future__ import annotations

from loomwright.catalogue.tables import table


def practice(name: str) -> float:
    """Return one number by its name, in the unit of its row; KeyError where there is none."""
    return float(_row(name)["value"])


def practice_source(name: str) -> str:
    """Return the source key of one number; KeyError where there is none."""
    return _row(name)["source"]


def _row(name: str) -> dict[str, str]:
    found = next((row for row in table("bundle_practice") if row["name"] == name), None)
    if found is None:
        raise KeyError(name)
    return dict(found)
