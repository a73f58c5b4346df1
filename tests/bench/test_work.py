"""What else people do at the bench in a browser: samples, the walk, settings, taking back; pauses and sleep."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta

from playwright.sync_api import Browser

from loomwright.jobs.current import planned
from loomwright.proof.as_built.verdicts import bounds, judge
from loomwright.proof.wake_up import wake_up
from tests.bench.serving import Phone, Served, phone


def mentor(browser: Browser, served: Served) -> Phone:
    """Give a mentor a phone."""
    held = phone(browser, served, "MM")
    held.mentor = True
    return held


def test_a_mentor_takes_a_signature_back_and_a_student_is_not_offered_it(browser: Browser, served: Served) -> None:
    """The end is to do again, the record stays; on a student's sheet the button is not there."""
    one, two = phone(browser, served, "AB"), mentor(browser, served)
    for person in (one, two):
        person.go("/ends")
        person.look()
    one.act("W2 A", "made")
    two.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')
    one.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]:not(.is-kept)')
    one.page.click('button.lug[data-name="W2 A"]')
    assert not one.page.is_visible('[data-act="taken back"]')
    one.page.keyboard.press("Escape")
    two.act("W2 A", "taken back")
    one.page.wait_for_selector('button.lug.is-todo[data-name="W2 A"]:not(.is-kept)')
    assert one.errors == two.errors == []


def test_a_set_of_samples_is_begun_pulled_and_judged(browser: Browser, served: Served) -> None:
    """Declared with its size, pulled force by force; no verdict before it is full; the form is empty after each."""
    person = phone(browser, served, "AB")
    person.go("/pull")
    way = person.page.locator("article.row:has(.set-form)").first
    name = way.get_attribute("aria-label") or ""
    here = person.page.locator(f'article.row[aria-label="{name}"]')
    here.locator("input[name=count]").fill("3")
    here.locator(".set-form button").click()
    here.locator(".sample-form").wait_for()
    for left in (3, 2, 1):
        here.locator(f"text={left} left in this set").wait_for()
        assert here.locator("input[name=value]").input_value() == ""
        here.locator("input[name=value]").fill("120")
        here.locator(".sample-form button[type=submit]").click()
    here.locator(".set-form").wait_for()
    # By what it holds: a browser shows no text of a row that is scrolled away (`content-visibility`).
    here.locator("text=Set 1:").wait_for(state="attached")
    assert "too few yet" not in (here.text_content() or "")


def test_the_walk_keeps_what_is_really_there(browser: Browser, served: Served) -> None:
    """What is typed is kept, shown, and counted as not as planned; a later word takes its place."""
    person = phone(browser, served, "AB")
    person.go("/trace")
    person.look()
    row = person.page.locator("article.row[data-about]").first
    about = row.get_attribute("data-about")
    here = person.page.locator(f'article.row[data-about="{about}"]')
    here.locator("input[name=words]").fill("the pump")
    here.locator("button[type=submit]").click()
    here.locator("text=AB: the pump").wait_for()
    person.page.wait_for_selector('[data-part="trace"]:has-text("1 not as planned")')
    here.locator('[data-trace="as planned"], [data-trace="empty"]').first.click()
    person.page.wait_for_selector('[data-part="trace"]:has-text("0 not as planned")')


def test_samples_first_locks_the_signature_on_every_screen_at_once(browser: Browser, served: Served) -> None:
    """A mentor turns it on; a student's open page offers no signature and says why; off again, it does."""
    one, two = phone(browser, served, "AB"), mentor(browser, served)
    one.go("/ends")
    one.look()
    two.go("/team")
    for turn, locked in (("on", True), ("off", False)):
        two.page.click(f'[data-setting="samples first"][data-words="{turn}"]')
        two.all_sent()
        state = ":not([data-unlicensed])" if turn == "off" else "[data-unlicensed]"
        one.page.wait_for_selector(f'button.lug[data-name="W6 B"]{state}')
        one.page.click('button.lug[data-name="W6 B"]')
        assert one.page.is_disabled('#end-sheet [data-act="made"]') is locked
        assert ("Sample crimps first" in one.page.inner_text("#end-told")) is locked
        one.page.keyboard.press("Escape")


def test_after_a_pause_people_look_again(browser: Browser, served: Served) -> None:
    """Half an hour without a sign of work: the questions are back and nothing can be signed."""
    person = phone(browser, served, "AB")
    person.go("/ends")
    person.look()
    person.all_sent()
    person.page.evaluate(
        "Object.keys(localStorage).filter((name) => name.startsWith('loomwright looked') && !name.includes(' of '))"
        ".forEach((name) => localStorage.setItem(name, String(Date.now() - 31 * 60 * 1000)))"
    )
    person.go("/ends")
    person.page.wait_for_selector("#look", state="visible")
    person.page.click('button.lug[data-name="W2 A"]')
    assert person.page.is_disabled('#end-sheet [data-act="made"]')


