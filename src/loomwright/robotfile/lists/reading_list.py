"""Lists of readings of batteries, of any tester: rows of a table to events, told alike however often they are read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.people import plain_name
from loomwright.records.rack_kinds import LOOKS
from loomwright.records.reading import EventRefusedError, read_event
from loomwright.robotfile.lists.reading_cells import CAPACITY, Row, amount, cells_of, head_faults, is_bare, lacking
from loomwright.robotfile.lists.reading_columns import Bound, bound_to, bound_to_us, fits, fits_us, testers_for
from loomwright.robotfile.lists.reading_events import events_of
from loomwright.robotfile.lists.reading_when import measured_at, when_read
from loomwright.robotfile.lists.typed_table import TypedTable, read_tables
from loomwright.robotfile.lists.written_when import UnclearTimeError, When
from loomwright.robotfile.testers.slots import SLOTS, TELLING
from loomwright.robotfile.testers.tester import KnownTesters, ListedTester
from loomwright.units import QuantityError
from loomwright.wording import listed, nearest, quoted

WANTED: Final = "`battery` and `when` with a reading, such as `rest voltage [V]`, or the columns of one of your testers"
_SOUND: Final = frozenset({"ok", "good", "fine"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRow:
    """One row that tells a reading: where it stands, its battery, its day, and its events as plain data.

    `tester` is "" where the list has our own headings. The data are what `records.reading.read_event` takes.
    """

    place: Place
    battery: str
    when: When
    tester: str
    events: tuple[Mapping[str, Any], ...]


def read_readings(
    content: bytes,
    *,
    file: str,
    testers: KnownTesters,
    tester: str = "",
    labels: Collection[str] | None = None,
    who: str = "",
    now: str = "",
    zone: dt.tzinfo | None = None,
) -> tuple[ReadingRow, ...]:
    """Return the rows that tell a reading, of all sheets of a CSV file or a workbook.

    `tester` says whose columns they are; without it the headings do. `labels` are the batteries that there are (None:
    any). `who` is taken where no column says who read. Nothing is later than `now` (UTC, "": no such limit). A time of
    day is that of a watch in `zone`, None for the laptop's.

    Raises
    ------
    UnreadableInputError
        For a file that holds no such table, and with every row that can't be understood.
    """
    meant = _meant(tester, testers, file)
    reading = _Reading(testers, meant, None if labels is None else tuple(labels), who, now, zone)
    rows = [row for table in _tables(content, file, reading) for row in reading.table(table)]
    if reading.faults:
        raise UnreadableInputError(reading.faults)
    return tuple(rows)


def _meant(name: str, book: KnownTesters, file: str) -> ListedTester | None:
    """Return the tester that somebody names; raise UnreadableInputError where there is none of that name."""
    if not name:
        return None
    found = book.named(name)
    if found is not None:
        return found
    known = [tester.name for tester in book.testers]
    close = nearest(name, known, limit=1)
    hint = f"Did you mean {quoted(close[0])}? " if close else ""
    told = f"{book.file} has {listed([quoted(one) for one in known], 'and')}." if known else ""
    what = f"No tester is called {quoted(name)}."
    fix = f"{hint}{told}" if known else f"Describe it in {book.file}; docs/rack-files.md shows how."
    raise UnreadableInputError([Finding("unknown-tester", Severity.MUST, Place(file), what, fix)])


def _tables(content: bytes, file: str, reading: _Reading) -> tuple[TypedTable, ...]:
    """Read the tables; say what was looked for where there is none."""
    meant = reading.meant
    wanted = WANTED
    if meant is not None:
        wanted = f"{quoted(meant.name)} has {listed([quoted(title) for title in meant.titles], 'and')}"
    try:
        return read_tables(content, file=file, is_head=reading.is_head, wanted=wanted)
    except UnreadableInputError as error:
        fix = f"Write such a row above the readings, or describe your tester in {reading.book.file}."
        faults = (replace(f, fix=fix) if f.code == "no-column-names" else f for f in error.faults)
        raise UnreadableInputError(faults) from None


@dataclass(slots=True)
class _Reading:
    """A list of readings as it is read; faults are noted, never raised."""

    book: KnownTesters
    meant: ListedTester | None
    labels: tuple[str, ...] | None
    who: str
    now: str
    zone: dt.tzinfo | None
    faults: list[Finding] = field(default_factory=list)

    def is_head(self, cells: Sequence[str]) -> bool:
        """Tell whether a row of cells is the head of a list of readings."""
        if self.meant is not None:
            return fits(self.meant, cells)
        return fits_us(cells) or bool(testers_for(cells, self.book))

    def table(self, table: TypedTable) -> Iterator[ReadingRow]:
        """Read the rows of one table."""
        bound = self._bound(table)
        if bound is None:
            return
        if not bound.when:
            self._head_fault(table, "no-day", "No column says when it was read.", "Add a column `when`.")
        bare: dict[str, list[Row]] = {}
        for typed in table.rows:
            row = Row(table, typed.line, cells_of(typed, bound, table))
            if any(name in row.said for name in TELLING):
                yield from self._row(row, bound, bare)
        self._no_units(bare)

    def _bound(self, table: TypedTable) -> Bound | None:
        fitting = (self.meant,) if self.meant is not None else testers_for(table.titles, self.book)
        if len(fitting) > 1:
            names = listed([quoted(tester.name) for tester in fitting], "and")
            what = f"These columns are those of {names}."
            self._head_fault(table, "two-testers", what, "Name the tester that it was.")
            return None
        bound = bound_to(fitting[0], table.titles) if fitting else bound_to_us(table.titles)
        self.faults += head_faults(table, bound)
        return bound

    def _row(self, row: Row, bound: Bound, bare: dict[str, list[Row]]) -> Iterator[ReadingRow]:
        before = len(self.faults) + sum(map(len, bare.values()))
        row.words = {name: said.text for name, said in row.said.items() if not SLOTS[name].dimensions}
        self._amounts(row, bound, bare)
        if bound.tester is not None:
            row.words.setdefault("tester", bound.tester.name)
        self._battery(row)
        self._look(row)
        when = self._when(row, bound)
        self.faults += lacking(row)
        if when is None or len(self.faults) + sum(map(len, bare.values())) > before:
            return
        yield from self._events(row, when, bound)

    def _amounts(self, row: Row, bound: Bound, bare: dict[str, list[Row]]) -> None:
        """Read the amounts; those of a capacity test last, since its time may follow from its load."""
        row.amounts = dict(bound.fixed)
        for name in sorted((name for name in row.said if SLOTS[name].dimensions), key=CAPACITY.__eq__):
            if is_bare(row.said[name]):
                bare.setdefault(name, []).append(row)
                continue
            try:
                row.amounts[name] = amount(row, name)
            except QuantityError as error:
                self.faults.append(row.fault("bad-value", error.what, error.fix, at=name))

    def _battery(self, row: Row) -> None:
        label = row.words.get("battery", "")
        if not label:
            row.words["battery"] = ""
            what = "This row has a reading and names no battery."
            self.faults.append(row.fault("no-battery", what, "Write the label that stands on it."))
        elif self.labels is not None:
            known = {plain_name(one): one for one in self.labels}
            found = known.get(plain_name(label))
            if found is None:
                close = nearest(label, self.labels, limit=1)
                hint = f"Did you mean {quoted(close[0])}? " if close else ""
                what = f"No battery is called {quoted(label)}."
                fix = f"{hint}Write the label as it stands on the battery, or record the battery first."
                self.faults.append(row.fault("unknown-battery", what, fix, at="battery"))
            row.words["battery"] = found or label

    def _look(self, row: Row) -> None:
        look = row.words.get("look", "").casefold()
        if not look:
            return
        row.words["look"] = "sound" if look in _SOUND else look
        if row.words["look"] not in LOOKS:
            close = nearest(look, LOOKS, limit=1)
            hint = f"Did you mean `{close[0]}`? " if close else ""
            what = f"{quoted(row.said['look'].text)} is no look."
            fix = f"{hint}Write {listed([f'`{word}`' for word in LOOKS])}."
            self.faults.append(row.fault("unknown-look", what, fix, at="look"))

    def _when(self, row: Row, bound: Bound) -> When | None:
        cells = dict(zip((heading.column for heading in bound.when), ("when", "time"), strict=False))
        said = [row.said[name] for name in cells.values() if name in row.said]
        if not said:
            if bound.when:
                what = "This row has a reading and no day, and a reading without one tells little."
                self.faults.append(row.fault("no-day", what, "Write the day, as `2026-02-07`."))
            return None
        text = " ".join(one.text for one in said)
        try:
            when = when_read(text, bound.form)
        except UnclearTimeError as error:
            asked = f"Write it as `{bound.form.text}`" if bound.form else "Write `2026-02-07` or `2026-02-07 14:30`"
            self.faults.append(row.fault("no-day", f"{quoted(text)} {error.what}.", f"{asked}.", at="when"))
            return None
        if self.now and when.day > dt.date.fromisoformat(self.now[:10]) + dt.timedelta(days=1):
            what = f"{quoted(text)} is a day that is still to come."
            self.faults.append(row.fault("day-to-come", what, "Write the day on which it was read.", at="when"))
            return None
        return when

    def _events(self, row: Row, when: When, bound: Bound) -> Iterator[ReadingRow]:
        who = row.words.get("who", "") or self.who
        if not who:
            what = "Nobody's initials stand here."
            self.faults.append(row.fault("nobody", what, "Fill a column `who`, or say who when you bring the list in."))
            return
        stamp = measured_at(when, now=self.now, zone=self.zone)
        found = tuple(events_of(row.amounts, row.words, when=str(when), measured_at=stamp, who=who))
        refused = [*_refused(row, found)]
        self.faults += refused
        if not refused:
            tester = bound.tester.name if bound.tester is not None else ""
            place = row.table.place(row.line, 0, row.words["battery"])
            yield ReadingRow(place=place, battery=row.words["battery"], when=when, tester=tester, events=found)

    def _no_units(self, bare: Mapping[str, list[Row]]) -> None:
        """Tell of each column once that its numbers have no unit, where the first of them stands."""
        for name, rows in bare.items():
            first, said = rows[0], rows[0].said[name]
            more = f", like {len(rows) - 1} more in this column" if len(rows) > 1 else ""
            what = f"{quoted(said.text)} has no unit{more}."
            unit = SLOTS[name].example.rpartition("[")[2].removesuffix("]")
            fix = f"Write it in the heading, as `{SLOTS[name].example}`, or behind the number, as `{said.text} {unit}`."
            self.faults.append(first.fault("no-unit", what, fix, at=name))

    def _head_fault(self, table: TypedTable, code: str, what: str, fix: str) -> None:
        self.faults.append(Finding(code, Severity.MUST, table.place(0), what, fix))


def _refused(row: Row, events: Sequence[Mapping[str, Any]]) -> Iterator[Finding]:
    """Tell of every event that the records would not take."""
    for event in events:
        try:
            read_event(event)
        except EventRefusedError as error:
            fix = "Put the row right; initials have up to 24 characters, a label up to 120, a note up to 600."
            for what in error.faults:
                yield row.fault("not-an-event", what, fix)
