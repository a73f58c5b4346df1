"""The DXF of the Plate, read back: to scale, complete, clean, always the same, harmless whatever things are called."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml
from ezdxf.colors import aci2rgb

from loomwright.documents.dxf.layers import plate_layers
from loomwright.documents.dxf.plate_dxf import plate_dxf
from loomwright.documents.dxf.words import dxf_text, layer_names
from loomwright.documents.look import SHAPE_CONTRAST, WHITE, contrast
from loomwright.documents.plate.nowhere import WORDS
from loomwright.documents.type import clean
from loomwright.layout.places import place_of
from loomwright.model.robot import Plate
from loomwright.plan.result import Plan
from tests.documents_plan import plate_layouts as hand
from tests.documents_plan.dxf_read import Read, read_dxf
from tests.robots import as_text, example_plan, example_text, measured_trainer, plan_of, shuffled

PLACED = ("breakwater", "tidepool")
ROOT = Path(__file__).parents[2]
#: Names that somebody could write, each of which is a code or a danger somewhere.
HOSTILE = (
    "x" * 200,
    "🤖 robot 🦾",
    "מנוע שמאל",
    "\u202egnirts",
    "=A1+B2",
    "../../x",
    "%%d%%u%%%",
    "\\U+0041\\M+18140",
    "a^J^Mb^",
    "tab\tand\x00bell\x07",
    "{\\C1;red}",
    "*Model_Space",
    "",
    "  ",
)


def dxf_of(plan: Plan) -> Read:
    """Write and read."""
    return read_dxf(plate_dxf(plan))


@pytest.fixture(scope="module", params=PLACED)
def example(request: pytest.FixtureRequest) -> tuple[Plan, Read]:
    """Give an example with places and its file."""
    plan = example_plan(request.param)
    return plan, dxf_of(plan)


# ------------------------------------------------------------------ it is a clean file


def test_the_audit_finds_nothing_and_the_unit_is_the_millimetre(example: tuple[Plan, Read]) -> None:
    _, read = example
    assert read.faults == ()
    assert (read.document.header["$INSUNITS"], read.document.header["$MEASUREMENT"]) == (4, 1)


def test_the_same_plan_gives_the_same_bytes_in_another_program_run() -> None:
    """Hashes of strings differ from run to run, and with them the order of sets."""
    code = (
        "from tests.documents_plan.plate_layouts import planned\n"
        "from loomwright.documents.dxf.plate_dxf import plate_dxf\n"
        "import sys; sys.stdout.buffer.write(plate_dxf(planned()))"
    )
    first, second = (
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "4")
    )
    assert first == second == plate_dxf(hand.planned())


def test_the_order_of_the_file_changes_no_byte() -> None:
    data = yaml.load(example_text("tidepool"), Loader=yaml.BaseLoader)  # noqa: S506  texts only, `on` is no truth
    plain, turned = plan_of(as_text(data), inputs="same"), plan_of(as_text(shuffled(data, 3)), inputs="same")
    assert plate_dxf(plain) == plate_dxf(turned)


def test_it_holds_no_date_of_today() -> None:
    """Dates are the first of January 2000, and the two identifiers are zero."""
    lines = plate_dxf(hand.planned()).decode().splitlines()
    said = {name: lines[i + 2] for i, name in enumerate(lines) if name.startswith("$")}
    assert {said[name] for name in ("$TDCREATE", "$TDUCREATE", "$TDUPDATE", "$TDUUPDATE")} == {"2451545.0"}
    assert set(said["$VERSIONGUID"]) | set(said["$FINGERPRINTGUID"]) == set("{}-0")


# ------------------------------------------------------------------ it is to scale


def test_every_device_is_where_the_robot_file_puts_it_as_large_as_its_part(example: tuple[Plan, Read]) -> None:
    plan, read = example
    drawn = {shape.about[1]: shape for shape in read.of("device")}
    placed = {d.id: d for d in plan.robot if place_of(plan.robot, d) is not None and d.kind != "plug"}
    assert set(drawn) == set(placed)
    for name, device in placed.items():
        at = device.spot.at.value
        assert at is not None
        xs, ys = [p[0] for p in drawn[name].points], [p[1] for p in drawn[name].points]
        assert ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2) == pytest.approx((at[0] * 1000, at[1] * 1000))
        assert drawn[name].points[0][2] == pytest.approx((device.spot.height.value or 0.0) * 1000)
        wide, deep = device.part.size_m or (0.024, 0.024)
        if device.spot.facing.value in ("left", "right"):
            wide, deep = deep, wide
        assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((wide * 1000, deep * 1000))
        assert name in read.texts


def test_every_terminal_is_on_the_edge_that_the_part_says(example: tuple[Plan, Read]) -> None:
    """The face of the part, turned as the device is turned, tells which side of its outline the terminal is on."""
    plan, read = example
    outlines = {shape.about[1]: shape.points for shape in read.of("device")}
    sides = {"front": (0, 1), "right": (1, 0), "back": (0, -1), "left": (-1, 0)}
    turns = {"front": 0, "left": 1, "back": 2, "right": 3}  # quarter turns against the clock, seen from above
    seen = 0
    for terminal in read.of("terminal"):
        _, name, socket_name, _ = terminal.about
        device = plan.robot.device(name)
        assert device is not None
        socket = device.part.socket(socket_name)
        assert socket is not None
        if not socket.face:
            continue
        right, forward = sides[socket.face]
        for _ in range(turns.get(device.spot.facing.value or "front", 0)):
            right, forward = -forward, right
        (x, y, _), corners = (
            terminal.points[0] if terminal.kind == "CIRCLE" else _centre(terminal.points),
            outlines[name],
        )
        xs, ys = [p[0] for p in corners], [p[1] for p in corners]
        edge = (max if right + forward > 0 else min)(xs if right else ys)
        assert (x if right else y) == pytest.approx(edge), terminal.about
        assert min(xs) - 1e-6 <= x <= max(xs) + 1e-6
        assert min(ys) - 1e-6 <= y <= max(ys) + 1e-6
        seen += 1
    assert seen > 30


def _centre(points: tuple[tuple[float, float, float], ...]) -> tuple[float, float, float]:
    return ((points[0][0] + points[1][0]) / 2, points[0][1], points[0][2])


def test_every_way_is_as_long_as_the_plan_counts_it(example: tuple[Plan, Read]) -> None:
    """Along the floor, up and down; a moving joint's slack is wire beyond the way."""
    plan, read = example
    assert plan.layout is not None
    drawn = {shape.about[1]: shape for shape in read.of("way")}
    assert set(drawn) == {route.run for route in plan.layout.routes}
    rising = 0
    for route in plan.layout.routes:
        edges = [plan.layout.edge(name) for name in route.edges]
        assert drawn[route.run].length == pytest.approx(sum(edge.length_m for edge in edges) * 1000, abs=1e-3)
        rising += len({point[2] for point in drawn[route.run].points}) > 1
    assert rising > 3


