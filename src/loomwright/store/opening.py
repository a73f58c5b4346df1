"""Open bench.db, or begin one: look first whether it is ours, whole, of this robot, and in a place that will do."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.store import folder_kind
from loomwright.store.database import Database
from loomwright.store.schema import (
    APPLICATION_ID,
    application_of,
    migrate,
    migrations,
    newest_version,
    schema_at,
    schema_of,
    version_of,
)
from loomwright.store.store import Store
from loomwright.store.troubles import damaged, refuse
from loomwright.wording import quoted

NAME: Final = "bench.db"
_ORIGIN: Final = re.compile(r"[a-z0-9-]{4,40}")
#: The first release that knows STRICT tables (source: sqlite-strict-memory).
_OLDEST_SQLITE: Final = (3, 37)


def open_store(path: Path, *, robot: str, now: str, new_origin: Callable[[], str]) -> Store:
    """Open the records of a robot; begin a new file where there is none.

    `now` is kept as the time at which a new file was begun. `new_origin` makes the name under which this laptop
    writes, 4 to 40 of a-z, 0-9 and -, never used before. It is asked for a new file, and for one that was copied or
    restored: two files that go on writing under one name could never be joined again.

    Raises
    ------
    UnreadableInputError
        Where the file is damaged, another program's, another robot's or a newer loomwright's, or where its folder
        will not do. Nothing of it was changed.
    StoreError
        Where a new file, or the newest form of an old one, can't be written now.
    """
    path = path.resolve()
    noticed = _look_at_folder(path)
    database = Database(path)
    try:
        look_inside(database, robot, may_be_empty=True)
        _settle(database)
        origin, copied = _introduce(database, robot=robot, now=now, new_origin=new_origin)
    except BaseException:
        database.close()
        raise
    return Store(database, robot, origin, (*noticed, *copied))


def check_file(path: Path, robot: str) -> None:
    """Look whether a file that nobody writes holds the records of a robot and is whole; it is left as it is.

    Raises
    ------
    UnreadableInputError
        As `open_store` does.
    """
    with closing(Database(path.resolve(), to_write=False)) as database:
        look_inside(database, robot, may_be_empty=False)


def is_backup(path: Path, robot: str) -> bool:
    """Tell whether a file is a whole copy of a robot's records that no bench goes on with."""
    try:
        check_file(path, robot)
        with closing(Database(path.resolve(), to_write=False)) as database, database.reading() as connection:
            return not _meta(connection).get("file")
    except UnreadableInputError:
        return False


def _look_at_folder(path: Path) -> list[Finding]:
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        what = f"This Python's SQLite is {sqlite3.sqlite_version}; records need 3.37 or newer."
        refuse(_must("sqlite-too-old", path.name, what, "Install a newer Python, then set loomwright up again."))
    if not path.parent.is_dir():
        what = f"There is no folder {path.parent}."
        refuse(_must("no-folder", path.name, what, "Stand in the robot's folder, or name it."))
    if path.is_dir():
        refuse(_must("bench-damaged", path.name, f"{path.name} is a folder.", "Give that folder another name."))
    mounts = ""
    with suppress(OSError):
        mounts = folder_kind.MOUNTS.read_text(encoding="utf-8", errors="replace")
    if kind := folder_kind.network_kind(path.parent, mounts):
        refuse(folder_kind.on_network(path.name, kind))
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and not (path.exists() and path.stat().st_size):
        refuse(_log_alone(path.name, log.name))
    name = folder_kind.synced_by(path.parent)
    return [folder_kind.in_step(path.name, name)] if name else []


def look_inside(database: Database, robot: str, *, may_be_empty: bool) -> None:
    """Refuse a file that is not ours, not whole, or not of this robot, before anything of it is changed."""
    with database.reading() as connection:
        application, version = application_of(connection), version_of(connection)
        tables = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
        if application != APPLICATION_ID:
            if application or version or tables or not may_be_empty:
                refuse(_foreign(database.file))
            return
        if version > newest_version():
            refuse(_newer(database.file, version))
        if (faults := connection.execute("PRAGMA quick_check(3)").fetchall()) != [("ok",)]:
            refuse(damaged(database.file, "; ".join(str(fault[0]) for fault in faults)))
        if not schema_at(version) <= schema_of(connection):
            refuse(damaged(database.file, "a table or a trigger is not as it was made"))
        if (held := _meta(connection).get("robot", robot)) != robot:
            refuse(_other_robot(database.file, held, robot))


