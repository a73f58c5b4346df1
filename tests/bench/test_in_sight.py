"""What a phone shows wherever it is scrolled to: the state of the robot, what comes next, why a button is locked."""

from __future__ import annotations

import shutil
from itertools import count
from pathlib import Path
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, FloatRect, Locator, Page

from tests.bench.mixed import mix
from tests.bench.serving import LAPTOP, Phone, Served, bench_of, close, phone

SMALL = {"width": 375, "height": 812}
_keys = count(0xABC000)


def tell(served: Served, kind: str, **fields: Any) -> str:  # noqa: ANN401  fields of an event
    """Tell something at the laptop itself; return the key of it."""
    key = f"{next(_keys):032x}"
    event = {"key": key, "kind": kind, "who": "CD", "measured_at": "2026-02-07T12:00:00Z", **fields}
    with httpx.Client(base_url=f"http://127.0.0.1:{served.port}", headers={"X-Bench": "1"}) as client:
        answers = client.post("/api/v1/events", json={"events": [event]}).json()["answers"]
    assert answers[0]["outcome"] == "added", answers
    return key


def box(found: Locator) -> FloatRect:
    """Return where something is on the screen [px]."""
    held = found.bounding_box()
    assert held is not None
    return held


def in_sight(page: Page, selector: str) -> bool:
    """Tell whether something lies whole on the screen and nothing lies on its middle."""
    return bool(
        page.evaluate(
            """(selector) => {
            const held = [...document.querySelectorAll(selector)].find((one) => one.checkVisibility());
            if (!held) return false;
            const at = held.getBoundingClientRect();
            const top = document.elementFromPoint(at.left + at.width / 2, at.top + at.height / 2);
            return at.top >= 0 && at.bottom <= innerHeight && held.contains(top);
            }""",
            selector,
        )
    )


def far_down(person: Phone) -> Locator:
    """Scroll to an end that is far from the top of the page."""
    lug: Locator = person.lug("W12 A")
    lug.scroll_into_view_if_needed()
    assert person.page.evaluate("scrollY") > 1000
    return lug


def test_power_and_danger_stay_in_sight_and_lock_an_open_sheet(browser: Browser, served: Served) -> None:
    """Told while a phone is scrolled and a sheet is open: it stands over the sheet, and nothing can be signed there."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    person.look()
    person.all_sent()
    far_down(person).click()
    sign = person.page.locator('#end-sheet [data-act="made"]')
    assert sign.is_enabled()
    person.page.fill("#end-words", "half written")

    on = tell(served, "power on")
    person.page.wait_for_selector("#end-sheet .state.is-on")
    assert in_sight(person.page, "#end-sheet .state.is-on")
    assert sign.is_disabled()
    assert "power was told on" in person.page.inner_text("#end-told")
    assert in_sight(person.page, "#end-told")
    assert person.page.input_value("#end-words") == "half written"

    tell(served, "power off", of=[on])
    person.page.wait_for_selector('#end-told:has-text("Look at the robot first")')
    assert sign.is_disabled()
    hunt = tell(served, "hunt")
    tell(served, "danger", about="battery", words="smoke", of=[hunt])
    person.page.wait_for_selector("#end-sheet .state.is-stop")
    assert "danger was told" in person.page.inner_text("#end-told")
    person.page.keyboard.press("Escape")
    assert in_sight(person.page, "#strip .state.is-stop")
    person.context.set_offline(True)
    person.page.wait_for_selector("#strip .state.is-unknown", state="visible")
    assert in_sight(person.page, "#strip .state.is-stop")
    assert in_sight(person.page, "#strip .state.is-unknown")
    close(person.context)


def test_the_state_is_one_small_line_while_all_is_quiet(browser: Browser, served: Served) -> None:
    """In sight at the end of the page, too, and gone from nowhere without a network."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    person.look()
    person.all_sent()
    person.page.wait_for_selector('.state.is-quiet:has-text("AB looked")')
    far_down(person)
    assert in_sight(person.page, "#strip .state.is-quiet")
    assert box(person.page.locator("#strip"))["height"] < 40
    person.context.set_offline(True)
    person.page.wait_for_selector("#strip .state.is-unknown", state="visible")
    assert in_sight(person.page, "#strip .state.is-unknown")
    assert not person.page.is_visible(".state.is-quiet")
    close(person.context)


