"""What is not ours, not whole, not of this robot or in a bad place is refused, and left as it is."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.store import Store, StoreBusyError, open_store
from loomwright.store.database import connect
from loomwright.store.schema import APPLICATION_ID
from tests.store.laptops import NOW, ROBOT, add, by_hand, laptop, names, numbers_of, quick_folder, refused


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Give the file of a laptop that has written three records and closed."""
    with laptop(tmp_path) as store:
        add(store, 1, 2, 3)
    return tmp_path / "laptop" / "bench.db"


def opened(path: Path, robot: str = ROBOT) -> Store:
    """Open records under names that no other test laptop has."""
    return open_store(path, robot=robot, now=NOW, new_origin=names("other"))


def told(path: Path, robot: str = ROBOT) -> str:
    """Return the one fault for which a file is refused; the file is byte for byte what it was."""
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(UnreadableInputError) as caught:
        opened(path, robot)
    assert (path.read_bytes() if path.is_file() else None) == before
    [fault] = caught.value.faults
    return fault.as_text()


def test_a_new_file_has_a_name_and_its_settings(tmp_path: Path) -> None:
    """Begun with the robot's name, a new origin, the safe journal, and the mark by which it is known again."""
    with laptop(tmp_path) as store:
        assert (store.robot, store.origin, store.noticed) == (ROBOT, "laptop-000000000001", ())
        with store.database.alone() as connection:
            asked = ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers", "trusted_schema")
            assert [connection.execute(f"PRAGMA {name}").fetchone()[0] for name in asked] == ["wal", 2, 1, 1, 0]
            more = ("cell_size_check", "fullfsync", "checkpoint_fullfsync", "application_id", "user_version")
            values = [connection.execute(f"PRAGMA {name}").fetchone()[0] for name in more]
            assert values == [1, 1, 1, APPLICATION_ID, 2]
            meta = dict(connection.execute("SELECT name, value FROM meta"))
    assert (meta["robot"], meta["begun_at"], meta["origin"]) == (ROBOT, NOW, "laptop-000000000001")


def test_opening_again_keeps_name_and_records(bench: Path) -> None:
    """Nobody is asked for a new origin."""
    with open_store(bench, robot=ROBOT, now="2027-01-01T00:00:00Z", new_origin=lambda: pytest.fail("asked")) as store:
        assert (store.origin, store.noticed, numbers_of(store.records())) == ("laptop-000000000001", (), [1, 2, 3])


def test_a_file_that_is_moved_keeps_its_name(bench: Path, tmp_path: Path) -> None:
    """A folder that is renamed is still the same laptop's."""
    moved = bench.rename(tmp_path / "bench.db")
    with opened(moved) as store:
        assert store.origin == "laptop-000000000001"


def test_a_copy_goes_on_under_a_new_name(bench: Path, tmp_path: Path) -> None:
    """A folder on a stick makes two laptops; under one name their chains could never be joined again."""
    copy = Path(shutil.copy(bench, tmp_path / "bench.db"))
    with opened(copy) as store:
        assert store.origin == "other-000000000001"
        [finding] = store.noticed
        assert finding.as_text() == (
            "bench.db  [bench-copied] consider\n"
            "  bench.db was copied or restored. What this laptop adds from now on it writes as other-000000000001, no "
            "longer laptop-000000000001.\n"
            "  Fix: Nothing to do. If there are exports of other laptops, import them: they may hold what this copy "
            "lacks."
        )
        add(store, 2, 4)
        assert store.heads() == {"laptop-000000000001": 3, "other-000000000001": 1}
        assert store.verify() == []
    with opened(copy) as store:
        assert (store.origin, store.noticed) == ("other-000000000001", ())


@pytest.mark.parametrize("name", ["x", "Laptop One", "laptop-000000000001"])
def test_a_name_that_will_not_do_is_the_callers_mistake(bench: Path, tmp_path: Path, name: str) -> None:
    """Too short, with capitals, or one that has written here before."""
    copy = Path(shutil.copy(bench, tmp_path / "bench.db"))
    with pytest.raises(ValueError, match="An origin is 4 to 40"):
        open_store(copy, robot=ROBOT, now=NOW, new_origin=lambda: name)


