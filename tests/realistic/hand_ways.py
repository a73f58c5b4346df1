"""Ways by hand: where terminals are, how far a wire runs round a box, how long a drawn way is.

Everything comes from the robot file and from the sizes and faces of parts typed below. Places in mm.
"""

from __future__ import annotations

import heapq
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

Flat = tuple[float, float]
Place = tuple[float, float, float]


@dataclass(frozen=True)
class Look:
    """A part seen from above: width and depth [mm], and on each face its sockets in order."""

    width: float
    depth: float
    faces: Mapping[str, tuple[str, ...]]


def _slots(letter: str, last: int, first: int = 1) -> tuple[str, ...]:
    return tuple(f"{letter}{n}" for n in range(first, last + 1))


_LEFT_SUPPLY = {"left": ("supply",)}
_BUS = ("bus in", "bus out")
LOOKS = {
    "block/6-heavy-10-light-2-fused": Look(
        150, 200, {"left": _slots("H", 6), "right": _slots("L", 10), "front": ("F1", "F2", *_BUS), "back": ("supply",)}
    ),
    "block/12-heavy-12-light-2-fused": Look(
        170, 260, {"left": _slots("H", 12), "right": _slots("L", 12), "front": ("F1", "F2", *_BUS), "back": ("supply",)}
    ),
    "block/sub-8-regulated": Look(110, 60, {"back": ("supply",), "front": _slots("S", 8)}),
    "controller/inline-40a": Look(75, 35, {"left": ("supply", *_BUS), "right": ("motor", "motor sensor")}),
    "controller/clamp-brushed-30a": Look(60, 45, _LEFT_SUPPLY),
    "controller/brushless-60a": Look(80, 60, _LEFT_SUPPLY),
    "motor/brushless-600w-built-in": Look(60, 75, {"back": ("supply", *_BUS)}),
    "computer/robot-controller": Look(150, 150, {"left": ("supply", "signal light")}),
    "computer/vision-12v": Look(110, 80, _LEFT_SUPPLY),
    "regulator/12v-3a-5v-3a": Look(60, 60, {"left": ("supply",), "right": ("12 V", "5 V"), "front": ("radio", "data")}),
    "radio/generic": Look(100, 80, {"back": ("supply", "supply by cable", "network 1", "network 2")}),
    "pneumatics/control-module": Look(130, 80, {"left": ("supply", "compressor"), "right": _slots("valve ", 15, 0)}),
    "compressor/12v": Look(170, 80, {"back": ("supply",)}),
    "valve/double": Look(80, 20, {"left": ("coil a",), "right": ("coil b",)}),
    "valve/single": Look(60, 20, {"left": ("coil a",)}),
    "light/signal": Look(60, 60, {"left": ("supply", "L1", "L2")}),
    "light/strip-5v": Look(500, 12, {"left": ("supply", "data")}),
    "network/switch-5": Look(90, 60, _LEFT_SUPPLY),
    "camera/network": Look(60, 40, {"back": ("supply", "network")}),
    "sensor/heading-bus": Look(45, 35, _LEFT_SUPPLY),
    "sensor/angle-bus": Look(40, 40, {"back": ("supply", *_BUS)}),
}
#: Leads that parts bring along for their supply: AWG and length [m].
LEADS = {
    "controller/inline-40a": (12, 0.20),
    "motor/brushless-600w-built-in": (10, 0.30),
    "compressor/12v": (14, 0.30),
    "light/strip-5v": (20, 0.15),
    "valve/double": (24, 0.30),
    "valve/single": (24, 0.30),
    "sensor/angle-bus": (22, 0.30),
}
#: Where a part's own right and front look when its front looks at an edge of the robot.
_TURNS: dict[str, tuple[Flat, Flat]] = {
    "front": ((1, 0), (0, 1)),
    "left": ((0, 1), (-1, 0)),
    "back": ((-1, 0), (0, -1)),
    "right": ((0, -1), (1, 0)),
}
#: Left and right faces run from front to back, the others from left to right: start and end in halves of the box.
_FACES = {
    "left": ((-1, 1), (-1, -1)),
    "right": ((1, 1), (1, -1)),
    "front": ((-1, 1), (1, 1)),
    "back": ((-1, -1), (1, -1)),
}
#: What a moving joint asks beyond its travel [mm] (common practice).
JOINT_MM = 50.0


@dataclass(frozen=True)
class Box:
    """A device as it lies on the robot."""

    part: str
    at: Place
    facing: str

    def corners(self) -> list[Flat]:
        """Return its four corners, around."""
        return [self._turned(right, front) for right, front in ((-1, 1), (1, 1), (1, -1), (-1, -1))]

    def terminal(self, socket: str) -> Place:
        """Return where a socket is: the sockets of a face lie evenly along it, half a step from its ends."""
        look = LOOKS[self.part]
        face, names = next((face, names) for face, names in look.faces.items() if socket in names)
        share = (names.index(socket) + 0.5) / len(names)
        (a, b), (c, d) = _FACES[face]
        right, forward = self._turned(a + share * (c - a), b + share * (d - b))
        return (right, forward, self.at[2])

    def _turned(self, right: float, front: float) -> Flat:
        look, (own_right, own_front) = LOOKS[self.part], _TURNS[self.facing]
        x, y = right * look.width / 2, front * look.depth / 2
        return (
            self.at[0] + x * own_right[0] + y * own_front[0],
            self.at[1] + x * own_right[1] + y * own_front[1],
        )


