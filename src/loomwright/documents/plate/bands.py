"""The band of each trunk under its wires: wide and sand-coloured where wires lie, narrow and empty where none does."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.documents.look import HAIR_MM, INK, SAND, WHITE
from loomwright.documents.plate.frame import Frame
from loomwright.documents.plate.geometry import length_mm, rounded
from loomwright.documents.plate.lanes import Lanes
from loomwright.documents.plate.sheet import PlateSheet, PlateStretch, PlateTrunk, Spot
from loomwright.documents.scene import Circle, Group, Item, Point, Polyline, Stroke
from loomwright.documents.type import clean

EMPTY_MM = 1.6
"""How wide a band without wires is drawn [mm]."""
DASHED = (2.2, 1.4)

_BESIDE_MM = 0.9
_LONE_MM = 1.2
_MISSED_M = 0.002
_SAME_M = 1e-6


def band_items(sheet: PlateSheet, plate: int, frame: Frame, held: Lanes) -> tuple[Item, ...]:
    """Draw the band of each trunk: solid edges for one that the team drew, dashed ones for one that is proposed."""
    trunks = [trunk for trunk in sheet.trunks if trunk.plate == plate]
    return tuple(_band(sheet, trunk, frame, held) for trunk in trunks)


def band_mm(sheet: PlateSheet, trunk: str, held: Lanes) -> float:
    """Return how wide the band of a trunk is drawn where wires lie [mm]."""
    widest = max((held.width_mm[s.name] for s in sheet.stretches if s.trunk == trunk), default=0.0)
    return max(widest, _LONE_MM) + 2 * _BESIDE_MM


def used_paths(sheet: PlateSheet, trunk: PlateTrunk) -> tuple[tuple[Spot, ...], ...]:
    """Return the parts of a trunk on its plate where wires lie [m]; a proposed one is there for its wires alone."""
    if trunk.proposed:
        return (trunk.path,)
    return tuple(_joined([s.path for s in _stretches(sheet, trunk) if len(s.path) > 1]))


def unused(sheet: PlateSheet, trunk: PlateTrunk) -> bool:
    """Tell whether no wire takes a trunk."""
    return not trunk.proposed and not _stretches(sheet, trunk)


def partly_empty(sheet: PlateSheet, trunk: PlateTrunk) -> bool:
    """Tell whether a trunk has a part without wires."""
    return unused(sheet, trunk) or length_mm(trunk.path) > sum(map(length_mm, used_paths(sheet, trunk))) + _MISSED_M


def _stretches(sheet: PlateSheet, trunk: PlateTrunk) -> list[PlateStretch]:
    return [s for s in sheet.stretches if s.trunk == trunk.name and s.plate == trunk.plate and not s.proposed]


def _joined(paths: Sequence[tuple[Spot, ...]]) -> list[tuple[Spot, ...]]:
    """Join paths that meet end to end, so that a corner between them is drawn as one."""
    found: list[tuple[Spot, ...]] = []
    for path in paths:
        here = path
        while True:
            other = next((other for other in found if _meeting(other, here)), None)
            if other is None:
                break
            found.remove(other)
            here = _one(other, here)
        found.append(here)
    return found


def _meeting(one: tuple[Spot, ...], other: tuple[Spot, ...]) -> bool:
    return any(_same(a, b) for a in (one[0], one[-1]) for b in (other[0], other[-1]))


def _one(one: tuple[Spot, ...], other: tuple[Spot, ...]) -> tuple[Spot, ...]:
    """Return two paths that meet as one."""
    if not any(_same(one[-1], end) for end in (other[0], other[-1])):
        one = one[::-1]
    return (*one, *(other if _same(one[-1], other[0]) else other[::-1])[1:])


def _same(a: Spot, b: Spot) -> bool:
    return abs(a[0] - b[0]) < _SAME_M and abs(a[1] - b[1]) < _SAME_M


def _band(sheet: PlateSheet, trunk: PlateTrunk, frame: Frame, held: Lanes) -> Group:
    """Draw a trunk: all of it as it is without wires, and over that where wires lie."""
    wide = band_mm(sheet, trunk.name, held)
    dash = DASHED if trunk.proposed else ()
    points = tuple(rounded(frame.points(trunk.path), EMPTY_MM))
    items = list(empty_band(points)) if partly_empty(sheet, trunk) else []
    for path in used_paths(sheet, trunk):
        points = tuple(rounded(frame.points(path), wide))
        if len(points) == 1:  # a post, seen from above
            items.append(Circle(points[0], wide / 2, Stroke(INK, HAIR_MM, dash), SAND))
        else:
            items += [Polyline(points, Stroke(INK, wide + 2 * HAIR_MM, dash)), Polyline(points, Stroke(SAND, wide))]
    what = "Proposed trunk" if trunk.proposed else "Trunk without wires" if unused(sheet, trunk) else "Trunk"
    return Group(tuple(items), "trunk", trunk.name, clean(f"{what} {trunk.name}"))


def empty_band(points: tuple[Point, ...]) -> tuple[Item, ...]:
    """Draw a band in which no wire lies; a post that is seen from above is a point."""
    if len(points) == 1:
        return (Circle(points[0], EMPTY_MM, Stroke(INK, HAIR_MM), WHITE),)
    return (Polyline(points, Stroke(INK, EMPTY_MM + 2 * HAIR_MM)), Polyline(points, Stroke(WHITE, EMPTY_MM)))
