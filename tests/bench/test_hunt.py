"""Hunt on phones in the pit: from what somebody sees to the signed fix, offline too, and no step past a danger."""

from __future__ import annotations

import json
import math
import secrets
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

import pytest
from playwright.sync_api import Browser, Locator

from loomwright.hunting.robot.practice import check_kinds
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from loomwright.jobs.current import planned
from tests.bench.serving import LAPTOP, Phone, Served, bench_of, phone
from tests.bench.test_access import looked_at

DARK, LIT = "look left wheel controller", "look right wheel controller"
FAULT, SEAT = "open W6 B", "W6 B"
_AT_MOST = 40


@dataclass
class Pit:
    """A robot with a fault in it: it answers each check as is likeliest with that fault, and well once it is mended."""

    robot: RobotHunt
    fault: str = FAULT
    asked: list[str] = field(default_factory=list)
    numbers: int = 0

    @classmethod
    def of(cls, served: Served) -> Pit:
        """Put the fault into the robot that is served."""
        return cls(robot_hunt(planned(served.folder)))

    def answer(self, check: str) -> str:
        """Return what a check shows."""
        self.asked.append(check)
        outcomes = check_kinds()[self.robot.checks[check].kind].outcomes
        rows = self.robot.rows[self.fault] if self.fault else (0,)
        chances = self.robot.hunt.chances[list(rows), self.robot.numbers[check], : len(outcomes)].mean(axis=0)
        return outcomes[int(chances.argmax())]


def hunter(browser: Browser, served: Served, who: str = "AB", *, mentor: bool = False, laptop: bool = False) -> Phone:
    """Give somebody a phone, or a laptop, with Hunt on it."""
    person = phone(browser, served, who, size=LAPTOP if laptop else None)
    person.mentor = mentor
    person.go("/hunt")
    return person


def see(person: Phone, check: str, outcome: str) -> None:
    """Tap what is seen; nothing is told yet."""
    group = person.page.locator(f'[data-group]:has([data-see="{check}"])')
    if not group.locator(".modes").is_visible():
        group.locator("summary").click()
    group.locator(f'[data-mode="{outcome}"]').click()
    group.locator(f'[data-see="{check}"]').click()


def tell(person: Phone) -> None:
    """Tell all that was tapped, and wait for what is next."""
    person.page.click('[data-hunt="tell"]')
    ready(person)


def ready(person: Phone) -> None:
    """Wait until the screen shows what is next."""
    person.page.wait_for_selector("body[data-hunt=ready]")


def card(person: Phone) -> Locator:
    """Return the one thing to do that is shown, after looking at the robot where that asks for it."""
    if person.page.is_visible("#change"):
        person.page.click("#change button.go:visible")
        person.page.wait_for_selector("#change", state="hidden")
    return person.page.locator("article[data-item]:visible")


def hunt_down(person: Phone, pit: Pit) -> None:
    """Answer what is asked until it says that something is found: a healthy reading by its number, the rest by taps."""
    for _ in range(_AT_MOST):
        if person.page.is_visible(".task.is-good"):
            return
        here = card(person)
        if "is-fix" in (here.get_attribute("class") or ""):
            return
        check = here.get_attribute("data-check") or ""
        words, scale = pit.answer(check), pit.robot.checks[check].scale
        if scale is not None and math.isfinite(scale.healthy) and words == healthy(pit, check):
            if not pit.numbers:
                here.locator("input[name=value]").fill("twelve")
                here.locator("[type=submit]").click()
                assert person.page.inner_text("#said") == "Write what the meter shows, with its sign."
            pit.numbers += 1
            here.locator("input[name=value]").fill(f"{scale.healthy:.3f}".replace(".", ","))
            here.locator("[type=submit]").click()
        else:
            here.locator(f'.outcomes [data-words="{words}"]').click()
        ready(person)
    raise AssertionError(pit.asked)


def healthy(pit: Pit, check: str) -> str:
    """Return what a check shows of a robot that is well."""
    return check_kinds()[pit.robot.checks[check].kind].outcomes[0]


