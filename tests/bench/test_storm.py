"""A storm: eight phones sign while the laptop is killed twice; what was acknowledged is there once, and nothing twice.

Each phone does what the outbox of a real one does: it sends the same events with the same keys until the laptop has
said that it has them, joins again after a new start, and now and then it loses an answer and sends all of it again.
LOOM_LONG=1 signs eight thousand events instead of some hundreds.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from threading import Condition, Event
from typing import Any

import httpx

from loomwright.store import open_store
from tests.bench.serving import NAME, Served

_PHONES = 8
_EACH = 1000 if os.environ.get("LOOM_LONG") else 60
_MOST_AT_ONCE = 5


@dataclass
class Tally:
    """What all phones know together."""

    acknowledged: set[str] = field(default_factory=set)
    events: Counter[str] = field(default_factory=Counter)
    more: Condition = field(default_factory=Condition)

    def add(self, what: str, keys: Iterable[str] = ()) -> None:
        """Note that something happened, and what the laptop has said it has."""
        with self.more:
            self.events[what] += 1
            self.acknowledged.update(keys)
            self.more.notify_all()

    def wait_for(self, count: int) -> None:
        """Wait until so many events are acknowledged."""
        with self.more:
            assert self.more.wait_for(lambda: len(self.acknowledged) >= count, 300)


@dataclass
class Sender:
    """One phone with its outbox; it asks `served` for the code as a student looks at the laptop's screen."""

    number: int
    served: Served
    tally: Tally
    up: Event
    client: httpx.Client = field(init=False)

    def __post_init__(self) -> None:
        """Call the bench by a name that is no localhost, which is let in by the code alone."""
        host = {"Host": f"{NAME}:{self.served.port}", "X-Bench": "1"}
        self.client = httpx.Client(base_url=f"http://127.0.0.1:{self.served.port}", headers=host)

    def sign_all(self) -> None:
        """Sign what there is to sign, and be done when all of it is acknowledged."""
        chance = random.Random(self.number)  # noqa: S311  a test's own order
        waiting = [self._event(n) for n in range(_EACH)]
        while waiting:
            batch = waiting[: chance.randint(1, _MOST_AT_ONCE)]
            if (told := self._sent(batch)) is None:
                continue
            if chance.random() < 0.05:
                self.tally.add("answers lost")  # on the way; all of it is sent again
                continue
            self.tally.add("answers", [one["key"] for one in told if one["outcome"] in ("added", "known")])
            waiting = waiting[len(batch) :]
        self.client.close()

    def _event(self, n: int) -> dict[str, Any]:
        key = f"{self.number:08x}{n:024x}"
        return {"key": key, "kind": "noted", "who": f"P{self.number}", "measured_at": "2026-02-07T09:31:00Z"}

    def _sent(self, batch: list[dict[str, Any]]) -> list[dict[str, Any]] | None:
        """Return the answers of the laptop; None where it gave none, or wants to know the new code first."""
        try:
            answer = self.client.post("/api/v1/events", json={"events": batch})
            if answer.status_code == 401:
                self._join()
                return None
        except httpx.TransportError:
            self.tally.add("requests without an answer")
            self.up.wait(20)
            return None
        answers: list[dict[str, Any]] = answer.raise_for_status().json()["answers"]
        return answers

    def _join(self) -> None:
        self.up.wait(20)
        told = {"code": self.served.code, "who": f"P{self.number}"}
        self.client.post("/api/v1/join", json=told).raise_for_status()
        self.tally.add("times joined")


def test_what_was_acknowledged_is_there_once_though_the_laptop_was_killed_twice(
    served: Served, record_property: Callable[[str, object], None]
) -> None:
    """SIGKILL in the middle of the writing, two times: no acknowledged event is lost, none is there twice."""
    tally, up = Tally(), Event()
    up.set()
    with ThreadPoolExecutor(_PHONES) as pool:
        storm = [pool.submit(Sender(number, served, tally, up).sign_all) for number in range(1, _PHONES + 1)]
        for part in (1, 2):
            tally.wait_for(_PHONES * _EACH * part // 3)
            up.clear()
            served.stop(signal.SIGKILL)
            served.start()
            up.set()
        for one in storm:
            one.result(300)
    served.stop()
    with sqlite3.connect(served.folder / "bench.db") as held:
        there = Counter(key for (key,) in held.execute("SELECT key FROM records"))
    with open_store(served.folder / "bench.db", robot="Rockpool trainer", now="", new_origin=lambda: "") as store:
        assert store.verify() == []
    assert tally.acknowledged <= set(there)
    assert max(there.values()) == 1
    assert len(there) == _PHONES * _EACH
    more = ", ".join(f"{count} {what}" for what, count in sorted(tally.events.items()))
    told = f"{len(tally.acknowledged)} events acknowledged, {len(there)} in bench.db, each once"
    record_property("told", f"storm of {_PHONES} phones, killed twice: {told}; {more}")
