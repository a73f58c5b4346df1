"""Fewer points for the same picture: what a column of 0.6 mm holds is told by its highest and its lowest sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from loomwright.documents.scene import Point

COLUMN_MM: Final = 0.6


def columns(times: Sequence[float], *, begin: float, end: float, count: int) -> tuple[range, ...]:
    """Part samples into the columns of a drawing from begin to end [s]; columns without a sample are left out."""
    parts: list[range] = []
    first, column = 0, 0
    for i, time in enumerate(times):
        here = min(count - 1, max(0, int((time - begin) / (end - begin) * count)))
        if here != column and i > first:
            parts.append(range(first, i))
            first = i
        column = here
    return (*parts, range(first, len(times)))


def extremes(parts: Sequence[range], values: Sequence[float]) -> tuple[int, ...]:
    """Return the samples with the least and the greatest value of each column, in their order, each once."""
    kept: list[int] = []
    for part in parts:
        kept += sorted({least(part, values), greatest(part, values)})
    return tuple(kept)


def least(part: range, values: Sequence[float]) -> int:
    """Return the first of a column's samples with the least value."""
    return min(part, key=values.__getitem__)


def greatest(part: range, values: Sequence[float]) -> int:
    """Return the first of a column's samples with the greatest value."""
    return max(part, key=values.__getitem__)


def thinned(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return points rounded to 0.01 mm, without those on a level or upright run between two others."""
    kept: list[Point] = []
    for x, y in points:
        point = (round(x, 2), round(y, 2))
        if kept and point == kept[-1]:
            continue
        if len(kept) > 1 and (_between(kept[-2], kept[-1], point, 1, 0) or _between(kept[-2], kept[-1], point, 0, 1)):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _between(a: Point, b: Point, c: Point, same: int, way: int) -> bool:
    """Tell whether b lies on the straight run from a to c along one axis."""
    return a[same] == b[same] == c[same] and min(a[way], c[way]) <= b[way] <= max(a[way], c[way])


def spread(wanted: Sequence[float], *, tall: float, low: float, high: float) -> tuple[float, ...]:
    """Move labels so that none overlaps the next: their middles, in rising order, `tall` apart, from low to high.

    Where they can't all be, they are set closer, evenly.
    """
    if len(wanted) * tall > high - low:
        pitch = (high - low) / len(wanted)
        return tuple(low + (i + 0.5) * pitch for i in range(len(wanted)))
    middles: list[float] = []
    for middle in wanted:
        middles.append(max(middle, low + tall / 2, middles[-1] + tall if middles else low))
    limit = high - tall / 2
    for i in reversed(range(len(middles))):
        middles[i] = min(middles[i], limit)
        limit = middles[i] - tall
    return tuple(middles)
