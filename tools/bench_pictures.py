"""Make the pictures of the bench in docs/pictures anew, from the demo robot on a phone.

    python -m tools.bench_pictures [FOLDER]

Serves the demo from a folder of its own, signs what the pictures show, and takes each with the system's browser.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any, Final

import httpx
from playwright.sync_api import Page, sync_playwright

from loomwright.jobs.start import make_demo
from loomwright.web.clock import laptop_clock
from tests.bench.serving import FLAGS, PHONE, Phone, Served, bench_of
from tools.needs import declared

_INTO: Final = Path(__file__).parents[1] / "docs" / "pictures"
_SHARP: Final = 1.5
_MEASURING: Final = "measuring"
_keys: Final = count(1)


def main() -> None:
    """Take every picture."""
    into = Path(sys.argv[1]) if len(sys.argv) > 1 else _INTO
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "demo"
        make_demo(folder)
        with bench_of(folder) as served, sync_playwright() as held:
            browser = held.chromium.launch(executable_path=str(declared()["chromium"].program()), args=FLAGS)
            size: Any = PHONE
            context = browser.new_context(viewport=size, device_scale_factor=_SHARP, base_url=served.url)
            person = Phone("AB", context, context.new_page(), served)
            for name, show in _PICTURES.items():
                show(person, served)
                person.page.wait_for_timeout(600)
                person.page.screenshot(path=into / f"bench-{name}.png")
            browser.close()


def _tell(served: Served, kind: str, who: str = "AB", **fields: Any) -> str:  # noqa: ANN401  fields of an event
    key = f"{next(_keys):032x}"
    event = {
        "key": key,
        "kind": kind,
        "who": who,
        "measured_at": laptop_clock().stamp(),
        **fields,
    }
    with httpx.Client(base_url=f"http://127.0.0.1:{served.port}", headers={"X-Bench": "1"}) as client:
        answers = client.post("/api/v1/events", json={"events": [event]}).json()["answers"]
    if answers[0]["outcome"] != "added":
        raise RuntimeError(answers)
    return key


def _ends(person: Phone, served: Served) -> None:
    """Show two ends done, one that waits, one to make again."""
    person.go("/ends")
    person.look()
    for name in ("W2 A", "W2 B", "W3 A", "W3 B"):
        person.act(name, "made")
        person.all_sent()
        person.page.wait_for_selector(f'button.lug[data-name="{name}"][data-of]')
        wire, end = name.split()
        of = (person.lug(name).get_attribute("data-of") or "").split()
        if wire == "W2":
            _tell(served, "pulled", "KIM", wire=wire, end=end, of=of)
        if name == "W3 B":
            _tell(served, "failed", "KIM", wire=wire, end=end, of=of, words="strand outside")
    person.page.wait_for_selector('button.lug.is-redo[data-name="W3 B"]')
    _to(person.page, "#g1")


def _end(person: Phone, _served: Served) -> None:
    person.go("/ends")
    person.look()
    person.lug("W18 B").scroll_into_view_if_needed()
    person.lug("W18 B").click()
    person.page.locator("#end-sheet figure.is-good img").scroll_into_view_if_needed()


def _wake(person: Phone, served: Served) -> None:
    """Show a row that is good, one that asks for a word, and those that are left."""
    bench = httpx.get(f"http://127.0.0.1:{served.port}/api/v1/bench").json()
    for group in bench["ends"]["groups"]:
        for end in (end for step in group["steps"] for end in step["ends"] if end["second_person"]):
            place = {"wire": end["wire"], "end": end["end"]}
            made = _tell(served, "made", **place, as_planned=end["as_planned"])
            _tell(served, "pulled", "KIM", **place, of=[made])
    for who in ("AB", "KIM"):
        for look in (look for look in bench["wake_up"]["looks"] if look["before"] == _MEASURING):
            _tell(served, "confirmed", who, about=look["key"], of=bench["wake_up"]["power"]["of"])
    person.go("/wake-up")
    person.look()
    rows = person.page.locator(".row[data-verdict]")
    for nth, ohm in ((0, 0.3), (1, 0.9)):
        _tell(served, "measured", about=rows.nth(nth).get_attribute("data-about"), value=ohm, unit="ohm")
    person.page.wait_for_selector('.row[data-verdict="explain"]')
    _to(person.page, ".row.is-passed")


def _hunt(person: Phone, served: Served) -> None:
    """Show the first check with a meter, of a motor that stood still in a match."""
    person.go("/hunt")
    motors = person.page.locator('[data-group="drove"] [data-see]').all()
    hunt = _tell(served, "hunt")
    for motor in motors:
        words = "dead" if motor.get_attribute("data-thing") == "lift motor" else "as ever"
        _tell(served, "observed", about=motor.get_attribute("data-see"), words=words, of=[hunt])
    card = person.page.locator("article.task:visible")
    card.wait_for()
    for _ in range(5):
        if card.locator(".probes").count():
            break
        card.locator('[data-hunt="skip"]').click()
        person.page.wait_for_timeout(200)
    _to(person.page, "#hunt-now")


def _rack(person: Phone, served: Served) -> None:
    """Show six batteries that are fit, three of them measured a little better than the rest."""
    tested = {"low_a": 1.0, "high_a": 18.0, "rest_v": 13.0, "since_charge_h": 12.0}
    _tell(served, "charger", about="C1", conditions={"gentle_a": 2.0, "fast_a": 6.0})
    for nth in range(6):
        label = f"B{nth + 1}"
        _tell(served, "battery", about=label, conditions={"cycles": 20.0})
        _tell(served, "moved", about=label, words="rack")
        for _ in range(3):
            _tell(served, "charged", about=label, tool="C1", value=12.9, unit="V")
            _tell(served, "resistance", about=label, value=0.011 + nth / 2000, unit="ohm", conditions=tested)
    person.go("/rack")


def _to(page: Page, selector: str) -> None:
    page.locator(selector).first.evaluate("(one) => one.scrollIntoView()")


_PICTURES: Final[dict[str, Callable[[Phone, Served], None]]] = {
    "ends": _ends,
    "end": _end,
    "wake": _wake,
    "hunt": _hunt,
    "rack": _rack,
}

if __name__ == "__main__":
    main()