def test_a_way_names_its_wires_and_runs_from_terminal_to_terminal(example: tuple[Plan, Read]) -> None:
    plan, read = example
    assert plan.layout is not None
    at = {node.name: node.at for node in plan.layout.net.nodes}
    runs = {run.name: run for run in plan.layout.runs}
    ids = {wire.key: wire.id for wire in plan.wires}
    for way in read.of("way"):
        run = runs[way.about[1]]
        assert way.about[2:] == tuple(ids[key] for key in run.wires)
        for end, node in ((way.points[0], run.start), (way.points[-1], run.end)):
            assert end == pytest.approx([value * 1000 for value in at[node]], abs=1e-5)


def test_plates_and_keep_outs_have_the_corners_of_the_file(example: tuple[Plan, Read]) -> None:
    plan, read = example
    drawn = {shape.about[1]: shape.points for shape in (*read.of("plate"), *read.of("keep-out"))}
    for plate in plan.robot.plates:
        for name, corners in (
            (plate.name or "base plate", plate.outline),
            *((k.name, k.corners) for k in plate.keep_outs),
        ):
            expected = [(x * 1000, y * 1000, plate.height_m * 1000) for x, y in corners]
            assert [list(point) for point in drawn[name]] == [pytest.approx(point) for point in expected]


