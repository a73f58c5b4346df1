"""Numbers of the rack that no part says: limits and doubts by name, with the kind of their source."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from loomwright.catalogue.sources import source
from loomwright.catalogue.tables import table

if TYPE_CHECKING:
    from collections.abc import Mapping


def practice(name: str) -> float:
    """Return one number of `rack_health_practice.csv` in its unit; raise KeyError for a name that is not there."""
    return float(_rows("rack_health_practice")[name]["amount"])


def limit(name: str) -> float:
    """Return one limit of `rack_limit.csv` in its unit; raise KeyError for a name that is not there."""
    return float(_rows("rack_limit")[name]["amount"])


def limit_source(name: str) -> str:
    """Return how a limit was come by: "common practice", "from memory"."""
    return source(_rows("rack_limit")[name]["source"]).standing


@cache
def _rows(name: str) -> Mapping[str, Mapping[str, str]]:
    return {row["name"]: row for row in table(name)}