def _settle(database: Database) -> None:
    """Bring a file into the journal mode in which a commit is one push to the disk, and into today's form."""
    with database.alone() as connection:
        mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode != "wal":
        refuse(_no_log(database.file))
    migrate(database, migrations())


def _introduce(database: Database, *, robot: str, now: str, new_origin: Callable[[], str]) -> tuple[str, list[Finding]]:
    """Return the origin that this file writes as; give it a new one where it is new, or a copy of another file."""
    with database.writing() as connection:
        # Changes nothing, and fails now, not at the first signature, where the file may only be read.
        connection.execute("DELETE FROM meta WHERE name = ''")
        meta = _meta(connection)
        # A copy gets another number from its file system; one that is moved within a disk keeps it.
        file = str(database.path.stat().st_ino)
        if "origin" in meta and meta["file"] == file:
            return meta["origin"], []
        origin = new_origin()
        if not _ORIGIN.fullmatch(origin) or origin == meta.get("origin") or _has_written(connection, origin):
            raise ValueError(f"An origin is 4 to 40 of a-z, 0-9 and -, and never used before; this is {origin!r}.")
        now_known = {"robot": robot, "begun_at": now} | meta | {"origin": origin, "file": file}
        connection.executemany("INSERT OR REPLACE INTO meta (name, value) VALUES (?, ?)", now_known.items())
    return origin, [_copied(database.file, meta["origin"], origin)] if "origin" in meta else []


def _meta(connection: sqlite3.Connection) -> dict[str, str]:
    return dict(connection.execute("SELECT name, value FROM meta"))


def _has_written(connection: sqlite3.Connection, origin: str) -> bool:
    return connection.execute("SELECT 1 FROM records WHERE origin = ?", (origin,)).fetchone() is not None


def _log_alone(file: str, log: str) -> Finding:
    what = f"{log} is there, and the {file} that it belongs to is not. It may hold the newest records."
    fix = f"Put {file} back beside it. If it is lost, move {log} away; then restore a backup or begin anew."
    return _must("bench-log-alone", file, what, fix)


def _no_log(file: str) -> Finding:
    what = f"The disk under {file} can't keep the log that makes a record safe against a power cut."
    return _must("bench-disk-unfit", file, what, "Put the robot's folder on a disk of this laptop.")


def _foreign(file: str) -> Finding:
    what = f"{file} holds no records: it is empty, or another program's. Nothing in it was changed."
    return _must("bench-not-ours", file, what, f"Move it away, or give it another name; {file} is where records go.")


def _newer(file: str, version: int) -> Finding:
    what = f"{file} was written by a newer loomwright (form {version}; this one knows up to {newest_version()})."
    fix = "Update loomwright on this laptop. Nothing was changed; the laptop that wrote it can go on."
    return _must("bench-newer", file, what, fix)


def _other_robot(file: str, held: str, robot: str) -> Finding:
    what = f"{file} holds the records of {quoted(held)}, and this is the folder of {quoted(robot)}."
    fix = (
        f"If the folder was copied from {quoted(held)}, move {file} away with {file}-wal and {file}-shm where they "
        f"are there. If the robot has a new name, write `robot: {held}` again."
    )
    return _must("bench-of-another-robot", file, what, fix)


def _copied(file: str, before: str, origin: str) -> Finding:
    what = (
        f"{file} was copied or restored. What this laptop adds from now on it writes as {origin}, no longer {before}."
    )
    fix = "Nothing to do. If there are exports of other laptops, import them: they may hold what this copy lacks."
    return Finding("bench-copied", Severity.CONSIDER, Place(file), what, fix)


def _must(code: str, file: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(file), what, fix)
