"""When the world around the bench fails: a full disk, a phone's wrong clock, two laptops, and the end of a day."""

from __future__ import annotations

import json
import shutil
import signal
import sqlite3
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from threading import Event
from typing import Any

import httpx
from click.testing import CliRunner
from playwright.sync_api import Browser

from loomwright.cli.main import main
from loomwright.documents.json.bench import ends_data
from loomwright.jobs.bench import Bench
from loomwright.jobs.current import planned
from loomwright.store import open_store
from tests.bench.serving import LAPTOP, Phone, Served, bench_of, phone
from tests.bench.small_disk import full

_FULL = "The disk is full, so none of this was written to bench.db."
_WRITE = {"X-Bench": "1"}


def records(folder: Path) -> list[dict[str, Any]]:
    """Return everything that stands in bench.db, as it is kept."""
    with sqlite3.connect(f"file:{folder / 'bench.db'}?mode=ro", uri=True) as held:
        return [json.loads(line) for (line,) in held.execute("select line from records order by arrival")]


def made(folder: Path) -> list[str]:
    """Name the ends that were made, each as often as it stands there."""
    return [f"{one['wire']} {one['end']}" for one in records(folder) if one["kind"] == "made"]


@contextmanager
def at(served: Served) -> Iterator[httpx.Client]:
    """Call a bench as a script at its own laptop does."""
    with httpx.Client(base_url=f"http://127.0.0.1:{served.port}", headers=_WRITE) as client:
        yield client


def sign_until(person: Phone, names: list[str], sign: str) -> list[str]:
    """Make one end after the other until a sign is there; return those that were signed."""
    for count, name in enumerate(names, 1):
        person.act(name, "made")
        person.page.wait_for_selector(f'body[data-unsent="no"], {sign}')
        if person.page.locator(sign).count():
            return names[:count]
    raise AssertionError(names)


def test_a_full_disk_is_told_and_what_was_signed_meanwhile_is_sent_once(
    browser: Browser, planned_trainer: Path, tmp_path: Path
) -> None:
    """The phone keeps it and says in words why; the laptop says so on its screen and its terminal; then all is well."""
    folder = shutil.copytree(planned_trainer, tmp_path / "rockpool")
    with bench_of(folder, "tests.bench.small_disk") as served:
        laptop, person = phone(browser, served, "", size=LAPTOP), phone(browser, served, "AB")
        laptop.page.goto(f"http://127.0.0.1:{served.port}/team")
        person.go("/ends")
        person.look()
        person.all_sent()
        names = [lug.get_attribute("data-name") or "" for lug in person.page.locator("button.lug").all()]
        full(folder, yes=True)
        signed = sign_until(person, names, f'section:has(#kept-count:visible):has-text("{_FULL}")')
        with person.page.expect_response("**/api/v1/events"):
            person.act(names[len(signed)], "made")
        person.page.wait_for_selector(f'[data-part="notices"]:has-text("{_FULL}")')
        person.page.wait_for_selector('#kept-count:has-text("2 kept here, not yet on the laptop.")')
        assert person.page.inner_text("body").count(_FULL) == 1
        person.page.wait_for_selector(f'button.lug.is-kept[data-name="{signed[-1]}"]:has-text("kept here")')
        laptop.page.wait_for_selector(f'[data-part="notices"]:has-text("{_FULL}")')
        assert made(folder) == signed[:-1]

        full(folder, yes=False)
        person.all_sent()
        laptop.page.wait_for_selector('[data-part="notices"]:not(:has(p))', state="attached")
        assert made(folder) == names[: len(signed) + 1]
        served.stop()
        assert "".join(served.said).count(_FULL) == 1
        laptop.context.close()
        person.context.close()


