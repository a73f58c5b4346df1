"""What stands on each sheet of the workbook: which columns, how wide, which caution and note above them.

`sheets.csv` and `sheet_columns.csv` beside this file say it. A sheet shows only what people need there: the
tables hold more.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from typing import Any

from loomwright.documents.tables.columns import Column, columns


class Look(StrEnum):
    """How the cells of a column look: plain text, bold text, a number, a wire's end, or a box to write in."""

    TEXT = "text"
    STRONG = "strong"
    NUMBER = "number"
    END = "end"
    BOX = "box"


@dataclass(frozen=True, slots=True)
class Shown:
    """A column on a sheet: `width` is that of its cells in the units of a spreadsheet."""

    column: Column
    width: int
    look: Look


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: is it for work on the robot, which key groups its rows, its own caution, its note, its columns.

    `empty` is said where it has no row.
    """

    name: str
    work: bool
    grouped_by: str
    caution: str
    note: str
    empty: str
    shown: tuple[Shown, ...]


@lru_cache(maxsize=1)
def sheets() -> tuple[Sheet, ...]:
    """Return all sheets in the order in which they are bound."""
    shown = _rows("sheet_columns.csv")
    return tuple(_sheet(row, [one for one in shown if one["sheet"] == row["sheet"]]) for row in _rows("sheets.csv"))


def own_cautions() -> tuple[str, ...]:
    """Return what must be said beside the numbers of a sheet, whatever the rule book is."""
    return tuple(dict.fromkeys(sheet.caution for sheet in sheets() if sheet.caution))


def _sheet(row: dict[str, Any], shown: list[dict[str, Any]]) -> Sheet:
    return Sheet(
        row["sheet"],
        row["work"] == "yes",
        row["grouped_by"],
        row["caution"],
        row["note"],
        row["empty"],
        tuple(Shown(_column(one["table"], one["key"]), int(one["width"]), Look(one["look"])) for one in shown),
    )


def _column(table: str, key: str) -> Column:
    return next(column for column in columns(table) if column.key == key)


def _rows(name: str) -> list[dict[str, Any]]:
    text = files("loomwright.documents.workbook").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))
