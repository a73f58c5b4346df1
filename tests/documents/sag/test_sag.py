"""The Sag says what happened in a match, can be read whatever that was, and stays small."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from random import Random
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.legibility import faults
from loomwright.documents.look import HI_VIS, contrast
from loomwright.documents.sag.amps import stacked
from loomwright.documents.sag.axes import Axis, axes_of
from loomwright.documents.sag.drawing import draw, sag_svg
from loomwright.documents.sag.ink import LAYERS, OFF, OTHERS, RESTART
from loomwright.documents.sag.layers import Layer, charge_ah, currents, layers_of
from loomwright.documents.sag.sheet import SagMatch, SagSheet
from loomwright.documents.scene import Box, Circle, Group, Hatch, Rect, Scene, Text, marks
from loomwright.match.trace import Done, Trace
from tests.chromium import Chromium
from tests.documents.browser import set_texts
from tests.documents.sag import sag_samples
from tests.documents.sag.sag_samples import sheet, small

ODD = (
    "drive", "🤖🤖🤖 robot", "מנוע שמאל קדמי", "محرك الرفع", "左前电机",
    "x" * 200, "W i d e " * 25, "\u202egnirts", "é" * 50,
)  # fmt: skip
NAMES = st.one_of(st.text(max_size=40), st.sampled_from(ODD))
TIMES = st.floats(0, 12)
PHASES_OF_SEARCH = (Phase.explicit, Phase.generate)
SPANS = st.lists(st.tuples(TIMES, st.floats(0, 3)).map(lambda s: (s[0], s[0] + s[1])), max_size=9).map(tuple)
PHASES = st.lists(st.tuples(NAMES, TIMES, TIMES), max_size=4).map(tuple)


@st.composite
def traces(build: st.DrawFn) -> Trace:
    """Build a short match in which anything may happen at any time, with up to eight mechanisms."""
    count = build(st.integers(2, 60))
    row = st.lists(st.floats(-80, 400), min_size=count, max_size=count).map(tuple)
    volts = build(st.lists(st.floats(0, 14), min_size=count, max_size=count).map(tuple))
    names = tuple(build(st.lists(NAMES, max_size=8)))
    currents = tuple(build(row) for _ in names)
    return Trace(
        number=build(st.integers(0, 10**6)),
        driver=build(NAMES),
        battery=build(NAMES),
        rest_v=build(st.floats(10, 14)),
        time_s=tuple(i * 0.2 for i in range(count)),
        bus_v=volts,
        low_v=tuple(v - build(st.sampled_from([0.0, 0.5])) for v in volts),
        total_a=tuple(map(sum, zip(*currents, strict=True))) or (0.0,) * count,
        mechanisms=names,
        mechanism_a=currents,
        steps=tuple(Done(build(NAMES), build(TIMES)) for _ in range(build(st.integers(0, 6)))),
        off=build(SPANS),
        restarts=build(SPANS),
        opened=tuple(build(st.lists(st.tuples(NAMES, TIMES), max_size=9))),
        off_below_v=build(st.sampled_from([6.3, 6.75])),
        on_above_v=build(st.sampled_from([6.8, 7.5])),
        phases=build(PHASES),
    )


SHEETS = st.builds(
    SagSheet,
    NAMES,
    NAMES,
    NAMES,
    NAMES,
    st.lists(st.builds(SagMatch, NAMES, traces()), min_size=1, max_size=2).map(tuple),
    st.lists(NAMES, max_size=4).map(tuple),
    st.integers(0, 2**32),
    st.integers(1, 10**6),
)


def texts_of(scene: Scene) -> list[str]:
    return [text.text for text in scene.texts()]


def extent(group: Group) -> Box:
    boxes = [mark.box for mark in marks(group.items)]
    return Box(
        min(b.left for b in boxes),
        min(b.top for b in boxes),
        max(b.right for b in boxes),
        max(b.bottom for b in boxes),
    )


# ------------------------------------------------------------------ anything that may happen
@settings(max_examples=20, deadline=None, phases=PHASES_OF_SEARCH, suppress_health_check=list(HealthCheck))
@given(SHEETS)
def test_every_sheet_can_be_read(drawn: SagSheet) -> None:
    """No overlap, nothing off the page or through a text, strong contrast; well-formed bytes, twice the same."""
    scene = draw(drawn)
    assert faults(scene) == ()
    written = sag_svg(drawn)
    ET.fromstring(written)  # noqa: S314 - our own bytes
    assert written == sag_svg(replace(drawn))
    assert {CAUTION, LAST_WORD} <= set(texts_of(scene))


@pytest.fixture(scope="module")
def study() -> Scene:
    return draw(sag_samples.study())


def test_the_study_can_be_read_and_no_word_is_cut(study: Scene) -> None:
    assert faults(study) == ()
    assert [text.text for text in study.texts() if text.text.endswith("…")] == []
    assert study.width_mm == 297
    # The two matches take what an A3 sheet has; what the verdict rests on comes below.
    below = [group for group in study.groups("rests-on") if group.items]
    assert len(below) == 1
    assert 400 < min(item.at[1] for item in below[0].items if isinstance(item, Text)) < 425


def test_the_study_says_robot_build_revision_headline_and_what_it_rests_on(study: Scene) -> None:
    said = texts_of(study)
    told = {"Heron", "Brown-out in 12 of 100 matches", "100 matches played, seed 7."}
    assert told | {"Heron · spring build · plan 3f9c1a"} <= set(said)
    assert set(sag_samples.REST) <= set(said)
    assert {"median match", "worst match", "on again above 7.5 V", "outputs off below 6.75 V"} <= set(said)


def test_a_drawing_of_noise_stays_below_300_kb() -> None:
    """Nothing can be left out of noise: no level run, every column full; both matches restart all the time."""
    random = Random(1)  # noqa: S311  noise is no secret
    made = sag_samples.median()

    def noise(high: float) -> tuple[float, ...]:
        return tuple(random.uniform(0, high) for _ in made.time_s)

    bus = noise(13.0)
    wild = replace(
        made,
        bus_v=bus,
        low_v=tuple(v - 0.4 for v in bus),
        mechanism_a=tuple(noise(200) for _ in made.mechanisms),
        restarts=((0.0, 150.0),),
    )
    svg = sag_svg(sheet(SagMatch("a", wild), SagMatch("b", wild)))
    assert 150_000 < len(svg) < 300_000


# ------------------------------------------------------------------ what is said of a match
def test_the_lowest_point_says_when_how_low_what_was_done_and_who_took_most() -> None:
    """Worked by hand: of five samples the third is lowest; the three largest of four mechanisms, by size."""
    scene = draw(sheet(SagMatch("worst", small())))
    (group,) = scene.groups("lowest")
    said = [mark.text for mark in marks(group.items) if isinstance(mark, Text)]
    assert said == ["lowest: 7.10 V at 2.0 s", "during", "“pull”", "90 A", "drive", "41 A", "arm", "8 A", "roller"]


def test_the_guide_ties_the_lowest_voltage_to_the_currents_of_that_moment() -> None:
    scene = draw(sheet(SagMatch("worst", small())))
    (group,) = scene.groups("lowest")
    rings = [mark.box for mark in group.items if isinstance(mark, Circle)]
    assert len(rings) == 2
    assert rings[0].left == rings[1].left
    drive = next(g for g in scene.groups("current") if g.about == "drive")
    assert rings[1].top < extent(drive).top + 1.5


def test_a_match_in_which_nothing_happens_says_so() -> None:
    scene = draw(sheet(SagMatch("median", sag_samples.flat())))
    said = texts_of(scene)
    assert faults(scene) == ()
    assert {"never below 12.60 V", "nothing took more than half an ampere", "nothing took any", "150 s"} <= set(said)
    assert "Outputs never off, no restart, no breaker opened." in said
    assert scene.groups("current") == ()


def test_a_flat_voltage_with_currents_still_says_who_took_them() -> None:
    steady = replace(small(), bus_v=(12.0,) * 5, low_v=(12.0,) * 5)
    said = texts_of(draw(sheet(SagMatch("median", steady))))
    assert "never below 12.00 V" in said
    assert "nothing took more than half an ampere" not in said


def test_a_restart_that_is_not_over_runs_to_the_edge_of_the_plot() -> None:
    scene = draw(sheet(SagMatch("worst", sag_samples.to_the_end())))
    (band,) = (extent(group) for group in scene.groups("restart"))
    plots = [m for m in scene.marks() if isinstance(m, Rect) and m.height > 25 and not m.fill]
    plot = max(plots, key=lambda rect: rect.width)
    assert band.right == pytest.approx(plot.body.right, abs=0.2)
    assert (band.right - band.left) / plot.width == pytest.approx(38 / 150, abs=0.01)
    assert "38.0 s, to the end" in texts_of(scene)
    assert "Outputs never off, restart once for 38.0 s, no breaker opened." in texts_of(scene)


def test_a_short_span_is_wide_enough_to_be_seen() -> None:
    scene = draw(sheet(SagMatch("worst", replace(sag_samples.flat(), off=((149.99, 150.0), (40.0, 40.02))))))
    assert len(scene.groups("off")) == 2
    assert all(0.85 < extent(group).width < 1.3 for group in scene.groups("off"))
    assert "Outputs off 2 times for 30 ms, no restart, no breaker opened." in texts_of(scene)


def test_every_breaker_that_opened_has_its_name_or_is_counted() -> None:
    few = replace(small(), opened=(("left front", 1.0), ("lift motor", 3.0)))
    said = texts_of(draw(sheet(SagMatch("worst", few))))
    assert {"left front", "lift motor"} <= set(said)
    many = replace(small(), opened=tuple((f"breaker {i}", 2.0 + i / 100) for i in range(12)))
    scene = draw(sheet(SagMatch("worst", many)))
    named = {text for text in texts_of(scene) if text.startswith("breaker ")}
    assert 0 < len(named) < 12
    words = f"12 breakers opened, {12 - len(named)} of them without room for a name."
    assert any(words in text for text in texts_of(scene))


def test_steps_say_their_word_where_it_fits_whole() -> None:
    """Two long steps lie; equal ones that follow each other are one; of many short ones none is cut off."""
    said = texts_of(draw(sheet(SagMatch("worst", small()))))
    assert {"rest", "pull"} <= set(said)
    many = replace(sag_samples.flat(), steps=tuple(Done(f"step {i % 7}", i * 0.5) for i in range(300)))
    scene = draw(sheet(SagMatch("worst", many)))
    assert len(scene.groups("step")) == 300
    assert not any(text.startswith("step") for text in texts_of(scene))
    equal = replace(sag_samples.flat(), steps=tuple(Done("wait", i * 0.5) for i in range(300)))
    assert len(draw(sheet(SagMatch("worst", equal))).groups("step")) == 1


# ------------------------------------------------------------------ currents
def test_layers_are_the_largest_by_charge_the_same_in_all_matches_and_the_rest_together() -> None:
    layers = layers_of(sag_samples.study())
    assert [layer.name for layer in layers] == ["drive", "lift", "shooter", "electronics", "3 others"]
    assert set(layers[-1].mechanisms) == {"intake", "turret", "pump"}
    assert len({str(layer.fill) for layer in layers}) == 5


def test_five_mechanisms_are_all_named() -> None:
    made = small()
    five = replace(made, mechanisms=(*made.mechanisms, "fan"), mechanism_a=(*made.mechanism_a, (1.0,) * 5))
    assert [layer.name for layer in layers_of(sheet(SagMatch("m", five)))][-1] == "fan"


def test_the_top_of_the_stack_is_the_sum_of_all_currents_and_keeps_its_peak() -> None:
    drawn = sag_samples.study()
    axes, layers = axes_of(drawn), layers_of(drawn)
    plot = sag_samples.plot(axes.times, axes.amps)
    for match in drawn.matches:
        tops = stacked(match.trace, layers, plot)
        highest = min(y for _, y in tops[-1])
        assert highest == pytest.approx(plot.y(max(match.trace.total_a)), abs=0.011)
        real = {round(plot.y(a), 2) for a in match.trace.total_a}
        assert all(min(abs(y - r) for r in real) < 0.011 for _, y in tops[-1])


def test_a_peak_of_all_together_is_kept_where_the_largest_is_level() -> None:
    """All samples fall into one column; the arm alone makes the peak."""
    arm = (0.0, 7.0, 50.0, 9.0, 0.0)
    made = replace(small(), mechanisms=("drive", "arm"), mechanism_a=((60.0,) * 5, arm))
    narrow = replace(sag_samples.plot(Axis(0.0, 1e4), Axis(0.0, 200.0)))
    drive, top = stacked(made, layers_of(sheet(SagMatch("m", made))), narrow)
    assert min(y for _, y in top) == pytest.approx(narrow.y(110.0), abs=0.011)
    assert {y for _, y in drive} == {round(narrow.y(60.0), 2)}


def test_phases_that_overlap_are_drawn_side_by_side() -> None:
    both = replace(small(), phases=(("first", 0.0, 3.0), ("second", 2.0, 5.0)))
    scene = draw(sheet(SagMatch("m", both)))
    first, second = map(extent, scene.groups("phase"))
    assert first.right == pytest.approx(second.left, abs=0.51)
    assert {"first", "second"} <= set(texts_of(scene))
    assert faults(scene) == ()


def test_shares_of_the_charge_add_up() -> None:
    """By hand: 1 s apart, drive 10, 20, 90, 20, 10 A is 150 A s of 246."""
    said = texts_of(draw(sheet(SagMatch("m", small()))))
    assert {"61 %", "drive", "shares of 0.07 Ah in all"} <= set(said)
    shares = [int(word[:-2]) for word in said if re.fullmatch(r"\d+ %", word)]
    assert sum(shares) == pytest.approx(100, abs=2)


def test_layers_and_bands_differ_without_colour() -> None:
    """Two fills are told apart by hatch or not, by the way the lines run, or by a contrast of 3 to 1 in grey."""
    for one, other in combinations((*LAYERS, OTHERS), 2):
        if isinstance(one, Hatch) and isinstance(other, Hatch):
            assert one.angle_deg != other.angle_deg
        elif isinstance(one, str) and isinstance(other, str) and "#8fcfc0" not in {one, other}:
            assert contrast(one, other) >= 3
        elif isinstance(one, str) and isinstance(other, str):
            assert contrast(one, other) >= 1.7
    order = (*LAYERS, OTHERS)
    assert all(isinstance(a, Hatch) != isinstance(b, Hatch) for a, b in pairwise(order))
    assert OFF.ground == RESTART.ground == HI_VIS
    assert OFF.angle_deg != RESTART.angle_deg


def test_current_that_flows_back_takes_nothing_from_the_charge() -> None:
    """By hand: 10 A for four samples of a second each; the fifth, of -30 A, counts for nothing."""
    match = SagMatch("m", small())
    assert charge_ah(match, (10.0, 10.0, -30.0, 10.0, 10.0)) == pytest.approx(40 / 3600)
    two = replace(small(), mechanisms=("a", "b"), mechanism_a=((10.0,) * 5, (-4.0,) * 5))
    assert currents(two, Layer(("a", "b"), "both", "")) == (10.0,) * 5


def test_current_that_flows_back_is_drawn_as_none() -> None:
    made = small()
    back = replace(made, mechanism_a=tuple(tuple(-a for a in row) for row in made.mechanism_a))
    scene = draw(sheet(SagMatch("m", back)))
    assert scene.groups("current") == ()
    assert faults(scene) == ()


# ------------------------------------------------------------------ what can't be drawn
@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"bus_v": (1.0,)}, "unequal"),
        ({"mechanisms": ("a",)}, "names 1 mechanisms and has 4"),
        ({"time_s": (0.0, 1.0, 1.0, 2.0, 3.0)}, "do not grow"),
        ({"low_v": (1.0, 2.0, float("nan"), 1.0, 1.0)}, "finite"),
        ({"time_s": (0.0,), "bus_v": (1.0,), "low_v": (1.0,), "total_a": (1.0,)}, "needs two"),
    ],
)
def test_a_trace_that_can_not_be_drawn_is_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        SagMatch("m", replace(small(), **change))  # type: ignore[arg-type]


def test_a_sheet_without_a_match_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a match"):
        sheet()


# ------------------------------------------------------------------ in a browser
def test_a_browser_sets_no_text_wider_than_it_was_measured(needs_chromium: Chromium, tmp_path: Path) -> None:
    """Names from the right, emoji and long ones among them."""
    odd = replace(small(), mechanisms=("מנוע שמאל", "🤖🤖 arm", "x" * 200, "محرك"), driver="左前", battery="é" * 50)
    drawn = draw(sheet(SagMatch("🏁 worst", odd)))
    texts = drawn.texts()
    found = set_texts(needs_chromium, sag_svg(sheet(SagMatch("🏁 worst", odd))).decode(), tmp_path)
    assert len(found) == len(texts)
    for text, there in zip(texts, found, strict=True):
        assert there.text == text.text
        assert there.width <= text.width_mm + 0.1, text


def test_what_is_said_of_the_dip_is_of_its_very_moment() -> None:
    """The mean of 20 ms may hold a moment with outputs off; the currents of the lowest voltage are told where known."""
    trace = small()
    told = texts_of(
        draw(sheet(SagMatch("worst", replace(trace, dip_a=tuple(111.0 + i for i in range(len(trace.mechanisms)))))))
    )
    assert "111 A" in told or f"{110 + len(trace.mechanisms):.0f} A" in told
