"""Places: where devices, their faces and their terminals are on the robot."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.layout.places import TerminalAt, outline_of, place_of, side_of, slot_places, terminal_at
from loomwright.model.device import Device
from loomwright.model.robot import Robot
from loomwright.robotfile.parts.library import Library
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.stockfile import read_stock

TEXT = """
robot: T
battery: {{part: battery/agm-12v-18ah, at: [300 mm, 50 mm]}}
main breaker: {{part: breaker/main-120a}}
blocks:
  block: {{part: block/6-heavy-10-light-2-fused, at: [400 mm, 300 mm]{said}}}
mechanisms:
  spin: {{motor: motor/brushless-500w, controller: controller/inline-40a, at: [100 mm, 600 mm], height: 20 cm}}
sensors:
  eye: {{part: sensor/any, at: [50 mm, 60 mm]}}
"""


def robot_of(said: str = "") -> Robot:
    """Read a small robot whose block says this much more."""
    return read_robot(TEXT.format(said=said).encode(), library=Library(), stock=read_stock(None))


def device_of(robot: Robot, name: str) -> Device:
    """Return a device that must be there."""
    device = robot.device(name)
    assert device is not None
    return device


def where(robot: Robot, device: str, socket: str) -> TerminalAt:
    """Return where a terminal is, rounded to a tenth of a millimetre."""
    found = terminal_at(robot, device, socket)
    assert found is not None
    at = (round(found.at[0], 4), round(found.at[1], 4), round(found.at[2], 4))
    return TerminalAt(at, found.outward)


def test_a_thing_is_where_the_file_says() -> None:
    """Right, forward, up; without a height it lies on the plate."""
    robot = robot_of()
    assert place_of(robot, device_of(robot, "block")) == (0.4, 0.3, 0.0)
    assert place_of(robot, device_of(robot, "spin controller")) == (0.1, 0.6, 0.2)


def test_a_plug_is_at_the_battery_and_a_motor_hangs_on_its_controller() -> None:
    """Neither has a place of its own; a breaker that nobody placed has none at all."""
    robot = robot_of()
    plug = next(device for device in robot if device.kind == "plug")
    assert place_of(robot, plug) == (0.3, 0.05, 0.0)
    motor = replace(device_of(robot, "spin"), spot=device_of(robot, "spin controller").spot)
    assert motor.driven_by == "spin controller"
    assert place_of(robot, motor) is None
    assert place_of(robot, device_of(robot, "main breaker")) is None
    assert terminal_at(robot, "main breaker", "line") is None
    assert terminal_at(robot, "no such thing", "supply") is None


def test_slots_spread_along_their_face_in_the_order_of_the_part_file() -> None:
    """Six heavy slots on the left face of a block: from front to back, a sixth of the face apart."""
    robot = robot_of()
    size = device_of(robot, "block").part.size_m
    assert size is not None
    width, depth = size
    for number in range(1, 7):
        forward = 0.3 + depth / 2 - (number - 0.5) / 6 * depth
        expected = TerminalAt((round(0.4 - width / 2, 4), round(forward, 4), 0.0), (-1.0, 0.0))
        assert where(robot, "block", f"H{number}") == expected


@pytest.mark.parametrize(
    ("facing", "outward"),
    [("front", (-1, 0)), ("up", (-1, 0)), ("down", (-1, 0)), ("left", (0, -1)), ("back", (1, 0)), ("right", (0, 1))],
)
def test_a_turned_part_takes_its_terminals_along(facing: str, outward: tuple[float, float]) -> None:
    """A block whose front looks to the left edge has its left face at the back."""
    robot = robot_of(f", facing: {facing}")
    found = where(robot, "block", "H1")
    assert found.outward == outward
    size = device_of(robot, "block").part.size_m
    assert size is not None
    from_middle = (found.at[0] - 0.4) * outward[0] + (found.at[1] - 0.3) * outward[1]
    assert from_middle == pytest.approx(size[0] / 2)


@pytest.mark.parametrize("facing", ["front", "left", "back", "right"])
def test_the_sides_of_a_device_are_the_edges_of_its_outline(facing: str) -> None:
    """Every face starts and ends at corners of the outline; left and right faces start at the front."""
    robot = robot_of(f", facing: {facing}")
    block = device_of(robot, "block")
    corners = outline_of(robot, block)
    assert corners is not None
    front_left, front_right, back_right, back_left = corners
    ends = {"left": (front_left, back_left), "right": (front_right, back_right)}
    ends |= {"front": (front_left, front_right), "back": (back_left, back_right)}
    for face, (start, end) in ends.items():
        side = side_of(robot, block, face)
        assert side is not None
        assert side.start[:2] == pytest.approx(start)
        assert side.point(side.length_m)[:2] == pytest.approx(end)
        assert side.measure(*end) == pytest.approx(side.length_m)
        assert side.outward[0] * side.along[0] + side.outward[1] * side.along[1] == 0


def test_a_part_that_tells_no_size_or_face_is_a_point() -> None:
    """Its terminals are at its place and look nowhere."""
    robot = robot_of()
    eye = device_of(robot, "eye")
    assert outline_of(robot, eye) is None
    assert {terminal_at(robot, "eye", s.name) for s in eye.part.sockets} == {TerminalAt((0.05, 0.06, 0.0))}
    assert side_of(robot, device_of(robot, "block"), "") is None


def test_slots_tell_their_face_their_place_and_their_corner() -> None:
    """Places count along the face from 0; its halves belong to two corners of the block."""
    places = slot_places(device_of(robot_of(), "block"))
    assert [places[f"H{n}"].place for n in range(1, 7)] == [0, 1, 2, 3, 4, 5]
    assert {places[f"H{n}"].face for n in range(1, 7)} == {"block left"}
    assert [places[f"H{n}"].corner for n in (1, 3, 4, 6)] == ["block front left"] * 2 + ["block back left"] * 2
    assert places["L1"].corner == "block front right"


def test_slots_of_a_block_that_tells_no_faces_have_one_row() -> None:
    """A half known block still has its slots in order."""
    robot = robot_of()
    any_block = Library().part("block/any")
    assert any_block is not None
    eye = device_of(robot, "eye")
    loose = Device("mystery", any_block, eye.part_said, eye.mark, eye.path)
    places = slot_places(loose)
    assert places
    assert {(p.face, p.corner) for p in places.values()} == {("mystery", "mystery")}
    assert [p.place for p in places.values()] == list(range(len(places)))


def test_slot_places_and_terminals_agree() -> None:
    """`along_m` is where the terminal is on its face, however the block is turned."""
    robot = robot_of(", facing: right")
    block = device_of(robot, "block")
    for name, place in slot_places(block).items():
        side = side_of(robot, block, place.face.removeprefix("block "))
        at = terminal_at(robot, "block", name)
        assert side is not None
        assert at is not None
        assert side.point(place.along_m) == pytest.approx(at.at)
