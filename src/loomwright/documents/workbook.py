"""The plan as one workbook: a sheet each for circuits, wires, findings, questions and sources.

Texts stay texts (an id "010" or "=A1" is never a number or a formula) and numbers stay numbers. The same plan
gives the same bytes: the date inside is a fixed one.
"""

from __future__ import annotations

import datetime as dt
import io
import math
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from loomwright.documents.cells import Cell, as_words
from loomwright.documents.columns import columns, sheets
from loomwright.documents.other_tables import rows_of
from loomwright.plan.result import Plan
from loomwright.rulebook import cautions

_WORK_SHEETS: Final = ("circuits", "wires")
#: What a sheet's own numbers must never be taken for; above the rule book's cautions.
_OWN_CAUTION: Final = {
    "wires": "The pull forces here break the joint: use them on samples made for the purpose, never on the robot."
}
_FIXED_DATE: Final = dt.datetime(2000, 1, 1)  # noqa: DTZ001  the file format has no time zone
_A4: Final = 9
_LONGEST_NAME: Final = 80
#: Characters side by side on a page across that can still be read: about 70 % of their full size.
_PAGE_WIDTH: Final = 210


def workbook(plan: Plan) -> bytes:
    """Write a plan as an Office Open XML workbook."""
    target = io.BytesIO()
    with Workbook(target, {"in_memory": True}) as book:
        book.set_properties({"title": f"Wiring plan of {plan.robot.name}", "created": _FIXED_DATE})
        formats = _Formats(book)
        for name in sheets():
            _fill(book.add_worksheet(name), name, plan, formats)
    return target.getvalue()


class _Formats:
    """The few ways a cell can look."""

    def __init__(self, book: Workbook) -> None:
        self.caution: Format = book.add_format({"bold": True})
        self.about: Format = book.add_format({"italic": True})
        self.head: Format = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "bg_color": "#ece8dc", "bottom": 2}
        )
        self.text: Format = book.add_format({"text_wrap": True, "valign": "top", "num_format": "@"})
        self.number: Format = book.add_format({"valign": "top"})


def _fill(sheet: Worksheet, name: str, plan: Plan, formats: _Formats) -> None:
    held = columns(name)
    head_row = _write_top(sheet, name, plan, formats)
    for x, column in enumerate(held):
        sheet.set_column(x, x, column.width)
        sheet.write_string(head_row, x, column.title, formats.head)
    rows = rows_of(name, plan)
    for y, row in enumerate(rows, head_row + 1):
        for x, column in enumerate(held):
            _write(sheet, (y, x), row[column.key], formats)
    if rows:
        sheet.autofilter(head_row, 0, head_row + len(rows), len(held) - 1)
    sheet.freeze_panes(head_row + 1, 1)
    _set_print(sheet, plan, head_row, last=(head_row + max(1, len(rows)), len(held) - 1))


def _write_top(sheet: Worksheet, name: str, plan: Plan, formats: _Formats) -> int:
    """Write what stands above the table, and return the row of its head."""
    about = f"{_robot(plan)}, plan revision {plan.revision}, rule book {plan.rules.name} {plan.rules.dated}".rstrip()
    told = [_OWN_CAUTION[name]] if name in _OWN_CAUTION else []
    told += cautions(plan.rules) if name in _WORK_SHEETS else ()
    lines = [(caution, formats.caution) for caution in told]
    for y, (words, style) in enumerate([*lines, (about, formats.about)]):
        sheet.write_string(y, 0, words, style)
    return len(lines) + 1


def _write(sheet: Worksheet, at: tuple[int, int], cell: Cell, formats: _Formats) -> None:
    """Write a number as a number and everything else as a text; the library cuts what no cell can hold."""
    if isinstance(cell, float):
        sheet.write_number(*at, cell, formats.number)
    else:
        sheet.write_string(*at, as_words(cell, "\n"), formats.text)


def _set_print(sheet: Worksheet, plan: Plan, head_row: int, *, last: tuple[int, int]) -> None:
    """Print a table on as few pages side by side as stay readable, each with the head and the first column."""
    sheet.set_landscape()
    sheet.set_paper(_A4)
    sheet.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.7)
    sheet.fit_to_pages(math.ceil(sum(column.width for column in columns(sheet.get_name())) / _PAGE_WIDTH), 0)
    sheet.print_across()
    sheet.repeat_rows(head_row)
    sheet.repeat_columns(0)
    sheet.print_area(0, 0, *last)
    sheet.set_footer(f"&L{_robot(plan)[:_LONGEST_NAME].replace('&', '&&')}&CRevision {plan.revision}&RPage &P of &N")


def _robot(plan: Plan) -> str:
    return f"{plan.robot.name} ({plan.robot.build})" if plan.robot.build else plan.robot.name
