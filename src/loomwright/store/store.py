"""bench.db, open: add events, read records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Self

from loomwright.findings import Finding
from loomwright.records.event import Event, Record, Role
from loomwright.store.append import Outcome, append
from loomwright.store.chain import verify
from loomwright.store.database import Database
from loomwright.store.rows import SELECT, read_rows


@dataclass(frozen=True, slots=True)
class Store:
    """The records of one robot on this laptop; any thread may call anything here.

    `origin` is the name under which this laptop writes; `noticed` is what opening it had to tell.
    """

    database: Database
    robot: str
    origin: str
    noticed: tuple[Finding, ...] = ()

    def append(self, events: Sequence[Event], *, role: Role, received_at: str) -> list[Outcome]:
        """Write events down, all or none, and tell of each what became of it; see `append.append`."""
        return append(self.database, events, origin=self.origin, role=role, received_at=received_at)

    def records(self, after: Mapping[str, int] | None = None) -> list[Record]:
        """Return all records in the order of their arrival, or of each origin those after a sequence.

        Raises
        ------
        UnreadableInputError
            With every record that was changed since it was written.
        """
        known = after or {}
        with self.database.reading() as connection:
            rows = connection.execute(f"{SELECT} ORDER BY arrival").fetchall()
        wanted = (row for row in rows if row[2] > known.get(row[1], 0))
        return [record for _, record in read_rows(wanted, self.database.file)]

    def since(self, arrival: int) -> list[tuple[int, Record]]:
        """Return what came after an arrival, each with its own; raises as `records` does."""
        with self.database.reading() as connection:
            rows = connection.execute(f"{SELECT} WHERE arrival > ? ORDER BY arrival", (arrival,)).fetchall()
        return read_rows(rows, self.database.file)

    @property
    def last_arrival(self) -> int:
        """The arrival of the newest record, 0 where there is none."""
        with self.database.reading() as connection:
            return int(connection.execute("SELECT coalesce(max(arrival), 0) FROM records").fetchone()[0])

    def heads(self) -> dict[str, int]:
        """Return the last sequence of every origin: what to ask another laptop to send from."""
        with self.database.reading() as connection:
            return dict(connection.execute("SELECT origin, max(sequence) FROM records GROUP BY origin ORDER BY origin"))

    def verify(self) -> list[Finding]:
        """Tell every record that is missing, was changed, or does not continue its chain."""
        return verify(self.database)

    def close(self) -> None:
        """Close the file."""
        self.database.close()

    def __enter__(self) -> Self:
        """Give the store itself; it is closed at the end."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the file."""
        self.close()
