"""Writing: whatever happens in between, a file is either the old one or the new one."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import pytest

from loomwright.robotfile.plans.safe_write import NotWrittenError, write_all, write_safely

OLD, NEW = b"old plan\n", b"new plan\n" * 1_000


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Put an old plan into a folder."""
    path = tmp_path / "plan.yaml"
    path.write_bytes(OLD)
    return path


def names(folder: Path) -> set[str]:
    """List everything in a folder, hidden files too."""
    return {path.name for path in folder.iterdir()}


def refusing(number: int) -> object:
    """Make a call that fails as the system does."""

    def call(*_: object, **__: object) -> NoReturn:
        raise OSError(number, os.strerror(number))

    return call


def interrupt(*_: object, **__: object) -> NoReturn:
    """Stop as Ctrl-C does."""
    raise KeyboardInterrupt


def test_a_new_file_is_written_whole(tmp_path: Path) -> None:
    write_safely(tmp_path / "plan.yaml", NEW)
    assert (tmp_path / "plan.yaml").read_bytes() == NEW
    assert names(tmp_path) == {"plan.yaml"}


def test_an_old_file_is_replaced_and_nothing_is_left_beside_it(plan: Path) -> None:
    write_safely(plan, NEW)
    assert plan.read_bytes() == NEW
    assert names(plan.parent) == {"plan.yaml"}


