"""Folders that take long to make: made once in a run of the tests, whichever of its processes asks first."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

#: How long a process waits for another one that makes the folder [s].
_PATIENCE_S = 300.0


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """Return the folder of this name, made by `make` if it is not there yet; who wants to change it copies it."""
    folder = _shared(factory) / name
    with _alone(folder.with_name(f"{name}.lock")):
        if not folder.exists():
            beside = folder.with_name(f"{name}.part")
            shutil.rmtree(beside, ignore_errors=True)  # of one who failed
            make(beside)
            beside.rename(folder)
    return folder


def _shared(factory: pytest.TempPathFactory) -> Path:
    """Return a place that is the run's own and the same in all of its processes."""
    base = factory.getbasetemp()
    shared = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "made once"
    shared.mkdir(exist_ok=True)
    return shared


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    """Keep all others out: a lock of SQLite is the same on every system, and ends with the process that holds it."""
    with closing(sqlite3.connect(lock, timeout=_PATIENCE_S, isolation_level=None)) as held:
        held.execute("BEGIN EXCLUSIVE")
        yield
