"""Plates, keep-outs and devices, drawn from above to scale."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.documents.look import HAIR_MM, INK, LINE_MM, PAPER, RULE_MM, SAND, WHITE
from loomwright.documents.plate.frame import Frame
from loomwright.documents.plate.sheet import PlateDevice, PlatePanel, PlateSheet, PlateTerminal, Spot
from loomwright.documents.scene import (
    Box,
    Circle,
    Fill,
    Group,
    Hatch,
    Item,
    Line,
    Move,
    Path,
    Point,
    Straight,
    Stroke,
    around,
)
from loomwright.documents.type import clean

TERMINAL_MM = 0.85
MOUNT_MM = 2.2
ABOVE_M = 0.02  # from this height on a thing is drawn as standing above its plate
_HEAVY = ("battery", "block")
_KEEP_OUT = Hatch(2.6, 0.22, 45.0)
_SOFT = Hatch(0.9, 0.3, 45.0, INK, WHITE)


def plate_items(panel: PlatePanel, frame: Frame) -> tuple[Item, ...]:
    """Draw a plate's outline and the areas that wires stay out of."""
    items: list[Item] = []
    if panel.outline:
        items.append(shape(frame.points(panel.outline), Stroke(INK, RULE_MM), PAPER))
    for area in panel.keep_outs:
        title = f"Keep out: {clean(area.name)}"
        drawn = shape(frame.points(area.corners), Stroke(INK, HAIR_MM), _KEEP_OUT)
        items.append(Group((drawn,), "keep-out", area.name, title))
    return tuple(items)


def shape(points: Sequence[Point], stroke: Stroke | None, fill: Fill = "") -> Path:
    """Draw a closed outline through some points."""
    return Path((Move(points[0]), *(Straight(point) for point in points[1:])), stroke, fill)


def device_items(sheet: PlateSheet, plate: int, frame: Frame) -> tuple[Item, ...]:
    """Draw the devices of a plate, the lower ones first."""
    devices = [device for device in sheet.devices if device.plate == plate]
    return tuple(_device(device, frame) for device in sorted(devices, key=lambda d: (d.above_m, -_area(d, frame))))


def _area(device: PlateDevice, frame: Frame) -> float:
    box = box_of(device, frame)
    return box.width * box.height


def box_of(device: PlateDevice, frame: Frame) -> Box:
    """Return the box around a device on the page."""
    return around([frame.point(spot) for spot in device.corners])


def _device(device: PlateDevice, frame: Frame) -> Group:
    """Draw one device: thick lines for what everything hangs on, a circle for a motor's can, cut corners if high up."""
    points = frame.points(device.corners)
    box = around(list(points))
    stroke = Stroke(INK, RULE_MM if device.kind in _HEAVY else LINE_MM)
    items: list[Item] = list(_mounts(device, frame)) if device.shock_mounted else []
    items += [shape(points, stroke, WHITE)] if len(points) > 1 else []
    middle = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    least = min(box.width, box.height)
    if device.kind == "motor" and least > 2:  # noqa: PLR2004 [mm]
        items.append(Circle(middle, least / 2 - 0.7, Stroke(INK, HAIR_MM), SAND))
    if device.above_m >= ABOVE_M:
        items += _feet(box)
    title = clean(f"{device.id}, {device.kind}")
    return Group(tuple(items), "device", device.id, title)


def _mounts(device: PlateDevice, frame: Frame) -> tuple[Item, ...]:
    """Draw a soft mount under each corner of a thing, so that three quarters of it stand out."""
    box = box_of(device, frame)
    radius = min(MOUNT_MM, box.width / 3, box.height / 3)
    pads = tuple(mount(corner, radius) for corner in frame.points(device.corners))
    return (Group(pads, "shock-mounts", device.id, clean(f"Shock mounts under {device.id}")),)


def mount_spots(sheet: PlateSheet, plate: int) -> tuple[Spot, ...]:
    """Return where the soft mounts of a plate are [m]."""
    soft = [device for device in sheet.devices if device.plate == plate and device.shock_mounted]
    return tuple(corner for device in soft for corner in device.corners)


def mount(at: Point, radius_mm: float) -> Circle:
    """Draw a soft mount: a round pad with hatching."""
    return Circle(at, radius_mm, Stroke(INK, LINE_MM), _SOFT)


def _feet(box: Box) -> tuple[Item, ...]:
    """Draw short lines across the corners of a thing that stands above its plate."""
    cut = min(2.0, box.width / 3, box.height / 3)
    found = []
    for x, across in ((box.left, cut), (box.right, -cut)):
        for y, down in ((box.top, cut), (box.bottom, -cut)):
            found.append(Line((x + across, y), (x, y + down), Stroke(INK, HAIR_MM)))
    return tuple(found)


def terminal_items(sheet: PlateSheet, plate: int, frame: Frame) -> tuple[Item, ...]:
    """Draw where wires end on their devices: A filled, B hollow."""
    return tuple(_terminal(terminal, frame) for terminal in sheet.terminals if terminal.plate == plate)


def _terminal(terminal: PlateTerminal, frame: Frame) -> Group:
    at = frame.point(terminal.at)
    mark = Circle(at, TERMINAL_MM, Stroke(INK, LINE_MM), INK if terminal.letter == "A" else WHITE)
    about = f"{terminal.device} {terminal.name}"
    return Group((mark,), "terminal", about, clean(f"{about}, end {terminal.letter}" if terminal.letter else about))
