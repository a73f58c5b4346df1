"""The columns of every table that the tool writes, read from the file beside this one."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

#: How a key ends where its number has a unit.
_SUFFIX = {
    "A": "_a",
    "V": "_v",
    "%": "_pct",
    "m": "_m",
    "cm": "_cm",
    "mm": "_mm",
    "N": "_n",
    "lbf": "_lbf",
    "kg": "_kg",
    "s": "_s",
    "°C": "_c",
    "ratio": "_ratio",
    "": "",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: its key (the JSON key too), its unit, what it means."""

    table: str
    key: str
    unit: str
    meaning: str

    @property
    def title(self) -> str:
        """The words above the column: the key without its unit, and the unit in brackets."""
        words = self.key.removesuffix(_SUFFIX[self.unit]).split("_")
        end = words[0].upper() if words[0] in ("a", "b") else words[0]
        name = " ".join([end, *words[1:]])
        return f"{name} [{self.unit}]" if self.unit else name


@lru_cache(maxsize=1)
def _all() -> tuple[Column, ...]:
    text = files("loomwright.documents.tables").joinpath("columns.csv").read_text(encoding="utf-8")
    return tuple(Column(**row) for row in csv.DictReader(text.splitlines()))


def columns(table: str) -> tuple[Column, ...]:
    """Return the columns of one table from left to right."""
    return tuple(column for column in _all() if column.table == table)


def tables() -> tuple[str, ...]:
    """Return the names of all tables."""
    return tuple(dict.fromkeys(column.table for column in _all()))