def test_a_sheet_goes_with_what_another_phone_does_to_its_end(browser: Browser, served: Served) -> None:
    """Open to be made while somebody else makes it: the sheet offers what there is to do then, in the right words."""
    one, two = phone(browser, served, "AB", size=SMALL), phone(browser, served, "CD", size=SMALL)
    for person in (one, two):
        person.go("/ends")
        person.look()
    one.lug("W2 A").click()
    assert one.page.is_visible('[data-act="made"]')
    two.act("W2 A", "made")
    one.page.wait_for_selector('#end-sheet [data-act="pulled"]:has-text("It held")')
    assert not one.page.is_visible('[data-act="made"]')
    one.page.click('#end-sheet [data-act="pulled"]')
    two.page.wait_for_selector('button.lug.is-done[data-name="W2 A"]')
    for person in (one, two):
        close(person.context)


def test_why_a_button_is_locked_stands_above_it_and_leads_to_the_questions(browser: Browser, served: Served) -> None:
    """In sight without scrolling; one tap closes the sheet and shows what has to be answered."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    far_down(person).click()
    person.page.wait_for_selector("#end-sheet[open]")
    assert in_sight(person.page, "#end-told")
    reason, button = box(person.page.locator("#end-told")), box(person.page.locator('#end-sheet [data-act="made"]'))
    assert reason["y"] + reason["height"] <= button["y"]
    person.page.click("[data-to-look]")
    assert in_sight(person.page, "#looked")
    close(person.context)


def test_a_post_is_looked_at_and_a_joint_is_pulled_in_the_same_words(browser: Browser, served: Served) -> None:
    """On a battery post the sheet asks for a look and its button says so; a lug says what the lists say."""
    one, two = phone(browser, served, "AB", size=SMALL), phone(browser, served, "CD", size=SMALL)
    for person in (one, two):
        person.go("/ends")
        person.look()
    for name in ("W1 A", "W2 A"):
        one.act(name, "made")
        two.page.wait_for_selector(f'button.lug.is-made[data-name="{name}"]:has-text("made")')
    for name, words in (("W1 A", "It is tight: I looked"), ("W2 A", "It held: I pulled")):
        two.lug(name).click()
        assert two.page.inner_text('#end-sheet [data-act="pulled"]') == words
        two.page.keyboard.press("Escape")
    for person in (one, two):
        close(person.context)


def test_whoever_joined_changes_by_joining_anew_and_a_laptop_by_writing_a_name(
    browser: Browser, served: Served
) -> None:
    """What the next person signs is under their own name; at the laptop itself nobody has joined."""
    person = phone(browser, served, "XY", size=SMALL)
    person.go("/pull")
    person.page.click("#who-change")
    assert not person.page.is_visible("#who-form")
    person.page.click("#stay")
    assert not person.page.is_visible("#leave-form")
    person.page.click("#who-change")
    person.page.click("#leave")
    person.page.wait_for_url("**/join?to=*")
    person.who = "ZZ"
    person.join()
    assert person.page.url.endswith("/pull")
    assert person.page.inner_text("#who-change b") == "ZZ"
    person.go("/ends")
    person.look()
    person.act("W2 A", "made")
    person.all_sent()
    person.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    assert person.lug("W2 A").get_attribute("data-maker") == "ZZ"
    close(person.context)

    laptop = phone(browser, served, "", size=LAPTOP)
    laptop.page.goto(f"http://127.0.0.1:{served.port}/ends")
    laptop.page.wait_for_selector("body.is-ready")
    for name in ("KL", "MN"):
        laptop.page.click("#who-change")
        laptop.page.fill("#who-field", name)
        laptop.page.click("#who-form button")
        assert laptop.page.inner_text("#who-change b") == name
        assert not laptop.page.is_visible("#who-form")
    close(laptop.context)


def test_an_idle_phone_says_that_the_bench_was_started_again(browser: Browser, served: Served) -> None:
    """Nothing is signed: the phone finds out by itself that it is not in any more, and shows the way in."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    served.stop()
    person.page.wait_for_selector(".state.is-unknown", state="visible")
    served.start()
    person.page.wait_for_selector(".is-out-line", state="visible", timeout=20000)
    assert not person.page.is_visible(".state.is-unknown")
    person.page.click(".is-out-line a")
    person.join()
    assert not person.page.is_visible(".is-out-line")
    close(person.context)


