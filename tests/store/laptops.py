"""Laptops with records, for tests: folders, names and events that say nothing but their number."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from itertools import count
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.records.event import Event, Kind, Record, Role
from loomwright.store import Outcome, Store, export_lines, open_store

NOW = "2026-02-07T09:30:00Z"
ROBOT = "Tidepool"
_SHARED_MEMORY = Path("/dev/shm")  # noqa: S108  a disk that takes no time; the folder in it is made safely


def event(number: int, words: str = "") -> Event:
    """Make the event with this number; other words under the same number are another content under the same key."""
    return Event(
        key=f"{number:032x}", kind=Kind.NOTED, who="mia", measured_at=NOW, words=words or f"note {number}", value=None
    )


def names(start: str = "laptop") -> Callable[[], str]:
    """Make names for origins: laptop-000000000001 and so on."""
    numbers = count(1)
    return lambda: f"{start}-{next(numbers):012x}"


def laptop(folder: Path, name: str = "laptop", robot: str = ROBOT) -> Store:
    """Open the records of a laptop in a folder of its own name."""
    own = folder / name
    own.mkdir(exist_ok=True)
    return open_store(own / "bench.db", robot=robot, now=NOW, new_origin=names(name))


def add(store: Store, *numbers: int) -> list[Outcome]:
    """Write events down by their numbers, in one go."""
    return sign(store, [event(number) for number in numbers])


def sign(store: Store, events: Sequence[Event]) -> list[Outcome]:
    """Write events down as a student's."""
    return store.append(events, role=Role.STUDENT, received_at=NOW)


def numbers_of(records: Sequence[Record]) -> list[int]:
    """Return the numbers of records' events."""
    return [int(record.event.key, 16) for record in records]


def exported(store: Store, after: dict[str, int] | None = None) -> list[str]:
    """Return what a laptop exports."""
    return list(export_lines(store.records(after), robot=store.robot))


def refused(act: Callable[[], object]) -> list[str]:
    """Return code and first words of every fault of an act that has to be refused as unreadable."""
    with pytest.raises(UnreadableInputError) as caught:
        act()
    return [f"{fault.place}  [{fault.code}]" for fault in caught.value.faults]


@contextmanager
def by_hand(path: Path) -> Iterator[sqlite3.Connection]:
    """Give a database to somebody with a tool of their own."""
    with closing(sqlite3.connect(path)) as connection, connection:
        yield connection


@contextmanager
def quick_folder() -> Iterator[Path]:
    """Give a folder on which a push to the disk takes no time, where the system has one."""
    with tempfile.TemporaryDirectory(dir=_SHARED_MEMORY if _SHARED_MEMORY.is_dir() else None) as folder:
        yield Path(folder)
