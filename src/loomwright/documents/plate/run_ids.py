"""The ids of a run's wires on its own line, where it runs alone and there is room: red and black pairs look alike."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from loomwright.documents.legibility import meets
from loomwright.documents.look import SMALL_MM
from loomwright.documents.plate.flat import Flat, flat, near
from loomwright.documents.plate.geometry import length_mm, spot_along
from loomwright.documents.plate.ink import Ink
from loomwright.documents.plate.lanes import Lanes, Ribbon
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.plate.table import id_ranges
from loomwright.documents.plate.wish import Wish, Words, size_of
from loomwright.documents.scene import Box, Point, around
from loomwright.documents.type import Face, clean

_STEP_MM = 2.0
_SEEN_MM = 2.0  # so much of the line is seen at both sides of its ids
_CLEAR_MM = 0.3
_LONGEST_MM = 22.0
_SOME_MM2 = 1.0
_ROUGH_MM = 1.2  # how much wider than itself a line is in the coarse map of ink


def id_wishes(sheet: PlateSheet, held: Lanes, drawn: Sequence[Ribbon], ink: Ink) -> list[Wish]:
    """Ask for a place for the ids of every run on a panel, on its first or last piece off the trunks."""
    alone = {stretch.name: stretch.plate for stretch in sheet.stretches if stretch.bundle is None}
    found: list[Wish] = []
    pieces = [
        (flat(around([a, b]).grown(ribbon.width_mm / 2 + _CLEAR_MM)), (ribbon, a, b))
        for ribbon in drawn
        for a, b in pairwise(ribbon.points)
    ]
    for ribbon in drawn:
        words = Words(clean(id_ranges([wire.id for wire in ribbon.run.wires])), SMALL_MM, Face.TAG)
        size = size_of((words,))
        if not words.text or size[0] > _LONGEST_MM:
            continue
        spots = [
            at
            for first, last in _alone(ribbon, held, alone)
            for at, way in _spots(ribbon, first, last, size)
            if _is_free(ribbon, at, way, size, ink, pieces)
        ]
        if spots:
            key = f"ids {', '.join(wire.id for wire in ribbon.run.wires)}"
            dot = Box(*spots[0], *spots[0])
            found.append(Wish(key, ((words,),), dot, tuple(spots), bound=True))
    return found


def _alone(ribbon: Ribbon, held: Lanes, alone: Mapping[str, int]) -> Iterator[tuple[float, float]]:
    """Give where a run is off the trunks, as lengths along its line: at end B first, then at end A."""
    whole = length_mm(ribbon.points)
    legs = ribbon.run.legs
    for leg, from_end in ((legs[-1], True), (legs[0], False)):
        if alone.get(leg.stretch) == ribbon.plate:
            long = min(length_mm(held.paths[leg.stretch]), whole)
            yield (whole - long, whole) if from_end else (0.0, long)


def _spots(ribbon: Ribbon, first: float, last: float, size: Point) -> Iterator[tuple[Point, Point]]:
    """Give places on a piece of a line, its middle first, that leave some of it to be seen at both sides."""
    middle, half = (first + last) / 2, (last - first) / 2
    for i in range(int(half / _STEP_MM) + 1):
        for at in (middle + i * _STEP_MM, middle - i * _STEP_MM)[: 2 if i else 1]:
            spot, way = spot_along(ribbon.points, at)
            reach = _under_mm(size, way) / 2 + _SEEN_MM
            if first + reach <= at <= last - reach:
                yield spot, way


def _under_mm(size: Point, way: Point) -> float:
    """Return how much of a straight line a label on it covers [mm]."""
    across, down = abs(way[0]), abs(way[1])
    return min(size[0] / across if across else math.inf, size[1] / down if down else math.inf)


def _is_free(
    ribbon: Ribbon,
    at: Point,
    way: Point,
    size: Point,
    ink: Ink,
    pieces: Sequence[tuple[Flat, tuple[Ribbon, Point, Point]]],
) -> bool:
    """Tell whether a label here stands on its own run and on no other one."""
    box = Box(at[0] - size[0] / 2, at[1] - size[1] / 2, at[0] + size[0] / 2, at[1] + size[1] / 2)
    if ink.under(box) > _under_mm(size, way) * (ribbon.width_mm + _ROUGH_MM) + _SOME_MM2:
        return False
    return not any(
        meets(a, b, box.grown(other.width_mm / 2 + _CLEAR_MM))
        for other, a, b in near(flat(box), pieces)
        if other is not ribbon
    )
