"""What can go wrong with bench.db, from the database's own codes to plain words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, NoReturn

from loomwright.findings import Finding, Place, Severity, UnreadableInputError

#: How long one program waits for another that writes [s].
BUSY_S: Final = 5.0
_READ_ONLY: Final = frozenset({sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM})
_DAMAGED: Final = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})
_PUT_BACK: Final = (
    "Keep it: move {file} away, together with {file}-wal and {file}-shm where they are there. Then restore the newest "
    "backup, or begin with an empty one, and import what the other laptops exported."
)


class StoreError(Exception):
    """Something was not written; `finding` says why and what to do. What was written before is untouched."""

    def __init__(self, finding: Finding) -> None:
        """Keep the finding."""
        self.finding = finding
        super().__init__(finding.as_text())


class StoreFullError(StoreError):
    """The disk is full."""


class StoreBusyError(StoreError):
    """Another program kept the file locked."""


@contextmanager
def plainly(file: str) -> Iterator[None]:
    """Say in plain words what the database says in codes; what only a programmer can mend goes through as it is.

    Raises
    ------
    StoreError
        Where something can't be written now: a full disk, another program, a disk that fails.
    UnreadableInputError
        Where the file is damaged or may only be read.
    """
    try:
        yield
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0)
        primary = code & 0xFF
        if primary == sqlite3.SQLITE_FULL or code == sqlite3.SQLITE_IOERR_SHMSIZE:
            raise StoreFullError(_full(file)) from error
        if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise StoreBusyError(_busy(file)) from error
        if primary == sqlite3.SQLITE_IOERR:
            raise StoreError(_failing(file, error)) from error
        if primary in _READ_ONLY:
            refuse(_read_only(file))
        if primary in _DAMAGED:
            refuse(damaged(file, str(error)))
        raise


def refuse(finding: Finding) -> NoReturn:
    """Raise UnreadableInputError with one finding."""
    raise UnreadableInputError([finding])


def damaged(file: str, why: str) -> Finding:
    """Say that the file is no whole database."""
    what = f"{file} is damaged, or it is no database ({why}). Nothing in it was changed."
    return _must("bench-damaged", file, what, _PUT_BACK.format(file=file))


def moved(file: str) -> Finding:
    """Say that the file was taken away or exchanged while it was open."""
    what = f"{file} was moved away, deleted or written over while it was in use, so none of this was written."
    return _must("bench-moved", file, what, f"Stop the bench, put {file} back where it was, and start the bench again.")


def _full(file: str) -> Finding:
    what = f"The disk is full, so none of this was written to {file}. What was written before is safe."
    return _must("bench-full", file, what, "Make room on the disk, then do it again.")


def _busy(file: str) -> Finding:
    what = f"Another program has kept {file} locked for {BUSY_S:g} s, so none of this was written."
    return _must("bench-busy", file, what, f"Close what else has {file} open, then do it again.")


def _failing(file: str, error: sqlite3.Error) -> Finding:
    what = f"The disk under {file} does not work as it should ({error}), so none of this was written."
    fix = "Look at the disk and its plug. Back up to another disk before you go on."
    return _must("bench-disk-fails", file, what, fix)


def _read_only(file: str) -> Finding:
    what = f"{file} or its folder may only be read, or can't be opened, so no records can be kept."
    fix = f"Let yourself write {file} and its folder, or put the robot's folder where you may write."
    return _must("bench-read-only", file, what, fix)


def _must(code: str, file: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(file), what, fix)
