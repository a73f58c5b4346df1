"""Time the bench as people meet it: the start, a slow phone, a tap, another screen, eight who sign at once.

    python -m benchmarks.bench [ROUNDS]

Serves Tidepool (107 wires) from a process of its own, and visits it with the system's browser over a name that is no
localhost, as a phone does over plain http. A slow phone is the browser's own brake: a processor 6 or 4 times slower
than this one, a line of 1.5 Mbit/s with 150 ms before every answer, and nothing kept from an earlier visit. Bytes are
those on the line, heads of answers included. Prints the middle of ROUNDS (5) with the worst, and the limit that is
asked. Nothing here fails: machines are noisy, people read the numbers.
"""

from __future__ import annotations

import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from itertools import count
from pathlib import Path
from time import perf_counter
from typing import Any, Final

import httpx
from playwright.sync_api import Browser, CDPSession, sync_playwright

from loomwright.jobs.start import make_demo
from tests.bench.serving import FLAGS, Phone, Served, bench_of, phone
from tools.needs import declared

_ROUNDS = 5
_TAPS = 20
_CLIENTS, _WRITES = 8, 100
_LINE_BYTES_A_S, _LATENCY_MS = 1_500_000 / 8, 150
_WRITE: Final = {"X-Bench": "1"}
_keys: Final = count(1)

#: What a start is made of, each part timed in a fresh process; the parts are those of `cli/bench.py`.
_PARTS = """
import json, sys
from pathlib import Path
from time import perf_counter
parts, at = {}, perf_counter()
def done(name):
    global at
    parts[name], at = perf_counter() - at, perf_counter()
folder = Path(sys.argv[1])
from loomwright.jobs.current import planned
done("beside: import what reads and plans")
from loomwright.cli.bench_records import open_records
from loomwright.jobs.bench import Bench
import loomwright.cli.bench_words
from loomwright.web.clock import laptop_clock
from loomwright.web.desk import Desk
from loomwright.web.serving import app_of
from loomwright.cli.bench import settings_for
done("import what serves")
plan = planned(folder)
done("beside: read the robot and work out its plan")
store = open_records(folder, plan.robot.name)
store.verify()
done("open the records and verify them")
desk = Desk.of(Bench(folder, "", store, plan), settings_for(8340, share=False), laptop_clock())
app_of(desk)
done("put the desk together, read the static files")
print(json.dumps(parts))
"""

#: Tells when the page was ready, and how long after a press on a sheet's button a lug showed it.
_WATCH = """
globalThis.times = { ready: 0, pressed: 0, at: 0, kept: [], shown: {} };
document.addEventListener("click", (event) => {
  if (event.target.closest("[data-act]")) [times.pressed, times.at] = [event.timeStamp, Date.now()];
}, true);
new MutationObserver(() => {
  if (!times.ready && document.body?.classList.contains("is-ready")) times.ready = performance.now();
  for (const lug of document.querySelectorAll("button.lug.is-made")) times.shown[lug.dataset.name] ??= Date.now();
  if (times.pressed && document.querySelector("button.lug.is-kept")) {
    const pressed = times.pressed;
    times.pressed = 0;
    requestAnimationFrame(() => times.kept.push(performance.now() - pressed));
  }
}).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ["class"] });
"""


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    rounds = int(words[0]) if words else _ROUNDS
    # As on a student's laptop: compiled files are kept, and the first start is not counted.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    program = declared()["chromium"].program()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "tidepool"
        make_demo(folder, "tidepool")
        print(f"{'':58}{'middle':>10}{'worst':>10}{'asked':>10}")
        _starts(folder, rounds)
        with bench_of(folder) as served:
            _writes(served)
            if program is None:
                print(declared()["chromium"].missing_line())
                return
            with sync_playwright() as held:
                browser = held.chromium.launch(executable_path=str(program), args=FLAGS)
                _slow_phone(browser, served, rounds)
                _taps(browser, served)
                browser.close()
            _line("stop with nobody there", [1e3 * served.stop()], "ms", 500)


def _line(what: str, values: Sequence[float], unit: str, asked: float | None = None) -> None:
    middle, worst = (f"{float(f'{value:.3g}'):g} {unit}" for value in (statistics.median(values), max(values)))
    limit = f"{asked:g} {unit}" if asked is not None else ""
    print(f"{what:58}{middle:>10}{worst:>10}{limit:>10}")


