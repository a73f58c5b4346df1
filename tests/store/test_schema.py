"""The file's form goes on in numbered steps, each whole or not at all."""

from __future__ import annotations

import sqlite3
from importlib.resources import files
from pathlib import Path

import pytest

from loomwright.store import import_lines
from loomwright.store.schema import Migration, migrate, migrations, newest_version, schema_at, version_of
from tests.store.laptops import add, by_hand, exported, laptop

_NOTES = Migration(3, "CREATE TABLE notes (text TEXT) STRICT;\nINSERT INTO notes VALUES ('a; b');\n")
_BROKEN = Migration(4, "CREATE TABLE more (text TEXT) STRICT;\nINSERT INTO nowhere VALUES (1);\n")


def test_steps_are_numbered_without_a_gap() -> None:
    """They come with the package, and every file in the folder is one."""
    assert [step.version for step in migrations()] == list(range(1, len(migrations()) + 1))
    folder = files("loomwright") / "store" / "migrations"
    assert len(list(folder.iterdir())) == len(migrations())


def test_every_table_holds_its_types() -> None:
    """STRICT, so that a tool can't put a word where a number belongs."""
    tables = [
        sql for _, sql in schema_at(len(migrations())) if sql.startswith("CREATE TABLE ") and "sqlite_" not in sql
    ]
    assert len(tables) == 2
    assert all("STRICT" in sql for sql in tables)


def test_a_step_that_fails_leaves_the_step_before_it(tmp_path: Path) -> None:
    """The second is taken, nothing of the third, and it is tried again the next time."""
    with laptop(tmp_path) as store:
        add(store, 1)
        for _ in range(2):
            with pytest.raises(sqlite3.OperationalError, match="nowhere"):
                migrate(store.database, [*migrations(), _NOTES, _BROKEN])
            with store.database.reading() as connection:
                assert version_of(connection) == 3
                assert connection.execute("SELECT * FROM notes").fetchall() == [("a; b",)]
                assert connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'more'").fetchall() == []
        assert store.verify() == []


def test_a_step_that_another_program_has_taken_is_not_taken_again(tmp_path: Path) -> None:
    """Both saw the old form; the second to get the lock looks again."""
    with laptop(tmp_path) as one, laptop(tmp_path) as two:
        migrate(one.database, [*migrations(), _NOTES])
        migrate(two.database, [*migrations(), _NOTES])
        with two.database.reading() as connection:
            assert connection.execute("SELECT count(*) FROM notes").fetchall() == [(1,)]


def test_a_file_of_an_older_form_is_read_and_goes_on(tmp_path: Path) -> None:
    """Its records stay to the letter; it has today's form then, and an export of the older form is taken in."""
    with laptop(tmp_path) as store:
        add(store, 1, 2)
        before = [record for _, record in store.since(0)]
    with by_hand(tmp_path / "laptop" / "bench.db") as file:
        file.execute("PRAGMA user_version = 1")
    with laptop(tmp_path) as store:
        assert [record for _, record in store.since(0)] == before
        with store.database.reading() as connection:
            assert version_of(connection) == newest_version() == 2
        lines = exported(store)
    lines[0] = lines[0].replace('"version":2', '"version":1')
    with laptop(tmp_path, "other") as other:
        assert import_lines(other, lines, file="old.jsonl").added == len(before)
