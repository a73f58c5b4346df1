"""The cells of a list of readings by what they tell: amounts with their units, and faults of a head or a row."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from loomwright.findings import Finding, Severity
from loomwright.robotfile.lists.headings import Heading, Said, said_in
from loomwright.robotfile.lists.reading_columns import Bound, own_headings
from loomwright.robotfile.lists.reading_events import told_by
from loomwright.robotfile.lists.typed_table import TypedRow, TypedTable
from loomwright.robotfile.testers.slots import SLOTS
from loomwright.units import Dimension, QuantityError, read
from loomwright.units.unit_table import unit_table
from loomwright.wording import quoted

_NUMBER: Final = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_BARE: Final = re.compile(_NUMBER)
_SIGNED_COMMA: Final = re.compile(r"(?P<whole>[+-][0-9]+),(?P<part>[0-9]+)(?P<unit>\s*[^0-9,.].*)?")
#: It may be told as a time or as a charge.
CAPACITY: Final = "capacity test"
_HOUR_S: Final = 3600.0


@dataclass(slots=True)
class Row:
    """One row as it is read: its place, and its cells by what they tell."""

    table: TypedTable
    line: int
    said: Mapping[str, Said]
    amounts: dict[str, float] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)

    def fault(self, code: str, what: str, fix: str, *, at: str = "") -> Finding:
        """Make a fault of the row, or of one of its cells."""
        said = self.said.get(at)
        column, title = (said.heading.column, said.heading.title) if said is not None else (0, "")
        thing = ", ".join(word for word in (self.words.get("battery", ""), title) if word)
        return Finding(code, Severity.MUST, self.table.place(self.line, column, thing), what, fix)


def amount(row: Row, name: str) -> float:
    """Return an amount of a row in base units; a capacity test in ampere-hours took that over its load.

    Raises
    ------
    QuantityError
        For what is no amount of this kind.
    """
    text = with_unit(row.said[name])
    unit = _BARE.sub("", text, count=1).strip()
    if name != CAPACITY or not unit_table().find(unit, Dimension.CHARGE):
        return read(text, SLOTS[name].dimensions[0], signed=True)
    load_a = row.amounts.get("capacity test load", 0.0)
    if load_a <= 0:
        fix = "Write the time that it took, as `1.2 h`, or its load with its unit beside it."
        raise QuantityError(f"{quoted(text)} tells no time without the load.", fix)
    return read(text, Dimension.CHARGE, signed=True) / load_a * _HOUR_S


def is_bare(said: Said) -> bool:
    """Tell whether a cell is a number that has no unit, in its heading or behind it."""
    return _BARE.fullmatch(with_unit(said)) is not None


def cells_of(typed: TypedRow, bound: Bound, table: TypedTable) -> Mapping[str, Said]:
    """Return the cells that say something, by what they tell."""
    meant: dict[int, str] = {heading.column: name for name, heading in bound.at.items()}
    units = {heading.column: heading for heading in bound.at.values()}
    # The first column of the day is `when`, the second its time.
    meant |= dict(zip((heading.column for heading in bound.when), ("when", "time"), strict=False))
    columns = [units.get(n, Heading(title, "", "", n)) for n, title in enumerate(table.titles, 1)]
    return {
        meant[said.heading.column]: said
        for said in said_in(typed, columns, comma_decimals=table.comma_decimals)
        if said.heading.column in meant and not said.is_unknown and not _is_nothing(said, bound)
    }


def _is_nothing(said: Said, bound: Bound) -> bool:
    bare = said.text.removesuffix(f" {said.heading.unit}") if said.heading.unit else said.text
    return {said.text.casefold(), bare.casefold()} & set(bound.nothing) != set()


def with_unit(said: Said) -> str:
    """Return an amount with its column's unit, also where it has a sign or is written as 1e-2."""
    text = said.text.replace("−", "-")
    found = _SIGNED_COMMA.fullmatch(text)
    if found is not None:
        text = f"{found['whole']}.{found['part']}{found['unit'] or ''}"
    return f"{text} {said.heading.unit}" if said.heading.unit and _BARE.fullmatch(text) else text


def head_faults(table: TypedTable, bound: Bound) -> Iterator[Finding]:
    """Tell of headings with a unit that is none, of two for one thing, and of units that disagree."""
    for name, heading in bound.at.items():
        dimensions, unit = SLOTS[name].dimensions, heading.unit
        if unit and dimensions and not any(unit_table().find(unit, dimension) for dimension in dimensions):
            what = f"{quoted(unit)} is no unit of {name}; large and small letters may matter."
            fix = f"Write the heading as `{SLOTS[name].example}`."
            yield Finding("bad-unit", Severity.MUST, table.place(0, 0, heading.title), what, fix)
    for heading, own in bound.clashes:
        what = f"The heading says {quoted(own)}, and the tester is said to write {quoted(heading.unit)}."
        fix = "Put the one right that is wrong, or leave the unit out of the tester's file."
        yield Finding("two-units", Severity.MUST, table.place(0, 0, heading.title), what, fix)
    if bound.tester is None:
        held: dict[str, Heading] = {}
        for heading in own_headings(table.titles):
            first = held.setdefault(heading.name, heading) if heading.name in SLOTS else heading
            if first is not heading:
                what = f"The columns {quoted(first.title)} and {quoted(heading.title)} mean the same."
                fix = "Keep one of them, or give the other a name of its own."
                yield Finding("column-twice", Severity.MUST, table.place(0, 0, heading.title), what, fix)


def lacking(row: Row) -> Iterator[Finding]:
    """Tell of readings that mean nothing without what is left out."""
    held = {*row.amounts, *row.words, *row.said}
    for told in told_by(row.amounts, row.words):
        for name in told.needs:
            if name not in held:
                what = f"The {told.slot} tells nothing without its {name}."
                fix = f"Write it in a column `{SLOTS[name].example or name}`."
                yield row.fault("half-a-reading", what, fix, at=told.slot)
        for pair in told.pairs:
            there = [name for name in pair if name in held]
            if len(there) == 1:
                other = next(name for name in pair if name not in there)
                what = f"The {there[0]} stands here without the {other}."
                fix = f"Write both, or neither; the other one in a column `{SLOTS[other].example}`."
                yield row.fault("half-a-reading", what, fix, at=there[0])
    if "voltage under second load" in row.said and "voltage under load" not in held:
        what = "A voltage under a second load stands here, and none under the first."
        yield row.fault(
            "half-a-reading", what, "Write the first one, or only one load.", at="voltage under second load"
        )
