"""Loomwright on a disk that is full for as long as a file of that name lies beside bench.db: `python -m` this.

The database's own limit of its pages stands in for the disk. What follows is the database's own: its word that the
disk is full, in the middle of a transaction.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from loomwright.cli.main import run
from loomwright.store.database import Database

_MOST_PAGES = 2**30
_writing = Database.writing


def full(folder: Path, *, yes: bool) -> None:
    """Fill the disk of a robot's folder, or make room on it."""
    mark = folder / "disk-is-full"
    if yes:
        mark.touch()
    else:
        mark.unlink()


@contextmanager
def _written(self: Database) -> Iterator[sqlite3.Connection]:
    with _writing(self) as connection:
        # Not less than the file has: from there on nothing can be added.
        pages = 1 if self.path.with_name("disk-is-full").exists() else _MOST_PAGES
        connection.execute(f"PRAGMA max_page_count = {pages}")
        yield connection


if __name__ == "__main__":
    Database.writing = _written  # type: ignore[method-assign]  # what this program is there for
    run()
