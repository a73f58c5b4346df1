"""A backup is whole, never in anybody's way, and goes on under a name of its own."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.store import StoreError, StoreFullError, backup, dated_backup, import_lines, open_store, restore
from tests.store.laptops import NOW, ROBOT, add, by_hand, exported, laptop, names, numbers_of, refused

_DAYS = [f"2026-02-{day:02d}T18:00:00Z" for day in range(1, 8)]


def what(error: StoreError) -> str:
    """Return the code with which something was not written."""
    return error.finding.code


def test_a_backup_holds_every_record_and_goes_on_under_a_new_name(tmp_path: Path) -> None:
    """Made while the file is open, put back into an empty folder, joined again with what came after it."""
    kept, anew = tmp_path / "kept.db", tmp_path / "anew" / "bench.db"
    anew.parent.mkdir()
    with laptop(tmp_path) as store:
        add(store, 1, 2)
        backup(store, kept)
        with by_hand(kept) as connection:
            # On another disk the copy may have the same number as the file here, so the number is taken out.
            assert connection.execute("SELECT value FROM meta WHERE name = 'file'").fetchall() == [("",)]
        add(store, 3)
        restore(kept, anew, robot=ROBOT)
        with open_store(anew, robot=ROBOT, now=NOW, new_origin=names("anew")) as other:
            assert (store.origin, other.origin) == ("laptop-000000000001", "anew-000000000001")
            assert [finding.code for finding in other.noticed] == ["bench-copied"]
            assert numbers_of(other.records()) == [1, 2]
            add(other, 4)
            import_lines(other, exported(store))
            import_lines(store, exported(other))
            assert {1, 2, 3, 4} == set(numbers_of(other.records())) == set(numbers_of(store.records()))
            assert other.verify() == store.verify() == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["anew", "kept.db", "laptop"]


def test_a_newer_backup_takes_the_place_of_an_older_one(tmp_path: Path) -> None:
    """Under the same name, in one step."""
    with laptop(tmp_path) as store:
        for number in (1, 2):
            add(store, number)
            backup(store, tmp_path / "kept.db")
    restore(tmp_path / "kept.db", tmp_path / "bench.db", robot=ROBOT)
    with open_store(tmp_path / "bench.db", robot=ROBOT, now=NOW, new_origin=names("anew")) as other:
        assert numbers_of(other.records()) == [1, 2]


def test_the_newest_few_stay(tmp_path: Path) -> None:
    """Named by their time. What is no dated backup stays, too, as does the one just made by a clock that is wrong."""
    folder = tmp_path / "backups"
    folder.mkdir()
    (folder / "bench-of-last-year.db").touch()
    with laptop(tmp_path) as store:
        made = [dated_backup(store, folder, now=day, keep=3) for day in _DAYS]
        assert [path.name for path in made[-2:]] == ["bench-20260206T180000.db", "bench-20260207T180000.db"]
        assert sorted(folder.iterdir()) == [*made[-3:], folder / "bench-of-last-year.db"]
        early = dated_backup(store, folder, now="1999-12-31T23:59:59.5Z", keep=2)
        assert sorted(folder.iterdir()) == [early, made[-1], folder / "bench-of-last-year.db"]


@pytest.mark.parametrize(("now", "keep"), [("../../x", 3), ("", 3), (NOW, 0)])
def test_a_time_that_is_none_is_the_callers_mistake(tmp_path: Path, now: str, keep: int) -> None:
    """It would become the name of a file."""
    with laptop(tmp_path) as store, pytest.raises(ValueError, match="A time in UTC"):
        dated_backup(store, tmp_path, now=now, keep=keep)


def test_a_backup_never_takes_the_place_of_records_in_use(tmp_path: Path) -> None:
    """Neither its own, nor another open one's; both go on."""
    with laptop(tmp_path) as store, laptop(tmp_path, "other") as other:
        add(store, 1)
        add(other, 2)
        for path in (store.database.path, other.database.path, tmp_path):
            with pytest.raises(StoreError) as caught:
                backup(store, path)
            assert what(caught.value) == "backup-in-use"
        assert numbers_of(other.records()) == [2]
        assert add(store, 3) == ["added"]


