"""What a private run passes over."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import shapely

from loomwright.layout.result import Course

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.layout.places import Flat
    from loomwright.layout.result import Edge, Point

#: A run that starts or ends on a trunk does not cross it [m].
_END_M = 0.003
_LINK = "link "


def crossings_of(paths: Sequence[tuple[Point, ...]], edges: Iterable[Edge]) -> list[int]:
    """Count for each path the trunks it passes over, at heights that it has on its way.

    A trunk counts once; links that only join trunks do not, as most of them are never opened.
    """
    drawn = [edge for edge in edges if edge.shared and not _joining(edge) and _flat(edge.path).length > 0]
    counts: list[set[str]] = [set() for _ in paths]
    tree = shapely.STRtree([_flat(edge.path) for edge in drawn])
    inner = [_inner(path) for path in paths]
    asked = [i for i, line in enumerate(inner) if line is not None]
    if not drawn or not asked:
        return [0] * len(paths)
    hits = tree.query([inner[i] for i in asked], predicate="intersects")
    for row, hit in zip(*hits.tolist(), strict=True):
        i, edge = asked[row], drawn[hit]
        if _low(paths[i]) <= _high(edge.path) and _low(edge.path) <= _high(paths[i]):
            counts[i].add(edge.trunk)
    return [len(names) for names in counts]


def _joining(edge: Edge) -> bool:
    return edge.course is Course.LINK and edge.trunk.startswith(_LINK)


def _flat(path: Sequence[Point]) -> Any:  # noqa: ANN401  shapely has no types
    return shapely.LineString([point[:2] for point in path])


def _inner(path: tuple[Point, ...]) -> Any:  # noqa: ANN401  shapely has no types
    """Return a path from above without its very ends; None for one that is all ends."""
    points = list(dict.fromkeys(point[:2] for point in path))
    if sum(math.dist(a, b) for a, b in pairwise(points)) <= 3 * _END_M:
        return None
    return shapely.LineString(_shortened(_shortened(points)))


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


def _low(path: Sequence[Point]) -> float:
    return min(point[2] for point in path) - _END_M


def _high(path: Sequence[Point]) -> float:
    return max(point[2] for point in path) + _END_M
