"""A record as a row of the database, and back again; a row that does not add up is never handed on."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterable
from typing import Final, TypeAlias

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.event import Kind, Record, as_line
from loomwright.records.reading import read_record
from loomwright.wording import quoted

#: arrival, origin, sequence, key, before, hash, line
Row: TypeAlias = tuple[int, str, int, str, str, str, str]
#: What reading a text that somebody tampered with can end in.
UNREADABLE: Final = (ValueError, TypeError, ArithmeticError, RecursionError)
_LONGEST_KIND: Final = 40
SELECT: Final = "SELECT arrival, origin, sequence, key, before, hash, line FROM records"
_INSERT: Final = "INSERT INTO records (origin, sequence, key, before, hash, line) VALUES (?, ?, ?, ?, ?, ?)"


def as_kept(record: Record) -> Record:
    """Return a record as it will be read again, so that what is written is sure to verify.

    Raises
    ------
    EventRefusedError
        Where it holds what nobody could read again.
    """
    return read_record(json.loads(as_line(record)))


def insert(connection: sqlite3.Connection, record: Record) -> int:
    """Add a record and return its arrival."""
    line = as_line(record)
    row = (record.origin, record.sequence, record.event.key, record.before, _digest(line), line)
    return int(connection.execute(_INSERT, row).lastrowid or 0)


def understood(row: Row) -> Record | None:
    """Return the record of a row; None where line, hash and columns do not agree to the letter."""
    _, origin, sequence, key, before, digest, line = row
    try:
        record = read_record(json.loads(line))
        whole = as_line(record) == line and _digest(line) == digest
    except UNREADABLE:
        return None
    told = (record.origin, record.sequence, record.event.key, record.before)
    return record if whole and told == (origin, sequence, key, before) else None


def read_rows(rows: Iterable[Row], file: str) -> list[tuple[int, Record]]:
    """Return arrival and record of each row.

    Raises
    ------
    UnreadableInputError
        With every row that was changed since it was written, or that a newer loomwright wrote.
    """
    read: list[tuple[int, Record]] = []
    faults: list[Finding] = []
    for row in rows:
        record = understood(row)
        if record is None:
            faults.append(not_understood(row, file))
        else:
            read.append((row[0], record))
    if faults:
        raise UnreadableInputError(faults)
    return read


def not_understood(row: Row, file: str) -> Finding:
    """Say that a row is not what was written, or that it is whole and of a kind that is not known here."""
    place, which = Place(file, thing=f"{row[1]} {row[2]}"), f"Record {row[2]} of {row[1]}"
    if kind := _newer_kind(row):
        what = f"{which} is of the kind {quoted(kind)}, which this loomwright does not know: a newer one wrote it."
        return Finding("record-newer", Severity.MUST, place, what, "Update loomwright on this laptop. Nothing is lost.")
    fix = (
        f"Keep {file} as it is. Restore the newest backup in which this record is whole, then import what the "
        "other laptops exported."
    )
    what = f"{which} was changed after it was written, or the disk lost part of it."
    return Finding("record-changed", Severity.MUST, place, what, fix)


def _newer_kind(row: Row) -> str:
    """Return the kind of a row that is as its hash says and whose kind is not known; "" for all others."""
    _, origin, sequence, key, before, digest, line = row
    try:
        told = json.loads(line)
        known = _digest(line) != digest or told["kind"] in set(Kind)
        same = (told["origin"], told["sequence"], told["key"], told["before"]) == (origin, sequence, key, before)
    except (*UNREADABLE, LookupError):
        return ""
    return "" if known or not same or not isinstance(told["kind"], str) else told["kind"][:_LONGEST_KIND]


def _digest(line: str) -> str:
    return hashlib.sha256(line.encode()).hexdigest()