# ------------------------------------------------------------------ start


def _starts(folder: Path, rounds: int) -> None:
    """Start it again and again: until it says that it answers, and until the first page is there."""
    _parts(folder)
    until_ready, page = [], []
    for _ in range(rounds):
        begun = perf_counter()
        with bench_of(folder) as served:
            until_ready.append(perf_counter() - begun)
            page.append(_timed(partial(httpx.get, f"http://127.0.0.1:{served.port}/ends")))
    _line("first page, from the word that it is served", page, "s", 1)
    both = [one + other for one, other in zip(until_ready, page, strict=True)]
    _line("first page, from the command", both, "s", 1)
    parts = [_parts(folder) for _ in range(rounds)]
    _line(
        "  start Python itself",
        [_timed(lambda: subprocess.run([sys.executable, "-c", ""], check=True)) for _ in range(rounds)],
        "s",
    )
    for name in parts[0]:
        _line(f"  {name}", [one[name] for one in parts], "s")


def _parts(folder: Path) -> dict[str, float]:
    done = subprocess.run([sys.executable, "-c", _PARTS, str(folder)], capture_output=True, text=True, check=True)
    told: dict[str, float] = json.loads(done.stdout)
    return told


def _timed(act: Callable[[], object]) -> float:
    begun = perf_counter()
    act()
    return perf_counter() - begun


# ------------------------------------------------------------------ eight who sign


def _writes(served: Served) -> None:
    """Sign from eight clients at once, each of them one event after the other; then with screens that follow."""
    _told_writes(served, f"a signature, {_CLIENTS} clients at once", 0)
    _told_writes(served, f"the same, and {_CLIENTS} screens fetch what is new", _CLIENTS)


def _told_writes(served: Served, what: str, screens: int) -> None:
    with ThreadPoolExecutor(_CLIENTS + screens) as pool:
        over: list[bool] = []
        watching = [pool.submit(_follow, served, over) for _ in range(screens)]
        begun = perf_counter()
        waits = sorted(wait for waits in pool.map(lambda _: _sign(served), range(_CLIENTS)) for wait in waits)
        rate = len(waits) / (perf_counter() - begun)
        over.append(True)
        with httpx.Client(base_url=f"http://127.0.0.1:{served.port}", headers=_WRITE) as client:
            _note(client)  # so that those who follow hear that it is over
        for one in watching:
            one.result()
    _line(f"{what} ({rate:.0f} a second)", [1e3 * wait for wait in waits], "ms")
    _line("  one in a hundred waits", [1e3 * waits[int(0.99 * len(waits))]], "ms", 250)


def _sign(served: Served) -> list[float]:
    with httpx.Client(base_url=f"http://127.0.0.1:{served.port}", headers=_WRITE) as client:
        return [_timed(lambda: _note(client)) for _ in range(_WRITES)]


def _note(client: httpx.Client) -> None:
    told = {"key": f"{next(_keys):032x}", "kind": "noted", "who": "AB", "measured_at": "2026-02-07T09:31:00Z"}
    client.post("/api/v1/events", json={"events": [told]}).raise_for_status()


def _follow(served: Served, over: list[bool]) -> None:
    """Fetch the Ends page whenever something arrived that it does not show, as a screen does: never two at a time."""
    url, shown = f"http://127.0.0.1:{served.port}", -1
    with httpx.Client(base_url=url) as client, client.stream("GET", "/api/v1/stream") as lines:
        for line in lines.iter_lines():
            if over:
                return
            if line.startswith("data: {") and json.loads(line.removeprefix("data: "))["arrival"] > shown:
                page = client.get("/ends").raise_for_status().text
                shown = int(re.search(r'data-arrival="(\d+)"', page)[1])  # type: ignore[index]  # it stands there


# ------------------------------------------------------------------ a slow phone


