"""The Spine can be read whatever hangs on it, and says what it does not know."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.legibility import faults
from loomwright.documents.look import INK, WHITE, wire_colour
from loomwright.documents.scene import Box, Group, Rect, Scene, Text, marks
from loomwright.documents.scene import Path as Shape
from loomwright.documents.spine.drawing import draw
from loomwright.documents.spine.margin import margin_words
from loomwright.documents.spine.rows import guard_words
from loomwright.documents.spine.sheet import Guard, SpineBlock, SpineBranch, SpineSheet, SpineStation, SpineWire
from loomwright.documents.svg import write
from loomwright.documents.type import Face, clean
from tests.chromium import Chromium
from tests.documents import spine_samples
from tests.documents.browser import set_texts

SAMPLES = ("trainer", "competition", "large", "two_roots")

# ------------------------------------------------------------------ anything a team may write
NAMES = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        [
            "left front",
            "🤖🤖🤖 robot",
            "מנוע שמאל קדמי",
            "محرك الرفع",
            "左前电机",
            "x" * 300,
            "W" * 40,
            "\u202egnirts",
            "é" * 50,
        ]
    ),
)
WIRES = st.none() | st.builds(
    SpineWire,
    st.one_of(st.from_regex(r"W[0-9]{1,4}", fullmatch=True), NAMES),
    st.sampled_from(["", "RD", "BK", "WH", "YE", "BUWH", "GNYE", "RDBK"]),
    st.sampled_from(["", "12 AWG", "22 AWG", "1/0 AWG"]),
    st.sampled_from(["", "85 cm", "1.25 m", "0.5 m to 1.4 m, guessed"]),
    st.floats(0.1, 12),
    st.sampled_from(["", "", "", "network cable"]) | NAMES,
)
USED = st.none() | st.floats(-1, 5) | st.sampled_from([0.0, 1.0, 0.9, float("inf"), float("nan"), 1e300])
BRANCHES = st.builds(
    SpineBranch,
    slot=NAMES,
    protection=st.sampled_from(["", "40 A breaker", "10 A fuse"]) | NAMES,
    guard=st.sampled_from(Guard),
    plus=WIRES,
    minus=WIRES,
    load=NAMES,
    detail=NAMES,
    used=USED,
    binds=st.sampled_from(["", "drop", "hold heat", "short circuit"]) | NAMES,
    drop=st.sampled_from(["", "0.31 V"]) | NAMES,
    state=st.sampled_from(["", "", "guessed"]) | NAMES,
    free=st.booleans(),
)
STATIONS = st.lists(st.builds(SpineStation, NAMES, NAMES, st.booleans(), WIRES, WIRES), max_size=5).map(tuple)


@st.composite
def sheets(build: st.DrawFn) -> SpineSheet:
    """Build a sheet of 1 to 40 branches on up to five blocks, each hanging on a branch of an earlier one or on none."""
    count = build(st.integers(1, 5))
    left = 40
    blocks: list[SpineBlock] = []
    for i in range(count):
        branches = build(st.lists(BRANCHES, min_size=1 if i == 0 else 0, max_size=min(left, 24)).map(tuple))
        left -= len(branches)
        hanging = [
            (b, s) for b, block in enumerate(blocks) for s, branch in enumerate(block.branches) if not branch.feeds
        ]
        attached = build(st.booleans())
        if hanging and attached:
            b, s = build(st.sampled_from(hanging))
            fed = blocks[b].branches[s]
            feeding = SpineBranch(
                fed.slot, fed.protection, fed.guard, fed.plus, fed.minus, fed.load, fed.detail, feeds=str(i)
            )
            changed = (*blocks[b].branches[:s], feeding, *blocks[b].branches[s + 1 :])
            old = blocks[b]
            blocks[b] = SpineBlock(old.id, old.title, old.detail, changed, old.plus, old.minus)
        blocks.append(SpineBlock(str(i), build(NAMES), build(NAMES), branches, build(WIRES), build(WIRES)))
    return SpineSheet(build(NAMES), build(NAMES), build(NAMES), build(STATIONS), tuple(blocks))


@settings(max_examples=30, suppress_health_check=list(HealthCheck))
@given(sheets())
def test_every_sheet_can_be_read(sheet: SpineSheet) -> None:
    """No overlap, nothing off the page or through a text, strong contrast; well-formed bytes, twice the same."""
    scene = draw(sheet)
    assert faults(scene) == ()
    text = write(scene)
    ET.fromstring(text.encode())  # noqa: S314 - our own bytes
    assert text == write(draw(sheet))
    assert any(said.text == CAUTION for said in scene.texts())


# ------------------------------------------------------------------ the samples
@pytest.fixture(params=SAMPLES)
def scene(request: pytest.FixtureRequest) -> Scene:
    """Draw each sample in turn."""
    drawn: Scene = draw(getattr(spine_samples, request.param)())
    return drawn


def test_the_samples_can_be_read(scene: Scene) -> None:
    assert faults(scene) == ()


def test_words_stand_on_white(scene: Scene) -> None:
    """On paper nothing darker than 15 % lies behind words; here it is white throughout."""
    painted = list(scene.marks())
    for i, text in enumerate(painted):
        if isinstance(text, Text):
            under = [mark for mark in painted[:i] if isinstance(mark, Rect) and mark.fill and mark.body.holds(text.box)]
            assert under[-1].fill == WHITE, text


def test_our_own_words_are_never_shortened(scene: Scene) -> None:
    """In the samples, nothing ends in an ellipsis but what a team wrote."""
    cut = [text for text in scene.texts() if text.text.endswith("…")]
    assert all(text.full.startswith("inline controller") for text in cut)
    assert any(text.text == CAUTION for text in scene.texts())


def test_names_of_wires_lie_on_their_wires(scene: Scene) -> None:
    """Every text of a wire has its middle within the bar; the label stands out only across, never beyond the ends."""
    wires = scene.groups("wire")
    assert wires
    for wire in wires:
        run = bar_of(wire)
        texts = [mark for mark in marks(wire.items) if isinstance(mark, Text)]
        assert len(texts) >= 2
        lies = run.width > run.height
        for text in texts:
            box = text.box
            if lies:
                assert run.left < box.left < box.right < run.right, text
                assert abs((box.top + box.bottom) / 2 - (run.top + run.bottom) / 2) < 0.8, text
            else:
                assert run.top < box.top < box.bottom < run.bottom, text
                assert text.room is not None
                assert (text.room.left + text.room.right) / 2 == pytest.approx((run.left + run.right) / 2), text


def test_end_a_is_filled_and_nearer_to_the_battery_and_end_b_is_hollow(scene: Scene) -> None:
    for wire in scene.groups("wire"):
        a, b = (mark for mark in wire.items if isinstance(mark, Shape))
        assert (a.fill, b.fill) == (INK, WHITE)
        assert (a.box.left, a.box.top) <= (b.box.left, b.box.top)


def test_rows_come_in_slot_order_and_do_not_touch(scene: Scene) -> None:
    for block in scene.groups("block"):
        rows = [item for item in block.items if isinstance(item, Group) and item.role == "branch"]
        spans = [extent(row) for row in rows]
        assert all(above.bottom < below.top for above, below in pairwise(spans))


def test_every_branch_and_wire_of_the_sheet_is_drawn_once() -> None:
    sheet = spine_samples.large()
    drawn = draw(sheet)
    assert len(drawn.groups("branch")) == len(sheet.branches()) == 34
    ids = [wire.id for branch in sheet.branches() for wire in (branch.plus, branch.minus) if wire]
    written = [group.about for group in drawn.groups("wire")]
    assert sorted(written) == sorted([*ids, "W1", "W2", "W3", "W4", "W5"])


def test_bars_are_as_thick_as_the_copper_in_their_colour_with_an_ink_outline() -> None:
    by_id = {group.about: group for group in draw(spine_samples.competition()).groups("wire")}
    for name, across in (("W1", 4.11), ("W6", 2.05), ("W22", 1.63), ("W38", 1.2)):
        run = bar_of(by_id[name])
        assert min(run.width, run.height) == pytest.approx(across)
    fill = next(mark for mark in marks(by_id["W6"].items) if isinstance(mark, Rect))
    assert fill.stroke is not None
    assert (fill.fill, fill.stroke.colour) == (wire_colour("RD").fill, INK)


def test_what_is_not_known_is_said() -> None:
    wire = SpineWire("W7")
    texts = texts_of(one(SpineBranch("H1", plus=wire, minus=wire, load="arm")))
    assert {"colour?", "gauge?", "length?", "not known", "drop?"} <= set(texts)
    assert "wire?" in texts_of(one(SpineBranch("H1", load="arm")))
    assert "load?" in texts_of(one(SpineBranch("H1")))


def test_wires_of_a_pair_that_differ_say_both_numbers_each() -> None:
    plus, minus = SpineWire("W1", "RD", "12 AWG", "85 cm"), SpineWire("W2", "BK", "12 AWG", "90 cm")
    texts = texts_of(one(SpineBranch("H1", plus=plus, minus=minus)))
    assert {"12 AWG · 85 cm", "12 AWG · 90 cm"} <= set(texts)


def test_a_cable_is_asked_for_its_length_only() -> None:
    texts = texts_of(
        one(SpineBranch("1", plus=SpineWire("W9", cable="network cable"), load="radio", used=0.1, drop="0 V"))
    )
    assert {"W9", "network cable", "length?"} <= set(texts)
    assert not {"colour?", "gauge?"} & set(texts)
    two = texts_of(one(SpineBranch("1", plus=SpineWire("W9", cable="flat"), minus=SpineWire("W10", cable="flat"))))
    assert two.count("length?") == 2
    known = SpineWire("W9", cable="network cable", length="1 m")
    assert "nothing" in texts_of(one(SpineBranch("1", plus=known, load="radio")))


@pytest.mark.parametrize(
    ("written", "guard", "words"),
    [
        ("40 A", Guard.BREAKER, "40 A breaker"),
        ("10 A fuse", Guard.FUSE, "10 A fuse"),
        ("3 A", Guard.LIMIT, "3 A limit"),
        ("5 A inside", Guard.NONE, "5 A inside"),
        ("", Guard.BREAKER, ""),
    ],
)
def test_the_kind_of_protection_is_said_once(written: str, guard: Guard, words: str) -> None:
    assert guard_words(SpineBranch("1", written, guard)) == words


def test_a_slot_that_is_kept_free_says_for_what() -> None:
    texts = texts_of(one(SpineBranch("1", "40 A", Guard.BREAKER, load="kept free: lift", free=True)))
    assert "kept free: lift, 40 A breaker" in texts


@pytest.mark.parametrize(
    ("used", "words"),
    [
        (0.58, "42 % left, drop"),
        (0.9, "10 % left, drop"),
        (0.999, "0 % left, drop"),
        (1.0, "0 % left, drop"),
        (1.001, "1 % over, drop"),
        (1.12, "12 % over, drop"),
        (1e9, "999 % over, drop"),
    ],
)
def test_a_margin_never_promises_more_than_there_is(used: float, words: str) -> None:
    assert margin_words(used, "drop") == words


def test_the_margin_bar_shows_the_share_that_is_used() -> None:
    """A bar half in ink for half used; nothing in ink and a hatch where the limit is passed."""
    half, over = (rects(one(SpineBranch("H1", used=used, binds="drop"))) for used in (0.5, 1.2))
    whole = next(r for r in half if r.width == 26 and r.fill == "")
    assert any(r.fill == INK and r.width == pytest.approx(13) and r.x == whole.x for r in half)
    assert not any(r.fill == INK and r.x == whole.x and r.y == whole.y for r in over)
    assert any(not isinstance(r.fill, str) and r.x == whole.x for r in over)


def test_free_slots_are_quiet_stubs() -> None:
    row = draw(spine_samples.trainer()).groups("branch")[-1]
    assert extent(row).height < 6
    assert [mark.text for mark in marks(row.items) if isinstance(mark, Text)] == ["4", "free, up to 20 A"]


def test_many_free_slots_in_a_row_are_told_as_one() -> None:
    """Three of one kind and wording join; two do not, nor a kept one, nor another kind, nor equal branches in use."""
    kept = SpineBranch("L5", free=True, load="kept free: lift")
    used = SpineBranch("F1", load="pump")
    slots = [SpineBranch(f"{kind}{i}", free=True) for kind, count in (("H", 2), ("L", 4)) for i in range(1, count + 1)]
    block = SpineBlock("b", "b", "", (*slots, kept, used, used, used))
    rows = draw(SpineSheet("r", "", "", (), (block,))).groups("branch")
    told = [[mark.text for mark in marks(row.items) if isinstance(mark, Text)][:2] for row in rows]
    assert told[:4] == [["H1", "free"], ["H2", "free"], ["L1–L4", "4 free"], ["L5", "kept free: lift"]]
    assert [words[0] for words in told[4:]] == ["F1", "F1", "F1"]


def test_leads_that_lack_something_are_counted_too() -> None:
    lead = SpineWire("W1", "RD", "6 AWG")
    station = SpineStation("Battery", plus=lead, minus=lead)
    sheet = SpineSheet("r", "", "", (station, station), (SpineBlock("b", "b", plus=lead),))
    assert "5 wires" in texts_of(draw(sheet))


def test_a_name_that_is_too_long_is_kept_whole_in_its_title() -> None:
    name = "the motor that lifts the upper stage of the elevator"
    svg = write(one(SpineBranch("H1", load=name)))
    assert re.search(rf"<title>{name}</title>the motor that lifts[^<]*…</text>", svg)


def test_words_narrow_and_shrink_before_they_are_cut() -> None:
    """A slot with a long name gets smaller letters, a long detail the condensed face; both stay whole."""
    detail = "Regulator, 12 V and 5 V outputs, 3 A each"
    drawn = one(SpineBranch("signal light", load="x", detail=detail))
    by_words = {text.text: text for text in drawn.texts()}
    assert 3.0 <= by_words["signal light"].size_mm < 4.0
    assert by_words[detail].face is Face.TAG
    short = {text.text: text for text in one(SpineBranch("H1", load="x", detail="12 V")).texts()}
    assert (short["H1"].size_mm, short["12 V"].face) == (4.4, Face.TEXT)


def test_a_detail_that_one_line_does_not_hold_takes_two() -> None:
    """In the box of a station and of a block; what is shorter stays on one line in the text face."""
    stations = (
        SpineStation("battery", "12 V"),
        SpineStation("main breaker", "Main breaker on studs, 120 A, reset by hand", both=False),
    )
    block = SpineBlock("block", "block", "Distribution block, 12 heavy slots, 12 light slots, 2 fused outputs")
    scene = draw(SpineSheet("r", "", "", stations, (block,)))
    texts = {text.text: text.face for text in scene.texts()}
    assert {"Main breaker on studs, 120 A,", "reset by hand"} <= set(texts)
    assert {"Distribution block, 12 heavy slots, 12 light slots,", "2 fused outputs"} <= set(texts)
    assert texts["12 V"] is Face.TEXT
    assert faults(scene) == ()


def test_loads_take_the_room_that_wires_can_spare_and_no_more() -> None:
    long, longer = "40 A, Brushless motor with its controller built in, 600 W class", "very long, " * 30
    wires: list[float] = []
    for detail, whole in (("12 V", True), (long, True), (longer, False)):
        scene = one(SpineBranch("H1", load="x", detail=detail, plus=SpineWire("W1", "RD", "12 AWG", "85 cm")))
        assert (detail.strip() in {text.text for text in scene.texts()}) == whole
        (wire,) = (group for group in scene.groups("wire") if group.about == "W1")
        wires.append(bar_of(wire).width)
        assert faults(scene) == ()
    assert wires[0] > wires[1] > wires[2] > 40


def test_a_margin_turns_narrow_before_it_is_cut() -> None:
    drawn = one(SpineBranch("H1", load="x", used=0.36, binds="drop from the battery"))
    told = {text.text: text.face for text in drawn.texts()}
    assert told["64 % left, drop from the battery"] is Face.TAG


def test_the_page_is_as_tall_as_the_rows_and_a4_at_least() -> None:
    assert (draw(spine_samples.trainer()).width_mm, draw(spine_samples.trainer()).height_mm) == (297, 210)
    assert draw(spine_samples.competition()).height_mm <= 420
    tall = draw(spine_samples.large())
    lowest = max(mark.box.bottom for group in tall.groups("block") for mark in marks(group.items))
    assert 12 < tall.height_mm - lowest < 30


def test_four_levels_of_bars_make_the_page_wider() -> None:
    def level(name: str, feeds: str) -> SpineBlock:
        wire = SpineWire("W1", "RD", "12 AWG", "85 cm")
        return SpineBlock(name, name, "", (SpineBranch("1", plus=wire, minus=wire, load=feeds or "end", feeds=feeds),))

    blocks = [level("a", "b"), level("b", "c"), level("c", "d"), level("d", "")]
    three = draw(SpineSheet("r", "", "", (), (*blocks[:2], level("c", ""))))
    four = draw(SpineSheet("r", "", "", (), tuple(blocks)))
    assert (three.width_mm, four.width_mm) == (297, 319)
    assert faults(four) == ()


@pytest.mark.parametrize("name", ["competition", "large"])
def test_a_second_level_bar_hangs_on_the_box_of_its_own_branch(name: str) -> None:
    """The link begins in the edge of the feeding branch's box and ends behind the first slot below."""
    sheet = getattr(spine_samples, name)()
    drawn = draw(sheet)
    feeding = [branch for branch in sheet.branches() if branch.feeds]
    links = drawn.groups("link")
    assert len(links) == len(feeding) > 0
    rows = {group.title: extent(group) for group in drawn.groups("branch")}
    for link, branch in zip(sorted(links, key=lambda g: extent(g).top), feeding, strict=True):
        above = next(
            box for title, box in rows.items() if title.startswith(f"{branch.slot}, ") and branch.load in title
        )
        first = sheet.block(branch.feeds).branches[0]
        below = next(box for title, box in rows.items() if title.startswith(f"{first.slot}, ") and first.load in title)
        assert extent(link).top < above.bottom < extent(link).bottom
        assert extent(link).bottom >= below.top + 1


