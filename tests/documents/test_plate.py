"""The Plate is to scale and can be read, whatever stands on it and whatever it is called."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.legibility import faults, meets
from loomwright.documents.look import INK, SAND, SMALL_MM, WHITE
from loomwright.documents.plate.badges import letters
from loomwright.documents.plate.bands import partly_empty, used_paths
from loomwright.documents.plate.drawing import draw
from loomwright.documents.plate.sheet import (
    PlateArea,
    PlateLeg,
    PlatePanel,
    PlateRun,
    PlateSheet,
    PlateStretch,
    PlateTerminal,
    PlateTrunk,
    PlateWire,
)
from loomwright.documents.scene import Box, Circle, Group, Line, Polyline, Scene, Text, around, marks
from loomwright.documents.scene import Path as Shape
from loomwright.documents.svg import write
from loomwright.layout.result import Course
from tests.chromium import Chromium
from tests.documents import plate_samples as samples
from tests.documents.browser import set_texts
from tests.documents.plate_reading import ids_elsewhere, misleading, told_of_slots

SAMPLES = ("board", "everything", "two_plates", "crowd")

NAMES = st.text(max_size=40) | st.sampled_from(
    ["left front", "🤖🤖🤖 robot", "מנוע שמאל קדמי", "左前电机", "x" * 300, "W" * 40, "\u202egnirts", "é" * 50, ""]
)
PLACES = st.tuples(st.floats(0, 0.7), st.floats(0, 0.7))
COLOURS = st.sampled_from(["", "RD", "BK", "WH", "YE", "BUWH", "RDBK"])


@st.composite
def sheets(build: st.DrawFn) -> PlateSheet:
    """Build up to 25 devices anywhere, and up to 12 runs from them over a trunk of up to four stretches."""
    devices = tuple(
        replace(samples.device(f"d{i}", *build(PLACES)), called=build(NAMES), above_m=build(st.floats(-0.1, 2)))
        for i in range(build(st.integers(0, 25)))
    )
    line = build(st.lists(PLACES, min_size=2, max_size=5, unique=True))
    runs, through = [], {i: list[str]() for i in range(len(line) - 1)}
    ends: list[PlateStretch] = []
    number = 1
    for i in range(build(st.integers(0, 12))):
        first, last = sorted(build(st.lists(st.integers(0, len(line) - 1), min_size=2, max_size=2, unique=True)))
        wires = tuple(
            PlateWire(f"W{number + k}", build(COLOURS), build(st.floats(0.5, 12)))
            for k in range(build(st.integers(1, 3)))
        )
        number += len(wires)
        drop = PlateStretch(f"drop {i}", (line[last], build(PLACES)), (f"run {i}",))
        ends.append(drop)
        against = build(st.booleans())
        legs = [PlateLeg(f"part {k}") for k in range(first, last)]
        for k in range(first, last):
            through[k].append(f"run {i}")
        legs.append(PlateLeg(drop.name))
        if against:
            legs = [replace(leg, against=True) for leg in reversed(legs)]
        runs.append(PlateRun(f"run {i}", wires, tuple(legs)))
    parts = tuple(
        PlateStretch(
            f"part {k}",
            (line[k], line[k + 1]),
            tuple(build(st.permutations(names))),
            build(st.sampled_from([Course.TRUNK, Course.LINK])),
            "trunk",
            bundle=samples.bundle(len(names), moving=build(st.booleans()), slack_m=0.3, ties=(line[k],)),
        )
        for k, names in through.items()
        if names
    )
    return PlateSheet(
        robot=build(NAMES),
        build=build(NAMES),
        revision=build(NAMES),
        panels=(
            PlatePanel(
                build(NAMES), 0.0, samples.outline(0.7, 0.7), (PlateArea(build(NAMES), samples.outline(0.1, 0.1)),)
            ),
        ),
        devices=devices,
        terminals=tuple(
            PlateTerminal(
                d.id, build(NAMES), d.corners[0], build(st.sampled_from(["A", "B", ""])), slot=build(st.booleans())
            )
            for d in devices[:8]
        ),
        trunks=(PlateTrunk(build(NAMES), tuple(line)),),
        stretches=(*parts, *ends),
        runs=tuple(runs),
        missing=tuple((build(NAMES), build(NAMES)) for _ in range(build(st.integers(0, 3)))),
    )


def texts_of(scene: Scene) -> list[str]:
    """Return every text that is written."""
    return [text.text for text in scene.texts()]


def extent(group: Group) -> Box:
    """Return the box around a group."""
    corners = [
        corner
        for mark in marks(group.items)
        for corner in ((mark.box.left, mark.box.top), (mark.box.right, mark.box.bottom))
    ]
    return around(corners)


def group(scene: Scene, role: str, about: str) -> Group:
    """Return the one group of this role about this thing."""
    (found,) = (g for g in scene.groups(role) if g.about == about)
    return found


def strands(scene: Scene, run: str) -> list[Polyline]:
    """Return the lines of a run: halo, ink, then its colours."""
    return strands_of(group(scene, "run", run))


def strands_of(run: Group) -> list[Polyline]:
    """Return the lines of a drawn run: halo, ink, then its colours."""
    return [mark for mark in marks(run.items) if isinstance(mark, Polyline)]


def page_point(scene: Scene, sheet: PlateSheet, right: float, forward: float) -> tuple[float, float]:
    """Return where a place is on the page, told from the base plate's outline alone."""
    plate = next(m for m in marks(scene.groups("panel")[0].items) if isinstance(m, Shape))
    box = around([step.to for step in plate.steps])
    wide = max(x for x, _ in sheet.panels[0].outline)
    return (box.left + right * box.width / wide, box.bottom - forward * box.width / wide)


