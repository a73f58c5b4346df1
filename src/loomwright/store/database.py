"""One connection to bench.db, and who may use it when.

All threads of a program share one connection behind one lock. It is held while SQL runs and never while records are
read from their lines or hashed, so a long answer keeps nobody from writing. Readers with connections of their own
would gain a few milliseconds, and they would open the door to the one known way to damage a database in this mode: two
connections that write and tidy up at the same moment (source: sqlite-wal). Two programs take turns through the
database's own locks.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock
from typing import Final

from loomwright.store.troubles import BUSY_S, StoreError, moved, plainly

# A commit in this journal mode is on the disk when it returns only with synchronous=FULL (source: sqlite-pragma); on
# some systems only fullfsync empties the disk's own cache. The rest distrusts what stands in the file.
_SETTINGS: Final = (
    "PRAGMA synchronous = FULL",
    "PRAGMA fullfsync = ON",
    "PRAGMA checkpoint_fullfsync = ON",
    "PRAGMA foreign_keys = ON",
    "PRAGMA recursive_triggers = ON",
    "PRAGMA trusted_schema = OFF",
    "PRAGMA cell_size_check = ON",
)


class Database:
    """An open database file that any thread may use, one at a time."""

    def __init__(self, path: Path, *, to_write: bool = True) -> None:
        """Open the file; nothing of it is read or changed yet. What is not `to_write` is taken to be nobody's."""
        self.path = path
        self._lock = Lock()
        self._held: tuple[int, int] | None = None
        with plainly(path.name):
            self._connection = connect(path.as_uri() + ("" if to_write else "?mode=ro&immutable=1"))

    @property
    def file(self) -> str:
        """The name of the file, as findings tell it."""
        return self.path.name

    @contextmanager
    def alone(self) -> Iterator[sqlite3.Connection]:
        """Give the connection outside of any transaction, for what can't run inside one."""
        with self._lock, plainly(self.file):
            yield self._connection

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Give the connection for questions that are all answered from one state."""
        with self._transaction("BEGIN") as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Give the connection for one transaction: all of it is on the disk at the end, or nothing.

        Raises
        ------
        StoreError
            Where it can't be written, or where another file or none stands at its place by now; nothing was.
        """
        with self._transaction("BEGIN IMMEDIATE") as connection:
            self._refuse_moved()
            yield connection
            self._refuse_moved()

    def close(self) -> None:
        """Wait for whoever is at it, then close; to close twice does nothing."""
        with self._lock, plainly(self.file):
            self._connection.close()

    def _refuse_moved(self) -> None:
        """Refuse to go on with a file that has no name any more: what is written to it is gone with the program."""
        try:
            there = self.path.stat()
        except OSError:
            there = None
        now = (there.st_dev, there.st_ino) if there is not None else None
        self._held = self._held or now
        if now is None or now != self._held:
            raise StoreError(moved(self.file))

    @contextmanager
    def _transaction(self, begin: str) -> Iterator[sqlite3.Connection]:
        with self.alone() as connection:
            connection.execute(begin)
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):  # the first fault is the one to tell; it may have ended the transaction
                    connection.execute("ROLLBACK")
                raise


def connect(uri: str) -> sqlite3.Connection:
    """Open a file with the settings of this house; transactions begin and end where it is written."""
    connection = sqlite3.connect(uri, uri=True, timeout=BUSY_S, isolation_level=None, check_same_thread=False)
    # Bytes that are no text must show as a record that was changed, not as an error in the middle of a question.
    connection.text_factory = lambda data: data.decode("utf-8", "replace")
    for setting in _SETTINGS:
        connection.execute(setting)
    return connection
