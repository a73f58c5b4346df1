"""Pages of flags as scenes: everything in its label, nothing overlapped, two faces that name their end."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from loomwright.documents.flags.fold import printable
from loomwright.documents.flags.rows import Flag, flags
from loomwright.documents.flags.sheet import Print, flag_pages
from loomwright.documents.flags.stock import LabelStock, label_stock, label_stocks
from loomwright.documents.legibility import faults
from loomwright.documents.look import INK, WHITE
from loomwright.documents.scene import Box, Circle, Group, Mark, Path, Rect, Scene, Text, marks
from loomwright.documents.type import Face
from loomwright.documents.wirebar import LUG_MM
from loomwright.plan.result import Plan
from tests.documents.flags.robots_with_flags import HOSTILE, example, flag, hostile, unknowns
from tests.robots import EXAMPLES

STOCKS = pytest.mark.parametrize("stock", [stock.name for stock in label_stocks()])
ABOUT = Print(robot="Small", build="", revision="f8d11fc8")


def boxes(scenes: tuple[Scene, ...], stock: LabelStock, start: int = 1) -> list[tuple[Group, Box]]:
    """Give every flag with the box of the label that it should be on."""
    found = []
    for i, (group, _) in enumerate([(group, scene) for scene in scenes for group in scene.groups("flag")]):
        found.append((group, stock.label((start - 1 + i) % stock.labels + 1)))
    return found


def plain_pages(plan: Plan) -> tuple[Scene, ...]:
    """Lay a plan's flags on paper, the codes as white squares: that is quick."""
    return flag_pages(flags(plan), stock=label_stock("a4-cut-4x7"), about=ABOUT, shapes=False)


def check(plan: Plan, name: str) -> None:
    """Hold a plan's pages to all that a page must keep."""
    stock = label_stock(name)
    about = Print(robot=plan.robot.name, build=plan.robot.build, revision=plan.revision)
    scenes = flag_pages(flags(plan), stock=stock, about=about, shapes=False)
    for group, box in boxes(scenes, stock):
        inner = printable(box, stock.paper)
        for mark in marks(group.items):
            assert box.holds(mark.box), (group.about, mark)
        for face in group.items[1:]:
            assert isinstance(face, Group)
            assert all(inner.holds(mark.box, 0.02) for mark in marks(face.items)), group.about
        areas = [mark.box for mark in marks(group.items) if isinstance(mark, Rect | Circle) or is_lug(mark)]
        assert not [1 for a, b in combinations(areas, 2) if a.overlaps(b)], group.about
    for scene in scenes:
        assert faults(scene) == ()


@STOCKS
def test_a_page_of_the_trainer_can_be_read_on_every_sheet(stock: str) -> None:
    """Nothing leaves its label or what a printer reaches, and nothing overlaps."""
    check(example("rockpool"), stock)


@pytest.mark.parametrize("name", ["tidepool", "breakwater"])
def test_pages_of_whole_robots_can_be_read(name: str) -> None:
    """The same for every flag of the large examples."""
    check(example(name), "a4-cut-4x7")


@pytest.mark.parametrize("stock", ["a4-cut-4x7", "letter-3x10", "a4-2x7"])
def test_hostile_names_and_unknowns_stay_in_their_labels(stock: str) -> None:
    """Names of 200 characters, emoji, right to left, a formula, a path; and a robot of which little is known."""
    check(hostile(), stock)
    check(unknowns(), stock)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("outside_mm", [2.35, 8.89, None])
def test_every_place_of_a_flag_bears_a_hostile_name(name: str, outside_mm: float | None) -> None:
    """Use, slot and both places at once, on the smallest and the longest labels."""
    held = flag(use=name, slot=name, where=name, far=name, outside_mm=outside_mm)
    for each in ("letter-3x10", "a4-2x7"):
        (scene,) = flag_pages([held], stock=label_stock(each), about=replace(ABOUT, robot=name, build=name))
        assert faults(scene) == ()


