"""The pages: each one answers, says nothing that it should not, and shows what people wrote as the text that it is."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from loomwright.documents.plate.plan import plate_svg
from loomwright.documents.spine.plan import spine_svg
from loomwright.jobs.bench import BenchView
from loomwright.web.pages import PAGES
from loomwright.web.views.team import team_screen
from tests.web.people import ALONE, House, an_end, event

LATER = ("Sag",)
SCRIPT = "<script>boo()</script>"
ATTRIBUTE = "\"' onx=boo() x='"
ALL = [*PAGES, "/share", "/join"]


class Reader(HTMLParser):
    """Reads a page as a browser does: its tags, what would run, and its text."""

    def __init__(self, page: str) -> None:
        """Read a page."""
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag."""
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        """Keep text."""
        self.words += data

    @property
    def inline(self) -> list[str]:
        """What the policy would refuse: scripts and styles inside of the page, handlers, links to other sites."""
        handlers = [name for _, held in self.tags for name in held if name.startswith("on") or name == "style"]
        scripts = [tag for tag, held in self.tags if tag == "style" or (tag == "script" and "src" not in held)]
        links = [
            held[name]
            for _, held in self.tags
            for name in ("href", "src", "action")
            if name in held and not re.match(r"/(?!/)|data:,|#", held[name])
        ]
        return handlers + scripts + links


@pytest.mark.parametrize("path", ALL)
def test_every_page_answers_with_all_headers_and_is_asked_for_again(house: House, path: str) -> None:
    """No browser runs or frames what is not meant, or shows an old page unasked: the same headers, nothing inline."""
    answer = house.laptop.get(path)
    assert answer.status == 200
    assert answer.field("content-type") == "text/html; charset=utf-8"
    policy = answer.field("content-security-policy")
    assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.field("cache-control") == "private, no-cache"
    assert answer.field("x-content-type-options") == "nosniff"
    assert answer.field("x-frame-options") == "DENY"
    assert answer.field("cross-origin-resource-policy") == "same-origin"
    assert answer.field("access-control-allow-origin") == ""
    assert answer.field("server") == ""
    assert Reader(answer.text).inline == []


@pytest.mark.parametrize("path", ["/nothing", "/api/v1/nothing", "/static/x/y.js", "/api/v1/bench", "/", "/plate.svg"])
def test_every_other_answer_has_the_headers_too(house: House, path: str) -> None:
    """Refusals, data, pictures and ways on as well."""
    answer = house.laptop.get(path)
    assert "default-src 'none'" in answer.field("content-security-policy")
    assert answer.field("x-content-type-options") == "nosniff"
    assert answer.field("cache-control")


def test_the_navigation_names_every_screen_and_those_to_come(house: House) -> None:
    """Each page leads to each other one, and says of the later ones that they are later."""
    for path in PAGES:
        page = Reader(house.laptop.get(path).text)
        links = [held["href"] for tag, held in page.tags if tag == "a"]
        assert set(PAGES) <= set(links)
        assert {held.get("href") for _, held in page.tags if "aria-current" in held} == {path}
        assert all(f"{title}later" in page.words for title in LATER)


def test_the_first_page_is_ends(house: House) -> None:
    """Whoever types the bare address makes ends."""
    answer = house.laptop.get("/")
    assert (answer.status, answer.field("location")) == (303, "/ends")


def signed_with(house: House, words: str) -> None:
    """Have every text that people can send hold these words, on ends that are made, pulled and failed."""
    view = house.desk.bench.view()
    wires = [(end.fitted.wire, end.fitted.end) for group in view.groups for step in group.steps for end in step.ends]
    row, look = view.wake_up.measurements[0].key, view.wake_up.looks[0].key
    texts = {"who": words[:24], "tool": words, "words": words, "revision": words}
    told, key = [], 0
    for (wire, letter), more in zip(wires[:3], ("", "pulled", "failed"), strict=True):
        key += 1
        told.append(event(key, wire=wire, end=letter, as_planned={"gauge": words, "terminal": words}, **texts))
        if more:
            key += 1
            told.append(event(key, more, wire=wire, end=letter, of=[f"{key - 1:032x}"], **texts))
    told += [
        event(91, "measured", about=row, value=3.0, unit="ohm", **texts),
        event(92, "power on", about=words, **texts),
        event(93, "confirmed", about=look, of=[f"{92:032x}"], **texts),
        event(94, "noted", about=words, **texts),
        event(95, "set begun", about=words, value=3, **texts),
        event(96, "traced", about=words, **texts),
        event(97, "setting", about=words, **texts),
    ]
    answers = house.laptop.post("/api/v1/events", {"events": told}).data["answers"]
    assert [answer for answer in answers if answer["outcome"] != "added"] == []


