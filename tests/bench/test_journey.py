"""From an empty bench to a proven robot, on phone and laptop over plain http; and what happens when things go wrong."""

from __future__ import annotations

import json
import signal
import sqlite3
from collections import Counter
from contextlib import suppress

import pytest
from playwright.sync_api import Browser, Route
from playwright.sync_api import TimeoutError as TimeoutError_

from tests.bench.serving import LAPTOP, Phone, Served, close, phone


def kinds(served: Served) -> Counter[str]:
    """Count what stands in bench.db, kind by kind."""
    with sqlite3.connect(f"file:{served.folder / 'bench.db'}?mode=ro", uri=True) as held:
        lines = [json.loads(line) for (line,) in held.execute("select line from records")]
    return Counter(line["kind"] for line in lines)


def measure(person: Phone) -> int:
    """Write a good reading into every row that is open and asks for one; return how many."""
    done = 0
    while True:
        row = person.page.locator('.row[data-verdict="to do"]:not(.is-kept):has(input[name=value]:enabled)').first
        if row.count() == 0:
            person.all_sent()
            return done
        about = row.get_attribute("data-about") or ""
        judged = person.page.locator(f'.row[data-about="{about}"]:not([data-verdict="to do"])')
        for _ in range(3):  # who sees that a row has not taken a reading writes it again
            write_good(person, about)
            with suppress(TimeoutError_):
                judged.wait_for(timeout=8000)
                break
        assert judged.count() == 1, about
        done += 1


def write_good(person: Phone, about: str) -> None:
    """Write a good reading into one row and press Keep."""
    here = person.page.locator(f'.row[data-about="{about}"]')
    low, high, below = (here.get_attribute(f"data-{name}") for name in ("low", "high", "below"))
    if low == "Infinity":
        here.locator('[data-wake="open"]').click()
        return
    good = high if low is None else low if high is None else str((float(low) + float(high)) / 2)
    here.locator("input[name=value]").fill(str(good or float(below or 0) + 1000))
    here.locator(".reading-form button[type=submit]").click()


def test_from_an_empty_bench_to_a_proven_robot(browser: Browser, served: Served) -> None:
    """Every end made on a phone and pulled at a laptop, every row measured, power on stage by stage; all recorded."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD", size=LAPTOP)
    one.go("/ends")
    assert not one.page.evaluate("window.isSecureContext")
    one.look()
    names = [lug.get_attribute("data-name") or "" for lug in one.page.locator("button.lug").all()]
    for name in names:
        one.act(name, "made")
    one.all_sent()
    assert kinds(served)["made"] == len(names)

    two.go("/pull")
    two.look()
    for name in [lug.get_attribute("data-name") or "" for lug in two.page.locator("button.lug").all()]:
        two.act(name, "pulled")
    two.all_sent()
    two.go("/ends")
    assert two.page.locator("button.lug.is-done").count() == len(names)

    for person in (one, two):
        person.go("/wake-up")
        person.page.click('[data-part="looks measuring"] [data-wake="confirm all"]')
        person.all_sent()
    one.go("/wake-up")
    one.look()
    assert measure(one) > 20
    for person in (one, two):
        person.go("/wake-up")
        person.page.click('[data-part="looks power"] [data-wake="confirm all"]')
        person.all_sent()
    one.go("/wake-up")
    one.page.click('[data-wake="on"]')
    one.page.wait_for_selector('[data-part="power"]:has-text("somebody told that it is on")')
    assert "told that power is on" in one.page.inner_text("#robot-state")
    assert measure(one) > 2
    one.go("/wake-up")
    assert one.page.locator('.row[data-verdict="to do"], .row[data-verdict="stop"]').count() == 0
    assert one.errors == two.errors == []
    close(one.context)
    close(two.context)


def test_taps_without_network_survive_a_killed_tab(browser: Browser, served: Served) -> None:
    """Signed without a network, shown as kept, the tab gone, opened again: it is sent once."""
    person = phone(browser, served, "AB")
    person.go("/ends")
    person.look()
    person.all_sent()
    person.context.set_offline(True)
    for name in ("W2 A", "W2 B"):
        person.act(name, "made")
        person.page.wait_for_selector(f'button.lug.is-kept[data-name="{name}"]')
    person.page.wait_for_selector(".state.is-unknown", state="visible")
    person.page.close()
    assert kinds(served)["made"] == 0
    person.context.set_offline(False)
    person.page = person.context.new_page()
    person.go("/ends")
    person.all_sent()
    person.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    assert kinds(served)["made"] == 2


def test_an_answer_that_is_lost_twice_makes_no_second_event(browser: Browser, served: Served) -> None:
    """The laptop has it and its answer gets lost, twice: the phone sends again, and there is one event."""
    person = phone(browser, served, "AB")
    person.go("/ends")
    person.look()
    person.all_sent()
    lost = 0

    def lose(route: Route) -> None:
        nonlocal lost
        if lost == 2:
            route.continue_()
            return
        route.fetch()
        lost += 1
        route.abort()

    person.page.route("**/api/v1/events", lose)
    person.act("W2 A", "made")
    person.all_sent()
    assert lost == 2
    assert kinds(served)["made"] == 1


def test_a_killed_laptop_loses_nothing_and_phones_go_on_when_it_is_back(browser: Browser, served: Served) -> None:
    """SIGKILL while phones sign: what was acknowledged is there, what was kept follows when the bench is back."""
    person = phone(browser, served, "AB")
    person.go("/ends")
    person.look()
    person.act("W2 A", "made")
    person.all_sent()
    served.stop(signal.SIGKILL)
    person.act("W2 B", "made")
    person.page.wait_for_selector('button.lug.is-kept[data-name="W2 B"]')
    served.start()
    person.page.wait_for_selector(".is-out-line", state="visible")
    person.page.click(".is-out-line a")
    person.join()
    person.all_sent()
    assert kinds(served)["made"] == 2


def test_another_screen_shows_it_and_a_failed_end_comes_back(browser: Browser, served: Served) -> None:
    """What one signs appears at the other without a touch; a failure with its words sends the end back to the maker."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD")
    for person in (one, two):
        person.go("/ends")
        person.look()
    one.act("W2 A", "made")
    two.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    two.page.click('button.lug[data-name="W2 A"]')
    two.page.fill("#end-words", "strand outside")
    two.page.click('#end-sheet [data-act="failed"]')
    one.page.wait_for_selector('button.lug.is-redo[data-name="W2 A"]')
    assert "CD: strand outside" in one.page.inner_text('[data-part="step W2"]')
    one.act("W2 A", "made")
    one.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    assert kinds(served)["redone"] == 1