def records(served: Served) -> list[dict[str, Any]]:
    """Return everything that stands in bench.db."""
    with sqlite3.connect(f"file:{served.folder / 'bench.db'}?mode=ro", uri=True) as held:
        return [json.loads(line) for (line,) in held.execute("select line from records")]


def of_this_hunt(served: Served) -> Counter[str]:
    """Count what was told of the hunt that was begun last, kind by kind, it included."""
    told = records(served)
    newest = next((one["key"] for one in reversed(told) if one["kind"] == "hunt"), "")
    return Counter(one["kind"] for one in told if newest and newest in (one["key"], *one.get("of", ())))


def end_all(served: Served) -> None:
    """Clear every danger and end every hunt, as the laptop itself, so that the next test begins without one."""
    told = records(served)
    over = {key for one in told if one["kind"] == "hunt ended" for key in one["of"]}
    safe = {key for one in told if one["kind"] == "cleared" for key in one["of"]}
    hunts = [one["key"] for one in told if one["kind"] == "hunt"]
    dangers = [one["key"] for one in told if one["kind"] == "danger" and one["key"] not in safe]
    events = [{"kind": "cleared", "of": [*hunts, *dangers]}] if dangers else []
    events += [{"kind": "hunt ended", "words": "given up", "of": [key]} for key in hunts if key not in over]
    post(served, *events)


def post(served: Served, *events: dict[str, Any]) -> None:
    """Tell the laptop events from its own keyboard."""
    same = {"who": "MM", "measured_at": "2026-02-07T09:30:00Z"}
    body = json.dumps({"events": [{**same, "key": secrets.token_hex(16), **event} for event in events]}).encode()
    head = {"Content-Type": "application/json", "X-Bench": "1"}
    with urlopen(Request(f"http://127.0.0.1:{served.port}/api/v1/events", body, head)) as answer:
        assert b"refused" not in answer.read()