def test_another_robots_records_are_refused(bench: Path) -> None:
    """Both are named, with both ways on."""
    assert told(bench, "Driftline") == (
        "bench.db  [bench-of-another-robot] must\n"
        "  bench.db holds the records of `Tidepool`, and this is the folder of `Driftline`.\n"
        "  Fix: If the folder was copied from `Tidepool`, move bench.db away with bench.db-wal and bench.db-shm where "
        "they are there. If the robot has a new name, write `robot: Tidepool` again."
    )


def test_a_newer_file_is_refused(bench: Path) -> None:
    """An older program would not know what it overlooks."""
    with by_hand(bench) as connection:
        connection.execute("PRAGMA user_version = 7")
    assert told(bench) == (
        "bench.db  [bench-newer] must\n"
        "  bench.db was written by a newer loomwright (form 7; this one knows up to 2).\n"
        "  Fix: Update loomwright on this laptop. Nothing was changed; the laptop that wrote it can go on."
    )


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    """With a table, a version or a mark of its own, it is not ours, and stays in the journal mode it has."""
    for number, statement in enumerate(
        ("CREATE TABLE notes (text)", "PRAGMA user_version = 1", "PRAGMA application_id = 5")
    ):
        path = tmp_path / f"bench{number}.db"
        with by_hand(path) as connection:
            connection.execute(statement)
        assert f"bench{number}.db  [bench-not-ours] must\n" in told(path)


@pytest.mark.parametrize(
    "content", [b"no database at all, but longer than a header of one hundred bytes" * 99, b"SQLite"]
)
def test_what_is_no_database_is_refused(tmp_path: Path, content: bytes) -> None:
    """It says what to do, and overwrites nothing."""
    path = tmp_path / "bench.db"
    path.write_bytes(content)
    assert told(path) == (
        "bench.db  [bench-damaged] must\n"
        "  bench.db is damaged, or it is no database (file is not a database). Nothing in it was changed.\n"
        "  Fix: Keep it: move bench.db away, together with bench.db-wal and bench.db-shm where they are there. Then "
        "restore the newest backup, or begin with an empty one, and import what the other laptops exported."
    )


def test_a_file_with_a_damaged_page_is_refused(tmp_path: Path) -> None:
    """Whichever page is noise, the first or the last: also one that opening has no need of."""
    with laptop(tmp_path) as store:
        add(store, *range(40))
    bench = tmp_path / "laptop" / "bench.db"
    whole = bench.read_bytes()
    pages = [100, *range(4096, len(whole), 4096)]  # the first begins with the header of the file
    assert len(pages) > 10
    for start in pages:
        bench.write_bytes(whole[:start] + b"\xa5" * 200 + whole[start + 200 :])
        assert "[bench-damaged] must" in told(bench)


def test_a_file_that_is_cut_off_is_refused(bench: Path) -> None:
    """A copy that stopped half way."""
    bench.write_bytes(bench.read_bytes()[: 4096 * 3])
    assert "[bench-damaged] must" in told(bench)


@pytest.mark.parametrize(
    "change", ["DROP TRIGGER records_are_never_changed", "DROP TABLE meta", "DROP INDEX records_by_key"]
)
def test_a_file_without_its_guards_is_refused(bench: Path, change: str) -> None:
    """Somebody took away what keeps records as they are."""
    with by_hand(bench) as connection:
        connection.execute(change)
    assert "(a table or a trigger is not as it was made)" in told(bench)


def test_a_log_without_its_file_is_refused(bench: Path) -> None:
    """The newest records may be in it; to begin a new file beside it would throw them away."""
    with laptop(bench.parent.parent) as store:
        add(store, 4)
        shutil.copy(bench.with_name("bench.db-wal"), bench.with_name("kept"))
    bench.rename(bench.with_name("elsewhere.db"))
    log = bench.with_name("kept").rename(bench.with_name("bench.db-wal"))
    assert "bench.db  [bench-log-alone] must\n" in told(bench)
    assert log.stat().st_size > 0
    bench.touch()
    assert "bench.db  [bench-log-alone] must\n" in told(bench)


def test_an_empty_file_is_begun(tmp_path: Path) -> None:
    """It holds nothing that could be lost: a first start that was broken off leaves one."""
    (tmp_path / "bench.db").touch()
    with opened(tmp_path / "bench.db") as store:
        assert store.records() == []


