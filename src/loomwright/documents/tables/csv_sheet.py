"""Circuits and wires as comma-separated values, for spreadsheets and scripts.

RFC 4180: commas, double quotes where needed, CR LF at each line's end. The bytes start with the UTF-8 mark,
since the spreadsheets that students use take a file without it for the computer's old character set and
spoil every name with an accent; readers of CSV drop it (in Python: `utf-8-sig`).
"""

from __future__ import annotations

import codecs
import csv
import io
from typing import Final

from loomwright.documents.tables.cells import NOT_APPLICABLE, Cell, as_words
from loomwright.documents.tables.columns import columns
from loomwright.documents.tables.every import rows_of
from loomwright.plan.result import Plan

#: How a spreadsheet's formula can start; the wide forms too, since some spreadsheets take them for the same.
_FORMULA_STARTS: Final = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def circuits_csv(plan: Plan) -> bytes:
    """Write the circuits of a plan, one a line."""
    return _sheet("circuits", plan)


def wires_csv(plan: Plan) -> bytes:
    """Write the wires of a plan, one a line."""
    return _sheet("wires", plan)


def _sheet(name: str, plan: Plan) -> bytes:
    held = columns(name)
    target = io.StringIO(newline="")
    writer = csv.writer(target, lineterminator="\r\n")
    writer.writerow(column.title for column in held)
    for row in rows_of(name, plan):
        writer.writerow(safe(row[column.key]) for column in held)
    return codecs.BOM_UTF8 + target.getvalue().encode("utf-8")


def safe(cell: Cell) -> str:
    """Write a cell so that no spreadsheet runs it: a text that looks like a formula gets a quote in front.

    The lone "-" of cells with nothing to say is no formula.
    """
    words = as_words(cell)
    if isinstance(cell, float) or words == NOT_APPLICABLE:
        return words
    return f"'{words}" if words.lstrip().startswith(_FORMULA_STARTS) else words
