"""What a private run passes over."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.layout.places import Flat
    from loomwright.layout.result import Edge, Point

#: A run that starts or ends on a trunk does not cross it [m].
_END_M = 0.003
# A micrometre before the start of a stretch is on it, one before its end is not: whoever passes where two meet
# crosses one of them.
_SAME_M = 1e-6
_PARALLEL = 1e-9


class _Stretch(NamedTuple):
    """A straight piece of an edge from above, as its box, start, direction and length; `low` and `high` of the edge."""

    left: float
    right: float
    rear: float
    front: float
    x: float
    y: float
    along_x: float
    along_y: float
    length_m: float
    low: float
    high: float
    edge: str


def crossings_of(paths: Sequence[tuple[Point, ...]], edges: Iterable[Edge]) -> list[tuple[str, ...]]:
    """Return for each path the trunks and links (names of edges) it passes over, at heights that it has on its way.

    An edge is named once for each crossing. It holds its start and not its end: where two run on into each other,
    whoever passes exactly there crosses one of them. What runs along an edge crosses it where it leaves it.
    """
    stretches = [stretch for edge in edges if edge.shared for stretch in _stretches(edge.path, edge)]
    return [tuple(sorted(_over(path, stretches), key=lambda name: (natural(name), name))) for path in paths]


def _over(path: tuple[Point, ...], stretches: list[_Stretch]) -> Iterator[str]:
    inner = _inner(path)
    if inner is None:
        return
    low, high = _heights(path)
    for a, b in pairwise(inner):
        length_m = math.dist(a, b)
        if length_m == 0:
            continue
        along = (b[0] - a[0]) / length_m, (b[1] - a[1]) / length_m
        left, right = (a[0], b[0]) if a[0] < b[0] else (b[0], a[0])
        rear, front = (a[1], b[1]) if a[1] < b[1] else (b[1], a[1])
        for stretch in stretches:
            if (
                stretch.left <= right
                and stretch.right >= left
                and stretch.rear <= front
                and stretch.front >= rear
                and stretch.low <= high
                and stretch.high >= low
                and _crosses(a, along, length_m, stretch)
            ):
                yield stretch.edge


def _crosses(start: Flat, along: Flat, length_m: float, stretch: _Stretch) -> bool:
    """Whether a straight run meets a stretch, the start of each included and the end of each not."""
    sine = along[0] * stretch.along_y - along[1] * stretch.along_x
    if abs(sine) < _PARALLEL:
        return False
    off_x, off_y = stretch.x - start[0], stretch.y - start[1]
    on_run_m = (off_x * stretch.along_y - off_y * stretch.along_x) / sine
    on_stretch_m = (off_x * along[1] - off_y * along[0]) / sine
    return -_SAME_M <= on_run_m < length_m - _SAME_M and -_SAME_M <= on_stretch_m < stretch.length_m - _SAME_M


def _stretches(path: Sequence[Point], edge: Edge) -> Iterator[_Stretch]:
    low, high = _heights(path)
    for (ax, ay, _), (bx, by, _) in pairwise(path):
        length_m = math.hypot(bx - ax, by - ay)
        if length_m > 0:
            box = (min(ax, bx) - _SAME_M, max(ax, bx) + _SAME_M, min(ay, by) - _SAME_M, max(ay, by) + _SAME_M)
            along = (bx - ax) / length_m, (by - ay) / length_m
            yield _Stretch(*box, ax, ay, *along, length_m, low, high, edge.name)


def _inner(path: tuple[Point, ...]) -> list[Flat] | None:
    """Return a path from above without its very ends; None for one that is all ends."""
    points = list(dict.fromkeys((x, y) for x, y, _ in path))
    if sum(math.dist(a, b) for a, b in pairwise(points)) <= 3 * _END_M:
        return None
    return _shortened(_shortened(points))


def _shortened(points: list[Flat]) -> list[Flat]:
    """Take a little off the start of a line, and turn it round."""
    off_m = _END_M
    for i, (a, b) in enumerate(pairwise(points)):
        length_m = math.dist(a, b)
        if length_m > off_m:
            share = off_m / length_m
            return [*points[:i:-1], (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))]
        off_m -= length_m
    return points


def _heights(path: Sequence[Point]) -> tuple[float, float]:
    """Return the least and the greatest height of a path, and a little more [m]."""
    heights = [point[2] for point in path]
    return min(heights) - _END_M, max(heights) + _END_M
