"""Any thread may write and read, as the threads of a server do."""

from __future__ import annotations

from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from loomwright.store import Outcome
from tests.store.laptops import add, laptop, numbers_of, quick_folder

_THREADS, _BATCHES, _BATCH = 8, 40, 8


def test_eight_threads_write_thousands_of_events_each_once() -> None:
    """Every event comes from two threads, one by one or in batches; each is added once and known once, in one chain.

    Meanwhile every thread reads what came since it looked last: nothing is skipped, nothing comes twice or late.
    """
    with quick_folder() as folder, laptop(folder) as store:

        def phone(number: int) -> tuple[Counter[Outcome], list[int]]:
            # Threads 0 and 4 send the same events, 1 and 5, and so on, the second of each pair backwards.
            first = number % 4 * _BATCHES * _BATCH
            batches = [list(range(first + n * _BATCH, first + (n + 1) * _BATCH)) for n in range(_BATCHES)]
            said: Counter[Outcome] = Counter()
            seen: list[int] = []
            for batch in batches if number < 4 else batches[::-1]:
                for part in [batch] if batch[0] % 3 else [[one] for one in batch]:
                    said.update(add(store, *part))
                seen += [arrival for arrival, _ in store.since(seen[-1] if seen else 0)]
            return said, seen

        with ThreadPoolExecutor(_THREADS) as pool:
            told = list(pool.map(phone, range(_THREADS)))
        total = 4 * _BATCHES * _BATCH
        assert sum((said for said, _ in told), Counter()) == {Outcome.ADDED: total, Outcome.KNOWN: total}
        assert sorted(numbers_of(store.records())) == list(range(total))
        assert store.verify() == []
        assert all(seen == list(range(1, len(seen) + 1)) for _, seen in told)


def test_two_programs_that_write_at_once_take_turns() -> None:
    """Each with its own connection, as the server and a command have: nobody is refused, and it is one chain."""
    with quick_folder() as folder, laptop(folder) as server, laptop(folder) as command:

        def write(program: int) -> list[Outcome]:
            store = (server, command)[program]
            return [outcome for turn in range(100) for outcome in add(store, 1000 * program + turn, 5000 + turn)]

        with ThreadPoolExecutor(2) as pool:
            said = Counter(outcome for outcomes in pool.map(write, (0, 1)) for outcome in outcomes)
        assert said == {Outcome.ADDED: 300, Outcome.KNOWN: 100}
        assert len(server.records()) == len(command.records()) == 300
        assert server.verify() == []