@pytest.mark.parametrize("name", EXAMPLES)
def test_both_faces_bear_the_id_and_the_lug_of_their_end(name: str) -> None:
    """The id in the largest type of the flag, in bold, the same on both faces; lugs are filled for A, hollow for B."""
    for scene in plain_pages(example(name)):
        for group in scene.groups("flag"):
            faces = [item for item in group.items if isinstance(item, Group) and item.role.startswith("face")]
            ids = [[text for text in scene_texts(face) if text.text == group.about] for face in faces]
            assert [len(found) for found in ids] == [1, 1], group.about
            (one,), (other,) = ids
            assert one.size_mm == other.size_mm
            assert one.face is Face.BOLD
            assert one.size_mm > max(
                text.size_mm for face in faces for text in scene_texts(face) if text not in (one, other)
            )
            for face in faces:
                (lug,) = [mark for mark in marks(face.items) if is_lug(mark)]
                assert isinstance(lug, Path)
                assert lug.fill == (INK if group.about.endswith("A") else WHITE)
                assert lug.box.width == pytest.approx(LUG_MM, abs=0.6)


@STOCKS
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_flag_bears_its_gauge_once_on_every_sheet(name: str, stock: str) -> None:
    """Beside the code, or among the words; sideways it keeps off the id above it."""
    held = {f"{one.id} {one.letter}": one.gauge for one in flags(example(name))}
    for scene in flag_pages(flags(example(name)), stock=label_stock(stock), about=ABOUT, shapes=False):
        for group in scene.groups("flag"):
            texts = scene_texts(group)
            assert " ".join(text.text for text in texts).count(held[group.about]) == 1, group.about
            for sideways in (text for text in texts if text.turn_deg):
                ids = [text for text in texts if text.text == group.about]
                assert not any(text.box.grown(0.5).overlaps(sideways.box) for text in ids), group.about


def is_lug(mark: Mark) -> bool:
    """Tell a lug from a code's shape: it has an outline."""
    return isinstance(mark, Path) and mark.stroke is not None


def scene_texts(face: Group) -> list[Text]:
    """Give the texts of a face."""
    return [mark for mark in marks(face.items) if isinstance(mark, Text)]


def test_words_stand_on_a_flag_whole_where_they_fit() -> None:
    """Use, this end's place and the slot can be read back, line by line."""
    (scene,) = flag_pages([flag()], stock=label_stock("a4-cut-4x7"), about=ABOUT)
    (face,) = scene.groups("face with words")
    assert " ".join(text.text for text in scene_texts(face)) == (
        "W26 A lift controller, plus → block H1 plus slot block H1"
    )
    (other,) = scene.groups("face with code")
    assert [text.text for text in scene_texts(other)] == ["W26 A", "12 AWG RD"]


def test_a_long_label_tells_the_other_end_beside_a_larger_code() -> None:
    """Where the face is long, the code takes its whole height and words stand beside it."""
    (scene,) = flag_pages([flag()], stock=label_stock("letter-2x10"), about=ABOUT)
    (face,) = scene.groups("face with code")
    said = " ".join(text.text for text in scene_texts(face))
    assert said == "W26 A 12 AWG RD other end → lift controller supply plus"
    (code,) = scene.groups("code")
    (under,) = flag_pages([flag()], stock=label_stock("letter-3x10"), about=ABOUT)[0].groups("code")
    assert width(code) > width(under) * 1.1


def width(code: Group) -> float:
    """Give the side of a code with its quiet zone [mm]."""
    ground = code.items[0]
    assert isinstance(ground, Rect)
    return ground.width


def test_a_part_used_sheet_is_finished() -> None:
    """The first flag stands on the label that was named, the rest go on from there, over to the next pages."""
    stock = label_stock("a4-3x11")
    held = [flag(id=f"W{n}") for n in range(1, 41)]
    scenes = flag_pages(held, stock=stock, about=ABOUT, start=30)
    assert [len(scene.groups("flag")) for scene in scenes] == [4, 33, 3]
    found = boxes(scenes, stock, start=30)
    assert [group.about for group, _ in found] == [f"W{n} A" for n in range(1, 41)]
    assert all(box.holds(mark.box) for group, box in found for mark in marks(group.items))


@pytest.mark.parametrize(("many", "start", "pages"), [(33, 1, 1), (34, 1, 2), (1, 33, 1), (2, 33, 2)])
def test_the_last_page_is_begun_only_for_a_flag(many: int, start: int, pages: int) -> None:
    """A page that is just full is the last one."""
    held = [flag(id=f"W{n}") for n in range(many)]
    scenes = flag_pages(held, stock=label_stock("a4-3x11"), about=ABOUT, start=start)
    assert len(scenes) == pages
    assert all(scene.groups("flag") for scene in scenes)
    told = [text.text for text in scenes[-1].texts() if f"page {pages} of {pages}" in text.text]
    assert told == [f"Small · plan f8d11fc8 · flags, page {pages} of {pages} · a4-3x11"]


