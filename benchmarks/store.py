"""How fast records are written to bench.db and read again, each push to the disk counted.

    python benchmarks/store.py [FOLDER]

Prints how long the disk of FOLDER (a temporary one where none is named) takes for one push, events written per second
one by one and in batches, the wait of single events from eight threads at once, and how long it takes to read, verify,
export, import and back up what was written.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from time import perf_counter
from typing import Final

from loomwright.records.event import Event, Kind, Role
from loomwright.store import Store, backup, export_lines, import_lines, open_store

_NOW: Final = "2026-02-07T09:30:00Z"
_SINGLE, _BATCHES, _BATCH, _THREADS, _EACH = 300, 40, 100, 8, 60
_keys: Final = count(1)


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory(dir=words[0] if words else None) as name:
        folder = Path(name)
        print(f"one push to the disk: {1e3 * _push_s(folder / 'pushed'):.2f} ms (middle of 200)")
        with _opened(folder / "bench.db") as store, _opened(folder / "other.db") as other:
            seconds = _timed(lambda: [_add(store, 1) for _ in range(_SINGLE)])
            print(f"one by one: {_SINGLE / seconds:.0f} events a second")
            seconds = _timed(lambda: [_add(store, _BATCH) for _ in range(_BATCHES)])
            print(f"in batches of {_BATCH}: {_BATCHES * _BATCH / seconds:.0f} events a second")
            _print_waits(store)
            records = store.records()
            print(f"with {len(records)} records of a few words:")
            for what, act in (
                ("read them all", store.records),
                ("verify every chain", store.verify),
                ("export", lambda: list(export_lines(records, robot="Tidepool"))),
                ("import", lambda: import_lines(other, export_lines(records, robot="Tidepool"))),
                ("import again", lambda: import_lines(other, export_lines(records, robot="Tidepool"))),
                ("back up", lambda: backup(store, folder / "kept.db")),
            ):
                print(f"  {what}: {_timed(act):.2f} s")
        print(f"  open: {1e3 * _timed(lambda: _opened(folder / 'bench.db').close()):.0f} ms")


def _print_waits(store: Store) -> None:
    def phone(_: int) -> list[float]:
        return [_timed(lambda: _add(store, 1)) for _ in range(_EACH)]

    start = perf_counter()
    with ThreadPoolExecutor(_THREADS) as pool:
        waits = sorted(wait for waits in pool.map(phone, range(_THREADS)) for wait in waits)
    rate = len(waits) / (perf_counter() - start)
    middle, late = statistics.median(waits), waits[int(len(waits) * 0.99)]
    print(
        f"one by one from {_THREADS} threads: {rate:.0f} events a second; wait {1e3 * middle:.1f} ms in the middle, "
        f"{1e3 * late:.1f} ms for one in a hundred, {1e3 * waits[-1]:.1f} ms at most"
    )


def _push_s(path: Path) -> float:
    """Return how long the disk takes for a page that is written behind the last [s]."""
    descriptor = os.open(path, os.O_CREAT | os.O_WRONLY)
    try:
        return statistics.median(
            _timed(lambda: (os.write(descriptor, b"x" * 4096), os.fsync(descriptor))) for _ in range(200)
        )
    finally:
        os.close(descriptor)


def _add(store: Store, number: int) -> None:
    keys = [f"{next(_keys):032x}" for _ in range(number)]
    events = [
        Event(key=key, kind=Kind.MADE, who="mia", measured_at=_NOW, wire="W12", end="A", tool="ratchet 2", words=key)
        for key in keys
    ]
    store.append(events, role=Role.STUDENT, received_at=_NOW)


def _opened(path: Path) -> Store:
    return open_store(path, robot="Tidepool", now=_NOW, new_origin=lambda: f"laptop-{path.stem}")


def _timed(act: Callable[[], object]) -> float:
    start = perf_counter()
    act()
    return perf_counter() - start


if __name__ == "__main__":
    main(sys.argv[1:])
