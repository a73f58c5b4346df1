"""Join the records of another laptop to those that are here: each origin's chain goes on where it ended."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, field

from loomwright.findings import Finding, Place, Severity
from loomwright.records.event import NOTHING_BEFORE, Record
from loomwright.store.rows import SELECT, insert, read_rows


@dataclass(slots=True)
class Joining:
    """One import, inside its transaction; `faults` undo it."""

    connection: sqlite3.Connection
    here: str
    bench: str
    file: str
    added: int = 0
    known: int = 0
    faults: list[Finding] = field(default_factory=list)
    noticed: list[Finding] = field(default_factory=list)
    _stopped: set[str] = field(default_factory=set)

    def take(self, number: int, record: Record) -> None:
        """Take one record (of a line) in; after its first fault nothing more is said of an origin."""
        if record.origin in self._stopped:
            return
        sequence, last = self._last(record.origin)
        if record.sequence <= sequence:
            self._compare(number, record)
        elif record.sequence > sequence + 1:
            self._refuse(record, self._gap(number, record, sequence))
        elif record.before != last:
            self._refuse(record, self._fork(number, record))
        elif self._key_is_taken(record):
            self._refuse(record, self._key_twice(number, record))
        else:
            self._look_for_another_content(number, record)
            insert(self.connection, record)
            self.added += 1

    def _compare(self, number: int, record: Record) -> None:
        ask = "SELECT hash FROM records WHERE origin = ? AND sequence = ?"
        if self.connection.execute(ask, (record.origin, record.sequence)).fetchone() == (record.hash,):
            self.known += 1
        else:
            self._refuse(record, self._fork(number, record))

    def _last(self, origin: str) -> tuple[int, str]:
        """Return sequence and hash of the last record of an origin that is here."""
        ask = "SELECT sequence, hash FROM records WHERE origin = ? ORDER BY sequence DESC LIMIT 1"
        sequence, digest = self.connection.execute(ask, (origin,)).fetchone() or (0, NOTHING_BEFORE)
        return int(sequence), str(digest)

    def _key_is_taken(self, record: Record) -> bool:
        ask = "SELECT 1 FROM records WHERE origin = ? AND key = ?"
        return self.connection.execute(ask, (record.origin, record.event.key)).fetchone() is not None

    def _look_for_another_content(self, number: int, record: Record) -> None:
        """Notice that two laptops took different things under one key; both stay, so that the laptops can be joined."""
        rows = self.connection.execute(f"{SELECT} WHERE key = ?", (record.event.key,)).fetchall()
        for _, other in read_rows(rows, self.bench):
            if other.event != record.event:
                self.noticed.append(self._two_contents(number, record, other))

    def _refuse(self, record: Record, fault: Finding) -> None:
        self._stopped.add(record.origin)
        self.faults.append(fault)

    def _gap(self, number: int, record: Record, sequence: int) -> Finding:
        first, last = sequence + 1, record.sequence - 1
        origin = record.origin
        which = f"Record {first} of {origin} is" if first == last else f"Records {first} to {last} of {origin} are"
        what = f"{which} missing between what is here and record {record.sequence} in the file."
        fix = f"Export again from record {first} on, or everything. Nothing was taken from this file."
        return self._must("export-gap", number, record, what, fix)

    def _fork(self, number: int, record: Record) -> Finding:
        what = (
            f"The file and {self.bench} tell record {record.sequence} of {record.origin}, or the one before it, "
            "differently. One of the two was edited, or set back to an older copy that went on by itself."
        )
        keep = f"Nothing was taken from this file. Keep it, and a backup of {self.bench}."
        anew = (
            f"begin a new {self.bench} there, import what the others exported, and do again what only the old one has"
        )
        if record.origin == self.here:
            fix = f"{keep} If it was this laptop that was set back: {anew}."
        else:
            fix = f"{keep} Export again on the laptop that writes as {record.origin}; if it was set back: {anew}."
        return self._must("two-histories", number, record, what, fix)

    def _key_twice(self, number: int, record: Record) -> Finding:
        what = f"{record.origin} has written the same key twice: record {record.sequence} repeats an earlier one."
        fix = "No loomwright writes that. Nothing was taken from this file; get it again from the laptop that made it."
        return self._must("key-twice", number, record, what, fix)

    def _two_contents(self, number: int, record: Record, other: Record) -> Finding:
        one, two = (f"record {held.sequence} of {held.origin}" for held in (record, other))
        what = f"Under one key, {one} and {two} tell different things. Both were kept."
        place = Place(self.file, number, thing=record.event.key)
        return Finding("two-contents", Severity.SHOULD, place, what, "Ask both people what they did, and note it.")

    def _must(self, code: str, number: int, record: Record, what: str, fix: str) -> Finding:
        place = Place(self.file, number, thing=f"{record.origin} {record.sequence}")
        return Finding(code, Severity.MUST, place, what, fix)