def test_a_tap_is_not_lost_where_its_step_is_shown_anew_under_the_finger(browser: Browser, served: Served) -> None:
    """While a finger is down nothing under it is exchanged; it opens what it was put on, and then the news is shown."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD")
    for person in (one, two):
        person.go("/ends")
        person.look()
    two.lug("W2 B").scroll_into_view_if_needed()
    two.lug("W2 B").hover()
    two.page.mouse.down()
    one.act("W2 A", "made")
    one.all_sent()
    two.page.wait_for_function("async () => (await (await fetch(location.href)).text()).includes('is-made')")
    two.page.wait_for_timeout(300)
    assert two.page.locator('button.lug.is-made[data-name="W2 A"]').count() == 0
    two.page.mouse.up()
    two.page.wait_for_selector("#end-sheet[open]")
    assert two.page.inner_text("#end-title").startswith("W2 B")
    two.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')


def test_a_phone_that_slept_comes_for_what_it_missed(browser: Browser, served: Served) -> None:
    """Its stream is gone and nobody tells it; awake again, it fetches the page and shows it."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD")
    two.go("/ends")
    two.page.route("**/api/v1/stream", lambda route: route.abort())
    two.go("/ends")
    one.go("/ends")
    one.look()
    one.act("W2 A", "made")
    one.all_sent()
    assert two.page.locator('button.lug.is-made[data-name="W2 A"]').count() == 0
    two.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    two.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]')


def test_a_phone_judges_every_reading_as_the_laptop_does(browser: Browser, served: Served) -> None:
    """Each row of the trainer, at, under and over each of its bounds, and open: the same word on both."""
    person = phone(browser, served, "AB")
    person.go("/wake-up")
    asked: list[tuple[str, float | None, str]] = []
    for row in wake_up(planned(served.folder)).all_readings:
        held = bounds(row)
        edges = [one for one in (held.below, held.above, held.low, held.high) if abs(one) < float("inf")]
        values: list[float | None] = [0.0, -1.0, 5e6, *(e * f for e in edges for f in (0.99, 1.0, 1.01))]
        if row.setting.function != "DC volts":
            values.append(None)
        asked += [(row.key, value, str(judge(row, value).verdict)) for value in values]
    told = person.page.evaluate(
        """async (asked) => {
        const wake = await import(document.querySelector('script[type=module]').src.replace('main.js', 'wake.js'));
        return asked.map(([about, value]) => wake.verdictOf(
            document.querySelector(`.row[data-verdict][data-about="${about}"]`).dataset, value ?? Infinity));
        }""",
        json.loads(json.dumps([one[:2] for one in asked])),
    )
    assert [(*one[:2], word) for one, word in zip(asked, told, strict=True)] == asked
    assert len(asked) > 200


#: Stands for a browser that shows another tab, or this one again: pages of tests are all shown at once.
_TURN = """
Object.defineProperty(document, "hidden", {{ configurable: true, get: () => {hidden} }});
document.dispatchEvent(new Event("visibilitychange"));
"""
HIDE, SHOW = _TURN.format(hidden="true"), _TURN.format(hidden="false")


def test_tabs_that_nobody_sees_leave_the_way_free(browser: Browser, served: Served) -> None:
    """A browser keeps six connections to one laptop: an eighth tab still comes, and the first catches up when shown."""
    person, other = phone(browser, served, "AB"), phone(browser, served, "CD")
    person.go("/ends")
    person.page.evaluate(HIDE)
    for _ in range(7):
        page = person.context.new_page()
        page.goto(served.url + "/ends")
        page.wait_for_selector("body.is-ready")
        page.evaluate(HIDE)
    other.go("/ends")
    other.look()
    other.act("W2 A", "made")
    other.all_sent()
    assert person.page.locator('button.lug.is-todo[data-name="W2 A"]').count() == 1
    person.page.evaluate(SHOW)
    person.page.wait_for_selector('button.lug.is-made[data-name="W2 A"]', timeout=5000)
    assert person.errors == []


def test_a_time_of_another_day_is_told_with_its_day(browser: Browser, served: Served) -> None:
    """At an end there is room for the day alone; where more is told, day and time."""
    one, two = phone(browser, served, "AB"), phone(browser, served, "CD")
    for person in (one, two):
        person.go("/ends")
        person.look()
    one.act("W2 A", "made")
    one.all_sent()
    two.go("/pull")
    waits = two.page.locator('[data-part]:has-text("W2 A") time').first
    at = datetime.fromisoformat(waits.get_attribute("datetime") or "")
    day = f"{at.astimezone().day} {at.astimezone():%b}"
    assert waits.text_content() == f"{at.astimezone():%H:%M}"
    two.go("/ends")
    two.act("W2 A", "pulled")
    two.all_sent()
    lug = one.page.locator('button.lug.is-done[data-name="W2 A"] time')
    lug.wait_for(state="attached")
    assert re.fullmatch(r"\d\d:\d\d", lug.text_content() or "")
    one.act("W4 A", "made")
    one.all_sent()
    one.page.clock.set_fixed_time(at + timedelta(days=3))
    one.go("/ends")
    assert lug.text_content() == day
    one.go("/pull")
    told = one.page.locator('[data-part]:has-text("W4 A") time').first.text_content() or ""
    assert re.fullmatch(rf"{day}, \d\d:\d\d", told)