# ------------------------------------------------------------------ it can be read


@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_overlaps_and_every_text_is_in_its_room(name: str) -> None:
    assert faults(draw(getattr(samples, name)())) == ()


@given(sheets())
@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_whatever_a_team_writes_can_be_read(sheet: PlateSheet) -> None:
    """Nothing overlaps, and no name stands in or at another thing than its own."""
    scene = draw(sheet)
    assert faults(scene) == ()
    assert misleading(scene) == []


@pytest.mark.parametrize("name", SAMPLES)
def test_no_name_misleads(name: str) -> None:
    assert misleading(draw(getattr(samples, name)())) == []


def test_a_slot_without_room_beside_it_gets_a_leader_or_is_told_beside_the_plate() -> None:
    """Of thirty slots on 40 mm each is named, and none twice."""
    spots = {f"S{i}": (0.1 + 0.04 * i / 30, 0.15) for i in range(30)}
    block = samples.device("steady block", 0.12, 0.14, 0.05, 0.02, kind="block")
    sheet = PlateSheet(
        "r",
        "",
        "",
        panels=(PlatePanel(outline=samples.outline(0.25, 0.2)),),
        devices=(block, samples.device("motor", 0.2, 0.15, 0.05)),
        terminals=tuple(PlateTerminal(block.id, name, at, "A", slot=True) for name, at in spots.items()),
    )
    scene = draw(sheet)
    beside = " ".join(texts_of(scene)).partition("No room to write on the drawing: ")[2]
    told = [slot for slot in told_of_slots((scene,), sheet).items() if not slot[1]]
    assert told == []
    assert scene.groups("slot-leader")
    assert "steady block S" in beside, "the sample has room for all"
    assert faults(scene) == ()
    assert misleading(scene) == []


@pytest.mark.parametrize("name", SAMPLES)
def test_no_text_is_smaller_than_on_the_spine(name: str) -> None:
    assert min(text.size_mm for text in draw(getattr(samples, name)()).texts()) >= SMALL_MM


def test_what_finds_no_room_is_told_beside_the_plate() -> None:
    """Of sixty things in one corner each is named, on the drawing or in the words beside it."""
    scene = draw(samples.crowd())
    written = {g.about for g in scene.groups("device-name")}
    beside = " ".join(texts_of(scene))
    lost = [d.id for d in samples.crowd().devices if d.id not in written]
    assert lost, "the sample is no crowd"
    assert "No room to write on the drawing:" in beside
    assert all(re.search(rf"number\s+{name.split()[3]}\s+of", beside) for name in lost)


def test_a_browser_sets_no_text_wider_than_it_was_measured(needs_chromium: Chromium, tmp_path: Path) -> None:
    scene = draw(samples.everything())
    found = set_texts(needs_chromium, write(scene), tmp_path)
    assert [said.text for said in found] == [text.text for text in scene.texts()]
    assert all(said.width <= text.width_mm + 0.05 for text, said in zip(scene.texts(), found, strict=True))


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert write(draw(samples.everything())) == write(draw(samples.everything()))


# ------------------------------------------------------------------ it is to scale


@pytest.mark.parametrize(("name", "scale"), [("board", 2.5), ("everything", 2.5)])
def test_devices_and_plate_are_drawn_to_the_scale_that_is_written(name: str, scale: float) -> None:
    sheet = getattr(samples, name)()
    scene = draw(sheet)
    assert any(f"scale 1:{scale:g}" in text for text in texts_of(scene))
    for device in sheet.devices:
        drawn = next(mark for mark in group(scene, "device", device.id).items if isinstance(mark, Shape))
        corners = [page_point(scene, sheet, *spot) for spot in device.corners]
        assert [step.to for step in drawn.steps] == [pytest.approx(corner, abs=0.01) for corner in corners]
        wide = max(x for x, _ in device.corners) - min(x for x, _ in device.corners)
        assert around([step.to for step in drawn.steps]).width == pytest.approx(wide * 1000 / scale)