def test_a_second_block_hangs_on_the_same_breaker_with_its_own_leads() -> None:
    texts = texts_of(draw(spine_samples.two_roots()))
    assert texts.count("W200") == 1
    assert texts.count("second block") == 1


def test_the_head_names_the_tightest_branch_and_what_is_missing() -> None:
    texts = texts_of(draw(spine_samples.competition()))
    assert {"12 % over", "intake, drop", "17", "5 slots free", "2 wires"} <= set(texts)


def test_the_footer_names_robot_build_and_revision() -> None:
    texts = texts_of(draw(spine_samples.competition()))
    assert "Tidepool · competition build · plan 8c41f0e2" in texts


@pytest.mark.parametrize(
    ("blocks", "words"),
    [
        ((SpineBlock("a", ""), SpineBlock("a", "")), "two blocks are called 'a'"),
        ((SpineBlock("", ""),), "a block has no id"),
        ((SpineBlock("a", "", "", (SpineBranch("1", feeds="b"),)),), "which is not among the blocks"),
        (
            (SpineBlock("a", "", "", (SpineBranch("1", feeds="b"), SpineBranch("2", feeds="b"))), SpineBlock("b", "")),
            "'b' is fed by 2 branches",
        ),
        (
            (
                SpineBlock("a", "", "", (SpineBranch("1", feeds="b"),)),
                SpineBlock("b", "", "", (SpineBranch("1", feeds="a"),)),
            ),
            "in a ring: a, b",
        ),
    ],
)
def test_blocks_that_form_no_tree_are_refused(blocks: tuple[SpineBlock, ...], words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        SpineSheet("r", "", "", (), blocks)


def test_a_browser_sets_no_text_wider_than_it_was_measured(needs_chromium: Chromium, tmp_path: Path) -> None:
    """On the whole competition sheet, with 0.05 mm to spare a text."""
    drawn = draw(spine_samples.competition())
    found = set_texts(needs_chromium, write(drawn), tmp_path)
    assert [said.text for said in found] == [text.text for text in drawn.texts()]
    wider = [(text, said) for text, said in zip(drawn.texts(), found, strict=True) if said.width > text.width_mm + 0.05]
    assert wider == []


def test_the_thickest_leads_leave_room_for_their_signs_and_rows() -> None:
    """4/0 AWG, 11.7 mm of copper, in the source and in a branch between thin ones."""
    fat = SpineWire("W1", "RD", "4/0 AWG", "30 cm", 11.68)
    thin = SpineBranch(
        "H1", plus=spine_samples.wire(6, "RD", "18", "1 m"), minus=spine_samples.wire(7, "BK", "18", "1 m")
    )
    branches = (thin, SpineBranch("H2", "40 A breaker", Guard.BREAKER, fat, fat, "load"), thin)
    station = SpineStation("Battery", plus=fat, minus=fat)
    sheet = SpineSheet("r", "", "", (station, station), (SpineBlock("b", "b", "", branches, fat, fat),))
    assert faults(draw(sheet)) == ()


# ------------------------------------------------------------------ helpers
def one(branch: SpineBranch) -> Scene:
    """Draw a sheet of a single branch."""
    return draw(SpineSheet("r", "", "", (), (SpineBlock("block", "block", "", (branch,)),)))


def texts_of(drawn: Scene) -> list[str]:
    """Return the words of a drawing."""
    return [text.text for text in drawn.texts()]


def rects(drawn: Scene) -> list[Rect]:
    """Return the rectangles of the only branch."""
    (row,) = drawn.groups("branch")
    return [mark for mark in marks(row.items) if isinstance(mark, Rect)]


def bar_of(wire: Group) -> Box:
    """Return the bar of a wire: its first rectangle."""
    return next(mark.body for mark in marks(wire.items) if isinstance(mark, Rect))


def extent(group: Group) -> Box:
    """Return the box around all that a group inks."""
    boxes = [mark.box for mark in marks(group.items)]
    return Box(
        min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes)
    )


def test_names_are_cleaned_before_they_are_drawn() -> None:
    assert clean("\u202egnirts") in texts_of(one(SpineBranch("H1", load="\u202egnirts")))
