"""What the screens show of every example and every build: each end once, each row, each slot; and what comes next."""

from __future__ import annotations

import pytest

from loomwright.documents.plate.plan import plate_svg
from loomwright.jobs.bench import BenchView
from loomwright.jobs.rack.view import rack_view
from loomwright.proof.as_built.ends import built_ends, built_groups, signed_as
from loomwright.proof.as_built.samples import SAMPLES_FIRST
from loomwright.proof.ends import all_ends
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_looks import looks
from loomwright.rack.readings import day_of
from loomwright.records.event import Event, Kind, Role
from loomwright.records.fold import fold
from loomwright.robotfile.parts.library import Library
from loomwright.web.pages import template_of, templates
from loomwright.web.views.drawings import drawing_screen
from loomwright.web.views.drawn import Drawn
from loomwright.web.views.ends import ends_screen, unlicensed
from loomwright.web.views.frame import frame
from loomwright.web.views.pull import pull_screen
from loomwright.web.views.rack import rack_screen
from loomwright.web.views.team import team_screen
from loomwright.web.views.trace import trace_screen
from loomwright.web.views.wake_up import wake_screen
from tests.records.events import NOON, event, recorded
from tests.robots import EXAMPLES, example_plan

BUILDS = [(name, build) for name in EXAMPLES for build in ("", *example_plan(name).robot.builds)]
DRAWN = Drawn()


def view_of(name: str, build: str = "", *events: Event) -> BenchView:
    """Return an example beside some events."""
    plan = example_plan(name, build)
    state = fold(recorded(*events, role=Role.MENTOR))
    return BenchView(
        plan=plan,
        looks=looks(plan),
        wake=lambda: wake_up(plan),
        state=state,
        groups=built_groups(plan, state),
        arrival=len(events),
        stale=False,
    )


def html(view: BenchView, page: str, told: dict[str, object]) -> str:
    """Render one screen."""
    around = frame(view, page, Role.MENTOR) | {"who": "AB", "shared": True, "trouble": None}
    template = templates().get_template(template_of(page))
    return template.render(static=lambda name: f"/static/{name}", modules=(), **(around | told))


@pytest.mark.parametrize(("name", "build"), BUILDS)
def test_every_screen_of_every_example_shows_all_of_it(name: str, build: str) -> None:
    """Every end has one button, every row one form, every slot one line; nothing a screen needs is missing."""
    view = view_of(name, build)
    ends = html(view, "ends", ends_screen(view, DRAWN))
    for end in built_ends(view.plan, view.state):
        assert ends.count(f'data-name="{end.name}"') == 1
    wake = html(view, "wake-up", wake_screen(view, NOON))
    assert wake.count('class="reading-form"') == len(view.wake_up.all_readings)
    assert all(look.question.split("'")[0] in wake for look in view.wake_up.looks)
    trace = trace_screen(view)
    assert html(view, "trace", trace).count("trace-form") == trace["all"]
    assert "No end waits for a pull" in html(view, "pull", pull_screen(view, DRAWN))
    assert "What is left" in html(view, "team", team_screen(view))
    drawing = html(view, "plate", drawing_screen(view, plate_svg(view.plan)))
    assert "<style" not in drawing
    assert drawing.count("<li data-wire") == len(built_ends(view.plan, view.state))


def made(view: BenchView, number: int, name: str) -> Event:
    """Return the signature of an end as it is planned."""
    wire, letter = name.split()
    found = next(one for one in all_ends(view.plan) if one.name == (wire, letter))
    return event(number, Kind.MADE, wire=wire, end=letter, as_planned=signed_as(found.wire, found.end))


def next_step(view: BenchView) -> list[str]:
    """Return the wires of the step that is shown as next."""
    steps = [step for group in ends_screen(view, DRAWN)["groups"] for step in group["steps"]]
    return [wire["id"] for step in steps if step["next"] for wire in step["wires"]]


def test_next_is_the_first_step_in_build_order_that_has_an_end_to_make() -> None:
    """What waits for a pull holds nobody up; a failed end does."""
    empty = view_of("rockpool")
    assert next_step(empty) == ["W2"]
    both = [made(empty, 1, "W2 A"), made(empty, 2, "W2 B")]
    assert next_step(view_of("rockpool", "", *both)) == ["W3"]
    failed = event(3, Kind.FAILED, of=(1,), wire="W2", end="A", who="CD")
    assert next_step(view_of("rockpool", "", *both, failed)) == ["W2"]


def turn(view: BenchView, wire: str) -> str:
    """Return what the step of a wire says of what to make."""
    steps = [step for group in ends_screen(view, DRAWN)["groups"] for step in group["steps"]]
    return str(next(step["turn"] for step in steps if wire in step["by_wire"]))


