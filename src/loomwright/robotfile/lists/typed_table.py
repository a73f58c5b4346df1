"""From a spreadsheet's file to rows of text: CSV with commas, semicolons or tabs, or a workbook.

Nothing is guessed about what a cell means. A row knows its line, a cell its column, both counted from 1 as a
spreadsheet counts them.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.robotfile.lists.workbook_rows import is_workbook, workbook_sheets
from loomwright.robotfile.marked.source_text import read_source

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

    `comma_decimals` tells that commas do not part its columns, so that 35,8 is a number there.
    """

    file: str
    titles: tuple[str, ...]
    rows: tuple[TypedRow, ...]
    comma_decimals: bool

    def place(self, line: int, column: int = 0, thing: str = "") -> Place:
        """Return where a cell stands; `column` counts from 1, 0 is the whole row."""
        return Place(self.file, line, column, thing)


def read_table(data: bytes, *, file: str, is_head: Callable[[Sequence[str]], bool], wanted: str) -> TypedTable:
    """Read the first table whose head `is_head` knows; what stands above it is left out.

    `wanted` says in words which columns a head has to have.

    Raises
    ------
    UnreadableInputError
        For a file that is no table, a table without a head, and rows with more cells than the head has columns.
    """
    comma = False
    if is_workbook(data):
        candidates = workbook_sheets(data, file=file)
    else:
        lines, comma = _csv_lines(data, file)
        candidates = [lines]
    for lines in candidates:
        found = next((n for n, (_, cells) in enumerate(lines) if is_head(cells)), None)
        if found is not None:
            return _table(file, lines[found], lines[found + 1 :], comma_decimals=not comma)
    what = f"No row here names its columns: {wanted}."
    fix = "Write the names of the columns above the rows, as in out/circuits.csv and out/pull-record.csv."
    raise UnreadableInputError([_fault("no-column-names", Place(file), what, fix)])


def _table(file: str, head: Line, below: Sequence[Line], *, comma_decimals: bool) -> TypedTable:
    titles = tuple(_tidy(cell) for cell in head[1])
    rows = [(line, [_tidy(cell) for cell in cells]) for line, cells in below]
    faults = [fault for line, cells in rows for fault in _too_much(file, line, cells, len(titles))]
    if faults:
        raise UnreadableInputError(faults)
    width = len(titles)
    padded = (TypedRow(line, tuple((cells + [""] * width)[:width])) for line, cells in rows if any(cells))
    return TypedTable(file, titles, tuple(padded), comma_decimals)


def _too_much(file: str, line: int, cells: Sequence[str], width: int) -> Iterator[Finding]:
    more = [n for n, cell in enumerate(cells, 1) if cell and n > width]
    if more:
        what = f"This row has {more[-1]} cells, and the head names {width} columns."
        fix = "Put a text that has the sign between two columns in double quotes, or name the further columns."
        yield _fault("row-too-long", Place(file, line, more[0]), what, fix)
    for column, cell in enumerate(cells, 1):
        if len(cell) > LONGEST_CELL:
            what = f"This cell has {len(cell)} characters; {LONGEST_CELL} are the most."
            fix = "Look for a double quote that is not closed, or shorten the text."
            yield _fault("cell-too-long", Place(file, line, column), what, fix)


def _csv_lines(data: bytes, file: str) -> tuple[list[Line], bool]:
    """Part a text into its rows, by the sign that gives its first row the most cells; tell whether that is a comma."""
    text = read_source(data, file=file).text
    named = _NAMED_DELIMITER.match(text)
    skipped = 1 if named else 0
    text = text[named.end() :] if named else text
    sign = named["sign"] if named else _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
    lines: list[Line] = []
    start = 1
    try:
        for cells in reader:
            lines.append((start + skipped, cells))
            start = reader.line_num + 1
    except csv.Error as error:
        what = f"This row can't be parted into cells: {error}."
        fix = 'Look for a double quote too many or too few; one inside a text is written twice, as in "3"" pipe".'
        raise UnreadableInputError([_fault("not-a-table", Place(file, start + skipped), what, fix)]) from None
    return lines, sign == ","


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    counts = {sign: len(next(csv.reader([first], delimiter=sign), [])) for sign in _DELIMITERS}
    return max(_DELIMITERS, key=lambda sign: counts[sign])


def _tidy(cell: str) -> str:
    return _GUARDED.sub("", " ".join(cell.split()), count=1)


def _fault(code: str, place: Place, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, place, what, fix)
