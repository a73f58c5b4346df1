"""Write files so that an interruption at any moment leaves each either old or new, never half.

The new bytes go into a file beside the old one, are pushed to the disk, and then take its name in one step.
"""

from __future__ import annotations

import contextlib
import errno
import glob
import itertools
import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

_OLD_S: Final = 3600.0
_counter: Final = itertools.count()
_LOCKED: Final = "it or its folder may not be written; if a program has it open, close it there"
_WHY: Final = {
    "EACCES": _LOCKED,
    "EPERM": _LOCKED,
    "EROFS": "the disk can only be read; use another folder",
    "ENOSPC": "the disk is full, so it was not written; make room",
    "EDQUOT": "your share of the disk is full, so it was not written; make room",
    "ENOENT": "its folder is not there; make the folder",
    "ENOTDIR": "a file stands where its folder should be; move that file away",
    "EEXIST": "a file stands where this folder should be; move that file away",
    "EISDIR": "a folder has its name; rename the folder",
    "ENAMETOOLONG": "its name is too long; use a shorter path",
}


class NotWrittenError(OSError):
    """A file that could not be written: `filename` and, in `strerror`, why and what to do; the old file is intact."""


def make_folder(path: Path) -> None:
    """Make a folder with those above it where they are not there yet.

    Raises
    ------
    NotWrittenError
        Where a file has its name, or the system refuses.
    """
    with _plainly(path):
        path.mkdir(parents=True, exist_ok=True)


def write_changed(contents: Mapping[Path, bytes | None]) -> frozenset[Path]:
    """Write the files that do not hold what they should, as `write_all` does, and return them; None: it is right.

    Raises
    ------
    NotWrittenError
        As with `write_all`.
    """
    new = {path: data for path, data in contents.items() if data is not None and not _holds(path, data)}
    write_all(new)
    return frozenset(new)


def _holds(path: Path, data: bytes) -> bool:
    """Tell whether a file holds exactly this already; what can't be read does not."""
    try:
        return path.stat().st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False


def write_safely(path: Path, data: bytes) -> None:
    """Write one file whole or not at all; the folder must be there.

    Raises
    ------
    NotWrittenError
        Where the system refuses; the old file is then untouched.
    """
    write_all({path: data})


def write_all(contents: Mapping[Path, bytes]) -> None:
    """Write several files: all are on the disk beside the old ones before the first takes its name.

    They take their names in the order given, so put the one that must not run ahead of the others last.

    Raises
    ------
    NotWrittenError
        Where the system refuses. Before the first has taken its name nothing has changed; a refusal after that
        (a file that a program holds open) leaves the files before it new, and the rest old.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        for path, data in contents.items():
            target = Path(os.path.realpath(path))
            with _plainly(path):
                if target.is_dir():  # told before anything has changed, whatever its place in the order
                    raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
                staged.append((_new_name(target), target))
                _stage(staged[-1][0], data, target)
        for path, (beside, target) in zip(contents, staged, strict=True):
            with _plainly(path):
                beside.replace(target)
    finally:
        for beside, _ in staged:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
    for folder in {target.parent for _, target in staged}:
        _sync_folder(folder)


def _new_name(target: Path) -> Path:
    """Find a free name beside the target, and clear away what a killed run left there."""
    while (beside := target.with_name(f".{target.name}.{os.getpid()}-{next(_counter)}.part")).exists():
        pass
    return beside


def _stage(beside: Path, data: bytes, target: Path) -> None:
    """Write the bytes beside the target, on the disk and with the target's permissions."""
    with beside.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if target.exists():
        shutil.copymode(target, beside)
    _sweep(target, newest=beside)


def _sweep(target: Path, *, newest: Path) -> None:
    """Remove parts that a killed run left more than an hour before; a younger one may belong to a running one."""
    now = newest.stat().st_mtime
    for part in target.parent.glob(f".{glob.escape(target.name)}.*.part"):
        with contextlib.suppress(OSError):
            if part != newest and part.stat().st_mtime < now - _OLD_S:
                part.unlink()


def _sync_folder(folder: Path) -> None:
    """Push the new names to the disk, where the system lets a folder be opened (Windows does not)."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


@contextlib.contextmanager
def _plainly(path: Path) -> Iterator[None]:
    """Say in plain words why the system refuses."""
    try:
        yield
    except OSError as error:
        name = errno.errorcode.get(error.errno or 0, "")
        why = _WHY.get(name, f"{error.strerror or error}, so it was not written")
        raise NotWrittenError(error.errno, why, str(path)) from error