def test_where_too_many_screens_listen_the_page_says_so_and_asks_by_itself(browser: Browser, served: Served) -> None:
    """A stream that is refused is no lost connection: the state stays, in words why, and news come all the same."""
    person = phone(browser, served, "AB", size=SMALL)
    refused = {"code": "too-many-streams", "what": "64 screens listen already.", "fix": "Close some."}
    person.page.route("**/api/v1/stream", lambda route: route.fulfill(status=503, json=refused))
    person.go("/ends")
    person.page.wait_for_selector(".is-crowded-line", state="visible")
    assert not person.page.is_visible(".state.is-unknown")
    tell(served, "power on")
    person.page.wait_for_selector("#strip .state.is-on", timeout=20000)
    close(person.context)


@pytest.mark.parametrize("path", ["/ends", "/pull", "/wake-up", "/spine", "/hunt", "/rack", "/trace", "/team"])
def test_the_work_begins_in_the_first_third_of_a_phone(browser: Browser, served: Served, path: str) -> None:
    """Nothing but the robot, its state and the questions stands above it; every screen is one or two taps away."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go(path)
    person.look()
    person.all_sent()
    # On a slow machine the line of the state is longer for a moment: until the laptop has answered.
    person.page.wait_for_function("() => document.querySelector('main h1').getBoundingClientRect().y < 812 / 6")
    first = {"/ends": ".ahead", "/wake-up": ".ahead", "/spine": "#drawing", "/hunt": "#tell-title"}.get(path, "main h1")
    assert box(person.page.locator(first).first)["y"] < 812 / 3
    bar = person.page.locator("nav.bar")
    assert bar.locator("> a").all_inner_texts() == ["Ends", "Pull", "Wake-up", "Hunt"]
    bar.locator("summary").click()
    assert in_sight(person.page, '.more-list a[href="/rack"]')
    person.page.keyboard.press("Escape")
    assert not bar.locator('a[href="/rack"]').is_visible()
    close(person.context)


def test_next_on_ends_leads_to_the_step(browser: Browser, served: Served) -> None:
    """It names the wires and what to make first, and a tap brings the step under the state, not behind it."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    person.look()
    for name in ("W2 A", "W2 B", "W3 A"):
        person.act(name, "made")
    person.page.wait_for_selector('.ahead:has-text("W3"):has-text("Make end B.")')
    person.page.click(".ahead")
    assert in_sight(person.page, ".step.is-next .next-word")
    close(person.context)


def test_a_danger_that_is_kept_on_a_phone_stands_on_its_other_screens(browser: Browser, served: Served) -> None:
    """Told where no network is, and then another screen is opened: that one says stop, and locks its sheets."""
    person = phone(browser, served, "AB", size=SMALL)
    person.go("/ends")
    person.look()
    person.all_sent()
    person.page.route("**/api/v1/events", lambda route: route.abort())
    person.go("/hunt")
    person.page.click('[data-hunt="danger"]')
    person.page.click('#danger-sheet [data-words="smoke"]')
    person.page.wait_for_selector("#stop-kept", state="visible")
    person.go("/ends")
    person.page.wait_for_selector("#strip .is-danger-kept", state="visible")
    far_down(person).click()
    assert in_sight(person.page, "#end-sheet .is-danger-kept")
    assert person.page.is_disabled('#end-sheet [data-act="made"]')
    close(person.context)


def test_wake_up_opens_one_row_after_the_other(browser: Browser, planned_trainer: Path, tmp_path: Path) -> None:
    """What comes next is open; a good reading folds it to a line and opens the one after; any other opens by a tap."""
    folder = shutil.copytree(planned_trainer, tmp_path / "rockpool")
    mix(folder)
    with bench_of(folder) as served:
        person = phone(browser, served, "AB", size=SMALL)
        person.go("/wake-up")
        person.look()
        person.all_sent()
        person.page.click(".ahead")
        first = person.page.locator(".row.is-next")
        about, number = first.get_attribute("data-about"), first.get_attribute("id")
        assert in_sight(person.page, ".row.is-next .next-word")
        assert box(person.page.locator(".row.is-folded").first)["height"] < 90
        middle = (float(first.get_attribute("data-low") or 0) + float(first.get_attribute("data-high") or 0)) / 2
        first.locator("input[name=value]").fill(str(middle))
        first.locator("button[type=submit]").click()
        done = person.page.locator(f'.row.is-passed[data-about="{about}"]')
        done.wait_for()
        assert not done.locator("form").is_visible()
        done.locator("summary").click()
        assert done.locator("form").is_visible()
        later = person.page.locator(".row.is-next")
        assert later.get_attribute("id") != number
        assert later.locator("input[name=value]").is_enabled()
        on, off = (box(person.page.locator(f'[data-wake="{name}"]')) for name in ("on", "off"))
        assert off["y"] - (on["y"] + on["height"]) >= 16
        close(person.context)
