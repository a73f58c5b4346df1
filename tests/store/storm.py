"""A program that writes events down as fast as it can and says which are safe, until somebody kills it."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from threading import Lock

from loomwright.store import Store
from tests.store.laptops import add, laptop


def main(folder: str) -> None:
    """Write from four threads, singly and in batches; print the numbers of each batch once it is said to be safe."""
    store = laptop(Path(folder))
    printing = Lock()
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda thread: _write(store, thread, printing), range(4)))


def _write(store: Store, thread: int, printing: Lock) -> None:
    for turn in count():
        first = thread * 10_000_000 + turn * 10
        batch = range(first, first + 1 + turn % 5)
        add(store, *batch)
        with printing:
            sys.stdout.write(" ".join(str(number) for number in batch) + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1])
