"""Published values, copied with the key of their source; every test here names that source."""

from __future__ import annotations

import csv
from pathlib import Path

FOLDER = Path(__file__).parent
M_PER_FT = 0.3048
FT_PER_KFT = 1000


def rows(name: str) -> list[dict[str, str]]:
    """Read one table of this folder."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def half_a_digit(printed: str) -> float:
    """Return half of the last digit that is printed: what rounding alone may change."""
    _, _, decimals = printed.partition(".")
    return 0.5 * float(10 ** -len(decimals))
