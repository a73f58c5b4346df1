"""The Spine on printed pages: every row once and in order, bars that run on, and each page can be read."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.legibility import faults
from loomwright.documents.print_room import PrintRoom, print_room
from loomwright.documents.scene import Box, Group, Rect, Scene, marks
from loomwright.documents.spine.drawing import draw
from loomwright.documents.spine.plan import spine_scenes, spine_sheet
from loomwright.documents.spine.print import print_spine
from loomwright.documents.spine.sheet import SpineSheet
from loomwright.documents.svg import write
from tests.documents import spine_samples
from tests.documents.test_spine import sheets
from tests.robots import EXAMPLES, example_plan

SAMPLES = ("trainer", "competition", "large", "two_roots")
ROOMS = (print_room("A4"), print_room("Letter"), print_room("A4", foot_mm=8))


def sample(name: str) -> SpineSheet:
    """Return a sample sheet."""
    made: SpineSheet = getattr(spine_samples, name)()
    return made


def rows(scene: Scene) -> list[tuple[str, Box]]:
    """Return the rows of a page from the top down: what each is about, and the box of its slot's tag."""
    tags = [
        (g.about, min((m for m in marks(g.items) if isinstance(m, Rect) and m.radius > 2), key=lambda m: m.x))
        for g in _rows(scene)
    ]
    return sorted(((about, tag.box) for about, tag in tags), key=lambda pair: pair[1].top)


def _rows(scene: Scene) -> tuple[Group, ...]:
    return scene.groups("branch")


@settings(max_examples=15, suppress_health_check=list(HealthCheck))
@given(sheets())
def test_every_page_of_every_sheet_can_be_read(sheet: SpineSheet) -> None:
    """No overlap, nothing off the page; every row of the drawing on one sheet is on one of the pages, in order."""
    scenes = print_spine(sheet, ROOMS[1])
    for scene in scenes:
        assert faults(scene) == ()
    assert [g.about for scene in scenes for g in _rows(scene)] == [g.about for g in _rows(draw(sheet))]
    assert any(text.text == CAUTION for text in scenes[0].texts())


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("name", SAMPLES)
def test_each_page_is_as_large_as_the_room_and_holds_its_rows_apart(name: str, room: PrintRoom) -> None:
    scenes = print_spine(sample(name), room)
    for scene in scenes:
        assert faults(scene) == ()
        assert (scene.width_mm, scene.height_mm) == (room.width_mm, room.height_mm)
        boxes = [box for _, box in rows(scene)]
        assert boxes
        assert all(a.bottom < b.top for a, b in pairwise(boxes))
    assert len({scene.name for scene in scenes}) == len(scenes)


def test_every_branch_and_wire_is_on_one_page() -> None:
    sheet = sample("large")
    scenes = print_spine(sheet, ROOMS[0])
    assert len(scenes) > 2
    wires = [g.about for scene in scenes for g in scene.groups("wire")]
    assert sorted(wires) == sorted(wire.id for wire in sheet.wires())


def test_a_bar_runs_from_its_first_row_through_the_pages_to_its_last() -> None:
    """To the foot of the page where it goes on, from the head where it comes from, through the middle of its slots."""
    room = ROOMS[0]
    scenes = print_spine(sample("competition"), room)
    held = {i: {g.about: g for g in scene.groups("block")} for i, scene in enumerate(scenes)}
    (root,) = sample("competition").roots
    assert all(root.id in bars for bars in held.values())
    last = len(scenes) - 1
    for i, scene in enumerate(scenes):
        (bar,) = (mark.box for mark in marks(held[i][root.id].items))
        mine = [box for about, box in rows(scene) if about.startswith(f"{root.id} ")]
        assert all(box.left < bar.left < bar.right < box.right for box in mine)
        assert all(bar.top < box.bottom and box.top < bar.bottom for box in mine)
        goes_on = any(text.text == "continued on the next page" for text in scene.texts())
        assert goes_on == (i < last)
        assert (bar.bottom > room.height_mm - 3) == goes_on
        if i:
            assert bar.top < 20
            assert any("continued" in text.text and root.title in text.text for text in scene.texts())


def test_a_row_that_feeds_a_bar_stays_with_the_first_row_of_that_bar() -> None:
    """Whatever the height of the page."""
    sheet = sample("competition")
    feeding = {f"{block.id} {b.slot}": b.feeds for block in sheet.blocks for b in block.branches if b.feeds}
    assert feeding
    for height in range(165, 230, 5):
        for scene in print_spine(sheet, PrintRoom("A4", 273, height)):
            there = [about for about, _ in rows(scene)]
            for about, fed in feeding.items():
                if about in there:
                    assert there[there.index(about) + 1].startswith(f"{fed} ")
            assert len(scene.groups("link")) == sum(about in feeding for about in there)


def test_a_second_block_comes_on_its_own_page_with_the_stations_that_feed_it() -> None:
    sheet = sample("two_roots")
    scenes = print_spine(sheet, ROOMS[0])
    sources = [[group.about for group in scene.groups("source")] for scene in scenes]
    assert [about for found in sources for about in found] == ["", sheet.roots[1].id]
    second = next(scene for scene, found in zip(scenes, sources, strict=True) if found == [sheet.roots[1].id])
    texts = [text.text for text in second.texts()]
    assert sheet.stations[-1].title in texts
    leads = {wire.id for wire in (sheet.roots[1].plus, sheet.roots[1].minus) if wire is not None}
    assert len(leads) == 2
    assert leads <= {g.about for g in second.groups("wire")}


def test_a_robot_without_a_block_still_shows_its_battery_path() -> None:
    (scene,) = print_spine(replace(sample("trainer"), blocks=()), ROOMS[0])
    assert faults(scene) == ()
    assert {station.title for station in sample("trainer").stations} <= {text.text for text in scene.texts()}
    assert [group.title for group in scene.groups("caution")] == [CAUTION]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_can_be_read_on_both_papers(name: str, paper: str) -> None:
    plan = example_plan(name)
    scenes = spine_scenes(plan, paper)
    assert all(faults(scene) == () for scene in scenes)
    assert len(scenes) <= 4
    cut = {text.full for scene in scenes for text in scene.texts() if text.text.endswith("…")}
    assert not any("left" in words or words.startswith("Distribution") for words in cut)
    assert len(cut) <= 2, "what a part is called is cut beside free room"
    one = draw(spine_sheet(plan))
    assert [g.about for scene in scenes for g in _rows(scene)] == [g.about for g in _rows(one)]
    assert [write(scene) for scene in scenes] == [write(scene) for scene in spine_scenes(plan, paper)]