def test_bundles_are_as_wide_as_they_are_with_their_count_and_ties(example: tuple[Plan, Read]) -> None:
    plan, read = example
    assert plan.layout is not None
    lines = {s.about[1]: s for s in read.of("bundle") if s.kind == "POLYLINE"}
    bands = [s for s in read.of("bundle") if s.kind == "LWPOLYLINE"]
    assert set(lines) == {section.name for section in plan.layout.sections}
    for section in plan.layout.sections:
        line = lines[section.name]
        assert (line.layer, line.about[2]) == (f"trunk {section.trunk}", str(section.wires))
        mine = [band for band in bands if band.about[1] == section.name]
        assert all(band.size == pytest.approx(section.diameter_m * 1000) for band in mine)
        level = sum(math.dist(a, b) for a, b in zip(line.points, line.points[1:], strict=False) if a[2] == b[2])
        assert sum(band.length for band in mine) == pytest.approx(level)
        ties = [s for s in read.of("tie") if s.about[1] == section.name]
        assert len(ties) == len(section.ties)
        for tie in ties:
            if tie.kind == "POLYLINE":
                assert tie.length == pytest.approx(section.diameter_m * 1000 + 6)
    counts = [shape for shape in read.shapes if shape.kind == "TEXT" and re.fullmatch(r"\d+ wires?", shape.text)]
    told = sorted(f"{s.wires} wire{'' if s.wires == 1 else 's'}" for s in plan.layout.sections)
    assert sorted(shape.text for shape in counts) == told


def test_soft_edges_moving_joints_and_shock_mounts_are_there(example: tuple[Plan, Read]) -> None:
    plan, read = example
    assert plan.layout is not None
    assert len(read.of("grommet")) == len(plan.layout.grommets) > 0
    moving = {section.trunk for section in plan.layout.sections if section.moving}
    assert {shape.about[1] for shape in read.of("moving joint")} == moving
    assert any(text.startswith("moves: add ") for text in read.texts)
    mounts = [shape.about[1] for shape in read.of("shock mount")]
    assert sorted(mounts) == sorted(["radio", "robot controller"] * 4)


def test_no_text_lies_over_another_one(example: tuple[Plan, Read]) -> None:
    """Counted with characters nearly as wide as they are high; of bundles that rise at one place, too."""
    _, read = example
    fields = [(text.dxf.text, *_corners(text)) for text in read.document.modelspace().query("TEXT")]
    over = [
        (one[0], other[0])
        for one, other in combinations(fields, 2)
        if not any(_between(a[1:], b[1:]) for a, b in ((one, other), (other, one)))
    ]
    assert over == []
    assert len(fields) > 50


def _corners(text: Any) -> list[tuple[float, float]]:  # noqa: ANN401  an entity of the file
    """Return the corners of a text, against the clock from where it begins."""
    turn, tall = math.radians(text.dxf.rotation), text.dxf.height
    wide = 0.9 * tall * len(text.dxf.text)
    middle = text.dxf.halign != 0
    at = text.dxf.align_point if middle else text.dxf.insert
    left, low = (-wide / 2, -tall / 2) if middle else (0.0, 0.0)
    return [
        (at.x + x * math.cos(turn) - y * math.sin(turn), at.y + x * math.sin(turn) + y * math.cos(turn))
        for x, y in ((left, low), (left + wide, low), (left + wide, low + tall), (left, low + tall))
    ]


