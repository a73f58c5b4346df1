"""What is locked on every screen while power or a danger is told, while nobody has looked, and for whom."""

from __future__ import annotations

import json
import unicodedata
from datetime import UTC, datetime
from typing import Any
from urllib.request import urlopen

from playwright.sync_api import Browser

from loomwright.records.people import person
from tests.bench.serving import Phone, Served, phone
from tests.bench.test_hunt import post, records
from tests.bench.test_journey import kinds

ROW = '.row[data-about="left wheel: plus"]'


def ready_to_measure(served: Served) -> None:
    """Sign and pull what measuring waits for, and answer its questions by two people, from the laptop's keyboard."""
    told = bench(served)
    lugs = [
        end
        for group in told["ends"]["groups"]
        for step in group["steps"]
        for end in step["ends"]
        if end["second_person"]
    ]
    made = [
        {"kind": "made", "who": "AB", "wire": end["wire"], "end": end["end"], "key": f"{n:032x}"}
        for n, end in enumerate(lugs, 1)
    ]
    pulled = [
        {"kind": "pulled", "who": "CD", "wire": one["wire"], "end": one["end"], "of": [one["key"]]} for one in made
    ]
    looks = [look for look in told["wake_up"]["looks"] if look["before"] == "measuring"]
    now = told["now"]
    answers = [
        {"kind": "confirmed", "who": who, "about": look["key"], "of": look["of"], "measured_at": now}
        for look in looks
        for who in ("AB", "CD")
    ]
    post(served, *made, *pulled, *answers)


def bench(served: Served) -> dict[str, Any]:
    """Return what the laptop tells of the bench, with the time that it is."""
    with urlopen(f"http://127.0.0.1:{served.port}/api/v1/bench") as answer:
        told: dict[str, Any] = json.loads(answer.read())
    return told | {"now": f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}"}


def of_power(served: Served) -> list[str]:
    """Return what the next power event names."""
    return list(bench(served)["wake_up"]["power"]["of"])


def measurer(browser: Browser, served: Served) -> Phone:
    """Give somebody a phone on Wake-up, ready to measure."""
    ready_to_measure(served)
    person_ = phone(browser, served, "AB")
    person_.go("/wake-up")
    person_.look()
    person_.page.wait_for_selector(f"{ROW} input[name=value]:enabled", state="attached")
    person_.page.click(f"{ROW} summary")
    person_.page.wait_for_selector(f"{ROW} input[name=value]:enabled")
    return person_


def test_a_row_with_something_typed_in_it_is_locked_when_power_is_told_on(browser: Browser, served: Served) -> None:
    """What is typed stays; it can't be kept, by button or by key, and the screen says why; nothing is recorded."""
    one = measurer(browser, served)
    one.page.fill(f"{ROW} input[name=value]", "0.3")
    post(served, {"kind": "power on", "of": of_power(served)})
    one.page.wait_for_selector(f"{ROW} input[name=value]:disabled")
    assert one.page.input_value(f"{ROW} input[name=value]") == "0.3"
    assert one.page.is_disabled(f"{ROW} [type=submit]")
    one.page.evaluate(f"document.querySelector('{ROW} .reading-form').requestSubmit()")
    assert one.page.inner_text(f"{ROW} .told").startswith("Not kept.")
    assert "power is on" in one.page.inner_text(f"{ROW} .told")
    assert kinds(served)["measured"] == 0
    for before in ("measuring", "power"):
        assert one.page.is_disabled(f'[data-looks="{before}"] [data-wake="confirm all"]')
    assert "tell it on Wake-up" in one.page.inner_text('[data-looks="measuring"] [data-locked-looks]')
    assert one.page.is_disabled("#looked")
    assert "power is on" in one.page.inner_text("#looked-not")
    post(served, {"kind": "power off", "of": of_power(served)})
    one.page.wait_for_selector("#looked:enabled")
    assert one.page.is_disabled(f"{ROW} [type=submit]"), "everybody looks anew"