def test_front_is_up_and_right_is_right() -> None:
    scene = draw(samples.everything())
    battery, front, controller = (
        extent(group(scene, "device", n)) for n in ("battery", "left front", "robot controller")
    )
    assert front.bottom < battery.top
    assert front.right < controller.left


@pytest.mark.parametrize("name", ["board", "everything"])
def test_the_rulers_measure_the_drawing(name: str) -> None:
    """Where the ruler says 100, there is 100 mm right, and 100 mm forward, of the left rear corner."""
    sheet = getattr(samples, name)()
    scene = draw(sheet)
    x, y = page_point(scene, sheet, 0.1, 0.1)
    (ruler,) = scene.groups("ruler")
    ticks = [mark for mark in marks(ruler.items) if isinstance(mark, Line)]
    below, left = (t for t in ruler.items if isinstance(t, Text) and t.text == "100")
    below, left = (below, left) if below.at[1] > left.at[1] else (left, below)
    assert below.at[0] == pytest.approx(x)
    assert (left.box.top + left.box.bottom) / 2 == pytest.approx(y, abs=0.3)
    assert any(t.start[0] == t.end[0] == pytest.approx(x) for t in ticks)
    assert any(t.start[1] == t.end[1] == pytest.approx(y) for t in ticks)


@pytest.mark.parametrize(("name", "scale"), [("board", 2.5), ("everything", 2.5)])
def test_the_scale_bar_is_as_long_as_it_says(name: str, scale: float) -> None:
    (bar,) = draw(getattr(samples, name)()).groups("scale-bar")
    said = next(int(t.text.split()[0]) for t in bar.items if isinstance(t, Text) and t.text.endswith(" mm"))
    lines = [mark for mark in bar.items if not isinstance(mark, Text | Group)]
    assert extent(Group(tuple(lines), "x")).width == pytest.approx(said / scale, abs=0.31)


def test_an_upper_plate_is_a_panel_of_its_own_at_the_same_scale() -> None:
    scene = draw(samples.two_plates())
    base, upper = scene.groups("panel")
    assert [base.title, upper.title] == ["Base plate", "upper deck, 30 cm up"]
    wide = [
        around([s.to for s in next(m for m in marks(p.items) if isinstance(m, Shape)).steps]).width
        for p in (base, upper)
    ]
    assert wide[0] / wide[1] == pytest.approx(0.4 / 0.3)
    assert not extent(base).overlaps(extent(upper))
    assert [g.about for g in (m for m in upper.items if isinstance(m, Group)) if g.role == "device"] == ["radio"]


def test_wires_that_change_plates_say_so_on_both() -> None:
    scene = draw(samples.two_plates())
    assert {"up to upper deck", "down to base plate"} <= set(texts_of(scene))
    holes = scene.groups("passage")
    assert len(holes) == 2
    ends = [
        strand.points[end] for strand, end in zip((runs[1] for runs in _run_parts(scene, "far")), (-1, 0), strict=True)
    ]
    for hole, end in zip(holes, ends, strict=True):
        box = extent(hole)
        assert math.dist(((box.left + box.right) / 2, (box.top + box.bottom) / 2), end) < 3


def _run_parts(scene: Scene, run: str) -> list[list[Polyline]]:
    parts = [g for g in scene.groups("run") if g.about == run]
    return [[mark for mark in marks(part.items) if isinstance(mark, Polyline)] for part in parts]


@pytest.mark.parametrize(
    ("wide", "deep", "paper"),
    [
        (0.3, 0.25, (297, 210)),
        (0.25, 0.4, (210, 297)),
        (0.64, 0.7, (297, 420)),
        (0.9, 0.5, (420, 297)),
        (30.0, 20.0, None),
    ],
)
def test_the_paper_suits_the_plate(wide: float, deep: float, paper: tuple[float, float] | None) -> None:
    scene = draw(PlateSheet("r", "", "", panels=(PlatePanel(outline=samples.outline(wide, deep)),)))
    assert paper is None or (scene.width_mm, scene.height_mm) == paper
    assert faults(scene) == ()


