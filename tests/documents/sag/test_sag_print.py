"""The Sag on printed pages: as large as the room, nothing lost, a match whole on its page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.legibility import faults
from loomwright.documents.print_room import print_room
from loomwright.documents.sag.pdf import sag_pdf
from loomwright.documents.sag.print import sag_scenes
from loomwright.documents.sag.sheet import SagMatch, SagSheet
from loomwright.documents.scene import Scene
from loomwright.documents.typst.scene import scene_code
from loomwright.match.trace import Done
from tests.documents.pdf.pages import pages, text_of
from tests.documents.sag import sag_samples


def eventful(number: int) -> SagMatch:
    """Make a match in which so much happens that everything around the plots is as tall as it gets."""
    made = sag_samples.small()
    long = replace(
        made,
        number=number,
        time_s=tuple(i * 37.5 for i in range(5)),
        steps=tuple(Done(f"{'abc'[i % 3]} twelve ways", i * 4.0) for i in range(38)),
        off=tuple((i * 3.0, i * 3.0 + 0.3) for i in range(45)),
        opened=tuple((f"breaker {i}", 70.0 + i) for i in range(30)),
        phases=(("all of it", 0.0, 150.0),),
    )
    return SagMatch(f"match {number}", long)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pages_can_be_read_and_are_as_large_as_the_room(paper: str) -> None:
    sheet = sag_samples.study()
    room = print_room(paper, foot_mm=6)
    scenes = sag_scenes(sheet, paper, foot_mm=6)
    _hold(scenes, room.width_mm, room.height_mm)
    assert CAUTION in [text.text for text in scenes[0].texts()]
    assert [len(scene.groups("match")) for scene in scenes if scene.groups("match")] == [1, 1]
    assert all(scene_code(scene).startswith("#block(") for scene in scenes)


def _hold(scenes: tuple[Scene, ...], width: float, height: float) -> None:
    for scene in scenes:
        assert faults(scene) == ()
        assert (scene.width_mm, scene.height_mm) == (width, height)
    assert len({scene.name for scene in scenes}) == len(scenes)


@pytest.mark.parametrize("count", [0, 1, 4, 60])
def test_no_line_of_what_it_rests_on_is_lost(count: int) -> None:
    """However many there are, each is there once, in their order."""
    lines = tuple(f"Line {i} of what was assumed." for i in range(count))
    sheet = replace(sag_samples.sheet(SagMatch("m", sag_samples.small())), rests_on=lines)
    said = [text.text for scene in sag_scenes(sheet) for text in scene.texts() if text.text.startswith("Line ")]
    assert said == list(lines)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_match_with_everything_still_fits_on_its_page(paper: str) -> None:
    """It leaves no room for the head, which gets a page of its own."""
    sheet: SagSheet = replace(sag_samples.sheet(eventful(1), eventful(2)), rests_on=sag_samples.REST)
    scenes = sag_scenes(sheet, paper, foot_mm=6)
    room = print_room(paper, foot_mm=6)
    _hold(scenes, room.width_mm, room.height_mm)
    assert [len(scene.groups("match")) for scene in scenes[:3]] == [0, 1, 1]
    assert all(len(scene.groups("breaker")) >= 3 for scene in scenes[1:3])


@pytest.mark.parametrize(("paper", "size"), [("A4", (297, 210)), ("Letter", (279.4, 215.9))])
def test_the_pages_to_print_say_the_same_and_which_plan_they_are_of(paper: str, size: tuple[float, float]) -> None:
    """As many pages as drawings, lying, with robot and revision in the foot; the same bytes twice."""
    sheet = sag_samples.study()
    made = sag_pdf(sheet, paper)
    assert made == sag_pdf(sheet, paper)
    found = pages(made)
    assert len(found) == len(sag_scenes(sheet, paper, foot_mm=6))
    for page in found:
        assert [side / 72 * 25.4 for side in page.get_size()] == pytest.approx(size, abs=0.1)
        assert f"plan {sheet.revision}" in text_of(page)
    assert sheet.headline in text_of(found[0])


def test_a_long_name_and_one_in_other_signs_reach_the_printed_pages() -> None:
    """Two hundred characters are cut in the foot, and signs that the fonts lack become squares."""
    for robot in ("x" * 200, "\u05d0\u05d1 \U0001f916", 'a "b" \\ #c'):
        assert pages(sag_pdf(replace(sag_samples.study(), robot=robot)))
