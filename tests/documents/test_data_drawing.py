"""The Data drawing can be read whatever hangs on it, says what it does not know, and flows over pages."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from loomwright.documents.data_wiring.device import ASK_ID
from loomwright.documents.data_wiring.drawing import MARGIN_MM, draw, pages
from loomwright.documents.data_wiring.flow import Piece, fill, fill_all, gap
from loomwright.documents.data_wiring.sheet import (
    DataChain,
    DataHub,
    DataLead,
    DataPlace,
    DataSection,
    DataSheet,
    DataTerminator,
    DataWire,
    Ending,
)
from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.legibility import faults
from loomwright.documents.look import HI_VIS, INK, SMALL_MM, WHITE
from loomwright.documents.plate.page import Paper
from loomwright.documents.scene import Box, Group, Hatch, Item, Rect, Scene, Text, marks
from loomwright.documents.scene import Path as Shape
from loomwright.documents.svg import write
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code

PAPERS = (Paper("A4", 297, 210), Paper("A4", 210, 297), Paper("Letter", 279.4, 215.9), Paper("Letter", 215.9, 279.4))
HIGH = DataWire("W1", "bus high", "YE", "22 AWG", "27 cm", 0.6)
LOW = DataWire("W2", "bus low", "GN", "22 AWG", "27 cm", 0.6)

# ------------------------------------------------------------------ anything a team may write
NAMES = st.one_of(
    st.text(max_size=60),
    st.sampled_from(
        [
            "lift",
            "🤖🤖🤖 robot",
            "מנוע שמאל קדמי",
            "左前电机",
            "x" * 200,
            "W" * 40,
            "\u202egnirts",
            "é" * 50,
            "=SUM(A1)",
            "../x",
            "ŤÅŮŢ",
            "ÅŮ" * 20,
        ]
    ),
)
WIRES = st.builds(
    DataWire,
    st.from_regex(r"W[0-9]{1,4}", fullmatch=True) | NAMES,
    st.sampled_from(["signal", "plus", ""]) | NAMES,
    st.sampled_from(["", "YE", "GNWH", "BK"]),
    st.sampled_from(["", "22 AWG"]),
    st.sampled_from(["", "85 cm", "1.25 m"]) | NAMES,
    st.floats(0.1, 5),
    st.sampled_from(["", "", "cable"]),
    st.booleans(),
    st.booleans(),
)
PLACES = st.builds(
    DataPlace, NAMES, NAMES, NAMES, st.sampled_from(["", "3", "12"]) | NAMES, st.booleans(), NAMES, NAMES, NAMES, NAMES
)
ENDS = st.none() | st.builds(DataTerminator, st.sampled_from(Ending), NAMES, NAMES)
LEADS = st.builds(
    DataLead, NAMES, st.lists(WIRES, min_size=1, max_size=4).map(tuple), NAMES, NAMES, st.sampled_from(["", "12 V"])
)
HUBS = st.builds(DataHub, NAMES, NAMES, NAMES, st.lists(LEADS, min_size=1, max_size=9).map(tuple))
SECTIONS = st.builds(DataSection, NAMES, st.lists(HUBS, max_size=3).map(tuple), st.lists(NAMES, max_size=2).map(tuple))


@st.composite
def chains(build: st.DrawFn) -> DataChain:
    """Build a chain of up to 26 devices, in order or not, some of its hops unknown."""
    places = build(st.lists(PLACES, max_size=26).map(tuple))
    ordered = build(st.booleans())
    hop = st.lists(WIRES, max_size=2).map(tuple)
    hops = tuple(build(hop) for _ in places[1:]) if ordered else ()
    notes = build(st.lists(NAMES, max_size=3).map(tuple))
    start, end, seen = build(ENDS), build(ENDS), build(st.integers(0, 5))
    return DataChain(build(NAMES), places, hops, start, end, ordered, build(NAMES), build(NAMES), seen, notes)


SHEETS = st.builds(
    DataSheet, NAMES, NAMES, NAMES, st.lists(chains(), max_size=2).map(tuple), st.lists(SECTIONS, max_size=2).map(tuple)
)


# A sheet takes long to measure, so a failing one is shown as it is.
@settings(max_examples=6, suppress_health_check=list(HealthCheck), phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(SHEETS, st.sampled_from(PAPERS))
def test_every_sheet_can_be_read_on_every_paper(sheet: DataSheet, paper: Paper) -> None:
    """No overlap, nothing off the page or through a text, strong contrast, no text too small; the same bytes twice."""
    whole = draw(sheet)
    made = pages(sheet, paper, foot_mm=5)
    for scene in (whole, *made):
        assert faults(scene) == ()
        assert all(text.size_mm >= SMALL_MM for text in scene.texts())
    ET.fromstring(write(whole).encode())  # noqa: S314 - our own bytes
    assert write(whole) == write(draw(sheet))
    assert [len(scenes_of(held, "wire")) for held in ((whole,), made)] == [sum(1 for _ in sheet.wires())] * 2
    assert all(scene.width_mm == paper.width_mm - 2 * MARGIN_MM for scene in made)
    assert all(scene.height_mm == paper.height_mm - 2 * MARGIN_MM - 5 for scene in made)


def scenes_of(scenes: tuple[Scene, ...], role: str) -> list[Group]:
    """Return the groups of one role, page by page."""
    return [group for scene in scenes for group in scene.groups(role)]


def texts_of(*items: Item) -> list[str]:
    """Return what is written in some items."""
    return [mark.text for mark in marks(items) if isinstance(mark, Text)]


def long_chain(count: int) -> DataChain:
    """Return a chain of so many devices with a terminator at each end."""
    places = tuple(
        DataPlace(f"device {i}", f"device {i}", "motor controller", str(i), inlet="bus in", outlet="bus out")
        for i in range(1, count + 1)
    )
    hops = tuple((replace(HIGH, id=f"W{2 * i}"), replace(LOW, id=f"W{2 * i + 1}")) for i in range(1, count))
    end = DataTerminator(Ending.FITTED, "120 Ω", "built in")
    return DataChain("main chain", places, hops, end, replace(end, how="switch on"), expect="60 Ω", seen_from=1)


def sheet_of(*chain: DataChain, sections: tuple[DataSection, ...] = ()) -> DataSheet:
    """Return a sheet of some chains."""
    return DataSheet("Testling", "", "abc", chain, sections)


# ------------------------------------------------------------------ a long chain
@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: f"{paper.name} {paper.width_mm:g}")
def test_a_chain_of_24_devices_wraps_in_rows_and_stays_in_order(paper: Paper) -> None:
    """Over rows and pages every device stands once with its place, read as text is, and every pair between its two."""
    made = pages(sheet_of(long_chain(24)), paper)
    assert [faults(scene) for scene in made] == [()] * len(made)
    seen: list[str] = []
    for scene in made:
        devices = [(extent(group), group) for group in scene.groups("device")]
        in_reading_order = sorted(devices, key=lambda pair: (round(pair[0].top), pair[0].left))
        assert [group.about for _, group in in_reading_order] == [group.about for _, group in devices]
        assert not any(one.overlaps(other) for i, (one, _) in enumerate(devices) for other, _ in devices[i + 1 :])
        seen += [group.about for _, group in devices]
    assert seen == [f"device {i}" for i in range(1, 25)]
    assert [group.about for group in scenes_of(made, "wire")] == [f"W{i}" for i in range(2, 48)]
    numbers = [str(i) for i in range(1, 25)]
    assert [n for group in scenes_of(made, "device") for n in texts_of(group) if n.isdecimal()] == numbers


def test_the_wires_to_a_device_end_at_its_left_edge_and_begin_at_the_device_before() -> None:
    scene = draw(sheet_of(long_chain(4)))
    boxes = [next(m for m in group.items if isinstance(m, Rect)).body for group in scene.groups("device")]
    hops = scene.groups("hop")
    for hop, (before, behind) in zip(hops, pairwise(boxes), strict=True):
        for wire in (item for item in hop.items if isinstance(item, Group)):
            a, b = (mark for mark in wire.items if isinstance(mark, Shape))
            assert (a.fill, b.fill) == (INK, WHITE)
            assert before.right < a.box.left < before.right + 1
            assert behind.left - 1 < b.box.right < behind.left
            assert before.top < a.box.top
            assert b.box.bottom < behind.bottom


def test_high_lies_above_low_with_gauge_and_length_below_both() -> None:
    hop = draw(sheet_of(long_chain(2))).groups("hop")[0]
    high, low = (item for item in hop.items if isinstance(item, Group))
    assert (high.about, low.about) == ("W2", "W3")
    assert extent(high).bottom < extent(low).top + 1
    length = next(item for item in hop.items if isinstance(item, Text))
    assert length.text == "22 AWG · 27 cm"
    assert length.box.top > extent(low).bottom - 1


def test_a_pair_of_two_lengths_says_both() -> None:
    chain = replace(long_chain(2), hops=((HIGH, replace(LOW, length="30 cm")),))
    assert "22 AWG · 27 cm, 22 AWG · 30 cm" in [t.full or t.text for t in draw(sheet_of(chain)).texts()]


def test_the_way_to_the_next_row_is_drawn_on_a_page_and_told_over_pages() -> None:
    one = draw(sheet_of(long_chain(9)))
    assert len(one.groups("return")) == 2
    assert not one.groups("to-page")
    made = pages(sheet_of(long_chain(24)), PAPERS[0])
    assert [texts_of(*scene.groups("to-page")) for scene in made] == [["to place 17"], []]
    assert [texts_of(*scene.groups("from-page")) for scene in made] == [[], ["from place 16"]]
    assert "main chain, continued" in texts_of(*made[1].items)
    assert [scene.name for scene in made] == ["data-1", "data-2"]


# ------------------------------------------------------------------ ends
def test_terminators_stand_outside_the_first_and_the_last_device() -> None:
    scene = draw(sheet_of(long_chain(6)))
    start, end = scene.groups("terminator")
    first, last = scene.groups("device")[0], scene.groups("device")[-1]
    assert extent(start).right <= extent(first).left + 0.5
    assert extent(end).left >= extent(last).right - 0.5
    assert extent(first).top < extent(start).top < extent(first).bottom
    assert extent(last).top < extent(end).top < extent(last).bottom
    assert texts_of(start) == ["TERMINATOR", "120 Ω", "built in"]
    assert texts_of(end) == ["TERMINATOR", "120 Ω", "switch on"]


@pytest.mark.parametrize(
    ("end", "said", "dashed", "alarming"),
    [
        (DataTerminator(Ending.ASKED, "120 Ω", "has a switch"), ["not told", "has a switch"], True, False),
        (DataTerminator(Ending.MISSING, "", "fit one"), ["none", "fit one"], True, True),
        (DataTerminator(Ending.FITTED, "", "plug-on"), ["ohms?", "plug-on"], False, False),
    ],
)
def test_a_terminator_that_is_not_there_or_not_told_says_so(
    end: DataTerminator,
    said: list[str],
    dashed: bool,  # noqa: FBT001  a case
    alarming: bool,  # noqa: FBT001  a case
) -> None:
    group = draw(sheet_of(replace(long_chain(2), end=end))).groups("terminator")[1]
    assert texts_of(group)[1:] == said
    told = texts_of(*draw(sheet_of(replace(long_chain(2), end=end))).groups("panel"))
    assert ("1 end" in told) is (end.state is not Ending.FITTED)
    body = [m for m in marks(group.items) if isinstance(m, Rect)]
    assert bool(body[0].stroke and body[0].stroke.dash_mm) is dashed
    assert any(isinstance(m.fill, Hatch) and m.fill.ground == HI_VIS for m in body) is alarming


def test_the_reading_stands_at_the_head_and_at_its_chain() -> None:
    texts = texts_of(*draw(sheet_of(long_chain(2))).items)
    assert "about 60 Ω" in texts
    assert any(text.endswith("power off, high to low: about 60 Ω") for text in texts)
    two = sheet_of(long_chain(2), replace(long_chain(3), name="b", expect="40 Ω"))
    assert "see each chain" in texts_of(*draw(two).items)
    assert "about 60 Ω" in texts_of(*draw(sheet_of(replace(long_chain(2), expect=""))).items)


@pytest.mark.parametrize(("place", "words"), [(1, False), (3, True), (0, False)])
def test_a_computer_inside_the_chain_is_told_as_where_a_break_is_seen_from(
    place: int,
    words: bool,  # noqa: FBT001  a case
) -> None:
    texts = " ".join(texts_of(*draw(sheet_of(replace(long_chain(5), seen_from=place))).items))
    assert (f"is at place {place}" in texts) is words
    assert ("who reads it?" in texts) is (place == 0)


# ------------------------------------------------------------------ ids and what is not known
def test_an_unknown_id_is_dashed_and_says_where_to_set_it() -> None:
    places = (DataPlace("a", "a", asks=True), DataPlace("b", "b", number="5", asks=True), DataPlace("c", "c"))
    scene = draw(sheet_of(DataChain("x", places, ((), ()))))
    first, second, third = scene.groups("device")
    assert "id ?" in texts_of(first)
    assert "id 5?" in texts_of(second)
    assert not any(text.startswith("id") for text in texts_of(third))
    dashed = [m for m in marks(first.items) if isinstance(m, Rect) and m.stroke and m.stroke.dash_mm]
    assert len(dashed) == 1
    feet = [group.title for group in scene.groups("foot")]
    assert feet[0] == ASK_ID
    assert "not sure" in feet[1]
    assert "2 ids, 2 wires" in texts_of(*scene.items)


def test_a_warning_is_marked_and_a_hint_is_not() -> None:
    places = (DataPlace("a", "a", warning="id used twice here", hint="terminator switch: off"), DataPlace("b", "b"))
    (foot,) = draw(sheet_of(DataChain("x", places, ((HIGH, LOW),)))).groups("foot")
    assert texts_of(foot) == ["id used twice here", "terminator switch: off"]
    assert sum(isinstance(m, Rect) and isinstance(m.fill, Hatch) for m in marks(foot.items)) == 1


def test_a_wire_that_nobody_knows_is_dashed_and_a_wire_that_lacks_something_asks() -> None:
    places = (DataPlace("a", "a"), DataPlace("b", "b"), DataPlace("c", "c"))
    scene = draw(sheet_of(DataChain("x", places, ((), (DataWire("W9"), DataWire("W10"))))))
    assert texts_of(*scene.groups("no-wire")) == ["wire?"]
    assert texts_of(*scene.groups("hop")) == ["W9", "colour?", "W10", "?", "gauge? · length?"]
    assert "3 wires" in texts_of(*scene.items)


def test_without_an_order_none_is_drawn() -> None:
    """Devices stand without numbers and wires, each with an empty circle; the drawing says what to do."""
    places = tuple(DataPlace(f"d{i}", f"d{i}", number=str(i)) for i in range(7))
    scene = draw(sheet_of(DataChain("x", places, ordered=False, order="nobody knows its order")))
    assert [group.about for group in scene.groups("device")] == [f"d{i}" for i in range(7)]
    assert not scene.groups("hop")
    assert not scene.groups("terminator")
    assert not scene.groups("return")
    assert [texts_of(group) for group in scene.groups("device")] == [[f"d{i}", f"id {i}"] for i in range(7)]
    assert any("No order is drawn" in text for text in texts_of(*scene.items))
    assert "1 order" in texts_of(*scene.items)


def test_names_too_long_are_shortened_with_the_id_still_there() -> None:
    places = (DataPlace("a" * 200, "a" * 200, "b" * 200, "17"), DataPlace("b", "b"))
    device = draw(sheet_of(DataChain("c" * 200, places, ((HIGH, LOW),)))).groups("device")[0]
    texts = [mark for mark in marks(device.items) if isinstance(mark, Text)]
    assert "id 17" in [text.text for text in texts]
    cut = [text for text in texts if text.text.endswith("…")]
    assert [text.full for text in cut] == ["a" * 200, "b" * 200]


def test_nothing_at_all_is_said_too() -> None:
    made = pages(sheet_of(), PAPERS[0])
    assert len(made) == 1
    assert any("no data bus" in text for text in texts_of(*made[0].items))


def test_a_chain_that_does_not_fit_its_wires_is_refused() -> None:
    with pytest.raises(ValueError, match="2 places have 0 stretches"):
        DataChain("x", (DataPlace("a", "a"), DataPlace("b", "b")))
    with pytest.raises(ValueError, match="without an order"):
        DataChain("x", (DataPlace("a", "a"), DataPlace("b", "b")), ((),), ordered=False)


# ------------------------------------------------------------------ leads
def lead(i: int, *, power: str = "", from_left: bool = True, count: int = 2) -> DataLead:
    """Return a lead of some wires on socket "digital i"."""
    wires = tuple(
        DataWire(f"W{10 * i + k}", role, colour, "22 AWG", "40 cm", 0.6, from_left=from_left)
        for k, (role, colour) in enumerate((("signal", "WH"), ("minus", "BK"), ("plus", "RD"))[:count])
    )
    return DataLead(f"digital {i}", wires, f"thing {i}", "contact, Limit switch", power)


def test_sockets_are_beads_on_a_hollow_bar_and_wires_name_themselves() -> None:
    hub = DataHub("computer", "computer", "Robot controller", (lead(1), lead(2, count=3)))
    scene = draw(sheet_of(sections=(DataSection("Signal leads", (hub,)),)))
    assert [group.about for group in scene.groups("lead")] == ["computer digital 1", "computer digital 2"]
    first, second = (texts_of(group) for group in scene.groups("lead"))
    assert first[:8] == ["digital 1", "22 AWG", "W10", "WH", "signal", "40 cm", "W11", "BK"]
    assert second.count("22 AWG") == second.count("40 cm") == 1
    assert second[-6:] == ["minus", "W22", "RD", "plus", "thing 2", "contact, Limit switch"]
    assert {"thing 2", "contact, Limit switch"} <= set(second)


def test_end_a_is_filled_wherever_it_lies() -> None:
    hub = DataHub("switch", "switch", "", (lead(1), lead(2, from_left=False)))
    scene = draw(sheet_of(sections=(DataSection("Network cables", (hub,)),)))
    for group, fills in zip(scene.groups("lead"), ((INK, WHITE), (WHITE, INK)), strict=True):
        for wire in (item for item in group.items if isinstance(item, Group) and item.role == "wire"):
            left, right = sorted((m for m in wire.items if isinstance(m, Shape)), key=lambda m: m.box.left)
            assert (left.fill, right.fill) == fills


def test_a_cable_that_carries_power_says_so_and_the_others_do_not() -> None:
    hub = DataHub("regulator", "regulator", "", (lead(1), lead(2, power="12 V", count=1)))
    scene = draw(sheet_of(sections=(DataSection("Network cables", (hub,)),)))
    plain, feeding = (texts_of(group) for group in scene.groups("lead"))
    assert "carries 12 V" in feeding
    assert not any("carries" in text for text in plain)


def test_what_a_thick_lead_carries_stands_clear_of_the_lead_below() -> None:
    hub = DataHub("regulator", "regulator", "", tuple(lead(i, power="12 V", count=3) for i in (1, 2)))
    assert faults(draw(sheet_of(sections=(DataSection("Network cables", (hub,)),)))) == ()


def test_a_device_with_many_leads_goes_on_in_the_next_column_under_its_name() -> None:
    hub = DataHub("computer", "computer", "", tuple(lead(i) for i in range(30)))
    made = pages(sheet_of(sections=(DataSection("Signal leads", (hub,)),)), PAPERS[0])
    assert [group.about for group in scenes_of(made, "lead")] == [f"computer digital {i}" for i in range(30)]
    assert len(made) == 2
    assert len(scenes_of(made, "hub")) == 1
    for scene in made:
        assert faults(scene) == ()
        assert "SIGNAL LEADS, CONTINUED: COMPUTER" in texts_of(*scene.items)


# ------------------------------------------------------------------ flow
def piece(height_mm: float, again_mm: float = 0.0) -> Piece:
    """Return a piece that marks the top of its room."""
    return Piece(height_mm, lambda room, _first, _last: (Rect(room.left, room.top, 1, 1),), again_mm)


def tops(items: tuple[Item, ...]) -> list[float]:
    """Return where the pieces were put."""
    return [mark.y for mark in marks(items) if isinstance(mark, Rect)]


def test_pieces_that_belong_together_are_not_parted() -> None:
    column, left = fill([(piece(4),), (piece(4), piece(4))], Box(0, 0, 10, 10), fresh=True)
    assert tops(column.items) == [0]
    assert len(left) == 1


def test_a_gap_is_left_out_at_both_ends_of_a_column() -> None:
    column, left = fill([gap(3), (piece(4),), gap(3), (piece(9),)], Box(0, 0, 10, 10), fresh=True)
    assert tops(column.items) == [0]
    assert column.end_mm == 4
    assert len(left) == 1


def test_what_is_said_again_at_the_head_of_a_column_takes_room_there_only() -> None:
    runs = [(piece(5, 2),), (piece(5, 2),), (piece(5, 2),)]
    column, left = fill(runs, Box(0, 0, 10, 12), fresh=True)
    assert tops(column.items) == [0, 7]
    assert (column.end_mm, len(left)) == (12, 1)


def test_a_run_too_tall_for_a_page_is_put_on_a_fresh_one_only() -> None:
    assert fill([(piece(50),)], Box(0, 0, 10, 10), fresh=False)[1]
    assert not fill([(piece(50),)], Box(0, 0, 10, 10), fresh=True)[1]


def test_columns_are_no_longer_than_they_have_to_be() -> None:
    boxes = [Box(0, 0, 10, 100), Box(12, 0, 22, 100)]
    columns, left = fill_all([(piece(5),) for _ in range(6)], boxes, fresh=True)
    assert [tops(column.items) for column in columns] == [[0, 5, 10], [0, 5, 10]]
    assert left == ()


# ------------------------------------------------------------------ paper
def test_words_stand_on_white_and_the_caution_is_there_on_the_first_page() -> None:
    hub = DataHub("computer", "computer", "", (lead(1),))
    made = pages(sheet_of(long_chain(24), sections=(DataSection("Signal leads", (hub,)),)), PAPERS[0])
    assert CAUTION in texts_of(*made[0].items)
    for scene in made:
        painted = list(scene.marks())
        for i, text in enumerate(painted):
            if isinstance(text, Text):
                under = [m for m in painted[:i] if isinstance(m, Rect) and m.fill and m.body.holds(text.box)]
                assert under[-1].fill == WHITE, text


def test_every_page_can_be_set_as_a_pdf() -> None:
    hub = DataHub("computer", "名", "", (lead(1),))
    made = pages(sheet_of(long_chain(24), sections=(DataSection("Signal leads", (hub,)),)), PAPERS[0])
    code = "\n".join(f'#page(figure(alt: "page")[\n{scene_code(scene)}\n])' for scene in made)
    setting = "#set page(width: 297mm, height: 210mm, margin: 12mm)\n"
    assert pdf({"main.typ": document("Data") + setting + code}).startswith(b"%PDF")


def extent(group: Group) -> Box:
    """Return the box around everything in a group."""
    boxes = [mark.box for mark in marks(group.items)]
    return Box(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    )
