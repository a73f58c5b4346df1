"""The rack on a phone at the cart: batteries are read, moved and charged, without a network too, and told at once."""

from __future__ import annotations

from playwright.sync_api import Browser, Locator

from tests.bench.serving import LAPTOP, Phone, Served, phone


def at_the_cart(browser: Browser, served: Served, who: str = "AB", *, mentor: bool = False) -> Phone:
    """Give somebody a phone with the Rack on it."""
    person = phone(browser, served, who)
    person.mentor = mentor
    person.go("/rack")
    return person


def battery(person: Phone, label: str) -> Locator:
    """Return the card of a battery."""
    return person.page.locator(f'article.battery[data-about="{label}"]')


def add(person: Phone, label: str) -> None:
    """Add a battery, and wait until its card is there."""
    person.page.fill("#add-battery", label)
    person.page.click('form[data-kind="battery"] button')
    battery(person, label).wait_for()


def keep(person: Phone, label: str, kind: str, **typed: str) -> None:
    """Fill in one of a battery's forms and keep it."""
    card = battery(person, label)
    if not card.locator(f'details[data-name="read {label}"][open]').count():
        card.locator(f'details[data-name="read {label}"] summary').click()
    form = card.locator(f'form[data-kind="{kind}"]')
    for name, text in typed.items():
        form.locator(f"input[name={name}]").fill(text)
    form.locator("button[type=submit]").click()


def test_a_battery_is_added_read_and_becomes_the_next(browser: Browser, served: Served) -> None:
    """What is read is judged at once and shown on another screen; the tester's currents are remembered."""
    one, two = at_the_cart(browser, served), at_the_cart(browser, served, "CD")
    add(one, "B1")
    assert battery(one, "B1").locator(".tag").text_content() == "unmeasured"
    for _ in range(2):
        keep(one, "B1", "resistance", value="20", low="1", high="10")
        one.all_sent()
        keep(one, "B1", "rested", value="13,1", hours="12")
        one.all_sent()
    battery(two, "B1").locator('.tag:text-is("fit")').wait_for()
    two.page.wait_for_selector('[data-part="next"]:has-text("B1")')
    form = battery(one, "B1").locator('form[data-kind="resistance"]')
    assert form.locator("input[name=low]").input_value() == "1"
    assert form.locator("input[name=value]").input_value() == ""
    # A card that was put in anew is as open as it was.
    assert battery(one, "B1").locator('details[data-name="read B1"][open]').count() == 1
    assert one.errors == two.errors == []


def test_without_a_network_what_is_read_is_kept_and_sent_later(browser: Browser, served: Served) -> None:
    """The card says that something of it is kept here; nothing is lost, nothing twice."""
    person = at_the_cart(browser, served)
    add(person, "B7")
    person.context.set_offline(True)
    keep(person, "B7", "warmth", value="31")
    keep(person, "B7", "played", words="Q1")
    battery(person, "B7").locator('[data-words="robot"]').click()
    person.page.wait_for_selector('article.battery.is-kept[data-about="B7"]')
    person.context.set_offline(False)
    person.page.evaluate("dispatchEvent(new Event('online'))")
    person.all_sent()
    battery(person, "B7").locator("text=in the robot, since").wait_for()
    assert battery(person, "B7").locator("dd").last.text_content() == "1"


def test_a_charge_begins_and_ends_at_the_charger(browser: Browser, served: Served) -> None:
    """The charger says who goes on it; its end voltage and its hours are told, and the battery cools."""
    person = at_the_cart(browser, served)
    add(person, "B8")
    person.page.fill("#add-charger", "C8")
    person.page.fill("#add-gentle", "2")
    person.page.fill("#add-fast", "6")
    person.page.click('form[data-kind="charger"] button')
    charger = person.page.locator('article[aria-label="Charger C8"]')
    charger.wait_for()
    keep(person, "B8", "rested", value="12.1", hours="20")
    charger.locator('[data-rack="move"][data-battery="B8"]').click()
    charger.locator("text=B8 is on it").wait_for()
    charger.locator("input[name=value]").fill("13.4")
    charger.locator("button[type=submit]").click()
    battery(person, "B8").locator("text=/(cooling|on the rack), since/").wait_for()
    charger.locator("text=B8 is on it").wait_for(state="detached")
    assert person.errors == []


def test_a_dropped_battery_is_put_aside_until_a_mentor_says_why_not(browser: Browser, served: Served) -> None:
    """The cautions come first; a student has no button to release it, a mentor has to say what was found."""
    student, mentor = at_the_cart(browser, served), at_the_cart(browser, served, "MM", mentor=True)
    add(student, "B9")
    battery(student, "B9").locator('details[data-name="read B9"] summary').click()
    battery(student, "B9").locator('[data-rack="look"][data-words="dropped"]').click()
    student.page.wait_for_selector('section[aria-label="Put aside"]:has-text("B9")')
    student.page.wait_for_selector('article.battery.is-quarantine[data-about="B9"]')
    assert battery(student, "B9").locator('[data-words="robot"]').count() == 0
    assert battery(student, "B9").locator('[data-rack="release"]').count() == 0
    release = battery(mentor, "B9").locator('[data-rack="release"]')
    release.click()
    assert mentor.page.inner_text("#said").startswith("Say in a few words")
    battery(mentor, "B9").locator('label:has-text("Mentor") input').fill("fell on foam, case whole")
    release.click()
    student.page.wait_for_selector('article.battery:not(.is-quarantine)[data-about="B9"]')


def test_what_is_no_number_is_asked_for_and_what_can_not_be_is_told(browser: Browser, served: Served) -> None:
    """Words where a number belongs are not sent; 3 V at rest is sent, kept, and said to count for nothing."""
    person = phone(browser, served, "AB", size=LAPTOP)
    person.go("/rack")
    add(person, "B6")
    keep(person, "B6", "rested", value="about 12")
    assert person.page.inner_text("#said") == "Write the voltage."
    keep(person, "B6", "resistance", value="20", low="1", high="")
    assert person.page.inner_text("#said") == "Write both test currents."
    keep(person, "B6", "load test", value="10.8", seconds="10")
    assert person.page.inner_text("#said") == "Write a number: the current of the test."
    keep(person, "B6", "load test", value="10.8", seconds="10", load="200")
    keep(person, "B6", "capacity", value="2.1", load="2.9", down="10.5")
    battery(person, "B6").locator('dd:has-text(" Ah (")').wait_for()
    keep(person, "B6", "rested", value="3")
    battery(person, "B6").locator("text=Counts for nothing").wait_for()
    assert "3 V for a rest voltage is outside what is possible" in (battery(person, "B6").text_content() or "")
