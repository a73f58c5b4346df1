"""The published tables as rows: read once from the CSV files that ship with the program."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from loomwright.units.gauge import Gauge


@cache
def table(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of one table by its file name without `.csv`; each row carries its `source` key."""
    text = files("loomwright").joinpath("data", "tables", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def number(row: Mapping[str, str], column: str) -> float | None:
    """Return a cell as a number, None where it is empty."""
    return float(row[column]) if row[column] else None


def whole(row: Mapping[str, str], column: str) -> int | None:
    """Return a cell as a whole number, None where it is empty."""
    return int(row[column]) if row[column] else None


def gauge(row: Mapping[str, str]) -> Gauge:
    """Return the gauge that a row speaks of (column `gauge_awg`)."""
    return Gauge.parse(row["gauge_awg"])
