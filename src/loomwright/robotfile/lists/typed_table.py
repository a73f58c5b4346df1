"""From a spreadsheet's file to rows of text: CSV with commas, semicolons or tabs, or a workbook.

Nothing is guessed about what a cell means. Rows and columns are counted from 1 as a spreadsheet counts them, so that a
cell with line breaks in it is still one row.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.robotfile.lists.workbook_rows import is_workbook, workbook_sheets
from loomwright.robotfile.marked.source_text import read_source, refuse_size

_DELIMITERS: Final = (",", ";", "\t")
_NAMED_DELIMITER: Final = re.compile(r"sep=(?P<sign>.)\r?\n", re.IGNORECASE)
#: More than this in one cell is no name and no note, but a quote that somebody forgot to close.
LONGEST_CELL: Final = 5000
#: A text that looks like a formula has a quote in front in the lists that `plan` writes.
_GUARDED: Final = re.compile("^'(?=\\s*[=+\\-@\uff1d\uff0b\uff0d\uff20])")

Line = tuple[int, list[str]]
"""The number of a row, and its cells."""


@dataclass(frozen=True, slots=True)
class TypedRow:
    """One row below the head: its line, and one text for each column, "" where the cell is empty."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TypedTable:
    """A table as it was typed: the file, the titles above its columns, and the rows that hold anything.

    `sheet` names the sheet of a workbook, "" in a CSV file. `comma_decimals` tells that commas do not part its columns,
    so that 35,8 is a number there.
    """

    file: str
    titles: tuple[str, ...]
    rows: tuple[TypedRow, ...]
    comma_decimals: bool
    sheet: str = ""

    def place(self, line: int, column: int = 0, thing: str = "") -> Place:
        """Return where a cell stands; `column` counts from 1, 0 is the whole row."""
        return Place(self.file, line, column, ", ".join(word for word in (self.sheet, thing) if word))


def content_of(source: Path) -> bytes:
    """Read a file that somebody names; raise UnreadableInputError where that can't be done."""
    try:
        refuse_size(source.stat().st_size, file=source.name)
        return source.read_bytes()
    except OSError as error:
        what = f"{source} can't be read: {error.strerror}."
        fix = "Name a CSV file or a workbook."
        raise UnreadableInputError([_fault("file-not-readable", Place(str(source)), what, fix)]) from None


def read_tables(
    data: bytes, *, file: str, is_head: Callable[[Sequence[str]], bool], wanted: str
) -> tuple[TypedTable, ...]:
    """Read every table whose head `is_head` knows, one a sheet; what stands above a head is left out.

    `wanted` says in words which columns a head has to have.

    Raises
    ------
    UnreadableInputError
        For a file that is no table, one without such a head, and rows with more cells than the head has columns.
    """
    comma = False
    if is_workbook(data):
        sheets = workbook_sheets(data, file=file)
    else:
        lines, comma = _csv_lines(data, file)
        sheets = {"": lines}
    found: list[TypedTable] = []
    faults: list[Finding] = []
    for sheet, lines in sheets.items():
        head = next((n for n, (_, cells) in enumerate(lines) if is_head(cells)), None)
        if head is not None:
            found.append(_table(file, sheet, lines[head:], comma_decimals=not comma))
            faults += _too_much(found[-1], lines[head + 1 :])
    if faults or not found:
        what = f"No row here names its columns: {wanted}."
        fix = "Write the names of the columns above the rows, as on the sheets of out/plan.xlsx."
        raise UnreadableInputError(faults or [_fault("no-column-names", Place(file), what, fix)])
    return tuple(found)


def _table(file: str, sheet: str, lines: Sequence[Line], *, comma_decimals: bool) -> TypedTable:
    titles = tuple(_tidy(cell) for cell in lines[0][1])
    rows = [(line, [_tidy(cell) for cell in cells]) for line, cells in lines[1:]]
    width = len(titles)
    padded = (TypedRow(line, tuple((cells + [""] * width)[:width])) for line, cells in rows if any(cells))
    return TypedTable(file, titles, tuple(padded), comma_decimals, sheet)


def _too_much(table: TypedTable, lines: Sequence[Line]) -> Iterator[Finding]:
    """Tell of rows that are longer than the head, and of cells that are longer than any text."""
    width = len(table.titles)
    for line, cells in lines:
        more = [n for n, cell in enumerate(cells, 1) if cell.strip() and n > width]
        if more:
            what = f"This row has {more[-1]} cells, and the head names {width} columns."
            fix = "Put a text that has the sign between two columns in double quotes, or name the further columns."
            yield _fault("row-too-long", table.place(line, more[0]), what, fix)
        for column, cell in enumerate(cells, 1):
            if len(cell) > LONGEST_CELL:
                what = f"This cell has {len(cell)} characters; {LONGEST_CELL} are the most."
                fix = "Look for a double quote that is not closed, or shorten the text."
                yield _fault("cell-too-long", table.place(line, column), what, fix)


def _as_utf8(data: bytes) -> bytes:
    """Return a text as UTF-8 where a spreadsheet saved it in another way: as UTF-16, by its mark, or Windows-1252."""
    try:
        if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return data.decode("utf-16").encode()
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.encoding.startswith("utf-8") and b"\0" not in data:
            with suppress(UnicodeDecodeError):  # five bytes stand for nothing in it
                return data.decode("cp1252").encode()
    return data


def _csv_lines(data: bytes, file: str) -> tuple[list[Line], bool]:
    """Part a text into its rows, by the sign that gives its first row the most cells; tell whether that is a comma."""
    text = read_source(_as_utf8(data), file=file).text
    named = _NAMED_DELIMITER.match(text)
    text = text[named.end() :] if named else text
    sign = named["sign"] if named else _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
    lines: list[Line] = []
    try:
        for number, cells in enumerate(reader, 1):
            lines.append((number, cells))
    except csv.Error as error:
        what = f"This row can't be parted into cells: {error}."
        fix = 'Look for a double quote too many or too few; one inside a text is written twice, as in "3"" pipe".'
        raise UnreadableInputError([_fault("not-a-table", Place(file, len(lines) + 1), what, fix)]) from None
    return lines, sign == ","


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    counts = {sign: len(next(csv.reader([first], delimiter=sign), [])) for sign in _DELIMITERS}
    return max(_DELIMITERS, key=lambda sign: counts[sign])


def _tidy(cell: str) -> str:
    return _GUARDED.sub("", " ".join(cell.split()), count=1)


def _fault(code: str, place: Place, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, place, what, fix)