def test_a_phone_whose_clock_is_a_year_wrong_changes_no_order(browser: Browser, served: Served) -> None:
    """Its events stand there with its time beside the laptop's; what came before goes by what each phone knew."""
    ahead, right = phone(browser, served, "AB"), phone(browser, served, "CD")
    ahead.page.add_init_script(_A_YEAR_AHEAD)
    for person in (ahead, right):
        person.go("/ends")
        person.look()
    for person, act, then in (
        (ahead, "made", "is-made"),
        (right, "pulled", "is-done"),
        (right, "failed", "is-redo"),
        (ahead, "made", "is-made"),
        (right, "pulled", "is-done"),
    ):
        person.act("W2 A", act)
        for one in (ahead, right):
            one.page.wait_for_selector(f'button.lug.{then}:not(.is-kept)[data-name="W2 A"]')
    told = [one for one in records(served.folder) if one.get("wire") == "W2"]
    assert [event["kind"] for event in told] == ["made", "pulled", "failed", "redone", "pulled"]
    for event in told:
        apart = datetime.fromisoformat(event["measured_at"]) - datetime.fromisoformat(event["received_at"])
        assert round(apart.total_seconds() / 86400) == (366 if event["who"] == "AB" else 0)
    ahead.context.close()
    right.context.close()


_A_YEAR_AHEAD = """{
  const Right = Date;
  const now = () => Right.now() + 366 * 86400 * 1000;
  globalThis.Date = class extends Right {
    constructor(...told) { super(...(told.length ? told : [now()])); }
    static now() { return now(); }
  };
}"""


def test_two_laptops_that_signed_apart_show_the_same_ends(planned_trainer: Path, tmp_path: Path) -> None:
    """Two folders, each served and signed at, hand their records to each other: same ends, both chains whole."""
    folders = [shutil.copytree(planned_trainer, tmp_path / name / "rockpool") for name in ("one", "two")]
    for number, (folder, ends) in enumerate(zip(folders, (["W2 A", "W2 B"], ["W2 A", "W3 A"]), strict=True)):
        with bench_of(folder) as served, at(served) as client:
            events = [signature(10 * number + n, name) for n, name in enumerate(ends)]
            assert client.post("/api/v1/events", json={"events": events}).status_code == 200
            served.stop()
    assert shown(folders[0]) != shown(folders[1])
    for source, target in (folders, folders[::-1], folders):
        export = source / "records.jsonl"
        assert bench("--export", export, source) == 0
        assert bench("--import", export, target) == 0
    assert shown(folders[0]) == shown(folders[1])
    assert sorted(made(folders[0])) == sorted(made(folders[1])) == ["W2 A", "W2 A", "W2 B", "W3 A"]


def signature(number: int, name: str) -> dict[str, Any]:
    """Return the signing of an end as a script sends it."""
    wire, end = name.split()
    key = f"{number:032x}"
    return {"key": key, "kind": "made", "who": "AB", "measured_at": "2026-02-07T09:31:00Z", "wire": wire, "end": end}


def bench(*words: str | Path) -> int:
    """Run `loomwright bench WORDS`."""
    return CliRunner().invoke(main, ["bench", *map(str, words)]).exit_code


def shown(folder: Path) -> dict[str, Any]:
    """Return the ends as the bench of a folder shows them, its records verified."""
    plan = planned(folder)
    now = "2026-02-07T10:00:00Z"
    with open_store(folder / "bench.db", robot=plan.robot.name, now=now, new_origin=lambda: "laptop-none") as store:
        assert store.verify() == []
        return ends_data(plan, Bench(folder, "", store, plan).view().groups)


def test_the_bench_stops_at_once_with_streams_open(
    served: Served, record_property: Callable[[str, object], None]
) -> None:
    """Each of five streams hears that it is over, and the program ends by itself."""
    heard: list[list[str]] = [[] for _ in range(5)]
    with ThreadPoolExecutor(len(heard)) as pool:
        begun = [Event() for _ in heard]
        listeners = [pool.submit(_listen, served, lines, first) for lines, first in zip(heard, begun, strict=True)]
        assert all(first.wait(20) for first in begun)
        assert served.process is not None
        took_s = served.stop(signal.SIGINT)
        for listener in listeners:
            listener.result(20)
    assert served.process.returncode == 0
    assert [lines[-1] for lines in heard] == ["event: stopping"] * 5
    told = f"stopped with {len(heard)} streams open: {1e3 * took_s:.0f} ms (asked 500)"
    record_property("told", told)


def _listen(served: Served, lines: list[str], begun: Event) -> None:
    with at(served) as client, client.stream("GET", "/api/v1/stream", timeout=None) as answer:
        for line in answer.iter_lines():
            if line.startswith("event:"):
                lines.append(line)
                begun.set()
