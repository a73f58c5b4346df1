"""The Hunt screen as it is sent: any robot can begin, a danger leaves nothing else, what people wrote stays words."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from loomwright.jobs.bench import Bench
from loomwright.jobs.hunt.at_bench import HuntAtBench, HuntSeen
from loomwright.web.pages import PAGES
from loomwright.web.views.hunt import hunt_screen
from loomwright.web.views.lit import lit_on
from tests.web.people import House, event
from tests.web.test_pages import ATTRIBUTE, SCRIPT, Reader
from tests.web.test_views import DRAWN, html, view_of

HUNT, DARK = f"{1:032x}", "look left wheel controller"


def begin(house: House, *more: dict[str, object]) -> None:
    """Begin a hunt in which one light is dark, and tell more of it."""
    told = [event(1, "hunt"), event(2, "observed", about=DARK, words="dark", of=[HUNT]), *more]
    answers = house.laptop.post("/api/v1/events", {"events": told}).data["answers"]
    assert [answer for answer in answers if answer["outcome"] != "added"] == []


class Shown(HTMLParser):
    """Reads the parts of a page: which words stand in each."""

    def __init__(self, page: str) -> None:
        """Read a page."""
        super().__init__()
        self.parts: dict[str, str] = {}
        self._open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Notice where a part begins."""
        if tag == "div":
            self._open.append(dict(attrs).get("data-part") or "")

    def handle_endtag(self, tag: str) -> None:
        """Notice where it ends."""
        if tag == "div" and self._open:
            self._open.pop()

    def handle_data(self, data: str) -> None:
        """Keep its words."""
        for part in filter(None, self._open):
            self.parts[part] = (self.parts.get(part, "") + data).strip()


@pytest.mark.parametrize(("name", "build"), [("rockpool", ""), ("tidepool", "practice")])
def test_every_robot_can_begin_a_hunt(name: str, build: str) -> None:
    """Each device with a light, each motor and each breaker can be tapped, in a build as well."""
    view = view_of(name, build)
    seen = HuntAtBench().seen(view.plan, view.state, 0)
    assert seen.robot is not None
    page = html(view, "hunt", hunt_screen(view, seen, DRAWN))
    taps = {held.get("data-see") for _, held in Reader(page).tags} - {None}
    asked = {key for key, shown in seen.robot.checks.items() if shown.kind in ("look", "seen", "drove", "breaker")}
    assert asked <= taps
    assert taps <= set(seen.robot.checks)
    assert Reader(page).inline == []


def test_an_open_hunt_says_what_is_next_and_what_it_may_be(house: House) -> None:
    """Checks to make, suspects with odds, the answer with its way to be told anew; scripts hear of the hunt, too."""
    begin(house)
    page = Reader(house.laptop.get("/hunt").text)
    items = [held for _, held in page.tags if "data-item" in held and "data-check" in held]
    assert items
    assert {held["data-needs"] for held in items} <= {"any", "dead", "alive", "driving"}
    now = next(held for _, held in page.tags if held.get("id") == "hunt-now")
    assert (now["data-phase"], now["data-hunt"]) == ("hunt", HUNT)
    assert [held["data-of"] for _, held in page.tags if held.get("data-check") == DARK and "data-of" in held] == [
        f"{2:032x}"
    ]
    assert "%" in Shown(house.laptop.get("/hunt").text).parts["suspects"]
    told = house.laptop.get("/api/v1/bench").data["hunt"]
    assert (told["key"], told["answers"][0]["about"]) == (HUNT, DARK)


def test_a_danger_leaves_nothing_but_the_stop_card(house: House) -> None:
    """No check, no suspect, no answer; every other page tells it; a mentor alone has the way on."""
    begin(house, event(3, "danger", words="smoke", about="regulator", of=[HUNT]))
    house.student.join()
    for visitor, mentor in ((house.laptop, True), (house.student, False)):
        page = visitor.get("/hunt").text
        parts = Shown(page).parts
        assert "Fetch the mentor" in parts["now"]
        assert "Smoke, regulator" in parts["now"]
        assert "".join(parts.get(part, "") for part in ("next", "tell", "suspects", "answers")) == ""
        assert ("clear-form" in page) is mentor
    for path in set(PAGES) - {"/hunt"}:
        assert "Stop. smoke, regulator (Kim)" in Reader(house.laptop.get(path).text).words