@pytest.mark.parametrize("start", [0, 34, -1])
def test_a_start_that_is_not_on_the_page_is_refused(start: int) -> None:
    """With the numbers that are."""
    with pytest.raises(ValueError, match=f"label {start} is not on a page of a4-3x11: give 1 to 33"):
        flag_pages([flag()], stock=label_stock("a4-3x11"), about=ABOUT, start=start)


def test_only_paper_has_lines_to_cut_on_and_only_around_flags() -> None:
    """Four lines around one flag and marks in the margins; a label sheet has none."""
    cut = label_stock("a4-cut-4x7")
    (scene,) = flag_pages([flag()], stock=cut, about=ABOUT, start=6)
    (group,) = scene.groups("cuts")
    box = cut.label(6)
    inside = [mark.box for mark in marks(group.items) if cut.grid.holds(mark.box, 0.2)]
    assert len(inside) == 4
    assert all(box.holds(line, 0.2) for line in inside)
    assert len(group.items) == 4 + 8
    (sheet,) = flag_pages([flag()], stock=label_stock("a4-3x11"), about=ABOUT)
    assert sheet.groups("cuts") == ()


def test_a_wire_too_thick_to_wrap_is_told_to_be_tied() -> None:
    """A hole on the flag and a sentence in the head, and neither where no wire needs it."""
    stock = label_stock("letter-3x10")
    (thick,) = flag_pages([flag(outside_mm=8.89)], stock=stock, about=ABOUT)
    (thin,) = flag_pages([flag()], stock=stock, about=ABOUT)
    assert [text.text for group in thick.groups("fold") for text in scene_texts(group)] == ["tie"]
    assert any(text.text.endswith("so punch and tie.") for text in thick.texts())
    assert not any("tie" in text.text for text in thin.texts())


def test_the_box_to_measure_is_50_mm_long_on_every_sheet() -> None:
    """A print that was shrunk shows with any ruler."""
    for stock in label_stocks():
        (scene,) = flag_pages([flag()], stock=stock, about=ABOUT)
        (scale,) = scene.groups("scale")
        (bar,) = [mark for mark in marks(scale.items) if isinstance(mark, Rect)]
        assert bar.width == pytest.approx(50)
        assert "this box is 50 mm long: print at 100 %" in [text.text for text in scene_texts(scale)]


def test_a_plan_without_wires_gives_one_page_that_says_so() -> None:
    """An empty page would look like a fault."""
    (scene,) = flag_pages([], stock=label_stock("a4-3x11"), about=ABOUT)
    assert "no wire of this plan needs a flag" in [text.text for text in scene.texts()]


def test_every_flag_of_the_plan_is_on_a_page_once() -> None:
    """In the order of the rows."""
    rows: tuple[Flag, ...] = flags(example("tidepool"))
    shown = [group.about for scene in plain_pages(example("tidepool")) for group in scene.groups("flag")]
    assert shown == [f"{row.id} {row.letter}" for row in rows]


def test_an_arrow_stays_with_the_name_that_it_points_to() -> None:
    """Also where the name is longer than a line."""
    (scene,) = flag_pages([flag(where="n" * 60)], stock=label_stock("a4-cut-4x7"), about=ABOUT)
    (arrow,) = [text.text for text in scene.texts() if text.text.startswith("→")]
    assert arrow.startswith("→ nnn")


def test_wires_of_one_thickness_are_folded_alike() -> None:
    """A shorter text, and so a smaller code, does not change how a flag is fastened."""
    held = [flag(outside_mm=7.62), flag(outside_mm=7.62, code="W26 B"), flag(outside_mm=None, code="W26 B")]
    (scene,) = flag_pages(held, stock=label_stock("a4-3x9"), about=ABOUT)
    assert [group.about for group in scene.groups("fold")] == ["tied on", "tied on", ""]


@pytest.mark.parametrize(("gauge", "shown"), [("ready-made cable", True), ("gauge unknown RDBK and more", False)])
def test_a_gauge_beside_the_code_is_whole_or_not_there(gauge: str, shown: bool) -> None:  # noqa: FBT001
    """Half a word there would be guessed at."""
    (scene,) = flag_pages([flag(gauge=gauge)], stock=label_stock("a4-cut-4x7"), about=ABOUT)
    assert [text.text for text in scene.texts() if text.turn_deg] == ([gauge] if shown else [])