def test_a_step_says_what_is_left_to_make_at_it() -> None:
    """Both ends with their order while nothing is made; then the other one; after a failure that one, again."""
    empty = view_of("rockpool")
    assert turn(empty, "W2").startswith("Cut and make. End")
    first, second = made(empty, 1, "W2 A"), made(empty, 2, "W2 B")
    assert turn(view_of("rockpool", "", second), "W2").startswith("Make end A.")
    failed = event(3, Kind.FAILED, of=(2,), wire="W2", end="B", who="CD")
    assert turn(view_of("rockpool", "", first, second, failed), "W2").startswith("Make end B again.")
    pair = view_of("rockpool", "", made(empty, 9, "W6 A"))
    assert turn(pair, "W6").startswith("Make W6 B, W7 B and W7 A.")


def test_lugs_counts_and_lists_call_a_standing_the_same() -> None:
    """Whatever an end is called, it is called so everywhere; a lug that is done has initials."""
    empty = view_of("rockpool")
    events = [made(empty, n, name) for n, name in enumerate(("W2 A", "W2 B", "W3 A", "W3 B"), 1)]
    events += [
        event(5, Kind.PULLED, of=(2,), wire="W2", end="B"),
        event(6, Kind.PULLED, of=(3,), wire="W3", end="A", who="CD"),
    ]
    events += [event(7, Kind.FAILED, of=(4,), wire="W3", end="B", who="CD")]
    told = ends_screen(view_of("rockpool", "", *events), DRAWN)
    names = ("W2 A", "W2 B", "W3 A", "W3 B", "W5 A")
    words = [told["looks"][name]["words"].replace("\N{SOFT HYPHEN}", "") for name in names]
    assert words == ["made", "pulled, not witnessed", "CD", "to make again", "to do"]
    assert {word for word, _ in told["counts"]} == {*words, "done"} - {"CD"}
    listed = drawing_screen(view_of("rockpool", "", *events), b"<svg/>")["ends"]
    said = {end["name"]: end["said"] for end in listed}
    assert [said[name] for name in names] == [*words[:2], "done, CD", *words[3:]]


def test_wake_up_leads_to_what_comes_next() -> None:
    """A lock first, in its own words, with the place on the page; no row is next while it can't be measured."""
    view = view_of("rockpool")
    told = wake_screen(view, NOON)
    assert told["ahead"]["where"] == "#lock-measuring"
    assert told["ahead"]["words"] == told["locks"]["measuring"][0]
    assert not any(item["next"] for item in told["wake"]["rows"])
    assert all(item["folded"] for item in told["wake"]["rows"])
    page = html(view, "wake-up", told)
    assert 'id="lock-measuring"' in page
    assert page.index('href="#lock-measuring"') < page.index('id="lock-measuring"')


def test_samples_first_holds_up_every_end_whose_tool_has_not_passed() -> None:
    """With the setting on, the cards of ways without a passing set say so; off, none does."""
    on = event(1, Kind.SETTING, about=SAMPLES_FIRST, words="on")
    off = event(2, Kind.SETTING, about=SAMPLES_FIRST, words="off", of=(1,))
    assert unlicensed(view_of("rockpool")) == {}
    held = unlicensed(view_of("rockpool", "", on))
    assert held
    assert all("Sample crimps first" in words for words in held.values())
    looks = ends_screen(view_of("rockpool", "", on), DRAWN)["looks"]
    assert {look["unlicensed"] for look in looks.values() if look.get("unlicensed")} == set(held.values())
    assert unlicensed(view_of("rockpool", "", on, off)) == {}


def test_a_part_has_another_version_when_what_it_shows_has_changed() -> None:
    """A screen puts in only what is new: one signature changes one step and the counts, nothing else."""
    empty = view_of("rockpool")
    one = view_of("rockpool", "", made(empty, 1, "W6 A"))

    def versions(view: BenchView) -> dict[str, str]:
        steps = [step for group in ends_screen(view, DRAWN)["groups"] for step in group["steps"]]
        return {step["part"]: step["version"] for step in steps}

    before, after = versions(empty), versions(one)
    assert [part for part in before if before[part] != after[part]] == ["step W6 W7"]


def test_the_button_for_power_is_shown_anew_when_its_lock_goes() -> None:
    """A page that stays open while the last question is answered gets a button that can be pressed."""
    view = view_of("rockpool")
    told = wake_screen(view, NOON)
    free = told | {"locks": {"measuring": [], "power": []}}
    locked, unlocked = (html(view, "wake-up", one).split('data-part="power"')[1][:400] for one in (told, free))
    assert "disabled" in locked
    assert "disabled" not in unlocked
    assert locked.split(">")[0] != unlocked.split(">")[0]