@pytest.mark.parametrize("words", [SCRIPT, ATTRIBUTE, "{{ 7 * 7 }}{% raw %}", "</title></textarea>-->]]>"])
def test_what_people_wrote_is_text_on_every_page(house: House, words: str) -> None:
    """A script in a name, a tool, a reason, a reading or a setting adds no tag and no attribute to any page."""
    door = Reader(house.laptop.get("/join").text).tags
    signed_with(house, words)
    for path in ALL:
        page = Reader(house.laptop.get(path).text)
        named = [name for tag, held in page.tags if tag not in ("rect", "text") for name in held]
        assert not [name for name in named if name.startswith("on") or name == "x"]
        assert page.inline == []
        assert "49" not in page.words.replace(words, "").split()
        if path in ("/ends", "/pull", "/wake-up", "/team"):
            assert words[:24].strip() in page.words
    assert Reader(house.laptop.get("/join").text).tags == door


@pytest.mark.parametrize("words", [SCRIPT, ATTRIBUTE])
def test_a_name_that_is_a_script_joins_as_a_name(house: House, words: str) -> None:
    """Who joins under it sees it as text, in the page and in its attributes."""
    phone = house.student
    name = words[:24].strip()
    assert phone.join(who=name).data["who"] == name
    assert name in Reader(phone.get("/join").text).words
    for path in ("/ends", "/team"):
        page = Reader(phone.get(path).text)
        assert page.inline == []
        assert [held["data-joined"] for tag, held in page.tags if tag == "body"] == [name]


@pytest.mark.parametrize(
    "to", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:boo()", "/share", ""]
)
def test_joining_leads_to_the_benchs_own_screens_alone(house: House, to: str) -> None:
    """An address that somebody put into a link is not followed."""
    page = Reader(house.stranger.get(f"/join?to={to}").text)
    assert [held["data-to"] for tag, held in page.tags if tag == "body"] == ["/ends"]
    page = Reader(house.stranger.get("/join?to=/wake-up").text)
    assert [held["data-to"] for tag, held in page.tags if tag == "body"] == ["/wake-up"]


def test_the_drawings_are_the_documents_own(house: House) -> None:
    """Drawn when first asked for, once for each plan, with a tag; no script in them may run."""
    plan = house.desk.bench.plan
    for name, draw in (("plate", plate_svg), ("spine", spine_svg)):
        answer = house.student.get(f"/{name}.svg")
        assert (answer.status, answer.field("content-type"), answer.body) == (200, "image/svg+xml", draw(plan))
        assert "script-src" not in answer.field("content-security-policy")
        assert "sandbox" in answer.field("content-security-policy")
        assert house.student.get(f"/{name}.svg", If_None_Match=answer.field("etag")).status == 304


def test_the_pictures_of_a_card_are_four_and_none_claims_a_size(house: House) -> None:
    """Each page that shows a card names their addresses; what is not there is refused."""
    sources = re.findall(r'src="(/cards/1-\d\.svg\?plan=[^"]+)"', house.student.get("/ends").text)
    assert [source.split("?")[0] for source in sources] == [f"/cards/1-{n}.svg" for n in (1, 2, 3, 4)]
    for source in sources:
        answer = house.student.get(source)
        assert (answer.status, answer.field("content-type")) == (200, "image/svg+xml")
        assert "true size" not in answer.text
        assert "sandbox" in answer.field("content-security-policy")
    for path in ("/cards/1-0.svg", "/cards/1-5.svg", "/cards/999-1.svg", "/cards/1.svg"):
        assert house.student.get(path).status == 404


