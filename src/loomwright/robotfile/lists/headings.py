"""The titles of columns: which fact a column holds, and in which unit its bare numbers are.

A title is taken however it is typed: `length_m`, `Length [m]` and `length (m)` are one. A number in such a column
gets the column's unit; everywhere else an amount has its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.findings import Finding, Severity
from loomwright.robotfile.lists.typed_table import TypedRow, TypedTable
from loomwright.wording import quoted

_BRACKETED: Final = re.compile(r"(?P<name>.*?)\s*[\[(]\s*(?P<unit>[^\])]*?)\s*[\])]")
#: The units that the end of a key can name, as in `protection_a`.
_SUFFIXES: Final = {unit.casefold(): unit for unit in ("A", "V", "N", "m", "cm", "mm", "in", "ft", "AWG", "lbf", "kg")}
_BARE: Final = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")
_COMMA: Final = re.compile(r"(?P<whole>[0-9]+),(?P<part>[0-9]+)(?P<unit>\s*[^0-9,.].*)?")
#: What people write where there is nothing to say, and where they do not know.
_NOTHING: Final = ("", "-", "–")
_NOT_KNOWN: Final = ("unknown", "?", "??", "???")
UNKNOWN: Final = "unknown"


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its title as it was typed, its plain name, its unit ("" for none), its number from 1."""

    title: str
    name: str
    unit: str
    column: int


@dataclass(frozen=True, slots=True)
class Said:
    """One cell that holds something, as text with its unit; where it stands, and the title of its column."""

    text: str
    line: int
    heading: Heading

    @property
    def is_unknown(self) -> bool:
        """Whether somebody wrote that it is not known."""
        return self.text == UNKNOWN


def heading_of(title: str, column: int = 0) -> Heading:
    """Take a title apart into its plain name and its unit."""
    plain = " ".join(title.replace("_", " ").split())
    found = _BRACKETED.fullmatch(plain)
    if found is not None:
        return Heading(title, found["name"].casefold(), _SUFFIXES.get(found["unit"].casefold(), found["unit"]), column)
    stem, _, last = plain.rpartition(" ")
    if stem and last.casefold() in _SUFFIXES:
        return Heading(title, stem.casefold(), _SUFFIXES[last.casefold()], column)
    return Heading(title, plain.casefold(), "", column)


def names_of(titles: Sequence[str]) -> frozenset[str]:
    """Return the plain names of some titles."""
    return frozenset(heading_of(title).name for title in titles)


def headings_of(table: TypedTable) -> tuple[Heading, ...]:
    """Return the columns of a table from left to right."""
    return tuple(heading_of(title, column) for column, title in enumerate(table.titles, 1))


def said_in(row: TypedRow, headings: Sequence[Heading], *, comma_decimals: bool) -> Iterator[Said]:
    """Give every cell of a row that says something."""
    for heading, cell in zip(headings, row.cells, strict=True):
        if cell not in _NOTHING:
            yield Said(_with_unit(cell, heading, comma_decimals=comma_decimals), row.line, heading)


def twice(table: TypedTable, meanings: Mapping[str, str], *, units: bool = True) -> Iterator[Finding]:
    """Tell of each column whose title means the same as that of one before it; `meanings` go from name to meaning.

    With `units`, the same in two units is two columns.
    """
    held: dict[tuple[str, str], Heading] = {}
    for heading in headings_of(table):
        meaning = meanings.get(heading.name)
        if meaning is None:
            continue
        first = held.setdefault((meaning, heading.unit if units else ""), heading)
        if first is not heading:
            yield Finding(
                "column-twice",
                Severity.MUST,
                table.place(0, 0, heading.title),
                f"The columns {quoted(first.title)} and {quoted(heading.title)} mean the same.",
                "Keep one of them, or give the other a name of its own.",
            )


def _with_unit(cell: str, heading: Heading, *, comma_decimals: bool) -> str:
    if cell.casefold() in _NOT_KNOWN:
        return UNKNOWN
    found = _COMMA.fullmatch(cell) if comma_decimals else None
    text = f"{found['whole']}.{found['part']}{found['unit'] or ''}" if found else cell
    return f"{text} {heading.unit}" if heading.unit and _BARE.fullmatch(text) else text