def test_power_on_takes_the_word_of_everybody_who_looked(browser: Browser, served: Served) -> None:
    """One tells of power on at the laptop: every other screen asks to look again before anything can be signed."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD")
    for person in (one, two):
        person.go("/ends")
        person.look()
        person.all_sent()
    two.page.evaluate(
        """() => import(document.querySelector('script[type=module]').src.replace('main.js', 'outbox.js')).then((box) =>
        box.keep([{key: 'f'.repeat(32), kind: 'power on', who: 'CD', measured_at: '2026-02-07T12:00:00Z', of: []}]))"""
    )
    one.page.wait_for_selector("#look", state="visible")
    assert "power is on" in one.page.inner_text("#robot-state")
    one.page.click('button.lug[data-name="W2 A"]')
    assert one.page.is_disabled('#end-sheet [data-act="made"]')


def test_by_keyboard_alone(browser: Browser, served: Served) -> None:
    """Without a mouse: look, walk to a lug, open it, sign it, and the focus is back at the lug."""
    person = phone(browser, served, "AB")
    person.go("/ends")
    person.page.focus("#looked")
    person.page.keyboard.press("Enter")
    person.page.wait_for_selector("#look", state="hidden")
    for _ in range(40):
        person.page.keyboard.press("Tab")
        if person.page.evaluate("document.activeElement.dataset.name") == "W2 A":
            break
    person.page.keyboard.press("Enter")
    person.page.wait_for_selector("#end-sheet[open]")
    for _ in range(10):
        person.page.keyboard.press("Tab")
        if person.page.evaluate("document.activeElement.dataset.act") == "made":
            break
    person.page.keyboard.press("Enter")
    person.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    assert person.page.evaluate("document.activeElement.dataset.name") == "W2 A"


@pytest.mark.parametrize("path", ["/spine", "/plate"])
def test_a_tap_on_the_drawing_lists_the_ends_there(browser: Browser, served: Served, path: str) -> None:
    """A wire lists its two ends, a run those of its wires, and what is done shows on the drawing."""
    person = phone(browser, served, "AB", size=LAPTOP)
    person.go("/ends")
    person.look()
    for name in ("W6 A", "W6 B"):
        person.act(name, "made")
    person.all_sent()
    person.go(path)
    wires = person.page.locator('#drawing svg [data-about="W6"]')
    if path == "/plate":
        run = person.page.locator('#drawing svg .run[data-about="left wheel"]').first
        assert run.get_attribute("data-standing") == "to do"
        run.locator("polyline").first.dispatch_event("click")
        listed = person.page.locator("#drawing-ends li:visible")
        assert {"W6", "W7"} <= {item.get_attribute("data-wire") for item in listed.all()}
        return
    assert wires.first.get_attribute("data-standing") == "made"
    assert person.page.locator('#drawing svg [data-about="W8"]').first.get_attribute("data-standing") == "to do"
    wires.first.click()
    listed = person.page.locator("#drawing-ends li:visible")
    assert [item.get_attribute("data-wire") for item in listed.all()] == ["W6", "W6"]
    listed.first.locator("a").click()
    person.page.wait_for_selector("#end-sheet[open]")
    assert "W6" in person.page.inner_text("#end-title")
