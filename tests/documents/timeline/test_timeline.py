"""The timeline shows the whole plan, can be read whatever the day is like, and says the weakest match in words."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.legibility import faults
from loomwright.documents.look import WHITE, contrast
from loomwright.documents.print_room import print_room
from loomwright.documents.scene import Hatch, Line, Rect, Scene, marks
from loomwright.documents.timeline.drawing import draw, timeline_svg
from loomwright.documents.timeline.head import facts_of
from loomwright.documents.timeline.ink import FAST, GENTLE, LEAST_MM, ROBOT
from loomwright.documents.timeline.pdf import timeline_pdf
from loomwright.documents.timeline.print import timeline_scenes
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.documents.timeline.strips import Kind, battery_rows, charger_rows
from loomwright.documents.timeline.window import windows_of
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, Match, OnCharger
from tests.documents.pdf.pages import pages, text_of
from tests.documents.timeline import timeline_samples as samples

ODD = ("🤖🤖 bot", "מנוע שמאל", "左前电机", "x" * 120, "W i d e " * 15, "\u202egnirts", "é" * 50, "Q1", "B 12")
NAMES = st.one_of(st.text(min_size=1, max_size=12), st.sampled_from(ODD))


@st.composite
def days(build: st.DrawFn) -> Day:
    """Build a day of up to nine matches with up to five batteries, some of them on chargers or cooling."""

    def several(most: int) -> list[str]:
        return build(st.lists(NAMES, min_size=1, max_size=most, unique=True))

    at_min, matches = 540, []
    for name in several(9):
        matches.append(Match(name=name, at_min=at_min, may=build(st.booleans())))
        at_min += build(st.sampled_from([1, 9, 25, 60, 300, 1440]))
    chargers = [DayCharger(label=name, gentle_a=2.0, fast_a=build(st.sampled_from([None, 6.0]))) for name in several(3)]
    batteries = [
        DayBattery(
            label=name,
            health=build(st.floats(0.5, 1.0)),
            capacity_ah=18.0,
            charge=build(st.floats(0, 1)),
            free_min=build(st.sampled_from([0, 500])),
            ready_min=build(st.sampled_from([0, 505])),
        )
        for name in several(5)
    ]
    if build(st.booleans()):
        on = OnCharger(charger=chargers[0].label, amps=2.0, from_min=build(st.sampled_from([-500, 470])))
        batteries[0] = replace(batteries[0], on=on)
    made = samples.day(matches=1, batteries=1, chargers=1)
    return replace(made, matches=tuple(matches), batteries=tuple(batteries), chargers=tuple(chargers))


def said(scene: Scene) -> list[str]:
    """Return all texts of a drawing."""
    return [text.text for text in scene.texts()]


@settings(
    max_examples=25, deadline=None, phases=(Phase.explicit, Phase.generate), suppress_health_check=list(HealthCheck)
)
@given(days(), NAMES, st.sampled_from([None, 480, 700, 3000]), st.sampled_from(["A4", "Letter"]))
def test_every_day_can_be_read(day: Day, name: str, now_min: int | None, paper: str) -> None:
    """No overlap, nothing off the page or through a text, strong contrast, on the screen and on paper; well formed."""
    sheet = replace(samples.sheet(day, now_min=now_min), robot=name, of=name, headline=name)
    for scene in (draw(sheet), *timeline_scenes(sheet, paper, foot_mm=6)):
        assert faults(scene) == ()
        assert CAUTION in said(scene) or scene.name != "timeline"
    written = timeline_svg(sheet)
    ET.fromstring(written)  # noqa: S314  our own bytes
    assert written == timeline_svg(replace(sheet))


@pytest.mark.parametrize("make", [samples.long_day, samples.short_day, samples.hard_day, samples.two_days])
def test_every_use_and_every_charge_is_drawn_whole(make: object) -> None:
    """Each match with its battery's charge, each charge with charger and amperes in both parts; no name is cut."""
    assert callable(make)
    sheet: TimelineSheet = make()
    scenes = timeline_scenes(sheet, foot_mm=6)
    told = [text for scene in scenes for text in said(scene)]
    assert all(faults(scene) == () for scene in (draw(sheet), *scenes))
    for use in sheet.plan.uses:
        words = f"{use.match}{'?' if use.may else ''} {int(use.charge * 100 + 1e-6)} %"
        assert any(text.startswith(words) for text in told)
    for stint in sheet.plan.stints:
        assert any(text.startswith(f"{stint.charger} {stint.amps:g} A") for text in told)
        assert any(text.startswith(f"{stint.battery} {stint.amps:g} A") for text in told)
    assert [text for text in told if "…" in text] == []
    assert min(text.size_mm for scene in scenes for text in scene.texts()) >= LEAST_MM - 1e-9


