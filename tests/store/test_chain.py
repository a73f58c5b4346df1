"""An edit, a gap and a record that went away are told, each by origin and number."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.store import Store
from loomwright.store.schema import migrations
from tests.store.laptops import add, by_hand, laptop, names

_ORIGIN = names()()
_SET = "UPDATE records SET {} = ? WHERE sequence = 4"


def tampered(folder: Path, change: Callable[[sqlite3.Connection], object]) -> Store:
    """Return ten records after somebody who knows the database took its guards away, changed it and put them back."""
    with laptop(folder) as store:
        add(store, *range(1, 11))
    with by_hand(folder / "laptop" / "bench.db") as connection:
        guards = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for (name,) in guards:
            connection.execute(f"DROP TRIGGER {name}")
        change(connection)
        for statement in migrations()[0].sql.split("CREATE TRIGGER")[1:]:
            connection.execute("CREATE TRIGGER" + statement[: statement.index("END;\n") + 4])
    return laptop(folder)


def told(store: Store) -> list[str]:
    """Return what the walk along the chains finds, thing and code."""
    with store:
        return [f"{finding.place.thing} {finding.code}" for finding in store.verify()]


def reword(connection: sqlite3.Connection, sequence: int, *, hash_too: bool) -> None:
    """Edit the words of a record; with its own hash, too, where the editor is thorough."""
    [line] = connection.execute("SELECT line FROM records WHERE sequence = ?", (sequence,)).fetchone()
    line = line.replace("note ", "nota ")
    connection.execute("UPDATE records SET line = ? WHERE sequence = ?", (line, sequence))
    if hash_too:
        digest = hashlib.sha256(line.encode()).hexdigest()
        connection.execute("UPDATE records SET hash = ? WHERE sequence = ?", (digest, sequence))


def test_a_good_chain_has_nothing_to_tell(tmp_path: Path) -> None:
    """Ten records as they were written; the guards went and came back."""
    assert told(tampered(tmp_path, lambda _: None)) == []


def test_an_edited_record_is_told(tmp_path: Path) -> None:
    """Its hash no longer fits its line."""
    with tampered(tmp_path, lambda bench: reword(bench, 4, hash_too=False)) as store:
        [finding] = store.verify()
    assert finding.as_text() == (
        f"bench.db  {_ORIGIN} 4  [record-changed] must\n"
        f"  Record 4 of {_ORIGIN} was changed after it was written, or the disk lost part of it.\n"
        "  Fix: Keep bench.db as it is. Restore the newest backup in which this record is whole, then import what the "
        "other laptops exported."
    )


def of_kind(connection: sqlite3.Connection, kind: str, *, hash_too: bool) -> None:
    """Make the last record one of another kind, as it would stand there if another program had written it."""
    [line] = connection.execute("SELECT line FROM records WHERE sequence = 10").fetchone()
    line = line.replace('"kind":"noted"', f'"kind":"{kind}"')
    digest = hashlib.sha256(line.encode()).hexdigest() if hash_too else "0" * 64
    connection.execute("UPDATE records SET line = ?, hash = ? WHERE sequence = 10", (line, digest))


def test_a_record_of_a_newer_program_is_not_told_as_tampered_with(tmp_path: Path) -> None:
    """It is as its hash says, and only its kind is strange: both the walk and whoever reads say what to do."""
    with tampered(tmp_path, lambda bench: of_kind(bench, "weighed", hash_too=True)) as store:
        [finding] = store.verify()
        with pytest.raises(UnreadableInputError) as refused:
            store.records()
    assert finding.as_text() == (
        f"bench.db  {_ORIGIN} 10  [record-newer] must\n"
        f"  Record 10 of {_ORIGIN} is of the kind `weighed`, which this loomwright does not know: a newer one wrote "
        "it.\n"
        "  Fix: Update loomwright on this laptop. Nothing is lost."
    )
    assert refused.value.faults == (finding,)


@pytest.mark.parametrize(("kind", "hash_too"), [("weighed", False), ("made", True)])
def test_a_strange_kind_alone_is_no_excuse(tmp_path: Path, kind: str, *, hash_too: bool) -> None:
    """Without its hash it was changed, and so was one of a known kind that does not say what that kind has to."""
    assert told(tampered(tmp_path, lambda bench: of_kind(bench, kind, hash_too=hash_too))) == [
        f"{_ORIGIN} 10 record-changed"
    ]


def test_an_edit_with_a_new_hash_breaks_the_chain_behind_it(tmp_path: Path) -> None:
    """The next record still holds the old hash."""
    assert told(tampered(tmp_path, lambda bench: reword(bench, 4, hash_too=True))) == [f"{_ORIGIN} 5 chain-broken"]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("key", "f" * 32),
        ("before", "0" * 64),
        ("hash", "0" * 64),
        ("line", "[" * 50_000),
        ("line", "{"),
        ("line", "[]"),
    ],
)
def test_a_column_that_is_not_the_lines_is_told(tmp_path: Path, column: str, value: str) -> None:
    """Whatever is put there; a wrong hash also no longer is what the next record holds."""
    bad = tampered(tmp_path, lambda bench: bench.execute(_SET.format(column), (value,)))
    behind = [f"{_ORIGIN} 5 chain-broken"] if column == "hash" else []
    assert told(bad) == [f"{_ORIGIN} 4 record-changed", *behind]


def test_bytes_that_are_no_text_are_told(tmp_path: Path) -> None:
    """A flipped bit in a line is a changed record, not an error of the program."""
    spoil = "UPDATE records SET line = CAST(x'FF' || CAST(line AS BLOB) AS TEXT) WHERE sequence = 4"
    assert told(tampered(tmp_path, lambda bench: bench.execute(spoil))) == [f"{_ORIGIN} 4 record-changed"]


@pytest.mark.parametrize("value", ["1" + "0" * 400, '"\\ud800"', "[]", "{}", "1e400"])
def test_a_line_that_reading_stumbles_over_is_told(tmp_path: Path, value: str) -> None:
    """A number beyond all measure and text that is no text count as changed, too."""

    def spoil(bench: sqlite3.Connection) -> None:
        [line] = bench.execute("SELECT line FROM records WHERE sequence = 4").fetchone()
        bench.execute("UPDATE records SET line = ? WHERE sequence = 4", (line[:-1] + f',"value":{value}}}',))

    assert told(tampered(tmp_path, spoil)) == [f"{_ORIGIN} 4 record-changed"]


def test_a_gap_is_told(tmp_path: Path) -> None:
    """Records 3 to 5 are gone; that 6 no longer has a neighbour is not told again."""
    with tampered(tmp_path, lambda bench: bench.execute("DELETE FROM records WHERE sequence IN (3, 4, 5)")) as store:
        [finding] = store.verify()
    assert finding.what == f"Records 3 to 5 of {_ORIGIN} are missing, and there are later ones."
    assert (finding.code, finding.place.thing) == ("records-missing", f"{_ORIGIN} 3")


def test_the_last_records_do_not_go_unnoticed(tmp_path: Path) -> None:
    """No later record misses them, but the file has counted them."""
    with tampered(tmp_path, lambda bench: bench.execute("DELETE FROM records WHERE sequence > 8")) as store:
        [finding] = store.verify()
    assert finding.what == (
        "The last 2 records of one or more origins are gone: bench.db has counted them and no longer holds them."
    )


def test_all_faults_are_told_in_one_walk(tmp_path: Path) -> None:
    """A gap, an edit and a lost end at once, in the order of the chain."""

    def change(bench: sqlite3.Connection) -> None:
        bench.execute("DELETE FROM records WHERE sequence IN (2, 10)")
        reword(bench, 5, hash_too=True)
        reword(bench, 8, hash_too=False)

    assert told(tampered(tmp_path, change)) == [
        f"{_ORIGIN} 2 records-missing",
        f"{_ORIGIN} 6 chain-broken",
        f"{_ORIGIN} 8 record-changed",
        " records-missing",
    ]


def test_a_changed_record_is_never_handed_out(tmp_path: Path) -> None:
    """Whoever asks is told which ones; what stands after it can still be asked for; nothing is added behind it."""

    def change(bench: sqlite3.Connection) -> None:
        reword(bench, 4, hash_too=False)
        reword(bench, 10, hash_too=False)

    with tampered(tmp_path, change) as store:
        with pytest.raises(UnreadableInputError) as caught:
            store.records()
        assert [fault.place.thing for fault in caught.value.faults] == [f"{_ORIGIN} 4", f"{_ORIGIN} 10"]
        with pytest.raises(UnreadableInputError):
            store.since(9)
        with pytest.raises(UnreadableInputError):
            add(store, 11)
        assert store.last_arrival == 10


def test_lines_are_kept_in_one_form(tmp_path: Path) -> None:
    """What stands in the file is the record's own line: other space in it is a change."""

    def loosen(bench: sqlite3.Connection) -> None:
        [line] = bench.execute("SELECT line FROM records WHERE sequence = 4").fetchone()
        loose = json.dumps(json.loads(line))
        digest = hashlib.sha256(loose.encode()).hexdigest()
        bench.execute("UPDATE records SET line = ?, hash = ? WHERE sequence = 4", (loose, digest))

    assert told(tampered(tmp_path, loosen)) == [f"{_ORIGIN} 4 record-changed", f"{_ORIGIN} 5 chain-broken"]
