"""Plates, devices, terminals and shock mounts as shapes for the DXF."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.dxf.layers import Kind, layer_of
from loomwright.documents.dxf.shapes import Area, Ring, Words
from loomwright.documents.type import Face, clean, width_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.dxf.shapes import Mm, Shape
    from loomwright.documents.plate.sheet import PlateDevice, PlateSheet, Spot
    from loomwright.model.robot import Plate, Robot

_TALLEST_MM, _SMALLEST_MM, _SLOT_MM = 8.0, 3.0, 3.5
_TERMINAL_MM = 1.6
_MOUNT_MM = 6.0
_CLEARLY = 1.5
_SHARE = 0.86  # of a device's width that its id may take
_LONG: Final = 60  # characters of an id that are written; all of it stands in the extended data


def mm(spot: Spot, up_m: float) -> Mm:
    """Return a place at a height in mm."""
    return (spot[0] * 1000, spot[1] * 1000, up_m * 1000)


def plate_shapes(plate: Plate) -> Iterator[Shape]:
    """Give the outline of a plate with its keep-outs and their names."""
    if plate.outline:
        corners = tuple(mm(spot, plate.height_m) for spot in plate.outline)
        yield Area(layer_of(Kind.OUTLINE, plate), corners, ("plate", plate.name or "base plate"))
    for area in plate.keep_outs:
        corners = tuple(mm(spot, plate.height_m) for spot in area.corners)
        yield Area(layer_of(Kind.KEEP_OUTS, plate), corners, ("keep-out", area.name))
        words = f"keep out: {_cut(area.name)}"
        yield Words(layer_of(Kind.TEXT, plate), _middle(corners), words, _SLOT_MM, turn_deg=_turn_deg(corners))


def device_shapes(sheet: PlateSheet, robot: Robot) -> Iterator[Shape]:
    """Give every device as its outline at its height with its id, with shock mounts under its corners."""
    for device in sheet.devices:
        plate = robot.plates[device.plate]
        corners = tuple(mm(spot, plate.height_m + device.above_m) for spot in device.corners)
        yield Area(layer_of(Kind.DEVICES, plate), corners, ("device", device.id, device.kind))
        yield _name(device, corners, layer_of(Kind.TEXT, plate))
        for corner in corners if device.shock_mounted else ():
            yield Ring(layer_of(Kind.SHOCK_MOUNTS, plate), corner, _MOUNT_MM, about=("shock mount", device.id))


def _name(device: PlateDevice, corners: tuple[Mm, ...], layer: str) -> Words:
    """Write a device's id in its middle, along its longer side, as large as it fits."""
    wide, deep = _sides(corners)
    words = _cut(device.id)
    long, short = max(wide, deep), min(wide, deep)
    fits = _SHARE * long / max(width_mm(words, Face.BOLD, 1.0) * 1.4, 1.0)
    height = min(max(min(fits, short / 2), _SMALLEST_MM), _TALLEST_MM)
    return Words(layer, _middle(corners), words, height, turn_deg=_turn_deg(corners))


def _sides(corners: tuple[Mm, ...]) -> tuple[float, float]:
    wide, deep = (max(p[i] for p in corners) - min(p[i] for p in corners) for i in (0, 1))
    return wide, deep


def _turn_deg(corners: tuple[Mm, ...]) -> float:
    """Return how a text in the middle of an outline is turned: along its depth where that is clearly longer."""
    wide, deep = _sides(corners)
    return 90.0 if deep > wide * _CLEARLY else 0.0


def terminal_shapes(sheet: PlateSheet, robot: Robot, heights: dict[tuple[str, str], float]) -> Iterator[Shape]:
    """Give every terminal: a disc for end A, a ring for end B, with the names of slots beside them."""
    middles = {device.id: _middle(tuple(mm(spot, 0.0) for spot in device.corners)) for device in sheet.devices}
    for terminal in sheet.terminals:
        plate = robot.plates[terminal.plate]
        at = mm(terminal.at, heights[terminal.device, terminal.name])
        about = ("terminal", terminal.device, terminal.name, terminal.letter)
        yield Ring(layer_of(Kind.TERMINALS, plate), at, _TERMINAL_MM, filled=terminal.letter == "A", about=about)
        if terminal.slot:
            beside = _inwards(at, middles.get(terminal.device, at))
            yield Words(layer_of(Kind.TEXT, plate), beside, terminal.name, _SLOT_MM)


def _inwards(at: Mm, middle: Mm) -> Mm:
    """Return a place beside a terminal, towards the middle of its device."""
    right, forward = middle[0] - at[0], middle[1] - at[1]
    along = max(abs(right), abs(forward), 1e-9)
    return (at[0] + right / along * 9, at[1] + forward / along * 7, at[2])


def _middle(corners: tuple[Mm, ...]) -> Mm:
    low, high = ([f(p[i] for p in corners) for i in (0, 1)] for f in (min, max))
    return ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, corners[0][2])


def _cut(words: str) -> str:
    cleaned = clean(words)
    return cleaned if len(cleaned) <= _LONG else cleaned[:_LONG].rstrip() + "…"