def mm(written: str) -> float:
    """Read a length as the examples write it: "320 mm", "40 cm", "0"; a state in brackets says nothing of it."""
    number, _, unit = written.partition(" (")[0].partition(" ")
    return float(number) * {"mm": 1, "cm": 10, "m": 1000, "": 1}[unit]


def box_of(robot: dict[str, Any], device: str) -> Box:
    """Find a device in the robot file; the place of a motor is that of its controller."""
    held = _find(robot, device) or _find(robot, device.removesuffix(" controller"))
    said = {**robot["every motor"], **held} if "motor" in held else held
    part = said.get("part") or (said["motor"] if said["motor"].endswith("built-in") else said["controller"])
    right, forward = (mm(written) for written in said["at"])
    return Box(part, (right, forward, mm(said.get("height", "0"))), said.get("facing", "front"))


def _find(robot: dict[str, Any], name: str) -> dict[str, Any]:
    groups = ("mechanisms", "blocks", "electronics", "pneumatics", "lights", "sensors")
    return next((found for group in groups for found in _named(robot.get(group, {}), name)), {})


def _named(held: dict[str, Any], name: str) -> Iterator[dict[str, Any]]:
    for key, inside in held.items():
        if isinstance(inside, dict):
            if key == name and "at" in inside:
                yield inside
            yield from _named(inside, name)


def trunks_of(robot: dict[str, Any]) -> dict[str, tuple[list[Place], float]]:
    """Return every trunk's corners, and the slack [mm] that it asks: its travel and a loop where it moves."""
    plates = [(0.0, robot["plate"]), *((mm(p["height"]), p) for p in robot.get("plates", {}).values())]
    found: dict[str, tuple[list[Place], float]] = {}
    for height, plate in plates:
        for name, held in plate.get("trunks", {}).items():
            said = held if isinstance(held, dict) else {"along": held}
            corners = [(mm(p[0]), mm(p[1]), height + (mm(p[2]) if len(p) == 3 else 0.0)) for p in said["along"]]
            moves = said.get("moving") == "yes"
            found[name] = (corners, mm(said.get("travel", "0")) + JOINT_MM if moves else 0.0)
    return found


def along(corners: list[Place], far: float) -> Place:
    """Return the place so far along a line of corners."""
    for a, b in pairwise(corners):
        length = math.dist(a, b)
        if far <= length + 0.5:
            share = min(1.0, far / length)
            return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))
        far -= length
    raise AssertionError(far)


def walk(start: Place, end: Place, boxes: list[Box]) -> float:
    """Return the shortest way over the plate round some boxes, by their corners, and then up or down."""
    corners = [corner for box in boxes for corner in box.corners()]
    places = [start[:2], end[:2], *corners]
    best = {0: 0.0}
    heap = [(0.0, 0)]
    while heap:
        far, i = heapq.heappop(heap)
        if i == 1:
            return far + abs(start[2] - end[2])
        for j, place in enumerate(places):
            step = far + math.dist(places[i], place)
            if step < best.get(j, math.inf) and not any(_inside(places[i], place, box) for box in boxes):
                best[j] = step
                heapq.heappush(heap, (step, j))
    raise AssertionError((start, end))


def _inside(a: Flat, b: Flat, box: Box) -> bool:
    """Tell whether a stretch runs through a box, not only along its edge."""
    xs, ys = zip(*box.corners(), strict=True)
    low, high = 0.0, 1.0
    for axis, places in enumerate((xs, ys)):
        least, most = min(places) + 0.1, max(places) - 0.1
        step = b[axis] - a[axis]
        if abs(step) < 1e-9:
            if not least < a[axis] < most:
                return False
            continue
        enter, leave = sorted(((least - a[axis]) / step, (most - a[axis]) / step))
        low, high = max(low, enter), min(high, leave)
    return low < high


_DROP = re.compile(r"(?P<device>[^:]+): (?P<socket>.+) > (?P<trunk>.+) (?P<far>\d+) mm'*")
_STRETCH = re.compile(r"(?P<trunk>.+) (?P<a>\d+)-(?P<b>\d+) mm")
_LOOSE = re.compile(r"(?P<one>[^:]+): (?P<socket>.+) to (?P<other>[^:]+): (?P<there>.+)")


def way_mm(robot: dict[str, Any], steps: list[str]) -> float:
    """Add up a way as plan.yaml keeps it: drops to trunks, stretches of trunks, loose ways.

    A joint's slack is counted once on each moving trunk.
    """
    trunks = trunks_of(robot)
    moved: set[str] = set()
    total = 0.0
    for step in steps:
        if drop := _DROP.fullmatch(step):
            box = box_of(robot, drop["device"])
            total += walk(box.terminal(drop["socket"]), along(trunks[drop["trunk"]][0], float(drop["far"])), [box])
        elif stretch := _STRETCH.fullmatch(step):
            corners, slack = trunks[stretch["trunk"]]
            total += math.dist(along(corners, float(stretch["a"])), along(corners, float(stretch["b"])))
            total += 0.0 if stretch["trunk"] in moved else slack
            moved.add(stretch["trunk"])
        elif loose := _LOOSE.fullmatch(step):
            one, other = box_of(robot, loose["one"]), box_of(robot, loose["other"])
            total += walk(one.terminal(loose["socket"]), other.terminal(loose["there"]), [one, other])
        else:
            raise AssertionError(step)
    return total
