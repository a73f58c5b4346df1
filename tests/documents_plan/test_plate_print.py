"""The Plate of the examples as it is printed: to a round scale on A4 and Letter, each thing where the plan has it."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.legibility import faults
from loomwright.documents.plate.badges import letters
from loomwright.documents.plate.drawing import draw
from loomwright.documents.plate.plan import plate_scenes, plate_sheet
from loomwright.documents.plate.print import print_plate
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.print_room import PrintRoom, print_room
from loomwright.documents.scene import Box, Circle, Group, Path, Point, Polyline, Scene, Text, around, marks
from loomwright.documents.svg import write
from loomwright.model.part import Role
from tests.documents import plate_samples as samples
from tests.documents.plate_reading import ids_elsewhere, misleading, told_of_slots
from tests.robots import EXAMPLES, example_plan, measured_trainer, plan_of

PAPERS = ("A4", "Letter")
PLACED = ("breakwater", "tidepool")
ROUND = {1, 2, 2.5, 3, 4, 5, 6, 8, 10, 20, 25, 30, 40, 50, 60, 80, 100}


def scale_of(scene: Scene) -> float:
    """Return the scale that is written on a drawing."""
    (found,) = (m[1] for text in scene.texts() if (m := re.search(r"to scale 1:([\d.]+)", text.text)))
    return float(found)


def corners(group: Group) -> list[tuple[float, float]]:
    """Return the corners of the first closed outline of a group."""
    path = next(mark for mark in marks(group.items) if isinstance(mark, Path))
    return [step.to for step in path.steps]


# ------------------------------------------------------------------ pages


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_page_can_be_read_and_is_as_large_as_the_paper_inside_its_margins(name: str, paper: str) -> None:
    sizes = {(273, 186), (186, 273)} if paper == "A4" else {(255.4, 191.9), (191.9, 255.4)}
    scenes = plate_scenes(example_plan(name), paper)
    for scene in scenes:
        assert faults(scene) == ()
        assert (round(scene.width_mm, 1), round(scene.height_mm, 1)) in sizes
    assert len({(scene.width_mm, scene.height_mm) for scene in scenes}) == 1
    assert len({scene.name for scene in scenes}) == len(scenes)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PLACED)
def test_devices_are_drawn_to_the_round_scale_that_is_written(name: str, paper: str) -> None:
    plan = example_plan(name)
    scenes = plate_scenes(plan, paper)
    scale = scale_of(scenes[0])
    assert scale in ROUND
    assert scale <= 5, "the demo robots are to be read"
    found = {group.about: group for scene in scenes for group in scene.groups("device")}
    sheet = plate_sheet(plan)
    assert set(found) == {device.id for device in sheet.devices}
    for device in sheet.devices:
        drawn, told = around(corners(found[device.id])), around(list(device.corners))
        assert (drawn.width, drawn.height) == pytest.approx((told.width * 1000 / scale, told.height * 1000 / scale))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PLACED)
def test_nothing_that_is_said_on_the_drawing_is_lost_on_the_pages(name: str, paper: str) -> None:
    """Caution and title come first; every bundle is in the table once, and every mark is explained once."""
    plan = example_plan(name)
    scenes = plate_scenes(plan, paper)
    assert [group.title for group in scenes[0].groups("caution")] == [CAUTION]
    rows = [group.about for scene in scenes for group in scene.groups("bundle")]
    assert sorted(rows) == sorted(letters(plate_sheet(plan)))
    (legend,) = (group for scene in scenes for group in scene.groups("how-to-read"))
    assert not any(text.text.endswith("…") for text in marks(legend.items) if isinstance(text, Text))
    for scene in scenes[1:]:
        texts = [text.text for text in scene.texts()]
        assert any("continued" in text for text in texts) or scene.groups("panel")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_device_and_every_slot_in_use_is_named_and_no_name_misleads(name: str, paper: str) -> None:
    """Of the slots that carry wires by the plan, each is on its device or in the words beside the drawing."""
    plan = example_plan(name)
    sheet = plate_sheet(plan)
    scenes = plate_scenes(plan, paper, foot_mm=6)
    assert [fault for scene in scenes for fault in misleading(scene)] == []
    assert [fault for scene in scenes for fault in ids_elsewhere(scene, sheet)] == []
    assert any(scene.groups("ids-name") for scene in scenes)
    assert {g.about for scene in scenes for g in scene.groups("device-name")} == {d.id for d in sheet.devices}
    told = told_of_slots(scenes, sheet)
    drawn = {device.id for device in sheet.devices if device.kind not in {"battery", "breaker"}}  # studs are no slots
    used = {
        f"{end.device} {end.socket}"
        for wire in plan.wires
        for end in (wire.a, wire.b)
        if end.device in drawn and (device := plan.robot.device(end.device)) is not None
        if (socket := device.part.socket(end.socket)) is not None and socket.role is Role.OUTLET
    }
    assert {slot for slot in used if not told.get(slot)} == set()
    assert len(used) > (15 if name in PLACED else 2)


def test_a_plan_without_places_says_so_on_its_page() -> None:
    (scene,) = plate_scenes(plan_of(measured_trainer()))
    assert any(text.text.startswith("No places are known yet") for text in scene.texts())


def test_the_page_lies_unless_it_shows_more_when_it_stands() -> None:
    """Breakwater is as large either way; Tidepool is larger on a page that stands, with the packet's foot, too."""
    for paper, wide in (("A4", [273, 186]), ("Letter", [255.4, 191.9])):
        assert [plate_scenes(example_plan(name), paper, foot_mm=6)[0].width_mm for name in PLACED] == wide
        lying = print_plate(plate_sheet(example_plan("tidepool")), [print_room(paper)])
        assert scale_of(lying[0]) == 5
        assert scale_of(plate_scenes(example_plan("tidepool"), paper, foot_mm=6)[0]) == 4