def test_a_usual_day_is_one_page_and_another_day_a_page_of_its_own() -> None:
    """Twenty matches, twelve batteries and four chargers fit on A4 and on Letter; a night is left out."""
    for paper in ("A4", "Letter"):
        [page] = timeline_scenes(samples.long_day(), paper, foot_mm=6)
        room = print_room(paper, foot_mm=6)
        assert (page.width_mm, page.height_mm) == (room.width_mm, room.height_mm)
    one, two = timeline_scenes(samples.two_days(), foot_mm=6)
    assert ("Day 1" in said(one), "Day 2" in said(two)) == (True, True)
    sheet = samples.two_days()
    windows = windows_of(battery_rows(sheet.plan, sheet.day), sheet.day.begins_min)
    assert [(window.low % 60, window.low >= 1440) for window in windows] == [(0, False), (0, True)]


def test_what_has_no_room_on_a_page_goes_on_the_next() -> None:
    """With thirty batteries each row stands on exactly one page, batteries first."""
    sheet = samples.sheet(samples.day(matches=4, batteries=30, chargers=3))
    scenes = timeline_scenes(sheet, foot_mm=6)
    held = [group.about for scene in scenes for group in scene.groups("row")]
    assert held == [*(f"B{n}" for n in range(1, 31)), "C1", "C2", "C3"]
    assert len(scenes) == 2


def test_shapes_tell_without_colour() -> None:
    """Solid, outlined, hatched, dotted, and a core in a frame for what is perhaps not played; greys differ as well."""
    scene = draw(samples.long_day())
    solid, gentle, fast, cool = (scene.groups(kind)[0].items for kind in ("robot", "gentle", "fast", "cool"))
    may = next(group.items for group in scene.groups("robot") if group.about == "F1?")
    assert isinstance(solid[0], Rect)
    assert solid[0].fill == ROBOT
    assert isinstance(gentle[0], Rect)
    assert gentle[0].fill == GENTLE
    assert isinstance(fast[0], Rect)
    assert isinstance(fast[0].fill, Hatch)
    assert fast[0].fill == FAST
    assert isinstance(cool[0], Line)
    assert cool[0].stroke.round_ends
    assert cool[0].stroke.dash_mm[0] < 0.1
    assert [mark.fill for mark in may if isinstance(mark, Rect)] == [WHITE, ROBOT]
    assert contrast(str(ROBOT), str(GENTLE)) > 3


def test_the_weakest_match_is_said_and_framed() -> None:
    """In the head with what it is worth, and beside its strip; it is the least of charge times health."""
    sheet = samples.long_day()
    scene = draw(sheet)
    low = min(sheet.plan.uses, key=lambda use: use.worth)
    assert low.worth == sheet.plan.worst
    assert facts_of(sheet).startswith(f"lowest: {low.match} with {low.battery} at ")
    [marked] = [text for text in said(scene) if text.endswith("lowest")]
    assert marked.startswith(f"{low.match} ")
    plain = replace(low, charge=0.84, worth=0.84)
    one = replace(sheet, plan=replace(sheet.plan, uses=(plain,)))
    assert f"lowest: {low.match} with {low.battery} at 84 % · " in facts_of(one)


