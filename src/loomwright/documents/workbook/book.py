"""The plan as one workbook, ready to print: each sheet is one page wide, and no text in it is cut off.

Texts stay texts (an id "010" or "=A1" is never a number or a formula) and numbers stay numbers. The same plan
gives the same bytes: the date inside is a fixed one.
"""

from __future__ import annotations

import datetime as dt
import io
from typing import Final

from xlsxwriter import Workbook

from loomwright.documents.workbook.page import SheetPage
from loomwright.documents.workbook.sheets import sheets
from loomwright.documents.workbook.style import MEASURE, Style
from loomwright.plan.result import Plan

_FIXED_DATE: Final = dt.datetime(2000, 1, 1)  # noqa: DTZ001  the file format has no time zone


def workbook(plan: Plan) -> bytes:
    """Write a plan as an Office Open XML workbook."""
    target = io.BytesIO()
    with Workbook(target, {"in_memory": True, "default_format_properties": dict(MEASURE)}) as book:
        book.set_properties({"title": f"Wiring plan of {plan.robot.name}", "created": _FIXED_DATE})
        style = Style(book)
        for sheet in sheets():
            SheetPage(book.add_worksheet(sheet.name), sheet, plan, style).fill()
    return target.getvalue()