def test_a_backup_is_written_over_an_older_one_alone(tmp_path: Path) -> None:
    """Not over the robot's file, other robots' backups, or records of a bench that nobody has open just now."""
    with laptop(tmp_path, "closed") as store:
        add(store, 9)
        records = store.database.path
    held = {records: records.read_bytes()}
    for name, content in (("robot.yaml", b"robot: Tidepool\n"), ("empty", b"")):
        (tmp_path / name).write_bytes(content)
        held[tmp_path / name] = content
    with laptop(tmp_path) as store:
        add(store, 1)
        for path, content in held.items():
            with pytest.raises(StoreError) as caught:
                backup(store, path)
            assert what(caught.value) == "backup-in-the-way"
            assert path.read_bytes() == content


def test_a_backup_that_can_not_be_written_leaves_the_old_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No folder, a full disk half way, a copy that is not whole: told, and nothing half is left lying there."""
    with laptop(tmp_path) as store:
        add(store, 1)
        assert refused(lambda: backup(store, tmp_path / "nowhere" / "kept.db")) == ["kept.db  [bench-read-only]"]
        kept = tmp_path / "kept.db"
        backup(store, kept)
        old = kept.read_bytes()
        with monkeypatch.context() as patch:
            patch.setattr("loomwright.store.backups.connect", _full)
            with pytest.raises(StoreFullError):
                backup(store, kept)
        with monkeypatch.context() as patch:
            patch.setattr("loomwright.store.backups.os.fsync", _no_room)
            with pytest.raises(StoreError) as caught:
                backup(store, kept)
        assert what(caught.value) == "backup-not-written"
        with monkeypatch.context() as patch:
            patch.setattr("loomwright.store.backups.check_file", _not_whole)
            with pytest.raises(UnreadableInputError):
                backup(store, kept)
        assert kept.read_bytes() == old
        assert sorted(path.name for path in tmp_path.iterdir()) == ["kept.db", "laptop"]
        assert add(store, 2) == ["added"]


def _full(uri: str) -> object:
    error = sqlite3.OperationalError(f"database or disk is full: {uri}")
    error.sqlite_errorcode = sqlite3.SQLITE_FULL
    raise error


def _no_room(_: int) -> None:
    raise OSError(28, "No space left on device")


def _not_whole(*_: object) -> None:
    raise UnreadableInputError([])


def test_nothing_is_put_over_records_that_are_there(tmp_path: Path) -> None:
    """Neither over a file nor beside a log that would be read into it."""
    with laptop(tmp_path) as store:
        add(store, 1)
        backup(store, tmp_path / "kept.db")
    for left in ("bench.db", "bench.db-wal", "bench.db-shm"):
        folder = tmp_path / left
        folder.mkdir()
        (folder / left).write_text("there", encoding="utf-8")
        with pytest.raises(StoreError) as caught:
            restore(tmp_path / "kept.db", folder / "bench.db", robot=ROBOT)
        assert what(caught.value) == "restore-in-the-way"
        assert [path.read_text(encoding="utf-8") for path in folder.iterdir()] == ["there"]


def test_what_is_no_whole_backup_of_this_robot_is_not_restored(tmp_path: Path) -> None:
    """Damaged, another robot's, an empty file, or one whose newest records are in a log beside it."""
    kept, to = tmp_path / "kept.db", tmp_path / "bench.db"
    with laptop(tmp_path) as store:
        add(store, *range(1, 40))
        backup(store, kept)
        with pytest.raises(StoreError) as caught:
            restore(store.database.path, to, robot=ROBOT)
        assert what(caught.value) == "restore-with-log"
    assert refused(lambda: restore(kept, to, robot="Driftline")) == ["kept.db  [bench-of-another-robot]"]
    cut = tmp_path / "cut.db"
    shutil.copy(kept, cut)
    cut.write_bytes(kept.read_bytes()[:8192])
    assert refused(lambda: restore(cut, to, robot=ROBOT)) == ["cut.db  [bench-damaged]"]
    cut.write_bytes(b"")
    assert refused(lambda: restore(cut, to, robot=ROBOT)) == ["cut.db  [bench-not-ours]"]
    assert refused(lambda: restore(tmp_path / "none.db", to, robot=ROBOT)) == ["none.db  [bench-read-only]"]
    assert not to.exists()