@pytest.fixture(scope="module")
def one_bench(planned_trainer: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve one trainer for all tests of this file."""
    folder = tmp_path_factory.mktemp("hunt") / "rockpool"
    shutil.copytree(planned_trainer, folder)
    with bench_of(folder) as held:
        yield held


@pytest.fixture
def pits(one_bench: Served) -> Iterator[Served]:
    """Give a bench without an open hunt."""
    yield one_bench
    end_all(one_bench)


@pytest.fixture
def begun(browser: Browser, pits: Served) -> Iterator[Phone]:
    """Give somebody a phone with a hunt that has just begun: one light is dark, one is not."""
    person = hunter(browser, pits)
    see(person, DARK, "dark")
    see(person, LIT, "lit")
    tell(person)
    yield person
    person.context.close()


def test_from_the_first_tap_to_the_signed_fix(browser: Browser, pits: Served) -> None:
    """A fault behind the screen is found, its end made again and signed, checks made again are well, the hunt ended."""
    pit, person = Pit.of(pits), hunter(browser, pits)
    see(person, DARK, pit.answer(DARK))
    see(person, LIT, pit.answer(LIT))
    tell(person)
    hunt_down(person, pit)
    fix = card(person)
    assert fix.get_attribute("data-seat") == SEAT
    assert fix.locator("img").count() == 4
    fix.locator("a.button").click()
    person.page.wait_for_selector("#end-sheet[open]")
    person.page.click('#end-sheet [data-act="made"]')
    person.all_sent()
    person.page.go_back()
    card(person).locator("text=Signed again").wait_for()
    card(person).locator('[data-hunt="mended"][data-words="open"]').click()
    ready(person)
    pit.fault = ""
    assert "Make again" in (card(person).text_content() or "")
    hunt_down(person, pit)
    person.page.click(".task.is-good [data-hunt=end]")
    person.page.locator(f"text=Last hunt: found, {SEAT}").wait_for()
    person.all_sent()
    told = of_this_hunt(pits)
    assert (told["hunt"], told["mended"], told["hunt ended"]) == (1, 1, 1)
    assert told["observed"] == len(pit.asked)
    assert pit.numbers >= 1
    assert {"made", "power on"} <= {one["kind"] for one in records(pits)}
    assert person.errors == []


def test_taps_without_a_network_begin_one_hunt_and_are_sent_later(browser: Browser, pits: Served) -> None:
    """Two rounds of taps belong to one hunt; what is next is said as soon as the laptop is there."""
    person = hunter(browser, pits)
    person.context.set_offline(True)
    see(person, DARK, "dark")
    tell(person)
    see(person, LIT, "lit")
    tell(person)
    assert person.page.inner_text("#hunt-wait").startswith("Kept here. What is next is worked out as soon as")
    assert "3 kept here" in person.page.inner_text("#kept-count")
    person.context.set_offline(False)
    person.page.evaluate("dispatchEvent(new Event('online'))")
    person.all_sent()
    person.page.wait_for_selector("article[data-item]:visible")
    told = of_this_hunt(pits)
    assert (told["hunt"], told["observed"]) == (1, 2)


def test_without_a_network_the_other_checks_can_be_made(begun: Phone) -> None:
    """What was answered gives way to the next one that the laptop had named; what can't be done, too."""
    first = card(begun).get_attribute("data-item")
    begun.context.set_offline(True)
    card(begun).locator(".outcomes button").first.click()
    ready(begun)
    second = card(begun).get_attribute("data-item")
    card(begun).locator('[data-hunt="skip"]').click()
    ready(begun)
    assert len({first, second, card(begun).get_attribute("data-item")}) == 3
    begun.context.set_offline(False)
    begun.page.evaluate("dispatchEvent(new Event('online'))")
    begun.all_sent()


def test_a_danger_stops_every_phone_until_a_mentor_has_looked(browser: Browser, pits: Served, begun: Phone) -> None:
    """At once and without a network on the phone that told it; a student can't clear it, a mentor says why."""
    mentor = hunter(browser, pits, "MM", mentor=True, laptop=True)
    mentor.page.wait_for_selector("article[data-item]:visible")
    begun.context.set_offline(True)
    begun.page.click('[data-hunt="danger"]')
    begun.page.click('[data-hunt="stop"][data-words="smoke"]')
    begun.page.wait_for_selector("#stop-kept", state="visible")
    assert begun.page.locator("article[data-item]:visible").count() == 0
    begun.context.set_offline(False)
    begun.page.evaluate("dispatchEvent(new Event('online'))")
    begun.page.wait_for_selector('#hunt-now[data-phase="stop"]')
    assert begun.page.locator(".clear-form").count() == 0
    mentor.page.wait_for_selector("#hunt-now .stop:has-text('Smoke')")
    assert mentor.page.locator("main button:visible").all_inner_texts() == ["It is over: the hunt goes on"]
    mentor.page.click(".clear-form button")
    assert mentor.page.inner_text("#said").startswith("Say in a few words")
    mentor.page.fill(".clear-form input", "a pinched lead, taken out")
    mentor.page.click(".clear-form button")
    begun.page.wait_for_selector("article[data-item]:visible")
    assert of_this_hunt(pits)["cleared"] == 1


def test_two_phones_hunt_together(browser: Browser, pits: Served, begun: Phone) -> None:
    """The second sees what the first told, answers the same hunt, and each looks for itself before hands go near."""
    other = hunter(browser, pits, "CD")
    assert answered(other) == {DARK, LIT}
    see_more(other, "halt", "short")
    begun.page.locator('ul.answers [data-check="halt"]').wait_for()
    told = of_this_hunt(pits)
    assert (told["hunt"], told["observed"]) == (1, 3)
    assert skip_to(begun, "alive")
    card(begun)
    assert skip_to(other, "alive")
    assert other.page.is_visible('#change [data-change="alive"]')
    # Somebody told power on again: whoever looked before that looks once more.
    post(pits, {"kind": "power on", "of": []})
    begun.page.wait_for_selector('#change [data-change="alive"]')


def answered(person: Phone) -> set[str]:
    """Return the checks that stand as answered."""
    found: list[str] = person.page.locator("ul.answers [data-check]").evaluate_all(
        "all => all.map((one) => one.dataset.check)"
    )
    return set(found)


def see_more(person: Phone, check: str, outcome: str) -> None:
    """Tell one more thing while the hunt goes on."""
    person.page.click("details.tell > summary")
    person.page.click(f"[data-group={check}] summary")
    person.page.click(f'[data-see="{check}"][data-words="{outcome}"]')
    tell(person)


def skip_to(person: Phone, state: str) -> bool:
    """Pass over what is asked until something needs a state of work; tell whether anything does."""
    for _ in range(4):
        ready(person)
        here = person.page.locator("article[data-item]:visible")
        if here.get_attribute("data-needs") == state:
            return True
        here.locator('[data-hunt="skip"]').click()
    return False


def test_two_hunts_that_phones_began_apart_become_one(browser: Browser, pits: Served) -> None:
    """Neither knew of the other; one tap puts the answers together, and one hunt is left."""
    one, two = hunter(browser, pits), hunter(browser, pits, "CD")
    for person, check, outcome in ((one, DARK, "dark"), (two, LIT, "lit")):
        person.context.set_offline(True)
        see(person, check, outcome)
        tell(person)
    for person in (one, two):
        person.context.set_offline(False)
        person.page.evaluate("dispatchEvent(new Event('online'))")
        person.all_sent()
    one.page.click('[data-hunt="merge"]')
    two.page.locator("ul.answers li").nth(1).wait_for()
    one.page.locator('[data-hunt="merge"]').wait_for(state="detached")
    assert answered(one) == answered(two) == {DARK, LIT}


def test_a_wrong_answer_is_replaced_and_back_leads_back(begun: Phone) -> None:
    """The new answer names the old one; from the drawing, which shows the suspects, back leads to the hunt."""
    begun.page.click(f'ul.answers [data-check="{DARK}"] summary')
    begun.page.click('ul.answers details[open] [data-words="flickers"]')
    begun.page.locator(f'ul.answers [data-check="{DARK}"] summary:has-text("flickers")').wait_for()
    assert begun.page.locator("ul.answers li").count() == 2
    begun.page.click('[data-part="suspects"] a[href="/spine"]')
    begun.page.wait_for_selector("#drawing .lit-odds")
    lit = begun.page.locator("#lit li")
    assert lit.count() >= 2
    assert begun.page.locator("#drawing rect.lit").count() >= 2
    assert {"is-most", "is-some", "is-few"} & set(" ".join(_classes(begun, "#drawing rect.lit")).split())
    begun.page.go_back()
    begun.page.wait_for_selector("body.is-ready")
    ready(begun)
    assert begun.page.locator("article[data-item]:visible").count() == 1
    assert begun.errors == []


def _classes(person: Phone, selector: str) -> list[str]:
    found: list[str] = person.page.locator(selector).evaluate_all("all => all.map((one) => one.getAttribute('class'))")
    return found


def test_everybody_can_use_it(browser: Browser, pits: Served) -> None:
    """At the start, with a check, and stopped: no barrier, contrasts, sizes for fingers, room for larger text."""
    person = hunter(browser, pits)
    see(person, DARK, "dark")
    usable(person)
    tell(person)
    assert skip_to(person, "alive")
    person.page.wait_for_selector("#change", state="visible")
    usable(person)
    person.page.click('[data-hunt="danger"]')
    usable(person)
    person.page.click('[data-hunt="stop"][data-words="heat"]')
    person.page.wait_for_selector('#hunt-now[data-phase="stop"]')
    usable(person)


def usable(person: Phone) -> None:
    """Look at the page with everything open that can be opened."""
    person.page.evaluate("document.querySelectorAll('details:not(.more)').forEach((one) => (one.open = true))")
    looks = looked_at(person.page)
    assert looks.violations == []
    assert looks.too_wide_px == [0, 0]
    assert looks.below("texts", 7.0) == []
    assert looks.below("edges", 3.0) == []
    small = [one for one in looks.seen["controls"] if min(one["width"], one["height"]) < 48]
    assert [(one["name"], one["width"], one["height"]) for one in small] == []
