"""Everybody can use every screen: by a reader that speaks, with weak eyes, with thick fingers, without colours."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route

from tests.bench import mixed
from tests.bench.serving import LAPTOP, PHONE, Phone, Served, phone

_LOOK = Path(__file__).with_name("looking.js").read_text(encoding="utf-8")
#: By how much a page is too wide as it is, and with text twice as large.
_TOO_WIDE = """["", "212.5%"].map((size) => {
  const page = document.documentElement;
  page.style.fontSize = size;
  const wide = page.scrollWidth - page.clientWidth;
  page.style.fontSize = "";
  return wide;
})"""
#: How far each wire and run on a drawing is shown to be, and how strong its first shape is.
_STANDINGS = """Object.fromEntries([...document.querySelectorAll("#drawing [data-standing]")].map((one) => {
  const shape = one.matches(".run") ? one : one.querySelector(":scope > rect, :scope > path");
  return [one.dataset.about, [one.dataset.standing, getComputedStyle(shape).opacity]];
}))"""
_SIZES = {"phone": PHONE, "laptop": LAPTOP}


@dataclass
class Looks:
    """Everything that was found on one screen at one size."""

    violations: list[str]
    too_wide_px: list[int]
    seen: dict[str, list[dict[str, Any]]]

    def below(self, kind: str, least: float) -> list[str]:
        """Name the texts or edges of a lower contrast."""
        return [f"{one['name']}: {one['ratio']:.2f}" for one in self.seen[kind] if one["ratio"] < least]


@dataclass
class Visit:
    """A mentor who is in, with everything that a screen can show; each screen is looked at once for all tests."""

    person: Phone
    found: dict[tuple[str, str], Looks] = field(default_factory=dict)

    def looks(self, screen: str, size: str) -> Looks:
        """Return what is found on a screen at a size."""
        if (screen, size) not in self.found:
            path, prepare = _SCREENS[screen]
            self.person.page.set_viewport_size(PHONE)  # type: ignore[arg-type]  # two numbers by name
            self.person.go(path)
            prepare(self.person)
            for name, wide in _SIZES.items():
                self.person.page.set_viewport_size(wide)  # type: ignore[arg-type]  # two numbers by name
                self.found[screen, name] = looked_at(self.person.page)
        return self.found[screen, size]


def looked_at(page: Page) -> Looks:
    """Return everything that is found on a page as it stands."""
    # Everything is laid out first: what is done only near the screen would move under the hands of whoever measures.
    page.evaluate(
        "document.querySelectorAll('.step, .row').forEach((one) => (one.style.contentVisibility = 'visible'))"
    )
    told = Axe().run(page, options={"resultTypes": ["violations"], "preload": False}).response["violations"]
    violations = [f"{one['id']}: {one['help']} {[node['target'] for node in one['nodes'][:5]]}" for one in told]
    seen = page.evaluate(_LOOK)
    return Looks(violations, page.evaluate(_TOO_WIDE), seen)


def _as_it_is(_person: Phone) -> None:
    """Do nothing more."""


def _having_looked(person: Phone) -> None:
    """Look at the robot, so that rows can be measured."""
    person.look()


def _all_open(person: Phone) -> None:
    """Open whatever can be opened."""
    person.page.evaluate("document.querySelectorAll('details:not(.more)').forEach((one) => (one.open = true))")


def _more(person: Phone) -> None:
    """Show what is behind "More" on a phone."""
    person.page.click(".more summary")
    person.page.wait_for_selector('.more-list a[href="/rack"]')


def _leaving(person: Phone) -> None:
    """Ask whether somebody else is at this phone, while the laptop has no stream left for it."""
    person.page.click("#who-change")
    person.page.evaluate("document.body.classList.add('is-crowded')")
    person.page.wait_for_selector("#leave", state="visible")


def _told(mood: str) -> Callable[[Phone], None]:
    """Show the state as it is while power is told on or a danger is open: the same words in the louder dress."""

    def prepare(person: Phone) -> None:
        person.page.evaluate(
            """(mood) => {
            const state = document.querySelector("#strip .state");
            state.className = `state is-${mood}`;
            state.setAttribute("role", "alert");
            state.innerHTML = '<p class="words"><b>Stop. smoke, block (AB).</b> Main breaker off.</p> ';
            const link = state.appendChild(document.createElement("a"));
            [link.className, link.href, link.textContent] = ["button", "/hunt", "To the hunt"];
            }""",
            mood,
        )

    return prepare


def _look_first(person: Phone) -> None:
    """Show the questions that are asked before the work."""
    person.page.evaluate("localStorage.clear()")
    person.go("/ends")
    person.page.wait_for_selector("#look", state="visible")


def _sheet_of(name: str) -> Callable[[Phone], None]:
    def prepare(person: Phone) -> None:
        person.look()
        person.page.click(f'button.lug[data-name="{name}"]')
        person.page.wait_for_selector("#end-sheet[open] img")

    return prepare


def _troubles(person: Phone) -> None:
    """Show what is seldom there: no connection, another start of the bench, nobody named, and all its words."""
    person.page.evaluate("document.body.classList.add('is-alone', 'is-out')")
    person.page.evaluate("document.querySelector('#who-form').removeAttribute('hidden')")
    person.page.wait_for_selector("#refused li")


def _wrong_code(person: Phone) -> None:
    person.page.fill("#who", "AB")
    person.page.fill("#code", "nothing")
    person.page.click("#join button")
    person.page.wait_for_selector("#told:not(:empty)")


_SCREENS: dict[str, tuple[str, Callable[[Phone], None]]] = {
    "ends": ("/ends", _look_first),
    "an end to make": ("/ends", _sheet_of(mixed.TO_DO)),
    "an end to pull": ("/ends", _sheet_of(mixed.MADE)),
    "pull": ("/pull", _as_it_is),
    "wake-up": ("/wake-up", _having_looked),
    "plate": ("/plate", _as_it_is),
    "spine": ("/spine", _as_it_is),
    "rack": ("/rack", _all_open),
    "trace": ("/trace", _as_it_is),
    "team": ("/team", _as_it_is),
    "share": ("/share", _as_it_is),
    "more": ("/team", _more),
    "another person": ("/team", _leaving),
    "power told on": ("/trace", _told("on")),
    "danger": ("/trace", _told("stop")),
    "troubles": ("/trace", _troubles),
    "join": ("/join", _wrong_code),
}
_EVERY = pytest.mark.parametrize(("screen", "size"), [(screen, size) for screen in _SCREENS for size in _SIZES])


@pytest.fixture(scope="module")
def visit(browser: Browser, served_mixed: Served) -> Iterator[Visit]:
    """Join as a mentor, have the laptop refuse one event and lose the next: one stays refused, one stays kept."""
    person = phone(browser, served_mixed, "EF")
    person.mentor = True
    person.page.route("**/api/v1/events", _refuse_one_and_lose_the_rest())
    person.go("/ends")
    person.page.click("#looked")
    person.page.wait_for_selector("#refused li")
    person.act(mixed.SPARE, "again")
    person.page.wait_for_selector(f'button.lug.is-kept[data-name="{mixed.SPARE}"]')
    yield Visit(person)
    person.context.close()


def _refuse_one_and_lose_the_rest() -> Callable[[Route], None]:
    told = 0

    def answer(route: Route) -> None:
        nonlocal told
        told += 1
        if told > 1:
            route.abort()
            return
        events = json.loads(route.request.post_data or "{}")["events"]
        why = ["Another event has this key already. Nothing is lost: send it again with a new key."]
        answers = [{"key": event["key"], "outcome": "refused", "why": why} for event in events]
        route.fulfill(json={"answers": answers, "arrival": 0})

    return answer


@_EVERY
def test_a_tool_that_looks_for_barriers_finds_none(visit: Visit, screen: str, size: str) -> None:
    """Names, roles, labels, order of headings, contrast and the rest of what a program can find: no violation."""
    assert visit.looks(screen, size).violations == []


@_EVERY
def test_every_text_stands_out_seven_to_one(visit: Visit, screen: str, size: str) -> None:
    """The colour of each text on each ground under it, of locked controls and drawings too."""
    looks = visit.looks(screen, size)
    assert len(looks.seen["texts"]) > 5
    assert looks.below("texts", 7.0) == []


@_EVERY
def test_every_edge_stands_out_three_to_one(visit: Visit, screen: str, size: str) -> None:
    """Buttons, fields, boxes, lugs, and the wires on the drawings, pale ones too."""
    looks = visit.looks(screen, size)
    assert looks.seen["edges"]
    assert looks.below("edges", 3.0) == []


@_EVERY
def test_every_control_is_as_large_as_a_finger(visit: Visit, screen: str, size: str) -> None:
    """48 px each way, 64 px for the lugs."""
    controls = visit.looks(screen, size).seen["controls"]
    small = [one for one in controls if min(one["width"], one["height"]) < (64 if one["lug"] else 48)]
    assert [(one["name"], one["width"], one["height"]) for one in small] == []


def test_all_states_are_on_the_screen(visit: Visit) -> None:
    """What is shown above holds ends of every standing, rows of every verdict, and locked controls."""
    lugs = visit.looks("ends", "phone").seen["lugs"]
    assert {lug["state"] for lug in lugs} == {"is-todo", "is-made", "is-alone", "is-done", "is-redo", "is-kept"}
    texts = visit.looks("wake-up", "phone").seen["texts"]
    marks = {one["name"].partition('"')[2].strip('"') for one in texts if one["name"].startswith("b.mark")}
    assert {"good", "explain", "stop", "to do", "explained and signed"} <= marks
    assert any(one["disabled"] for one in texts)
    assert not all(one["disabled"] for one in texts if "Keep" in one["name"])
    assert any("left in this set" in one["name"] for one in visit.looks("pull", "phone").seen["texts"])


def test_states_differ_in_shape_and_words_not_in_colour_alone(visit: Visit) -> None:
    """Any two states of an end have another edge, corner, hatch or picture, and other words; so have ends A and B."""
    lugs = visit.looks("ends", "phone").seen["lugs"]
    by_state = {lug["state"]: lug for lug in lugs if lug["end"] == "A"} | {lug["state"]: lug for lug in lugs}
    for one, other in combinations(by_state.values(), 2):
        assert one["shape"] != other["shape"] or (one["end"] == other["end"] and one["picture"] != other["picture"])
        assert one["words"] != other["words"]
    to_do = {lug["end"]: lug["picture"] for lug in lugs if lug["state"] == "is-todo"}
    assert to_do["A"] != to_do["B"]


@pytest.mark.parametrize("screen", _SCREENS)
def test_no_screen_needs_more_than_its_width(visit: Visit, screen: str) -> None:
    """At 390 px, and with text twice as large, nothing but drawings and tables has to be moved sideways."""
    assert visit.looks(screen, "phone").too_wide_px == [0, 0]


def test_the_drawings_show_what_is_done(visit: Visit) -> None:
    """A wire on the Spine and a run on the Plate stand as their end that is least far, and are pale while to do."""
    for path, expected in (
        ("/spine", {"W2": ("made", "1"), "W3": ("redo", "1"), "W5": ("to do", "0.5")}),
        ("/plate", {"left wheel": ("to do", "0.5"), "right wheel": ("to do", "0.5")}),
    ):
        visit.person.go(path)
        found = visit.person.page.evaluate(_STANDINGS)
        assert {name: tuple(found[name]) for name in expected} == expected


#: What is drawn into a wire of each standing: the pattern of its gaps, whether it has ticks, how strong it is.
_PATTERNS = """(root) => Object.fromEntries([...document.querySelectorAll(`${root} [data-standing]`)].map((one) => {
  const drawn = (path) => getComputedStyle(one.querySelector(path) ?? document.head).display !== "none";
  const shown = (part) => drawn(".standing-mark") && drawn(`.standing-mark ${part}`);
  const gaps = shown(".gaps") ? getComputedStyle(one.querySelector(".gaps")).strokeDasharray : "";
  const shape = one.matches(".run") ? one : one.querySelector("rect, path");
  return [one.dataset.standing, [gaps, shown(".ticks"), getComputedStyle(shape).opacity].join(" ")];
}))"""


def test_the_standings_of_wires_differ_without_colour_and_are_explained(visit: Visit) -> None:
    """Five patterns in the legend, each another one; what is on the drawing looks as the legend says."""
    visit.person.go("/spine")
    legend = visit.person.page.evaluate(_PATTERNS, ".legend")
    assert list(legend) == ["to do", "made", "pulled, not witnessed", "pulled", "redo"]
    assert len(set(legend.values())) == 5
    words = visit.person.page.locator(".legend li").all_inner_texts()
    assert words == ["to do", "made", "pulled, not witnessed", "done", "to make again"]
    drawn = visit.person.page.evaluate(_PATTERNS, "#drawing")
    assert {"to do", "made", "redo"} <= set(drawn)
    assert drawn == {standing: legend[standing] for standing in drawn}