def test_a_drawing_is_drawn_once(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    """However many phones ask."""
    drawn: list[str] = []

    def draw(_: object) -> bytes:
        drawn.append("plate")
        return b"<svg/>"

    monkeypatch.setitem(__import__("loomwright.web.screens", fromlist=["_DRAWN"])._DRAWN, "plate", draw)
    assert [house.laptop.get("/plate.svg").body for _ in range(3)] == [b"<svg/>"] * 3
    assert drawn == ["plate"]


def test_sharing_shows_the_way_in_and_says_when_nobody_came(house: House) -> None:
    """The address and the code for students; once a phone has come, no more about how to find out why none does."""
    page = house.laptop.get("/share").text
    assert "http://192.168.7.2:8340/" in page
    assert "7k3-m9q" in page
    assert "No phone has reached this laptop yet" in page
    house.stranger.get("/join")
    page = house.laptop.get("/share").text
    assert "No phone has reached this laptop yet" not in page
    assert "1 other address has reached this laptop." in page


def test_a_page_that_somebody_may_not_see_says_so_and_leads_back(house: House) -> None:
    """A student who opens the mentors' page, and an address that is not there; programs get what they got."""
    for path, status, words in (("/share", 403, "Only a mentor sees this."), ("/nothing", 404, "nothing under")):
        answer = house.student.get(path, Accept="text/html,*/*")
        page = Reader(answer.text)
        assert (answer.status, answer.field("content-type")) == (status, "text/html; charset=utf-8")
        assert words in page.words
        assert "/ends" in [held.get("href") for tag, held in page.tags if tag == "a"]
        assert page.inline == []
        assert answer.field("cache-control") == "no-store"
        assert house.student.get(path).field("content-type").startswith("text/plain")
    assert house.student.get("/api/v1/nothing", Accept="text/html").data["code"] == "not-there"


def test_a_bench_that_is_not_shared_says_how_to_share_it(tmp_path: Path) -> None:
    """And has no code to show, neither as text nor as a picture."""
    alone = House.of(tmp_path, ALONE)
    page = alone.laptop.get("/share")
    assert "--share" in page.text
    assert "7k3" not in page.text
    assert alone.laptop.get("/share.svg").status == 404
    assert 'href="/share"' not in alone.laptop.get("/ends").text


def test_a_plan_that_is_older_than_the_robot_is_told_on_every_page(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody edited the robot file: the screens go on with the plan, and say so."""
    assert "have changed since this plan" not in house.laptop.get("/ends").text
    monkeypatch.setattr(house.desk.bench, "_stale", True)
    monkeypatch.setattr(house.desk.bench, "_view", None)
    for path in PAGES:
        assert "have changed since this plan" in house.laptop.get(path).text
    assert house.laptop.get("/api/v1/bench").data["stale"] is True


def test_the_team_page_counts_people_and_tools_by_name_however_written(house: House) -> None:
    """Kim and kim are one; a tool has a failure where an end made with it failed; who made an end waits for another."""
    view = house.desk.bench.view()
    wire, letter = an_end(view)
    wires = [(end.fitted.wire, end.fitted.end) for group in view.groups for step in group.steps for end in step.ends]
    told = [
        event(1, wire=wire, end=letter, tool="Crimper 2"),
        event(2, wire=wires[1][0], end=wires[1][1], who="KIM", tool="crimper2"),
        event(3, "failed", wire=wires[1][0], end=wires[1][1], who="Lee", of=[f"{2:032x}"], words="slips"),
    ]
    house.laptop.post("/api/v1/events", {"events": told})
    after: BenchView = house.desk.bench.view()
    rows: dict[str, list[list[str]]] = {one["title"]: one["rows"] for one in team_screen(after)["sections"]}
    assert [row[:2] for row in rows["How each tool is getting on"]] == [["crimper2", "1 of 1"]]
    assert [row[:2] for row in rows["How each person is getting on"]] == [["KIM", "1 of 1"]]
    assert rows["Who waits for a pull"] == [["Kim", "1", f"{wire} {letter}"]]
    assert [row[2] for row in rows["To make again"]] == ["Lee: slips"]