def test_a_danger_of_a_hunt_that_was_ended_still_stops(house: House) -> None:
    """Whoever ends the hunt has not made the robot safe; a mentor clears it by its own hunt."""
    begin(
        house,
        event(3, "danger", words="heat", of=[HUNT]),
        event(4, "hunt ended", words="given up", of=[HUNT]),
    )
    page = Reader(house.laptop.get("/hunt").text)
    form = next(held for _, held in page.tags if held.get("class", "").startswith("clear-form"))
    house.laptop.post("/api/v1/events", {"events": [event(5, "cleared", of=form["data-of"].split())]})
    assert 'data-phase="start"' in house.laptop.get("/hunt").text


@pytest.mark.parametrize("words", [SCRIPT, ATTRIBUTE, "{{ 7 * 7 }}"])
def test_what_people_wrote_of_a_hunt_is_text(house: House, words: str) -> None:
    """In what was seen, mended, feared and found: no tag, no attribute, on any page."""
    begin(
        house,
        event(3, "observed", about=words, words=words, of=[HUNT], who=words[:24]),
        event(4, "mended", about=words, words=words, of=[HUNT]),
        event(9, "observed", about=DARK, words=words, of=[HUNT]),
        event(10, "observed", about=DARK, words=words, of=[f"{5:032x}"]),
        event(5, "hunt", words=words, who=words[:24]),
        event(6, "observed", about=words, words=words, of=[f"{5:032x}"]),
    )
    pages = [house.laptop.get("/hunt").text, house.laptop.get("/spine").text]
    told = [
        event(7, "hunt ended", about=words, words="found", of=[HUNT]),
        event(8, "danger", about=words, words="hiss"),
    ]
    house.laptop.post("/api/v1/events", {"events": [told[0], told[1] | {"of": [HUNT]}]})
    pages += [house.laptop.get(path).text for path in ("/hunt", "/ends")]
    assert words in Reader(pages[0]).words
    for page in map(Reader, pages):
        assert page.inline == []
        assert not [name for _, held in page.tags for name in held if name in ("onx", "x'")]
        assert "49" not in page.words.replace(words, "").split()


def test_two_open_hunts_are_told_with_a_way_to_put_them_together(house: House) -> None:
    """Two phones began one each: the newest goes on, and the answers of the other can be taken over."""
    begin(house, event(5, "hunt", who="Lee"), event(6, "observed", about=DARK, words="dark", of=[f"{5:032x}"]))
    parts = Shown(house.laptop.get("/hunt").text).parts
    assert "Another hunt is open" in parts["answers"]
    assert "with 1 answers" in parts["answers"]


def test_a_plan_without_a_hunt_says_why(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a sentence, on a page that stands; the red button stays."""
    monkeypatch.setattr(Bench, "hunt", lambda *_: HuntSeen(why="There can be no hunt on this plan: no volts."))
    page = house.laptop.get("/hunt")
    assert page.status == 200
    assert "no hunt on this plan" in Shown(page.text).parts["next"]
    assert 'data-hunt="danger"' in page.text


def test_other_screens_work_nothing_out_without_a_hunt(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """Spine and Plate ask for suspects while a hunt is open, and not before."""
    asked: list[str] = []

    def counted(*_: object) -> HuntSeen:
        asked.append("hunt")
        return HuntSeen()

    monkeypatch.setattr(Bench, "hunt", counted)
    for path in set(PAGES) - {"/hunt"}:
        house.laptop.get(path)
    assert asked == []
    begin(house)
    house.laptop.get("/ends")
    assert asked == []
    house.laptop.get("/spine")
    assert asked


def test_what_is_lit_is_by_how_likely_it_is(house: House) -> None:
    """The likeliest first, each with its level; a device is lit by the row of the Spine that feeds it, too."""
    assert lit_on(house.desk.bench, house.desk.bench.view()) == []
    begin(house, event(3, "observed", about="look right wheel controller", words="lit", of=[HUNT]))
    lit = lit_on(house.desk.bench, house.desk.bench.view())
    assert {one["name"] for one in lit[:2]} == {"W6", "W7"}
    assert {one["level"] for one in lit} <= {"most", "some", "few"}
    device = next(one for one in lit if one["name"] == "left wheel controller")
    assert device["abouts"] == ["left wheel controller", "block L1"]