@pytest.mark.parametrize(
    ("page", "asks"), [("ends", True), ("pull", True), ("wake-up", True), ("trace", True), ("team", False)]
)
def test_every_screen_that_asks_for_hands_on_wires_asks_people_to_look(page: str, asks: bool) -> None:  # noqa: FBT001
    """The walk, too: fingers follow wires."""
    assert frame(view_of("rockpool"), page, Role.STUDENT)["hands_on"] is asks


def test_the_walk_tells_what_is_not_as_planned() -> None:
    """A slot with something else on it is listed with what was found; as planned and empty where free are not."""
    slots = [slot for held in trace_screen(view_of("rockpool"))["maps"] for slot in held["slots"]]
    used, free = (next(slot for slot in slots if slot["free"] is wanted) for wanted in (False, True))
    view = view_of(
        "rockpool", "",
        event(1, Kind.TRACED, about=used["about"], words="as planned"),
        event(2, Kind.TRACED, about=free["about"], words="empty"),
    )  # fmt: skip
    told = trace_screen(view)
    assert (told["done"], told["other"]) == (2, [])
    other = view_of("rockpool", "", event(1, Kind.TRACED, about=used["about"], words="compressor"))
    assert [slot["about"] for slot in trace_screen(other)["other"]] == [used["about"]]


def test_the_robots_state_is_what_people_said_and_no_more() -> None:
    """Nobody looked, somebody looked at all of it, somebody told of power: three sentences, none a claim of its own."""
    looks = ("battery out", "main breaker off", "lowered")
    confirmed = [event(n, Kind.CONFIRMED, about=look) for n, look in enumerate(looks, 1)]
    on = event(9, Kind.POWER_ON, who="CD")
    assert frame(view_of("rockpool"), "ends", Role.STUDENT)["state"]["words"] == "nobody has looked yet."
    assert "nobody" in frame(view_of("rockpool", "", *confirmed[:2]), "ends", Role.STUDENT)["state"]["words"]
    looked = frame(view_of("rockpool", "", *confirmed), "ends", Role.STUDENT)["state"]["words"]
    assert looked.startswith("AB looked: battery out, main breaker off, lowered.")
    told = frame(view_of("rockpool", "", *confirmed, on), "ends", Role.STUDENT)["state"]["words"]
    assert told == "CD told that power is on. Hands off."


def rack_html(*events: Event, at: str = NOON) -> str:
    """Render the Rack screen of an example beside some events."""
    view = view_of("rockpool", "", *events)
    rack = rack_view(view.state, view.plan.robot, Library().part, day_of(at))
    return html(view, "rack", rack_screen(rack))


def test_an_empty_rack_says_how_to_begin() -> None:
    """No battery, no charger, and both forms to add one; the cautions stand there before anything else is done."""
    page = rack_html()
    assert "No battery is on the rack yet." in page
    assert "No charger is known yet." in page
    assert page.count('class="rack-form reading-form"') == 2
    assert "Never unattended." in page


def test_the_rack_says_until_when_a_battery_cools_and_what_is_on_a_charger() -> None:
    """Moments in UTC that the phone turns into its own; a charger that is free says what goes on it now."""
    events = [
        event(1, Kind.CHARGER, about="C1", conditions={"gentle_a": 2.0, "fast_a": 6.0}),
        event(2, Kind.CHARGER, about="C2", conditions={"gentle_a": 2.0}),
        event(3, Kind.BATTERY, about="B1"),
        event(4, Kind.MOVED, about="B1", words="cooling"),
        event(5, Kind.BATTERY, about="B2"),
        event(6, Kind.MOVED, about="B2", words="charger", tool="C1", conditions={"amps": 6.0}),
        event(7, Kind.BATTERY, about="B3"),
        event(8, Kind.RESTED, about="B3", value=12.0, unit="V", conditions={"since_charge_h": 100.0}),
    ]
    page = rack_html(*events)
    assert 'Cool at <time data-local datetime="2026-02-07T12:15:00Z">' in page
    assert "<b>B2</b> is on it, 6 A, since" in page
    assert 'data-then="cooling"' in page
    assert "Free. <b>B3</b> goes on it now, gently, 2 A" in page
    assert 'data-of="' + event(6, Kind.MOVED).key + '"' in page
    assert "Cool at" not in rack_html(*events, at="2026-02-07T12:16:00Z")


def test_what_was_put_aside_can_be_put_nowhere_near_a_robot() -> None:
    """Two places are left to it; the cautions name it first, and only a mentor is offered its release."""
    page = rack_html(event(1, Kind.BATTERY, about="B1"), event(2, Kind.LOOKED_OVER, about="B1", words="leaking"))
    assert "Put aside: B1." in page
    assert page.index("Put aside: B1.") < page.index('id="chargers-title"')
    moves = page.split('data-about="B1"')[1]
    assert 'data-words="robot"' not in moves
    assert 'data-words="quarantine"' in moves
    assert 'data-rack="release"' in page