@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace", "shutil.copymode"])
def test_a_stop_at_any_step_leaves_the_old_plan(plan: Path, monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    monkeypatch.setattr(step, interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_safely(plan, NEW)
    assert plan.read_bytes() == OLD
    assert names(plan.parent) == {"plan.yaml"}


@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace"])
def test_a_run_killed_in_between_leaves_the_old_plan(plan: Path, step: str) -> None:
    """The process ends without any clearing up, as at a power cut; the next run clears away what it left."""
    code = (
        "import os, pathlib, shutil, sys\n"
        "from loomwright.robotfile.plans.safe_write import write_safely\n"
        f"{step} = lambda *_: os._exit(9)\n"
        "write_safely(pathlib.Path(sys.argv[1]), b'new' * 100)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(plan)], check=False)
    assert done.returncode == 9
    assert plan.read_bytes() == OLD
    (left,) = names(plan.parent) - {"plan.yaml"}

    write_safely(plan, NEW)
    assert names(plan.parent) == {"plan.yaml", left}, "it is young, so its run could still be going on"
    os.utime(plan.parent / left, (1, 1))
    write_safely(plan, OLD)
    assert names(plan.parent) == {"plan.yaml"}


def test_only_what_a_killed_run_left_of_this_file_is_cleared_away(plan: Path) -> None:
    others = [".plan.practice.yaml.7-0.part", ".plan.yaml.bak", "plan.yaml.part", ".planXyaml.7-0.part"]
    for name in [*others, ".plan.yaml.7-0.part"]:
        (plan.parent / name).write_bytes(b"")
        os.utime(plan.parent / name, (1, 1))
    write_safely(plan, NEW)
    assert names(plan.parent) == {"plan.yaml", *others}


def test_the_bytes_are_on_the_disk_before_they_take_the_name(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps: list[str] = []
    sync, replace = os.fsync, Path.replace

    def noted_sync(descriptor: int) -> None:
        steps.append("sync folder" if Path(f"/proc/self/fd/{descriptor}").is_dir() else "sync file")
        sync(descriptor)

    def noted_replace(self: Path, target: Path) -> Path:
        steps.append("rename")
        return replace(self, target)

    monkeypatch.setattr("os.fsync", noted_sync)
    monkeypatch.setattr("pathlib.Path.replace", noted_replace)
    write_safely(plan, NEW)
    expected = ["sync file", "rename", "sync folder"] if Path("/proc/self/fd").exists() else steps
    assert steps == expected


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has other permissions")
def test_the_new_file_keeps_the_permissions_of_the_old(plan: Path) -> None:
    plan.chmod(0o640)
    write_safely(plan, NEW)
    assert plan.stat().st_mode & 0o777 == 0o640


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_stays_a_link(plan: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.yaml"
    link.symlink_to(plan)
    write_safely(link, NEW)
    assert link.is_symlink()
    assert plan.read_bytes() == NEW


def test_a_folder_that_cannot_be_synced_is_no_fault(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows can't open a folder."""
    monkeypatch.setattr("os.open", refusing(errno.EACCES))
    write_safely(plan, NEW)
    assert plan.read_bytes() == NEW


@contextlib.contextmanager
def powerless() -> Iterator[None]:
    """Act as somebody without rights: the system's administrator may write anywhere."""
    if os.geteuid():
        yield
        return
    os.seteuid(65_534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.mark.skipif(sys.platform == "win32", reason="a folder there has no such flag")
def test_a_folder_that_is_read_only_is_told_in_plain_words() -> None:
    folder = Path(tempfile.mkdtemp())  # pytest's own folders can't be entered by others
    plan = folder / "plan.yaml"
    plan.write_bytes(OLD)
    folder.chmod(0o555)
    try:
        with powerless(), pytest.raises(NotWrittenError) as caught:
            write_safely(plan, NEW)
        assert names(folder) == {"plan.yaml"}
        assert plan.read_bytes() == OLD
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)
    assert caught.value.strerror == "it or its folder may not be written; if a program has it open, close it there"


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EACCES, "it or its folder may not be written; if a program has it open, close it there"),
        (errno.EROFS, "the disk can only be read; use another folder"),
        (errno.ENOSPC, "the disk is full, so it was not written; make room"),
        (errno.EIO, f"{os.strerror(errno.EIO)}, so it was not written"),
    ],
)
@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace", "pathlib.Path.open"])
def test_what_the_system_refuses_is_told_in_plain_words(
    plan: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int, words: str
) -> None:
    with monkeypatch.context() as broken:
        broken.setattr(step, refusing(number))
        with pytest.raises(NotWrittenError) as caught:
            write_safely(plan, NEW)
    assert (caught.value.strerror, caught.value.filename, caught.value.errno) == (words, str(plan), number)
    assert plan.read_bytes() == OLD
    assert names(plan.parent) == {"plan.yaml"}


def test_a_missing_folder_and_a_folder_in_the_way_are_told(tmp_path: Path) -> None:
    with pytest.raises(NotWrittenError, match="its folder is not there; make the folder"):
        write_safely(tmp_path / "out" / "plan.json", NEW)
    (tmp_path / "plan.json").mkdir()
    with pytest.raises(NotWrittenError, match=r"a folder has its name|may not be written"):
        write_safely(tmp_path / "plan.json", NEW)
    assert names(tmp_path) == {"plan.json"}


def test_no_file_changes_before_all_are_on_the_disk(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that fills up at the second file must not leave sheets of two different plans."""
    sheet = plan.with_name("circuits.csv")
    sheet.write_bytes(OLD)
    calls: list[int] = []

    def full(descriptor: int) -> None:
        calls.append(descriptor)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "full")

    with monkeypatch.context() as broken:
        broken.setattr("os.fsync", full)
        with pytest.raises(NotWrittenError) as caught:
            write_all({sheet: NEW, plan: NEW})
    assert caught.value.filename == str(plan)
    assert (sheet.read_bytes(), plan.read_bytes()) == (OLD, OLD)
    assert names(plan.parent) == {"plan.yaml", "circuits.csv"}


def test_files_take_their_names_in_the_order_given(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, last = plan.with_name("a.csv"), plan.with_name("z.csv")
    taken: list[str] = []
    replace = Path.replace

    def second_is_open(self: Path, target: Path) -> Path:
        taken.append(target.name)
        if target == plan:
            raise PermissionError(errno.EACCES, "open elsewhere")
        return replace(self, target)

    with monkeypatch.context() as broken:
        broken.setattr("pathlib.Path.replace", second_is_open)
        with pytest.raises(NotWrittenError):
            write_all({first: NEW, plan: NEW, last: NEW})
    assert taken == ["a.csv", "plan.yaml"]
    assert plan.read_bytes() == OLD
    assert names(plan.parent) == {"a.csv", "plan.yaml"}