def test_a_foot_of_the_packet_is_kept_free() -> None:
    assert {s.height_mm for s in plate_scenes(example_plan("breakwater"), foot_mm=8)} == {178}


def test_there_is_no_paper_but_the_two() -> None:
    with pytest.raises(KeyError):
        print_room("A5")


def test_the_same_plan_gives_the_same_pages() -> None:
    first, second = (plate_scenes(example_plan("tidepool")) for _ in range(2))
    assert [write(scene) for scene in first] == [write(scene) for scene in second]


@pytest.mark.parametrize("name", ["board", "everything", "two_plates", "crowd"])
@pytest.mark.parametrize("room", [print_room("A4"), print_room("Letter", upright=True), PrintRoom("A4", 150, 120)])
def test_other_robots_can_be_read_on_any_page(name: str, room: PrintRoom) -> None:
    """A page that is too small for one thing to say becomes longer, never wider."""
    sheet: PlateSheet = replace(getattr(samples, name)(), robot="\N{LATIN CAPITAL LETTER C WITH CIRCUMFLEX}🤖")
    scenes = print_plate(sheet, [room])
    for scene in scenes:
        assert faults(scene) == ()
        assert misleading(scene) == []
        assert scene.width_mm == room.width_mm
        assert scene.height_mm >= room.height_mm
    assert len(scenes) < 6


def test_upper_plates_that_do_not_fit_beside_the_base_plate_come_on_the_second_page() -> None:
    scenes = plate_scenes(example_plan("breakwater"), "Letter")
    assert [[panel.about for panel in scene.groups("panel")] for scene in scenes] == [[""], ["upper deck"]]


# ------------------------------------------------------------------ each thing is where it belongs


@pytest.mark.parametrize("name", PLACED)
def test_every_terminal_is_drawn_on_the_edge_of_its_device_that_the_part_says(name: str) -> None:
    """The face of the part, turned as the device is turned, tells the side of its outline."""
    plan = example_plan(name)
    scene = draw(plate_sheet(plan))
    boxes = {group.about: around(corners(group)) for group in scene.groups("device")}
    turned = ["front", "right", "back", "left"]
    turns = {"front": 0, "right": 1, "back": 2, "left": 3}
    seen = 0
    for terminal in plate_sheet(plan).terminals:
        device = plan.robot.device(terminal.device)
        socket = device.part.socket(terminal.name) if device is not None else None
        assert device is not None
        assert socket is not None
        if socket.face not in turned:
            continue
        side = turned[(turned.index(socket.face) + turns.get(device.spot.facing.value or "front", 0)) % 4]
        (mark,) = (g.items[0] for g in scene.groups("terminal") if g.about == f"{terminal.device} {terminal.name}")
        assert isinstance(mark, Circle)
        (x, y), box = mark.centre, boxes[terminal.device]
        distance = {"front": y - box.top, "back": box.bottom - y, "left": x - box.left, "right": box.right - x}
        assert abs(distance[side]) < 0.3, (terminal, side)
        seen += 1
    assert seen > 30


@pytest.mark.parametrize("name", PLACED)
def test_every_badge_sits_on_its_bundle(name: str) -> None:
    sheet = plate_sheet(example_plan(name))
    scene = draw(sheet)
    assert len(scene.groups("badge")) == len(letters(sheet))
    for badge in scene.groups("badge"):
        stretch = sheet.stretch(badge.about)
        boxes = [mark.box for mark in marks(badge.items)]
        box = around([(b.left, b.top) for b in boxes] + [(b.right, b.bottom) for b in boxes])
        lines = [
            mark.points
            for group in scene.groups("run")
            if group.about in stretch.order
            for mark in marks(group.items)
            if isinstance(mark, Polyline)
        ]
        near = min(_away(box, a, b) for line in lines for a, b in pairwise(line))
        assert near < 4, badge.about


def _away(box: Box, a: Point, b: Point) -> float:
    """Return about how far a straight piece stays from a box [mm]."""
    found = math.inf
    for i in range(21):
        x, y = a[0] + (b[0] - a[0]) * i / 20, a[1] + (b[1] - a[1]) * i / 20
        found = min(found, math.hypot(max(box.left - x, 0, x - box.right), max(box.top - y, 0, y - box.bottom)))
    return found
