"""The rows of a list of circuits: what each says, by what it means, and what else stands in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import nan
from typing import Final

from loomwright.findings import Finding, Severity
from loomwright.model.fact import State
from loomwright.robotfile.lists.headings import Said, headings_of, names_of, said_in, twice
from loomwright.robotfile.lists.plain_names import id_of
from loomwright.robotfile.lists.typed_table import TypedRow, TypedTable
from loomwright.units import Dimension, QuantityError, read
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, nearest, quoted

#: What a title means: the columns of out/circuits.csv, and what else people write for them.
MEANINGS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("circuit", "name"), "circuit"),
    **dict.fromkeys(("load", "device", "thing", "motor", "what"), "load"),
    **dict.fromkeys(("source", "from", "fed by", "fed from"), "source"),
    **dict.fromkeys(("protection", "breaker", "fuse", "breaker or fuse"), "protection"),
    **dict.fromkeys(("gauge", "wire", "wire gauge", "wire size"), "gauge"),
    **dict.fromkeys(("colour", "color", "colours", "colors"), "colour"),
    **dict.fromkeys(("plus colour", "plus color"), "plus colour"),
    **dict.fromkeys(("minus colour", "minus color"), "minus colour"),
    **dict.fromkeys(("length", "one way", "length one way"), "length"),
    **dict.fromkeys(("part", "part class", "class"), "part"),
    **{name: name for name in ("kind", "mechanism", "slot", "slot label", "protected by", "state", "wires")},
}
#: One of these names the row.
NAMES: Final = ("circuit", "load")
#: What `plan` works out for its own list, and works out again; a list with all of these is its own.
WORKED_OUT: Final = frozenset(
    {
        *("current", "drop", "sustained", "ampacity", "conductor temperature", "tightest", "margin", "decided by"),
        *("reasons", "sources"),
    }
)
_KINDS: Final = tuple(str(kind) for kind in CircuitKind)
_STATES: Final = tuple(str(state) for state in State)
_PATH: Final = ("main", "battery", "main breaker")
_SAME_M: Final = 0.0006
#: No robot has as many circuits as this.
MOST_ROWS: Final = 1000
WANTED: Final = "`circuit` or `load`, and what you have of slot, protection, gauge, length and part"


@dataclass(slots=True)
class ListedCircuit:
    """One row: its line, its name, its kind, and the cells that nobody has used yet, by what they mean.

    `more` are the cells of columns that mean nothing to us.
    """

    line: int
    name: str
    kind: str
    cells: dict[str, Said] = field(default_factory=dict)
    more: list[Said] = field(default_factory=list)

    def take(self, meaning: str) -> Said | None:
        """Return a cell and take it for used, None where the row does not have it."""
        return self.cells.pop(meaning, None)

    def text(self, meaning: str) -> str:
        """Return the text of a cell, "" where the row does not have it."""
        return self.cells[meaning].text if meaning in self.cells else ""

    def rest(self) -> list[Said]:
        """Return what nobody has used, in the order of the columns, and take it for used."""
        left = sorted([*self.cells.values(), *self.more], key=lambda said: said.heading.column)
        self.cells, self.more = {}, []
        return left


@dataclass(frozen=True, slots=True)
class CircuitList:
    """The rows that were understood, the faults of the others, and the titles that `plan` fills again by itself."""

    rows: tuple[ListedCircuit, ...]
    faults: tuple[Finding, ...]
    left_out: tuple[str, ...]


def is_head(cells: Sequence[str]) -> bool:
    """Tell whether a row of cells is the head of a list of circuits."""
    meant = [MEANINGS.get(name) for name in names_of(cells)]
    return any(name in meant for name in NAMES)


def circuit_list(table: TypedTable) -> CircuitList:
    """Read every row; a row with a fault is left out, and the fault is told."""
    headings = headings_of(table)
    own = names_of(table.titles) >= WORKED_OUT
    skipped = tuple(h.title for h in headings if own and h.name in WORKED_OUT)
    faults = [*twice(table, MEANINGS), *_untitled(table)]
    rows: list[ListedCircuit] = []
    seen: dict[str, int] = {}
    for typed in table.rows[:MOST_ROWS]:
        said = [s for s in said_in(typed, headings, comma_decimals=table.comma_decimals) if s.heading.title]
        row, told = _row(typed, [s for s in said if s.heading.title not in skipped], table)
        if row is not None and not told:
            told = list(_named_before(row, seen, table))
        faults += told
        if row is not None and not told:
            rows.append(row)
    if len(table.rows) > MOST_ROWS:
        what = f"This list has {len(table.rows)} rows; {MOST_ROWS} are the most."
        faults.append(
            _fault("too-many-rows", table, table.rows[MOST_ROWS].line, None, what, "Leave out what is no circuit.")
        )
    if not table.rows:
        what = "There is no row below the names of the columns."
        faults.append(_fault("empty-list", table, 0, None, what, "Write one row for each circuit."))
    return CircuitList(tuple(rows), tuple(faults), skipped)


def _row(typed: TypedRow, said: Sequence[Said], table: TypedTable) -> tuple[ListedCircuit | None, list[Finding]]:
    cells: dict[str, Said] = {}
    more: list[Said] = []
    faults: list[Finding] = []
    for one in said:
        meaning = MEANINGS.get(one.heading.name)
        if meaning is None:
            more.append(one)
        elif meaning not in cells:
            cells[meaning] = one
        else:
            faults += _differ(cells[meaning], one, table)
            # The amount with its own unit is the one that people wrote to be read.
            cells[meaning] = cells[meaning] if one.heading.unit else one
    name = cells.get("circuit") or cells.get("load")
    if name is None or name.is_unknown or not any(sign.isalnum() for sign in name.text):
        what = "This row names no circuit, so nobody knows what it is about."
        return None, [_fault("no-name", table, typed.line, name, what, "Write its name under `circuit`.")]
    kind = cells.pop("kind", None)
    faults += _not_among("kind", kind, _KINDS, table)
    faults += _not_among("state", cells.get("state"), (*_STATES, "unknown"), table)
    word = kind.text.casefold() if kind is not None else "main" if name.text.casefold() in _PATH else "branch"
    return ListedCircuit(typed.line, name.text, word, cells, more), faults


def _differ(one: Said, other: Said, table: TypedTable) -> Iterator[Finding]:
    """Tell where two columns say two things of one; `length` and `length [m]` may say the same."""
    if one.text == other.text or abs(_metres(one.text) - _metres(other.text)) <= _SAME_M:
        return
    title, twin = quoted(one.heading.title), quoted(other.heading.title)
    what = f"{title} says {quoted(one.text)}, and {twin} says {quoted(other.text)}."
    yield _fault("two-values", table, other.line, other, what, "Keep the right one in both columns, or in one alone.")


def _metres(text: str) -> float:
    """Read a length [m]; what is none is like no other."""
    try:
        return read(text, Dimension.LENGTH)
    except QuantityError:
        return nan


def _not_among(meaning: str, said: Said | None, words: Sequence[str], table: TypedTable) -> Iterator[Finding]:
    if said is not None and said.text.casefold() not in words:
        close = nearest(said.text, words, limit=1)
        hint = f"Did you mean `{close[0]}`? " if close else ""
        what = f"{quoted(said.text)} is no {meaning} of a circuit."
        yield _fault(f"unknown-{meaning}", table, said.line, said, what, f"{hint}Use {listed(words)}.")


def _named_before(row: ListedCircuit, seen: dict[str, int], table: TypedTable) -> Iterator[Finding]:
    first = seen.setdefault(id_of(row.name).casefold(), row.line)
    if first != row.line:
        what = f"{quoted(row.name)} is named in line {first} already."
        fix = "Give each circuit a name of its own, such as `left camera` and `right camera`."
        yield _fault("named-twice", table, row.line, row.cells.get("circuit") or row.cells.get("load"), what, fix)


def _untitled(table: TypedTable) -> Iterator[Finding]:
    for column, title in enumerate(table.titles, 1):
        held = next((row for row in table.rows if row.cells[column - 1]), None)
        if not title and held is not None:
            what = f"Column {column} has no name, and something stands in it."
            yield Finding("no-column-name", Severity.MUST, table.place(held.line, column), what, "Name the column.")


def _fault(code: str, table: TypedTable, line: int, said: Said | None, what: str, fix: str) -> Finding:
    column, thing = (said.heading.column, said.heading.title) if said is not None else (0, "")
    return Finding(code, Severity.MUST, table.place(line, column, thing), what, fix)