def test_a_table_longer_than_the_sheet_makes_the_sheet_longer_not_the_drawing_small() -> None:
    sheet = samples.everything()
    many = tuple(
        replace(
            sheet.stretches[1],
            name=f"s{i}",
            trunk=f"trunk {i}",
            path=((0.1, 0.01 * i), (0.2, 0.01 * i)),
            order=("lift",),
        )
        for i in range(60)
    )
    scene = draw(replace(sheet, stretches=(*sheet.stretches, *many)))
    assert scene.height_mm > 420
    assert any("scale 1:2.5" in text for text in texts_of(scene))
    assert faults(scene) == ()


# ------------------------------------------------------------------ wires


def test_wires_lie_side_by_side_in_the_order_of_the_bundle() -> None:
    """Looking along the path, from left to right, whichever way the path is written, without touching each other."""
    sheet = samples.everything()
    tower = sheet.stretch("tower")
    turned = replace(tower, path=tower.path[::-1], order=tower.order[::-1])
    legs = {
        run.name: tuple(replace(g, against=True) if g.stretch == "tower" else g for g in run.legs) for run in sheet.runs
    }
    other = replace(
        sheet,
        stretches=tuple(turned if s is tower else s for s in sheet.stretches),
        runs=tuple(replace(run, legs=legs[run.name]) for run in sheet.runs),
    )
    for drawn in (draw(sheet), draw(other)):
        x = [strands(drawn, name)[1].points[0][0] for name in tower.order]
        widths = [strands(drawn, name)[1].stroke.width_mm for name in tower.order]
        assert x == sorted(x)
        gaps = [b - a - (one + two) / 2 for (a, b), (one, two) in zip(pairwise(x), pairwise(widths), strict=True)]
        assert min(gaps) > -1e-6


def test_a_run_is_drawn_as_its_wires_in_their_colours_from_left_to_right() -> None:
    drawn = strands(draw(samples.board()), "near")
    assert [mark.stroke.colour for mark in drawn] == [WHITE, INK, "#ee2e31"]  # black is the ink that lies under all
    halo, ink, red = drawn
    assert halo.stroke.width_mm > ink.stroke.width_mm > red.stroke.width_mm
    data = strands(draw(samples.everything()), "data")
    assert [m.stroke.colour for m in data[2:]] == ["#ffd400", "#1a8f3c", "#ee2e31", INK, WHITE]
    assert data[5].stroke.dash_mm, "a second colour shows as bands"


def test_a_wire_ends_at_its_terminals() -> None:
    sheet = samples.board()
    scene = draw(sheet)
    for run, start, end in (("near", (0.16, 0.06), (0.12, 0.18)), ("far", (0.24, 0.06), (0.12, 0.26))):
        points = strands(scene, run)[1].points
        assert math.dist(points[0], page_point(scene, sheet, *start)) < 0.01
        assert math.dist(points[-1], page_point(scene, sheet, *end)) < 0.01


def test_drops_that_share_a_line_lie_apart_and_still_end_at_their_own_terminals() -> None:
    """Three drops go down the left face of a block: apart from each other, each to its slot."""
    spots = [(0.2, 0.3 - 0.05 * i) for i in range(3)]
    names = [f"H{i}" for i in range(3)]
    drops = tuple(PlateStretch(n, ((0.1, 0.4), (0.2, 0.36), spot), (n,)) for n, spot in zip(names, spots, strict=True))
    sheet = PlateSheet(
        "r",
        "",
        "",
        panels=(PlatePanel(outline=samples.outline(0.5, 0.5)),),
        devices=(samples.device("block", 0.3, 0.25, 0.2, 0.2, kind="block"),),
        terminals=tuple(PlateTerminal("block", n, spot, "A") for n, spot in zip(names, spots, strict=True)),
        stretches=drops,
        runs=tuple(PlateRun(n, samples.pair(10 * i), (PlateLeg(n),)) for i, n in enumerate(names)),
    )
    scene = draw(sheet)
    lines = [strands(scene, n)[1] for n in names]
    for line, spot in zip(lines, spots, strict=True):
        assert math.dist(line.points[-1], page_point(scene, sheet, *spot)) < 0.01
    level = page_point(scene, sheet, 0.2, 0.32)[1]
    across = [
        a[0] for line in lines for a, b in pairwise(line.points) if a[1] <= level <= b[1] and abs(a[0] - b[0]) < 0.01
    ]
    apart = [a - b for a, b in pairwise(across)]
    assert len(across) == 3
    assert min(apart) >= lines[0].stroke.width_mm


