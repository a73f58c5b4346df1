"""Each event is written down once, in order, and stays as it is."""

from __future__ import annotations

import sqlite3
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from loomwright.records.event import NOTHING_BEFORE, Kind, Role
from loomwright.records.reading import EventRefusedError
from loomwright.store import StoreBusyError, StoreError, StoreFullError, troubles
from tests.store.laptops import NOW, add, by_hand, event, laptop, names, numbers_of, sign


def test_events_become_a_chain_in_their_order(tmp_path: Path) -> None:
    """Sequence, origin, role and time are the laptop's; each record holds the hash of the one before it."""
    with laptop(tmp_path) as store:
        assert add(store, 7, 3) == ["added", "added"]
        store.append([event(5)], role=Role.MENTOR, received_at="2026-02-07T10:00:00Z")
        first, second, third = store.records()
    assert [record.event for record in (first, second, third)] == [event(7), event(3), event(5)]
    assert [record.sequence for record in (first, second, third)] == [1, 2, 3]
    assert [record.before for record in (first, second, third)] == [NOTHING_BEFORE, first.hash, second.hash]
    assert (third.role, third.received_at, third.origin) == (Role.MENTOR, "2026-02-07T10:00:00Z", names()())


def test_the_same_event_again_adds_nothing(tmp_path: Path) -> None:
    """A phone that never heard the answer sends again: known, also twice in one batch, also after opening again."""
    with laptop(tmp_path) as store:
        assert sign(store, [event(1), event(1), event(2)]) == ["added", "known", "added"]
    with laptop(tmp_path) as store:
        assert add(store, 2, 1, 3) == ["known", "known", "added"]
        assert numbers_of(store.records()) == [1, 2, 3]


def test_another_content_under_a_known_key_is_refused(tmp_path: Path) -> None:
    """It clashes, nothing is replaced, and the rest of the batch is written down."""
    with laptop(tmp_path) as store:
        add(store, 1)
        assert sign(store, [event(1, "something else"), event(2)]) == ["clash", "added"]
        assert [record.event.words for record in store.records()] == ["note 1", "note 2"]


def test_an_event_is_kept_as_it_will_be_read(tmp_path: Path) -> None:
    """A whole number, keys out of order and space around a word are put into one form, so that the hash will hold."""
    said = {"about": " held ", "value": 80, "unit": "N", "of": ("b" * 32, "a" * 32)}
    loose = replace(event(9), kind=Kind.SAMPLE, **said)  # type: ignore[arg-type]
    with laptop(tmp_path) as store:
        assert sign(store, [loose]) == ["added"]
        assert sign(store, [loose]) == ["known"]
        [record] = store.records()
        assert store.verify() == []
    assert (record.event.about, record.event.value, record.event.of) == ("held", 80.0, ("a" * 32, "b" * 32))


@pytest.mark.skipif(sys.platform == "win32", reason="a file that is open stays where it is there")
def test_what_has_no_place_any_more_is_not_called_written(tmp_path: Path) -> None:
    """Moved away, or another file put in its place: nothing is taken in until it is back."""
    with laptop(tmp_path) as store:
        add(store, 1)
        path, away = store.database.path, tmp_path / "away.db"
        path.rename(away)
        for stands_in in (False, True):
            if stands_in:
                path.write_bytes(b"another file")
            with pytest.raises(StoreError) as caught:
                add(store, 2)
            assert caught.value.finding.code == "bench-moved"
        path.unlink()
        away.rename(path)
        assert add(store, 2) == ["added"]
    with laptop(tmp_path) as store:
        assert numbers_of(store.records()) == [1, 2]


@pytest.mark.parametrize("bad", [{"key": "x"}, {"words": "w" * 601}, {"value": 1.0}])
def test_one_event_that_nobody_could_read_again_stops_its_batch(tmp_path: Path, bad: dict[str, str]) -> None:
    """Nothing of the batch is written."""
    with laptop(tmp_path) as store:
        with pytest.raises(EventRefusedError):
            sign(store, [event(1), replace(event(2), **bad)])  # type: ignore[arg-type]
        assert store.records() == []