def test_what_falls_short_is_told_in_the_head() -> None:
    """Late and low batteries by match, the first ones by name, the others counted."""
    sheet = samples.hard_day()
    late = replace(sheet.plan.uses[0], late_min=7)
    told = " ".join(said(draw(replace(sheet, plan=replace(sheet.plan, uses=(late, *sheet.plan.uses[1:]))))))
    assert "Late: Q4 (B1, 7 min)." in told
    assert "Charge too low: Q22 (B1, 74 %)," in told
    low = [use for use in sheet.plan.uses if use.short]
    assert f"Q34 (B1, 58 %) and {len(low) - 5} more." in told


def test_a_battery_cools_after_a_match_and_after_a_fast_charge() -> None:
    """As long as the practice says, and no longer than until the next thing that is done with it."""
    sheet = samples.short_day()
    [first, _] = battery_rows(sheet.plan, sheet.day)
    cool = [(strip.from_min, strip.to_min) for strip in first.strips if strip.kind is Kind.COOL]
    fast = [strip.to_min for strip in first.strips if strip.kind is Kind.FAST]
    out = [strip.to_min for strip in first.strips if strip.kind is Kind.ROBOT]
    assert cool == sorted((at, at + 15) for at in (*fast, *out))
    warm = replace(sheet.day.batteries[0], free_min=495, ready_min=500)
    day = replace(sheet.day, batteries=(warm, sheet.day.batteries[1]))
    [held, _] = battery_rows(replace(sheet.plan, stints=()), day)
    assert (held.strips[0].kind, held.strips[0].from_min, held.strips[0].to_min) == (Kind.COOL, 480, 500)


def test_rows_stand_by_label_and_say_where_nothing_is_done() -> None:
    """B2 before B10; a battery without a use is spare, a charger without a charge is not used."""
    sheet = samples.long_day()
    assert [row.label for row in battery_rows(sheet.plan, sheet.day)] == [f"B{n}" for n in range(1, 13)]
    bare = replace(sheet, plan=replace(sheet.plan, stints=()))
    assert said(draw(bare)).count("not used") == len(charger_rows(sheet.plan, sheet.day)) == 4
    assert "spare, holds 88 %" in said(draw(sheet))


def test_a_line_shows_where_now_is() -> None:
    """At its minute, with its time; none where no time is given or now is outside of the day."""
    scene = draw(samples.long_day())
    [now] = scene.groups("now")
    hours = [text for text in scene.texts() if text.text in ("11:00", "12:00")]
    line = next(mark for mark in marks(now.items) if isinstance(mark, Line))
    share = (line.start[0] - hours[0].at[0]) / (hours[1].at[0] - hours[0].at[0])
    assert share == pytest.approx(20 / 60)
    assert now.title == "now 11:20"
    assert draw(samples.short_day()).groups("now") == ()
    assert draw(replace(samples.short_day(), now_min=2000)).groups("now") == ()


def test_cautions_and_the_last_word_stand_on_every_page() -> None:
    """Robot, day and which source wins in the foot; every caution of charging; sizes of A4 and Letter; same bytes."""
    sheet = samples.two_days()
    made = timeline_pdf(sheet, "Letter")
    assert made == timeline_pdf(sheet, "Letter")
    found = pages(made)
    assert [round(side / 72 * 25.4, 1) for side in found[0].get_size()] == [279.4, 215.9]
    for page in found:
        told = " ".join(text_of(page).split())
        assert LAST_WORD in told
        assert f"Tidepool · {sheet.of}" in told
        assert all(caution.split(":")[0] in told for caution in sheet.cautions)
    assert LAST_WORD in said(draw(sheet))


def test_a_plan_of_another_day_is_refused() -> None:
    """A drawing without a match says nothing, and one with a battery that is not there says something wrong."""
    sheet = samples.short_day()
    use = sheet.plan.uses[0]
    for other in (replace(use, battery="X9"), replace(use, match="X9")):
        with pytest.raises(ValueError, match="X9"):
            replace(sheet, plan=replace(sheet.plan, uses=(other,)))
    with pytest.raises(ValueError, match="needs a match"):
        replace(sheet, plan=replace(sheet.plan, uses=()))