def test_past_a_breakout_the_other_wires_go_straight_on() -> None:
    """The far run keeps its line where the near one leaves to the left."""
    sheet = samples.board()
    scene = draw(sheet)
    far = strands(scene, "far")[1].points
    low, high = page_point(scene, sheet, 0.2, 0.14), page_point(scene, sheet, 0.2, 0.24)
    between = [point for point in far if high[1] <= point[1] <= low[1]]
    around_it = [(a, b) for a, b in pairwise(far) if a[1] >= low[1] >= b[1] or a[1] >= high[1] >= b[1]]
    assert {round(x, 3) for pair in around_it for x, _ in pair} == {round(x, 3) for x, _ in (*between, around_it[0][0])}
    assert len({round(x, 3) for pair in around_it for x, _ in pair}) == 1


def test_corners_are_as_round_as_the_bundle_may_be_bent() -> None:
    """A run that turns by a right angle keeps off the corner by what its bend radius takes."""
    radius_m = 0.03
    stretch = PlateStretch(
        "t", ((0.1, 0.1), (0.1, 0.3), (0.3, 0.3)), ("r",), Course.TRUNK, "t", bundle=samples.bundle(2, bend_m=radius_m)
    )
    sheet = PlateSheet(
        "r",
        "",
        "",
        panels=(PlatePanel(outline=samples.outline(0.4, 0.4)),),
        stretches=(stretch,),
        runs=(PlateRun("r", samples.pair(1), (PlateLeg("t"),)),),
        trunks=(PlateTrunk("t", stretch.path),),
    )
    scene = draw(sheet)
    corner = page_point(scene, sheet, 0.1, 0.3)
    (scale,) = (float(m[1]) for t in texts_of(scene) if (m := re.search(r"scale 1:([\d.]+)", t)))
    points = strands(scene, "r")[1].points
    assert min(math.dist(p, corner) for p in points) == pytest.approx(
        (math.sqrt(2) - 1) * radius_m * 1000 / scale, abs=0.1
    )