def test_what_came_since_an_arrival(tmp_path: Path) -> None:
    """A screen that was away asks with the last arrival it saw; another origin's records count on."""
    with laptop(tmp_path) as store:
        assert (store.last_arrival, store.since(0)) == (0, [])
        add(store, 1, 2, 3)
        assert store.last_arrival == 3
        assert [(arrival, record.sequence) for arrival, record in store.since(1)] == [(2, 2), (3, 3)]
        assert store.heads() == {store.origin: 3}
        assert numbers_of(store.records({store.origin: 2})) == [3]
        assert numbers_of(store.records({"somebody-else": 9})) == [1, 2, 3]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE records SET line = '{}' WHERE sequence = 1",
        "DELETE FROM records WHERE sequence = 2",
        "INSERT OR REPLACE INTO records SELECT arrival, origin, sequence, key, before, hash, '{}' FROM records",
        "INSERT OR REPLACE INTO records SELECT 1, 'x', 1, 'k', before, hash, '{}' FROM records WHERE sequence = 1",
        "INSERT OR REPLACE INTO records SELECT 99, origin, 2, 'k', before, hash, '{}' FROM records WHERE sequence = 2",
        "INSERT OR REPLACE INTO records SELECT 99, origin, 3, key, hash, hash, '{}' FROM records WHERE sequence = 2",
        "INSERT INTO records SELECT 99, origin, 4, 'k', hash, hash, '{}' FROM records WHERE sequence = 2",
        "INSERT INTO records SELECT 99, origin, 3, 'k', before, hash, '{}' FROM records WHERE sequence = 2",
        "INSERT INTO records SELECT 99, 'other', 1, 'k', hash, hash, '{}' FROM records WHERE sequence = 2",
    ],
)
def test_the_database_itself_changes_no_record(tmp_path: Path, statement: str) -> None:
    """Neither a change, a removal, a replacement nor a record beside its chain, even by somebody's own tool."""
    with laptop(tmp_path) as store:
        add(store, 1, 2)
    with (
        by_hand(tmp_path / "laptop" / "bench.db") as connection,
        pytest.raises(sqlite3.IntegrityError, match=r"records (are never (changed|removed|replaced)|continue)"),
    ):
        connection.execute(statement)
    with laptop(tmp_path) as store:
        assert numbers_of(store.records()) == [1, 2]


def test_a_full_disk_writes_nothing_of_a_batch(tmp_path: Path) -> None:
    """The batch fails as a whole and says so; what was there is whole; with room again the same batch goes through."""
    with laptop(tmp_path) as store:
        add(store, 1, 2)
        with store.database.alone() as connection:
            pages = connection.execute("PRAGMA page_count").fetchone()[0]
            connection.execute(f"PRAGMA max_page_count = {pages + 1}")
        with pytest.raises(StoreFullError) as caught:
            add(store, *range(3, 100))
        assert caught.value.finding.as_text() == (
            "bench.db  [bench-full] must\n"
            "  The disk is full, so none of this was written to bench.db. What was written before is safe.\n"
            "  Fix: Make room on the disk, then do it again."
        )
        assert numbers_of(store.records()) == [1, 2]
        assert store.verify() == []
        with store.database.alone() as connection:
            connection.execute("PRAGMA max_page_count = 1000000")
        assert set(add(store, *range(3, 100))) == {"added"}
        assert store.verify() == []


def test_another_program_that_keeps_the_file_locked_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After the wait nothing was written; once it lets go, it is."""
    monkeypatch.setattr("loomwright.store.database.BUSY_S", 0.05)
    with laptop(tmp_path) as store:
        with by_hand(tmp_path / "laptop" / "bench.db") as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreBusyError, match=rf"kept bench.db locked for {troubles.BUSY_S:g} s"):
                add(store, 1)
        assert add(store, 1) == ["added"]


def test_a_batch_that_is_broken_off_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C between two events of a batch: neither is there."""
    with laptop(tmp_path) as store:
        with monkeypatch.context() as patch:
            patch.setattr("loomwright.store.append._next", _stop)
            with pytest.raises(KeyboardInterrupt):
                add(store, 1, 2)
        assert store.records() == []
        assert store.append([], role=Role.STUDENT, received_at=NOW) == []


def _stop(*_: object) -> None:
    raise KeyboardInterrupt