def _slow_phone(browser: Browser, served: Served, rounds: int) -> None:
    """Open the Ends page on a slow phone that was never here, again and again."""
    with _joined(browser, served, "AB") as person:
        cookies = person.context.cookies()
    visits = [_visit(browser, served, cookies) for _ in range(rounds)]
    _line("107 wires ready, 6x slower, 1.5 Mbit/s, 150 ms", [one["ready_s"] for one in visits], "s", 2.5)
    _line("  first words on the screen", [one["words_s"] for one in visits], "s")
    _line("  bytes on the line, all files", [one["bytes"] / 1000 for one in visits], "kB", 200)
    for kind, size in sorted(visits[0]["kinds"].items()):
        _line(f"    {kind}", [size / 1000], "kB")
    again = [_visit(browser, served, cookies, twice=True) for _ in range(rounds)]
    _line("  the second time", [one["ready_s"] for one in again], "s")


def _visit(browser: Browser, served: Served, cookies: Any, *, twice: bool = False) -> dict[str, Any]:  # noqa: ANN401  as the browser gives them
    context = browser.new_context(viewport={"width": 390, "height": 844}, device_scale_factor=2)
    context.add_cookies(cookies)
    page = context.new_page()
    page.add_init_script(_WATCH)
    if twice:
        page.goto(f"{served.url}/ends")
        page.wait_for_selector("body.is-ready")
    line = context.new_cdp_session(page)
    sizes = _sizes(line)
    line.send("Network.emulateNetworkConditions", _SLOW_LINE)
    line.send("Emulation.setCPUThrottlingRate", {"rate": 6})
    page.goto(f"{served.url}/ends", wait_until="load")
    page.wait_for_function("() => times.ready > 0 && document.fonts.status === 'loaded'")
    told: dict[str, Any] = page.evaluate(_FOUND)
    page.wait_for_timeout(500)
    context.close()
    return {**told, "bytes": sum(sizes.values()), "kinds": dict(sizes)}


_SLOW_LINE: Final = {
    "offline": False,
    "latency": _LATENCY_MS,
    "downloadThroughput": _LINE_BYTES_A_S,
    "uploadThroughput": _LINE_BYTES_A_S,
}
_FOUND: Final = """() => ({
  ready_s: times.ready / 1000,
  words_s: performance.getEntriesByName("first-contentful-paint")[0].startTime / 1000,
})"""


def _sizes(line: CDPSession) -> Counter[str]:
    """Return what the line carried so far by kind of file [bytes], and go on counting."""
    sizes: Counter[str] = Counter()
    kinds: dict[str, str] = {}

    def ended(told: dict[str, Any]) -> None:
        sizes[kinds.get(told["requestId"], "other")] += told["encodedDataLength"]

    line.on("Network.responseReceived", lambda told: kinds.update({told["requestId"]: told["type"]}))
    line.on("Network.loadingFinished", ended)
    line.send("Network.enable")
    return sizes


# ------------------------------------------------------------------ taps


def _taps(browser: Browser, served: Served) -> None:
    """Sign one end after the other on a phone four times slower, and see when another screen shows it."""
    with _joined(browser, served, "AB") as one, _joined(browser, served, "CD") as other:
        one.context.new_cdp_session(one.page).send("Emulation.setCPUThrottlingRate", {"rate": 4})
        names = [lug.get_attribute("data-name") or "" for lug in one.page.locator("button.lug.is-todo").all()]
        passed = [_tap(one, other, name) for name in names[:_TAPS]]
        kept: list[float] = one.page.evaluate("times.kept")
    _line('a tap to "kept here", 4x slower', kept, "ms", 150)
    _line("a tap to another screen", passed, "ms", 1000)


def _tap(one: Phone, other: Phone, name: str) -> float:
    one.act(name, "made")
    begun: float = one.page.evaluate("times.at")
    other.page.wait_for_selector(f'button.lug.is-made[data-name="{name}"]')
    shown: float = other.page.evaluate(f"times.shown[{json.dumps(name)}]")
    one.page.wait_for_selector(f'button.lug.is-made:not(.is-kept)[data-name="{name}"]')
    return shown - begun


@contextmanager
def _joined(browser: Browser, served: Served, who: str) -> Iterator[Phone]:
    person = phone(browser, served, who)
    person.page.add_init_script(_WATCH)
    person.go("/ends")
    person.look()
    person.all_sent()
    yield person
    person.context.close()


if __name__ == "__main__":
    main(sys.argv[1:])