def _between(one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> bool:
    """Tell whether a side of the first one parts the two."""
    return any(
        all((bx - ax) * (y - ay) - (by - ay) * (x - ax) <= 0 for x, y in other)
        for (ax, ay), (bx, by) in pairwise([*one, one[0]])
    )


# ------------------------------------------------------------------ layers


def test_every_trunk_has_a_layer_and_every_shape_lies_on_one_that_is_listed(example: tuple[Plan, Read]) -> None:
    plan, read = example
    listed = {layer.dxf.name for layer in read.document.layers}
    assert {f"trunk {t.name}" for plate in plan.robot.plates for t in plate.trunks} <= listed
    assert {shape.layer for shape in read.shapes} <= listed
    assert {
        "outline",
        "keep-outs",
        "devices",
        "terminals",
        "ties",
        "grommets",
        "moving joints",
        "text",
        "drops",
    } <= listed


def test_an_upper_plate_has_its_own_layers_at_its_height() -> None:
    read = dxf_of(example_plan("breakwater"))
    deck = [s for s in read.shapes if s.layer.startswith("upper deck - ") and s.kind == "LWPOLYLINE"]
    assert {s.about[1] for s in deck if s.about[0] in {"plate", "device"}} == {"upper deck", "radio", "beacon"}
    assert {round(s.points[0][2]) for s in deck if s.about[0] == "plate"} == {500}
    assert all(s.points[0][2] >= 500 for s in deck)


def test_every_layer_prints_dark_enough_on_white_and_neighbours_differ() -> None:
    layers = plate_layers((Plate(),), [f"t{i}" for i in range(6)], ["link 1"])
    for layer in layers:
        red, green, blue = aci2rgb(layer.colour) if layer.colour != 7 else (0, 0, 0)
        assert contrast(f"#{red:02x}{green:02x}{blue:02x}", WHITE) >= SHAPE_CONTRAST, layer
    trunks = [layer for layer in layers if layer.name.startswith("trunk ")]
    assert len({layer.colour for layer in trunks}) >= 6
    assert [layer.name for layer in trunks if layer.dashed] == ["trunk link 1"]


# ------------------------------------------------------------------ whatever things are called


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_stays_text(name: str) -> None:
    """As the name of robot, device, trunk, keep-out and plate at once: the audit finds nothing, nothing is decoded."""
    robot = hand.robot(upper_plates=(Plate(hand.OUTLINE, name=name or "?", height_m=0.2),), name=name)
    plate = robot.plate
    device = replace(robot.devices[0], id=name or "?", called=name)
    trunks = tuple(replace(trunk, name=name) for trunk in plate.trunks[1:])
    areas = tuple(replace(area, name=name) for area in plate.keep_outs)
    named = replace(robot, devices=(device, *robot.devices[1:]), plate=replace(plate, trunks=trunks, keep_outs=areas))
    read = dxf_of(replace(hand.planned(robot=named, layout=None), revision="abc"))
    assert read.faults == ()
    assert len(read.of("device")) == 3
    title = next(text for text in read.texts if text.endswith("plan abc"))
    apart = clean(name).replace("%%", "% %").replace("%%", "% %").replace("\\U+", "\\ U+").replace("\\M+", "\\ M+")
    assert title == f"{apart or 'robot?'}, practice, plan abc" or (len(name) >= 200 and title.startswith(apart[:190]))
    assert all(char.isprintable() for text in read.texts for char in text)


def test_names_that_would_be_one_layer_stay_two() -> None:
    """Layer names have no case, no slash, and an end; the second one gets a number."""
    found = layer_names(("trunk a/b", "trunk A:B", "trunk a|b", "trunk x" + "y" * 300, "trunk x" + "y" * 301, "=A1"))
    assert list(found.values())[:3] == ["trunk a-b", "trunk A-B (2)", "trunk a-b (3)"]
    assert found["=A1"] == "-A1"
    assert len({name.casefold() for name in found.values()}) == 6
    assert max(map(len, found.values())) < 255


def test_a_text_of_any_length_stays_short_enough_for_the_format() -> None:
    assert len(dxf_text("^" * 400)) <= 255
    assert dxf_text("10 %") == "10 %"


# ------------------------------------------------------------------ what is not known


def test_without_any_place_the_file_says_so() -> None:
    read = dxf_of(plan_of(measured_trainer()))
    assert read.faults == ()
    assert WORDS in read.texts
    assert {shape.kind for shape in read.shapes} == {"TEXT"}


def test_without_a_layout_plates_devices_and_trunks_are_there() -> None:
    read = dxf_of(hand.planned(layout=None))
    assert read.faults == ()
    assert (len(read.of("device")), len(read.of("trunk")), read.of("way")) == (3, 2, ())
    assert "Not on this drawing: camera: no place is told" in read.texts
