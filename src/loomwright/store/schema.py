"""What bench.db looks like inside: numbered steps from an empty file to today's form."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Final

from loomwright.store.database import Database

#: The mark by which a database file is known as one of ours ("loom" in four bytes); the first step writes it.
APPLICATION_ID: Final = 0x6C6F6F6D
_NAME: Final = re.compile(r"(\d{4})_\w+\.sql")


@dataclass(frozen=True, slots=True)
class Migration:
    """One step: the version that a file has after it, and its SQL."""

    version: int
    sql: str


@lru_cache(maxsize=1)
def migrations() -> tuple[Migration, ...]:
    """Return the steps that this program knows, first to last."""
    folder = files("loomwright") / "store" / "migrations"
    known = [(_NAME.fullmatch(file.name), file) for file in folder.iterdir()]
    steps = [Migration(int(name[1]), file.read_text(encoding="utf-8")) for name, file in known if name]
    return tuple(sorted(steps, key=lambda step: step.version))


def newest_version() -> int:
    """Return the version that this program writes."""
    return migrations()[-1].version


def migrate(database: Database, steps: Sequence[Migration]) -> None:
    """Take every step that the file has not taken, each in a transaction of its own.

    Another program may be at it too, so each step looks again how far the file is once it alone may write.
    """
    for step in steps:
        with database.writing() as connection:
            if version_of(connection) < step.version:
                for statement in _statements(step.sql):
                    connection.execute(statement)
                connection.execute(f"PRAGMA user_version = {step.version:d}")


@lru_cache(maxsize=8)
def schema_at(version: int) -> frozenset[tuple[str, str]]:
    """Return name and SQL of every table, index and trigger that a file has after its first steps."""
    with closing(sqlite3.connect(":memory:")) as connection:
        for step in migrations()[:version]:
            connection.executescript(step.sql)
        return schema_of(connection)


def schema_of(connection: sqlite3.Connection) -> frozenset[tuple[str, str]]:
    """Return name and SQL of every table, index and trigger of a file."""
    return frozenset(connection.execute("SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL"))


def version_of(connection: sqlite3.Connection) -> int:
    """Return how many steps a file has taken."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def application_of(connection: sqlite3.Connection) -> int:
    """Return the mark of the program that a file belongs to; 0: none."""
    return int(connection.execute("PRAGMA application_id").fetchone()[0])


def _statements(sql: str) -> Iterator[str]:
    """Cut SQL into statements, each ending at the end of a line; a trigger's inner ones stay together."""
    statement = ""
    for line in sql.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