@pytest.mark.parametrize("wires", [20, 40, 60])
def test_a_bundle_of_many_wires_stays_narrow_enough_to_read(wires: int) -> None:
    """Up to about 40 wires are drawn one by one on 14 mm at most; more than that become one tube."""
    scene = draw(samples.thick_trunk(wires))
    ink = [strands(scene, f"run {i}")[1] for i in range(wires // 2)]
    left = min(s.points[0][0] - s.stroke.width_mm / 2 for s in ink)
    right = max(s.points[0][0] + s.stroke.width_mm / 2 for s in ink)
    tubes = [m for m in scene.groups("panel")[0].items if isinstance(m, Polyline) and m.stroke.colour == WHITE]
    assert right - left <= 14
    assert bool(tubes) == (wires == 60)
    assert str(wires) in texts_of(scene)


def test_loose_wires_are_dotted_and_proposed_trunks_have_dashed_edges() -> None:
    scene = draw(samples.everything())
    assert strands(scene, "beacon")[1].stroke.dash_mm
    assert not strands(scene, "lift")[1].stroke.dash_mm
    edges = {g.about: next(m for m in g.items if isinstance(m, Polyline)).stroke.dash_mm for g in scene.groups("trunk")}
    assert {name for name, dash in edges.items() if dash} == {"link 1"}
    assert "Dashed: proposed. Write it under trunks: to keep or change it." in texts_of(scene)
    assert not any("Dashed" in text for text in texts_of(draw(samples.board())))


def test_a_trunk_is_narrow_and_white_where_no_wire_lies_and_explained() -> None:
    """The left rail has no wires at all; the centre trunk has some from its middle on."""
    sheet = samples.board()
    longer = replace(sheet.trunks[0], path=((0.2, 0.1), (0.2, 0.29)))
    scene = draw(replace(sheet, trunks=(longer, PlateTrunk("left rail", ((0.05, 0.05), (0.05, 0.28))))))
    lines = {g.about: [m for m in g.items if isinstance(m, Polyline)] for g in scene.groups("trunk")}
    assert [m.stroke.colour for m in lines["left rail"]] == [INK, WHITE]
    empty_edge, empty, edge, used = lines["centre"]
    assert [m.stroke.colour for m in (empty_edge, empty, edge, used)] == [INK, WHITE, INK, SAND]
    assert empty.stroke.width_mm < used.stroke.width_mm / 2
    end = page_point(scene, sheet, 0.2, 0.29)
    assert math.dist(_highest(empty), end) < 0.01
    assert math.dist(_highest(used), page_point(scene, sheet, 0.2, 0.26)) < 0.01
    assert "a trunk without wires" in texts_of(scene)
    assert "a trunk without wires" not in texts_of(draw(sheet))
    assert faults(scene) == ()


def test_the_name_of_a_trunk_is_as_near_to_it_where_it_is_empty() -> None:
    """The used part is wide; at the empty end the name stands by the narrow band."""
    sheet = samples.everything()
    tower = replace(sheet.trunks[0], path=((0.32, 0.2), (0.32, 0.56), (0.55, 0.56)))
    block = samples.device("wall", 0.2, 0.38, 0.2, 0.4)
    scene = draw(replace(sheet, trunks=(tower,), devices=(block,), stretches=sheet.stretches, missing=()))
    (name,) = (g for g in scene.groups("trunk-name") if g.about == tower.name)
    (band,) = (g for g in scene.groups("trunk") if g.about == tower.name)
    box = extent(name).grown(1.2)
    assert any(
        meets(a, b, box.grown(line.stroke.width_mm / 2))
        for line in marks(band.items)
        if isinstance(line, Polyline)
        for a, b in pairwise(line.points)
    )


def _highest(line: Polyline) -> tuple[float, float]:
    return min(line.points, key=lambda point: point[1])


def test_a_used_trunk_that_turns_is_one_band() -> None:
    """Two stretches that meet in a corner are drawn as one line, so that no notch is left there."""
    corner = ((0.1, 0.1), (0.1, 0.3)), ((0.3, 0.3), (0.1, 0.3))
    parts = tuple(
        PlateStretch(f"t {i}", path, ("r",), Course.TRUNK, "t", bundle=samples.bundle(2))
        for i, path in enumerate(corner)
    )
    run = PlateRun("r", samples.pair(1), (PlateLeg("t 0"), PlateLeg("t 1", against=True)))
    trunk = PlateTrunk("t", ((0.1, 0.1), (0.1, 0.3), (0.3, 0.3)))
    sheet = PlateSheet("r", "", "", panels=(PlatePanel(),), trunks=(trunk,), stretches=parts, runs=(run,))
    assert used_paths(sheet, trunk) in ((trunk.path,), (trunk.path[::-1],))
    assert not partly_empty(sheet, trunk)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_ids_of_a_run_stand_on_its_own_line_and_on_no_other(name: str) -> None:
    sheet = getattr(samples, name)()
    scene = draw(sheet)
    assert ids_elsewhere(scene, sheet) == []
    named = {label.about for label in scene.groups("ids-name")}
    assert named or not sheet.runs, "the sample has no room for any"


def test_a_trunk_that_only_rises_is_a_post_with_a_name_and_a_dashed_one_is_proposed() -> None:
    """Seen from above it is a point; so it is drawn as a circle."""
    posts = tuple(PlateTrunk(name, ((0.3, 0.2),), proposed=name == "mast") for name in ("post", "mast"))
    scene = draw(replace(samples.board(), trunks=posts))
    rings = {g.about: g.items[0] for g in scene.groups("trunk")}
    drawn = {name: ring.stroke for name, ring in rings.items() if isinstance(ring, Circle)}
    assert {name: bool(stroke and stroke.dash_mm) for name, stroke in drawn.items()} == {"post": False, "mast": True}
    assert {"post", "mast"} <= set(texts_of(scene))


def test_a_tie_is_a_bar_across_its_bundle() -> None:
    sheet = samples.everything()
    scene = draw(sheet)
    (ties,) = scene.groups("ties")
    bars = [mark for mark in ties.items if isinstance(mark, Line) and mark.stroke.colour == INK]
    bundle = sheet.stretch("tower").bundle
    assert bundle is not None
    assert len(bars) == len(bundle.ties) == 4
    inks = [strands(scene, name)[1] for name in sheet.stretch("tower").order]
    left = min(s.points[0][0] - s.stroke.width_mm / 2 for s in inks)
    right = max(s.points[0][0] + s.stroke.width_mm / 2 for s in inks)
    for bar, spot in zip(bars, bundle.ties, strict=True):
        assert bar.box.left < left < right < bar.box.right
        assert bar.start[1] == bar.end[1] == pytest.approx(page_point(scene, sheet, *spot)[1])


def test_a_grommet_is_a_ring_around_the_bundle() -> None:
    sheet = samples.everything()
    scene = draw(sheet)
    (grommet,) = scene.groups("grommet")
    ring = next(mark for mark in grommet.items if isinstance(mark, Circle))
    assert ring.centre == pytest.approx(page_point(scene, sheet, 0.32, 0.5))
    assert 2 * ring.radius > 9
    assert grommet.title == "Grommet: sharp edge"


# ------------------------------------------------------------------ words


def test_a_badge_counts_the_wires_and_its_letter_leads_to_the_table() -> None:
    scene = draw(samples.everything())
    for name, letter, count, ids in (("tower", "A", "20", "W10–W25, W40–W43"), ("link 1", "B", "16", "W10–W25")):
        badge = [m.text for m in marks(group(scene, "badge", name).items) if isinstance(m, Text)]
        row = [m.text for m in marks(group(scene, "bundle", name).items) if isinstance(m, Text)]
        assert badge[:2] == [letter, count]
        assert row == [letter, count, f"12 mm: {ids}"]


def test_the_table_says_how_thick_how_full_and_how_tied_a_trunk_is() -> None:
    texts = texts_of(draw(samples.everything()))
    assert "20 wires, 12 mm thick, 4 ties, 80 % full, moves: +62 cm" in texts
    assert "16 wires, 12 mm thick" in texts
    assert {"link 1 · proposed", "lift tower · near swarf"} <= set(texts)
    assert "ties at most 90 mm apart and at bends" in " ".join(texts)


def test_a_moving_joint_is_marked_with_what_it_asks() -> None:
    scene = draw(samples.everything())
    (joint,) = scene.groups("joint")
    assert [m.text for m in marks(joint.items) if isinstance(m, Text)] == ["+62 cm"]
    assert sum(isinstance(m, Polyline) for m in joint.items) == 1
    assert not draw(samples.board()).groups("joint")


def test_on_a_trunk_with_many_breakouts_only_a_few_bundles_get_a_badge() -> None:
    """The four longest that are well apart, lettered along the trunk; a moving one comes before all others."""
    parts = [
        PlateStretch(
            f"part {i:02}",
            ((0.2, 0.025 * i), (0.2, 0.025 * (i + 1))),
            ("r",),
            Course.TRUNK,
            "centre",
            bundle=samples.bundle(2, length_m=0.025 + 0.0001 * i),
        )
        for i in range(40)
    ]
    run = PlateRun("r", samples.pair(1), tuple(PlateLeg(part.name) for part in parts))
    sheet = PlateSheet("r", "", "", panels=(PlatePanel(),), stretches=tuple(parts), runs=(run,))
    assert letters(sheet) == {"part 27": "A", "part 31": "B", "part 35": "C", "part 39": "D"}
    moving = replace(parts[0], bundle=samples.bundle(2, length_m=0.02, moving=True))
    assert "part 00" in letters(replace(sheet, stretches=(moving, *parts[1:])))


def test_after_z_comes_aa() -> None:
    sheet = samples.thick_trunk(2)
    (trunk,) = sheet.stretches
    more = tuple(replace(trunk, name=f"s{i}", trunk=f"t{i}") for i in range(27))
    assert list(letters(replace(sheet, stretches=(trunk, *more))).values())[-3:] == ["Z", "AA", "AB"]


def test_a_thing_above_the_plate_says_how_high_and_a_guess_is_told() -> None:
    scene = draw(samples.everything())
    arm = [m.text for m in marks(group(scene, "device-name", "arm").items) if isinstance(m, Text)]
    assert arm == ["arm", "40 cm up, guessed"]
    low = [m.text for m in marks(group(scene, "device-name", "battery").items) if isinstance(m, Text)]
    assert low == ["battery"]


def test_two_things_that_are_called_alike_are_told_by_their_ids() -> None:
    sheet = samples.board()
    motors = tuple(replace(d, called="lift") if d.kind == "motor" else d for d in sheet.devices)
    texts = texts_of(draw(replace(sheet, devices=motors)))
    assert {"left motor", "right motor"} <= set(texts)
    assert "lift" not in texts


def test_a_name_that_had_to_be_cut_is_kept_whole_in_its_title() -> None:
    name = "the_motor_that_lifts_the_upper_stage_of_the_elevator"
    sheet = samples.board()
    svg = write(draw(replace(sheet, devices=(*sheet.devices, samples.device(name, 0.3, 0.2)))))
    assert re.search(rf"<title>{name}</title>the_motor_that_[^<]*…</text>", svg)


def test_end_a_is_filled_and_end_b_is_hollow() -> None:
    scene = draw(samples.board())
    fills = {g.about: g.items[0].fill for g in scene.groups("terminal") if isinstance(g.items[0], Circle)}
    assert fills == {"block H1": INK, "block H2": INK, "left motor supply": WHITE, "right motor supply": WHITE}


def test_shock_mounts_are_pads_under_the_corners_and_explained_where_there_are_any() -> None:
    """Each pad has its middle on a corner, and the outline is painted over it."""
    sheet = samples.everything()
    soft = tuple(replace(d, shock_mounted=d.id == "robot controller") for d in sheet.devices)
    scene = draw(replace(sheet, devices=soft))
    (pads,) = scene.groups("shock-mounts")
    assert pads.about == "robot controller"
    corners = [page_point(scene, sheet, *spot) for d in soft if d.shock_mounted for spot in d.corners]
    found = [mark.centre for mark in pads.items if isinstance(mark, Circle)]
    assert found == [pytest.approx(corner, abs=0.01) for corner in corners]
    device = group(scene, "device", "robot controller")
    assert [isinstance(item, Group) for item in device.items[:2]] == [True, False]
    assert "sits on shock mounts" in texts_of(scene)
    assert "sits on shock mounts" not in texts_of(draw(sheet))
    assert faults(scene) == ()


def test_the_names_of_slots_are_written_inside_their_block_and_no_others() -> None:
    scene = draw(samples.board())
    block = extent(group(scene, "device", "block"))
    names = scene.groups("slot-name")
    assert [g.about for g in names] == ["block H1", "block H2"]
    assert all(block.holds(extent(g)) for g in names)


def test_the_page_says_caution_robot_and_which_paper_wins() -> None:
    texts = texts_of(draw(samples.everything()))
    assert LAST_WORD in texts
    assert "Tidepool · competition build · plan 8c41f0e2" in texts
    assert CAUTION in " ".join(texts)
    assert "Plate: from above, to scale 1:2.5 · competition build · A3" in texts


def test_wires_without_a_line_are_named_with_the_reason_and_counted() -> None:
    sheet = replace(samples.board(), undrawn=(("they take no trunk", ("W5", "W6", "W7")), ("a jumper", ("W9",))))
    texts = texts_of(draw(sheet))
    assert {"WIRES THAT ARE NOT DRAWN", "they take no trunk: W5–W7", "a jumper: W9"} <= set(texts)
    assert "4 wires of 8 drawn, 4 of them in 2 bundles" in " ".join(texts)
    assert "WIRES THAT ARE NOT DRAWN" not in texts_of(draw(samples.board()))
    assert "4 wires in 2 bundles" in " ".join(texts_of(draw(samples.board())))


def test_bundles_without_a_badge_are_told() -> None:
    sheet = samples.board()
    short = replace(sheet.stretches[1], path=((0.2, 0.18), (0.2, 0.19)), bundle=samples.bundle(2, length_m=0.01))
    scene = draw(replace(sheet, stretches=(sheet.stretches[0], short, *sheet.stretches[2:])))
    assert len(scene.groups("badge")) == 1
    assert "2 bundles, 1 with a badge: the longest of each trunk" in " ".join(texts_of(scene))


def test_what_is_not_on_the_drawing_is_named_with_its_reason() -> None:
    texts = texts_of(draw(samples.everything()))
    assert {"NOT ON THIS DRAWING", "no place is told: camera, horn", "no way leads there: pump"} <= set(texts)


@pytest.mark.parametrize(
    ("crossings", "forced", "words"),
    [
        (0, 0, "no wire crosses another inside a bundle"),
        (3, 2, "3 crossings inside bundles, 2 of them forced"),
        (2, 2, "2 crossings inside bundles, all of them forced"),
        (1, 1, "1 crossing inside a bundle, which no order avoids"),
    ],
)
def test_crossings_are_told_with_those_that_no_order_avoids(crossings: int, forced: int, words: str) -> None:
    scene = draw(replace(samples.board(), crossings=crossings, forced=forced, proof=""))
    assert words in " ".join(texts_of(scene))


def test_without_any_place_the_page_says_how_to_give_one() -> None:
    sheet = PlateSheet("Rockpool", "", "8c41f0e2", missing=(("battery", "no place is told"),))
    scene = draw(sheet)
    texts = texts_of(scene)
    assert {"No places are known yet, so there is nothing to draw to scale.", "at: [120 mm, 340 mm]"} <= set(texts)
    assert "no place is told: battery" in texts
    assert CAUTION in " ".join(texts)
    assert (scene.width_mm, scene.height_mm) == (297, 210)
    long = replace(sheet, missing=tuple((f"thing number {i}", f"reason number {i}") for i in range(90)))
    assert faults(scene) == faults(draw(long)) == ()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"devices": (samples.device("a", 0, 0), samples.device("a", 1, 1))}, "two devices are called 'a'"),
        ({"runs": (PlateRun("r", (), (PlateLeg("gone"),)),)}, "'gone', which is not among the stretches"),
        ({"stretches": (PlateStretch("s", ((0, 0), (1, 1)), ("lost",)),)}, "'lost', which is not among the runs"),
        ({"devices": (samples.device("a", 0, 0, plate=3),)}, "plate 3, which is not there"),
    ],
)
def test_a_sheet_whose_names_lead_nowhere_is_refused(change: dict[str, tuple[object, ...]], words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        PlateSheet(robot="r", build="", revision="", panels=(PlatePanel(),), **change)  # type: ignore[arg-type]
