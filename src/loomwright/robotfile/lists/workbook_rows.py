"""The sheets of a workbook as rows of text; dates are written as 2026-02-07, whole numbers without a point."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Final

from python_calamine import CalamineError, CalamineWorkbook

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.robotfile.marked.source_text import refuse_size

_START: Final = b"PK\x03\x04"
#: What a workbook may unpack to [bytes]; a real one has a few MB.
_LARGEST: Final = 50_000_000

#: What a cell of a workbook can hold.
_Value = int | float | str | bool | dt.time | dt.date | dt.datetime | dt.timedelta


def is_workbook(data: bytes) -> bool:
    """Tell whether these are the bytes of an Office Open XML or OpenDocument file."""
    return data.startswith(_START)


def workbook_sheets(data: bytes, *, file: str) -> dict[str, list[tuple[int, list[str]]]]:
    """Return the rows of every sheet by its name, each row with its number.

    Raises
    ------
    UnreadableInputError
        For a file that is no workbook, or far too large.
    """
    refuse_size(len(data), file=file)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            unpacked = sum(part.file_size for part in packed.infolist())
        if unpacked > _LARGEST:
            raise _refused(file, "file-too-large", f"This workbook unpacks to {unpacked / 1e6:.0f} MB.")
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return {name: _rows(book, name) for name in book.sheet_names}
    except (CalamineError, zipfile.BadZipFile, ValueError, OSError) as error:
        raise _refused(file, "not-a-workbook", f"This workbook can't be read: {error}.") from None


def _rows(book: CalamineWorkbook, name: str) -> list[tuple[int, list[str]]]:
    rows = book.get_sheet_by_name(name).to_python(skip_empty_area=False)
    return [(number, [_text(cell) for cell in row]) for number, row in enumerate(rows, 1)]


def _text(cell: _Value) -> str:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, dt.datetime):
        return cell.isoformat(sep=" ", timespec="minutes")
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() else repr(cell)
    return str(cell)


def _refused(file: str, code: str, what: str) -> UnreadableInputError:
    fix = "Open it in your spreadsheet program and save the sheet again, as .xlsx or as CSV."
    return UnreadableInputError([Finding(code, Severity.MUST, Place(file), what, fix)])
