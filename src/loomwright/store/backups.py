"""Copies of bench.db that are whole: made while it is written, looked at, and put back in place of one that is lost."""

from __future__ import annotations

import itertools
import os
import re
import shutil
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from loomwright.findings import Finding, Place, Severity
from loomwright.store.database import connect
from loomwright.store.opening import check_file, is_backup
from loomwright.store.store import Store
from loomwright.store.troubles import StoreError, plainly

_counter: Final = itertools.count()
_DATED: Final = re.compile(r"bench-\d{8}T\d{6}\.db")


def backup(store: Store, to: Path) -> None:
    """Write a whole copy of the records to a file, which holds the old copy or the new one at any moment.

    The copy has no origin of its own: whoever opens it writes under a new name.

    Raises
    ------
    StoreError
        Where it can't be written, or where something else than a backup of this robot stands in the way; `to` is as
        it was.
    """
    _refuse_records_in_use(to)
    _refuse_no_backup(to, store.robot)

    def write(beside: Path) -> None:
        with store.database.alone() as connection, plainly(to.name):
            connection.execute("VACUUM INTO ?", (str(beside),))
        with plainly(to.name), closing(connect(beside.as_uri())) as copy:
            copy.execute("UPDATE meta SET value = '' WHERE name = 'file'")
        check_file(beside, store.robot)

    _put(to.resolve(), write)


def dated_backup(store: Store, folder: Path, *, now: str, keep: int) -> Path:
    """Write a backup that is named by its time, and keep the newest `keep` of them; raises as `backup` does.

    `now` is the time in UTC, as 2026-02-07T09:30:00Z. The one just made stays even if an older one, from a clock that
    was wrong, has a later name.
    """
    stamp = re.sub(r"[-:]|\.\d+|Z", "", now)
    new = folder / f"bench-{stamp}.db"
    if not _DATED.fullmatch(new.name) or keep < 1:
        raise ValueError(f"A time in UTC, as 2026-02-07T09:30:00Z, and at least one to keep; not {now!r} and {keep}.")
    backup(store, new)
    older = sorted((path for path in folder.iterdir() if _DATED.fullmatch(path.name) and path != new), reverse=True)
    for path in older[keep - 1 :]:
        with suppress(OSError):  # one that somebody has open goes next time
            path.unlink()
    return new


def restore(source: Path, to: Path, *, robot: str) -> None:
    """Put a backup where records are lost; the next to open it writes under a new name, as `open_store` tells.

    Raises
    ------
    UnreadableInputError
        Where the backup is not whole, not ours, or of another robot.
    StoreError
        Where something stands in its way, or the disk is full; nothing was changed.
    """
    _refuse_log(source)
    check_file(source, robot)
    _refuse_anything(to)

    def write(beside: Path) -> None:
        shutil.copyfile(source, beside)

    _put(to.resolve(), write)


def _refuse_records_in_use(to: Path) -> None:
    """Refuse a place at which a database is open, this store's own, too: its log would be read into the copy."""
    if to.is_dir() or to.with_name(f"{to.name}-wal").exists():
        what = f"{to} is in use, so no backup was written there."
        raise StoreError(_must("backup-in-use", to.name, what, "Give the backup another name."))


def _refuse_no_backup(to: Path, robot: str) -> None:
    """Refuse to write over anything but an older backup of the robot."""
    if to.exists() and not is_backup(to, robot):
        what = f"{to.name} is there already and is no backup of this robot, so nothing was written over it."
        raise StoreError(_must("backup-in-the-way", to.name, what, "Give the backup another name."))


def _refuse_log(source: Path) -> None:
    log = source.with_name(f"{source.name}-wal")
    if log.exists():
        what = f"{source.name} is in use, or was copied while it was: {log.name} holds its newest records."
        fix = f"If nothing has it open, use the two together: as {source.name} and {log.name} in the robot's folder."
        raise StoreError(_must("restore-with-log", source.name, what, fix))


def _refuse_anything(to: Path) -> None:
    for path in (to, to.with_name(f"{to.name}-wal"), to.with_name(f"{to.name}-shm")):
        if path.exists():
            what = f"{path.name} is still there, so nothing was put in its place."
            fix = f"Keep it: move {to.name}, {to.name}-wal and {to.name}-shm away together. Then restore again."
            raise StoreError(_must("restore-in-the-way", to.name, what, fix))


def _put(target: Path, write: Callable[[Path], None]) -> None:
    """Have a file written beside its place, push it to the disk, and give it its name in one step."""
    beside = target.with_name(f".{target.name}.{os.getpid()}-{next(_counter)}.part")
    try:
        write(beside)
        with beside.open("rb+") as file:
            os.fsync(file.fileno())
        beside.replace(target)
    except OSError as error:
        what = f"{target.name} could not be written: {error.strerror or error}."
        fix = "Make room, or choose a folder that may be written; then do it again."
        raise StoreError(_must("backup-not-written", target.name, what, fix)) from error
    finally:
        for left in (beside, beside.with_name(f"{beside.name}-journal")):
            with suppress(OSError):
                left.unlink(missing_ok=True)
    with suppress(OSError):  # not every system lets a folder be opened
        _push_folder(target.parent)


def _push_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _must(code: str, file: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(file), what, fix)
