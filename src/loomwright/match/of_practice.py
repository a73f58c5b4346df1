"""Numbers that a machine takes where no part and no file says them, by name."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from loomwright.catalogue.tables import number, table

if TYPE_CHECKING:
    from collections.abc import Mapping


def practice(name: str) -> float:
    """Return one number in the unit of its row; raise KeyError for a name that the table does not have."""
    return float(_rows()[name]["amount"])


def practice_range(name: str) -> tuple[float, float]:
    """Return the least and most of a number that is known as a range only."""
    row = _rows()[name]
    low, high = number(row, "low"), number(row, "high")
    if low is None or high is None:
        raise KeyError(f"{name!r} is one number, not a range")
    return low, high


def practice_source(name: str) -> str:
    """Return the source key of one number."""
    return _rows()[name]["source"]


@cache
def _rows() -> Mapping[str, Mapping[str, str]]:
    return {row["name"]: row for row in table("match_practice")}