def test_no_folder_and_a_folder_in_its_place(tmp_path: Path) -> None:
    """Neither is made or moved."""
    assert refused(lambda: opened(tmp_path / "nowhere" / "bench.db")) == ["bench.db  [no-folder]"]
    (tmp_path / "bench.db").mkdir()
    assert refused(lambda: opened(tmp_path / "bench.db")) == ["bench.db  [bench-damaged]"]


def test_a_folder_on_a_network_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the system says of the mounts decides; no file is begun there."""
    mounts = tmp_path / "mounts"
    mounts.write_text(f"files:/team {tmp_path.resolve()} nfs4 rw 0 0\n", encoding="utf-8")
    monkeypatch.setattr("loomwright.store.folder_kind.MOUNTS", mounts)
    assert told(tmp_path / "bench.db") == (
        "bench.db  [bench-on-network] must\n"
        "  The folder of bench.db lies on a network (nfs4), where two machines can damage it without noticing.\n"
        "  Fix: Put the robot's folder on a disk of this laptop. Other laptops get the records by export and import, "
        "phones through the screens."
    )
    assert not (tmp_path / "bench.db").exists()
    monkeypatch.setattr("loomwright.store.folder_kind.MOUNTS", tmp_path / "no such system")
    opened(tmp_path / "bench.db").close()


def test_a_folder_that_is_kept_in_step_is_told() -> None:
    """It opens, and warns each time."""
    with quick_folder() as top:
        folder = top / "TeamCloud"
        folder.mkdir()
        opened(folder / "bench.db").close()
        with opened(folder / "bench.db") as store:
            [finding] = store.noticed
        assert finding.as_text() == (
            "bench.db  [bench-in-synced-folder] should\n"
            "  The folder of bench.db looks like one that is kept in step with other machines (`TeamCloud`). A copy "
            "that is made in the middle of a record is damaged, and of two laptops one undoes what the other wrote.\n"
            "  Fix: Put the robot's folder somewhere else, or leave bench.db* out of what is copied; share exports and "
            "backups."
        )


def test_a_disk_without_shared_memory_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """There the journal stays the old one, and a commit would not be what this house promises."""
    old = lambda uri: connect(f"{uri}?vfs=unix-dotfile")  # noqa: E731
    monkeypatch.setattr("loomwright.store.database.connect", old)
    assert refused(lambda: opened(tmp_path / "bench.db")) == ["bench.db  [bench-disk-unfit]"]


def test_an_old_sqlite_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the first statement fails in words that nobody understands."""
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 36, 0))
    assert refused(lambda: opened(tmp_path / "bench.db")) == ["bench.db  [sqlite-too-old]"]


def test_what_may_only_be_read_is_refused() -> None:
    """A folder, a file, or both without the right to write: each says so at once, not at the first signature."""
    with quick_folder() as folder:
        folder.chmod(0o755)
        with laptop(folder) as store:
            add(store, 1)
        path = folder / "laptop" / "bench.db"
        for file_mode, folder_mode in ((0o644, 0o555), (0o444, 0o555), (0o444, 0o777)):
            path.chmod(file_mode)
            path.parent.chmod(folder_mode)
            with as_somebody_else():
                assert refused(lambda: opened(path)) == ["bench.db  [bench-read-only]"]
                assert path.exists()
        path.parent.chmod(0o755)


@contextmanager
def as_somebody_else() -> Iterator[None]:
    """Go on without the rights of an administrator, who may write everything."""
    if os.name != "posix":
        pytest.skip("rights are kept otherwise here")
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


def test_a_file_that_is_kept_locked_is_told(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is no fault of the file."""
    monkeypatch.setattr("loomwright.store.database.BUSY_S", 0.05)
    with by_hand(bench) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(StoreBusyError):
            opened(bench)


def test_two_programs_open_one_file(bench: Path) -> None:
    """Both write under the one name of this laptop, in one chain, and each sees what the other wrote."""
    with opened(bench) as one, opened(bench) as two:
        add(one, 4)
        add(two, 5)
        add(one, 6)
        assert one.origin == two.origin
        assert numbers_of(two.records()) == numbers_of(one.records()) == [1, 2, 3, 4, 5, 6]
        assert one.verify() == []


def test_a_closed_store_says_so(bench: Path) -> None:
    """That is a mistake in a program; to close twice is none."""
    store = opened(bench)
    store.close()
    store.close()
    with pytest.raises(sqlite3.ProgrammingError):
        store.records()