def test_a_danger_locks_signing_measuring_and_power_on_every_screen(browser: Browser, served: Served) -> None:
    """At once and in words; a phone that tapped it without a network locks itself; cleared, everybody looks anew."""
    one = measurer(browser, served)
    two = phone(browser, served, "CD")
    two.go("/ends")
    two.look()
    two.all_sent()
    two.page.click('button.lug[data-name="W6 A"]')
    two.page.wait_for_selector('#end-sheet [data-act="made"]:enabled')
    hunt, danger = "e" * 32, "f" * 32
    post(served, {"kind": "hunt", "key": hunt}, {"kind": "danger", "key": danger, "of": [hunt], "words": "smoke"})
    one.page.wait_for_selector(f"{ROW} input[name=value]:disabled")
    assert "Danger: smoke" in one.page.inner_text("[data-part='lock power']")
    assert one.page.is_disabled('[data-wake="on"]')
    assert one.page.is_disabled("#looked")
    two.page.wait_for_selector('body[data-danger*="smoke"]')
    two.page.evaluate("document.querySelector('#end-sheet [data-act=made]').disabled = false")
    two.page.click('#end-sheet [data-act="made"]')
    assert "danger was told, smoke" in two.page.inner_text("#end-told")
    assert two.page.is_disabled('#end-sheet [data-act="made"]')
    assert {one["wire"] for one in records(served) if one["kind"] == "made"}.isdisjoint({"W6"})
    assert any("Danger: smoke" in words for words in bench(served)["wake_up"]["locks"]["signing"])
    post(served, {"kind": "cleared", "of": [hunt, danger]})
    one.page.wait_for_selector('body[data-danger=""]')
    one.page.wait_for_selector("#looked:enabled")
    assert one.page.is_disabled(f"{ROW} [type=submit]")


def test_a_danger_that_is_kept_on_a_phone_locks_it(browser: Browser, served: Served) -> None:
    """Tapped without a network: this phone signs nothing more, though the laptop has not heard of it."""
    one = phone(browser, served, "AB")
    one.go("/ends")
    one.look()
    one.all_sent()
    one.context.set_offline(True)
    one.page.evaluate(
        """() => import(document.querySelector('script[type=module]').src.replace('main.js', 'outbox.js')).then((box) =>
        box.keep([{key: 'f'.repeat(32), kind: 'danger', words: 'hiss', who: 'AB', of: ['e'.repeat(32)],
                   measured_at: '2026-02-07T12:00:00Z'}]))"""
    )
    one.page.wait_for_selector('body[data-danger-kept="hiss"]')
    one.page.click('button.lug[data-name="W6 A"]')
    assert one.page.is_disabled('#end-sheet [data-act="made"]')
    assert "danger was told, hiss" in one.page.inner_text("#end-told")


def test_nobody_measures_or_walks_before_they_have_looked(browser: Browser, served: Served) -> None:
    """Two others have looked: whoever holds this phone looks, too. On the walk the buttons wait for it, in words."""
    ready_to_measure(served)
    one = phone(browser, served, "EF")
    one.go("/wake-up")
    assert bench(served)["wake_up"]["locks"]["measuring"] == []
    assert one.page.is_disabled(f"{ROW} [type=submit]")
    assert "Look at the robot first" in one.page.inner_text("[data-locked-measuring]")
    one.go("/trace")
    assert one.page.is_disabled(".trace-form [data-trace]")
    assert "Look at the robot first" in one.page.inner_text("[data-locked-trace]")
    one.look()
    assert one.page.is_enabled(".trace-form [data-trace]")
    one.go("/wake-up")
    assert one.page.is_enabled(f"{ROW} [type=submit]")


def test_another_person_with_the_same_browser_looks_for_themselves(browser: Browser, served: Served) -> None:
    """AA looked, BB takes over: the questions are back and nothing can be signed; AA again need not look twice."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"http://127.0.0.1:{served.port}/ends")
    page.wait_for_selector("body.is-ready")

    def am(who: str) -> None:
        page.evaluate(
            """(who) => { document.querySelector("#who-field").value = who;
            document.querySelector("#who-form").requestSubmit(); }""",
            who,
        )

    am("AA")
    page.click("#looked")
    page.wait_for_selector("#look", state="hidden")
    am("BB")
    page.wait_for_selector("#look", state="visible")
    page.click('button.lug[data-name="W6 A"]')
    assert page.is_disabled('#end-sheet [data-act="made"]')
    page.keyboard.press("Escape")
    am("a.a")
    page.wait_for_selector("#look", state="hidden")
    context.close()


def test_a_phone_tells_people_apart_as_the_laptop_does(browser: Browser, served: Served) -> None:
    """Every letter of the first plane, in a name, comes to the same on both, as far as both know it."""
    one = phone(browser, served, "AB")
    one.go("/ends")
    signs = [chr(n) for n in range(0x20, 0xD800) if unicodedata.category(chr(n)) != "Cn"]
    told = one.page.evaluate(
        """async (names) => {
        const base = await import(document.querySelector('script[type=module]').src.replace('main.js', 'base.js'));
        return names.map((name) => base.person(name));
        }""",
        [f"A.{sign} b" for sign in signs],
    )
    other = [(hex(ord(sign)), person(f"A.{sign} b"), name) for sign, name in zip(signs, told, strict=True)]
    # A browser may know letters that this Python does not know yet, and have capitals for them.
    known = [one for one in other if all(unicodedata.category(letter) != "Cn" for letter in one[2])]
    assert [one for one in known if one[1] != one[2]] == []
    assert len(known) > 40000
