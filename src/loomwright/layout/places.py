"""Where every device and every terminal is, seen from above: rectangles, faces, and sockets along them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from loomwright.model.part import Role

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.layout.result import Point
    from loomwright.model.device import Device
    from loomwright.model.part import Part
    from loomwright.model.robot import Robot

Flat = tuple[float, float]
"""A place or a direction seen from above: right, forward [m]."""

#: How a part is turned: where its own right and its own front look. Absent, up and down are as front.
_TURNS: Mapping[str, tuple[Flat, Flat]] = {
    "front": ((1.0, 0.0), (0.0, 1.0)),
    "left": ((0.0, 1.0), (-1.0, 0.0)),
    "back": ((-1.0, 0.0), (0.0, -1.0)),
    "right": ((0.0, -1.0), (1.0, 0.0)),
}
#: Where a face starts, which way it runs, and where it looks, in halves of the part's width and depth.
_FACES: Mapping[str, tuple[Flat, Flat, Flat]] = {
    "left": ((-1.0, 1.0), (0.0, -1.0), (-1.0, 0.0)),
    "right": ((1.0, 1.0), (0.0, -1.0), (1.0, 0.0)),
    "front": ((-1.0, 1.0), (1.0, 0.0), (0.0, 1.0)),
    "back": ((-1.0, -1.0), (1.0, 0.0), (0.0, -1.0)),
}
_ENDS: Mapping[str, tuple[str, str]] = {
    "left": ("front left", "back left"),
    "right": ("front right", "back right"),
    "front": ("front left", "front right"),
    "back": ("back left", "back right"),
}


@dataclass(frozen=True, slots=True)
class TerminalAt:
    """Where a socket is, and which way its wires leave; None: the part does not tell."""

    at: Point
    outward: Flat | None = None


@dataclass(frozen=True, slots=True)
class Side:
    """One face of a device on the robot: from `start` it runs `along` for `length_m`, and it looks `outward`.

    The left and right faces run from the part's front to its back, the front and back faces from its left to its right.
    """

    start: Point
    along: Flat
    outward: Flat
    length_m: float

    def measure(self, right_m: float, forward_m: float) -> float:
        """Return how far along the face a place lies [m], beyond its ends too."""
        return (right_m - self.start[0]) * self.along[0] + (forward_m - self.start[1]) * self.along[1]

    def point(self, along_m: float) -> Point:
        """Return the place so far along the face."""
        return (self.start[0] + along_m * self.along[0], self.start[1] + along_m * self.along[1], self.start[2])


@dataclass(frozen=True, slots=True)
class SlotPlace:
    """Where an outlet is on its block: the face ("block left"), its place there from 0, and the nearest corner.

    `along_m` measures from the start of the face [m]. A part that does not tell its faces has one, named as the device.
    """

    face: str
    place: int
    corner: str
    along_m: float


def place_of(robot: Robot, device: Device) -> Point | None:
    """Return where a device is (right, forward, up) [m], or None where nobody said.

    A plug without a place of its own is at the battery. A motor hangs on its controller by its own leads, and has no
    place of its own; the place that the file gives is that of the controller.
    """
    if device.driven_by:
        return None
    if device.kind == "plug" and device.spot.at.value is None:
        device = robot.device("battery") or device
    at = device.spot.at.value
    return None if at is None else (at[0], at[1], device.spot.height.value or 0.0)


def outline_of(robot: Robot, device: Device) -> tuple[Flat, ...] | None:
    """Return the corners of a device from its front left one on, clockwise; None without a place or a size."""
    at = place_of(robot, device)
    if at is None or device.part.size_m is None:
        return None
    return tuple(_turned(device, at, corner)[:2] for corner in ((-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)))


def side_of(robot: Robot, device: Device, face: str) -> Side | None:
    """Return a face of a device as it lies on the robot; None without a place, a size, or such a face."""
    at, size = place_of(robot, device), device.part.size_m
    if at is None or size is None or face not in _FACES:
        return None
    start, along, outward = _FACES[face]
    length_m = size[0] if along[0] else size[1]
    return Side(_turned(device, at, start), _direction(device, along), _direction(device, outward), length_m)


def terminal_at(robot: Robot, device_id: str, socket_name: str) -> TerminalAt | None:
    """Return where a socket is and which way it looks; None for an unknown one, or a device without a place.

    The sockets of one face are spread evenly along it, in the part file's order. Where a part has no size or a socket
    no face, it is at the device's place and looks nowhere.
    """
    device = robot.device(device_id)
    socket = device.part.socket(socket_name) if device is not None else None
    at = place_of(robot, device) if device is not None else None
    if device is None or socket is None or at is None:
        return None
    side = side_of(robot, device, socket.face)
    if side is None:
        return TerminalAt(at)
    return TerminalAt(side.point(side.length_m * _share(device.part)[socket_name]), side.outward)


def slot_places(device: Device) -> dict[str, SlotPlace]:
    """Return where each outlet of a device is, by the outlet's name; without a place on the robot it works too.

    Places count the outlets of a face in the direction in which the face runs (see `Side`).
    """
    size = device.part.size_m
    outlets = [s for s in device.part.sockets if s.role is Role.OUTLET]
    counts: dict[str, int] = {}
    found: dict[str, SlotPlace] = {}
    for outlet in outlets:
        known = size is not None and outlet.face in _FACES
        face = f"{device.id} {outlet.face}" if known else device.id
        place = counts.setdefault(face, 0)
        counts[face] += 1
        if size is None or not known:
            found[outlet.name] = SlotPlace(face, place, device.id, 0.0)
            continue
        share = _share(device.part)[outlet.name]
        first, last = _ENDS[outlet.face]
        length_m = size[0] if outlet.face in ("front", "back") else size[1]
        corner = f"{device.id} {first if share <= 0.5 else last}"  # noqa: PLR2004  half of the face
        found[outlet.name] = SlotPlace(face, place, corner, share * length_m)
    return found


@lru_cache(maxsize=256)
def _shares(part: tuple[tuple[str, str], ...]) -> dict[str, float]:
    faces: dict[str, list[str]] = {}
    for name, face in part:
        faces.setdefault(face, []).append(name)
    return {name: (i + 0.5) / len(names) for names in faces.values() for i, name in enumerate(names)}


def _share(part: Part) -> dict[str, float]:
    """Return how far along its face each socket is, as a share of the face."""
    return _shares(tuple((socket.name, socket.face) for socket in part.sockets))


def _turned(device: Device, at: Point, halves: Flat) -> Point:
    width, depth = device.part.size_m or (0.0, 0.0)
    right, forward = _direction(device, (halves[0] * width / 2, halves[1] * depth / 2))
    return (at[0] + right, at[1] + forward, at[2])


def _direction(device: Device, own: Flat) -> Flat:
    to_right, to_front = _TURNS.get(device.spot.facing.value or "front", _TURNS["front"])
    return (own[0] * to_right[0] + own[1] * to_front[0], own[0] * to_right[1] + own[1] * to_front[1])
