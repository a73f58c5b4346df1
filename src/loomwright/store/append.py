"""Write down what phones and scripts send, each event once, however often it comes."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum

from loomwright.records.event import NOTHING_BEFORE, Event, Record, Role
from loomwright.store.database import Database
from loomwright.store.rows import SELECT, as_kept, insert, read_rows


class Outcome(StrEnum):
    """What became of an event.

    `added`: it is written down now. `known`: it was already, from here or from another laptop. `clash`: something else
    is written down under its key, so it was refused.
    """

    ADDED = "added"
    KNOWN = "known"
    CLASH = "clash"


def append(database: Database, events: Sequence[Event], *, origin: str, role: Role, received_at: str) -> list[Outcome]:
    """Write events down in one transaction, in order, as the next records of an origin; on the disk when it returns.

    Raises
    ------
    EventRefusedError
        Where an event, the origin or the time is not what `records.reading` would read again; nothing was written.
    StoreError
        Where nothing can be written now.
    UnreadableInputError
        Where a record that these touch was changed in the file; nothing was written.
    """
    # Each as the first of its origin, outside the lock: its place in the chain is known only inside.
    firsts = [
        as_kept(Record(event=event, role=role, origin=origin, sequence=1, received_at=received_at)) for event in events
    ]
    outcomes: list[Outcome] = []
    with database.writing() as connection:
        last = _last_of(connection, origin, database.file)
        for first in firsts:
            outcome = _compared(connection, first.event, database.file)
            if outcome is Outcome.ADDED:
                last = _next(first, last)
                insert(connection, last)
            outcomes.append(outcome)
    return outcomes


def _last_of(connection: sqlite3.Connection, origin: str, file: str) -> Record | None:
    rows = connection.execute(f"{SELECT} WHERE origin = ? ORDER BY sequence DESC LIMIT 1", (origin,)).fetchall()
    return next((record for _, record in read_rows(rows, file)), None)


def _compared(connection: sqlite3.Connection, event: Event, file: str) -> Outcome:
    """Compare an event with what is held under its key, from whatever origin; `ADDED` where nothing is."""
    rows = connection.execute(f"{SELECT} WHERE key = ?", (event.key,)).fetchall()
    held = [record.event for _, record in read_rows(rows, file)]
    if event in held:
        return Outcome.KNOWN
    return Outcome.CLASH if held else Outcome.ADDED


def _next(record: Record, last: Record | None) -> Record:
    if last is None:
        return replace(record, sequence=1, before=NOTHING_BEFORE)
    return replace(record, sequence=last.sequence + 1, before=last.hash)
