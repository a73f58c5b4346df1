"""Free ground: the shortest way between two places, round keep-outs and bodies, inside the plates."""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import shapely

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.layout.places import Flat
    from loomwright.layout.result import Point
    from loomwright.model.robot import KeepOut, Plate

Body = tuple["Flat", ...]
#: Wires may touch an edge; less than this inside an area does not count [m].
SKIN_M = 1e-4


@dataclass(frozen=True, slots=True)
class Way:
    """A way over the ground: its turns, both ends included, and its length [m]."""

    turns: tuple[Flat, ...]
    length_m: float


@lru_cache(maxsize=32)
def ground_of(plates: tuple[Plate, ...]) -> Ground:
    """Return the ground of a robot's plates; the same plates give the same object, with what it has learned."""
    return Ground(plates)


class Ground:
    """What wires may run over.

    A keep-out holds from its plate up to the next plate, that of the lowest plate below it too. Where a way starts and
    ends over a plate, it stays over the plates.
    """

    def __init__(self, plates: tuple[Plate, ...]) -> None:
        self._plates = sorted(plates, key=lambda plate: plate.height_m)
        outlines = [_area(plate.outline) for plate in plates if len(plate.outline) > 2]  # noqa: PLR2004  an area
        self._allowed: Any = None
        if outlines:
            self._allowed = shapely.union_all(outlines).buffer(SKIN_M, join_style="mitre")
            shapely.prepare(self._allowed)
        self._yards: dict[tuple[frozenset[int], tuple[Body, ...]], _Yard] = {}

    def on_a_plate(self, at: Flat) -> bool:
        """Tell whether a place lies over a plate; where no outline is drawn, every place does."""
        return self._allowed is None or bool(shapely.intersects_xy(self._allowed, *at))

    def inside(self, start: Point, end: Point) -> bool:
        """Tell whether a straight stretch stays over the plates; where no outline is drawn, every stretch does."""
        return self._allowed is None or bool(shapely.covers(self._allowed, shapely.LineString([start[:2], end[:2]])))

    def keep_outs(self, start: Point, end: Point) -> list[KeepOut]:
        """Return the keep-outs that a straight stretch runs through, or that a place is under (start equals end)."""
        stretch = shapely.Point(start[:2]) if start[:2] == end[:2] else shapely.LineString([start[:2], end[:2]])
        return [
            keep_out
            for band in sorted(self._bands(min(start[2], end[2]), max(start[2], end[2])))
            for keep_out in self._plates[band].keep_outs
            if len(keep_out.corners) > 2  # noqa: PLR2004  an area
            and bool(shapely.intersects(_area(keep_out.corners).buffer(-SKIN_M, join_style="mitre"), stretch))
        ]

    def ways(
        self, start: Point, ends: Sequence[Point], bodies: Iterable[Body] = (), *, direct: bool = False
    ) -> list[Way | None]:
        """Return the shortest way from a place to each of several others, None where there is none.

        Heights decide which keep-outs hold; `bodies` are outlines to go round. With `direct` only straight ways count.
        """
        held = tuple(bodies)
        found: list[Way | None] = [None] * len(ends)
        groups: dict[frozenset[int], list[int]] = {}
        for i, end in enumerate(ends):
            groups.setdefault(self._bands(min(start[2], end[2]), max(start[2], end[2])), []).append(i)
        for bands, chosen in groups.items():
            yard = self._yard(bands, held)
            ways = yard.ways((start[0], start[1]), [(ends[i][0], ends[i][1]) for i in chosen], direct=direct)
            for i, way in zip(chosen, ways, strict=True):
                found[i] = way
        return found

    def covered(self, start: Point, end: Point) -> list[tuple[float, float]]:
        """Return which shares of a straight stretch lie under keep-outs, as pairs from 0 to 1."""
        blocked = self._yard(self._bands(min(start[2], end[2]), max(start[2], end[2])), ()).blocked
        if blocked is None:
            return []
        length_m = math.hypot(end[0] - start[0], end[1] - start[1])
        if length_m == 0.0:
            return [(0.0, 1.0)] if shapely.intersects_xy(blocked, start[0], start[1]) else []
        parts = shapely.get_parts(shapely.LineString([start[:2], end[:2]]).intersection(blocked))
        shares = [
            sorted(math.dist(start[:2], c) / length_m for c in part.coords) for part in parts if not part.is_empty
        ]
        return [(found[0], found[-1]) for found in sorted(shares)]

    def way(self, start: Point, end: Point, bodies: Iterable[Body] = ()) -> Way | None:
        """Return the shortest way between two places, or None."""
        return self.ways(start, [end], bodies)[0]

    def _bands(self, low_m: float, high_m: float) -> frozenset[int]:
        tops = [plate.height_m for plate in self._plates[1:]]
        first = sum(top <= low_m for top in tops)
        last = sum(top <= high_m for top in tops)
        return frozenset(range(first, last + 1)) if self._plates else frozenset()

    def _yard(self, bands: frozenset[int], bodies: tuple[Body, ...]) -> _Yard:
        key = (bands, bodies)
        if key not in self._yards:
            areas = [
                _area(keep_out.corners)
                for band in sorted(bands)
                for keep_out in self._plates[band].keep_outs
                if len(keep_out.corners) > 2  # noqa: PLR2004  an area
            ]
            self._yards[key] = _Yard([*areas, *(_area(body) for body in bodies)], self._allowed)
        return self._yards[key]


class _Yard:
    """One set of things to go round, with which of their corners see each other."""

    def __init__(self, areas: list[Any], allowed: Any) -> None:  # noqa: ANN401  shapely has no types
        self.allowed = allowed
        self.blocked: Any = None
        corners: list[Flat] = []
        if areas:
            whole = shapely.union_all(areas)
            self.blocked = whole.buffer(-SKIN_M, join_style="mitre")
            shapely.prepare(self.blocked)
            corners = _corners(whole)
        if allowed is not None and not _convex(allowed):
            corners += _corners(allowed.buffer(-SKIN_M, join_style="mitre"))
        if self.blocked is not None:
            corners = [corner for corner in corners if not shapely.intersects_xy(self.blocked, *corner)]
        self.corners = list(dict.fromkeys(corners))
        self._links: list[list[tuple[int, float]]] | None = None

    def ways(self, start: Flat, ends: list[Flat], *, direct: bool) -> list[Way | None]:
        free = self._free([(start, end) for end in ends])
        found = [
            Way((start, end) if end != start else (start,), math.dist(start, end)) if ok else None
            for end, ok in zip(ends, free, strict=True)
        ]
        hidden = [i for i, way in enumerate(found) if way is None]
        if direct or not hidden or not self.corners:
            return found
        lengths, before = self._from(start)
        seen = self._free([(c, ends[i]) for i in hidden for c in self.corners])
        count = len(self.corners)
        for row, i in enumerate(hidden):
            best = min(
                (
                    (lengths[c] + math.dist(self.corners[c], ends[i]), c)
                    for c in range(count)
                    if seen[row * count + c] and lengths[c] < math.inf
                ),
                default=None,
            )
            if best is not None:
                found[i] = self._walked(start, ends[i], best[1], before)
        return found

    def _walked(self, start: Flat, end: Flat, last: int, before: list[int]) -> Way:
        turns = [end]
        at = last
        while at >= 0:
            turns.append(self.corners[at])
            at = before[at]
        turns.append(start)
        clean = tuple(dict.fromkeys(reversed(turns)))
        return Way(clean, sum(math.dist(a, b) for a, b in pairwise(clean)))

    def _from(self, start: Flat) -> tuple[list[float], list[int]]:
        """Return how far each corner is from a place, and the corner before it (-1: the place itself)."""
        count = len(self.corners)
        lengths, before = [math.inf] * count, [-1] * count
        heap: list[tuple[float, int, int]] = []
        for c, ok in enumerate(self._free([(start, corner) for corner in self.corners])):
            if ok:
                heapq.heappush(heap, (math.dist(start, self.corners[c]), c, -1))
        links = self._seen()
        while heap:
            length, c, came = heapq.heappop(heap)
            if length >= lengths[c]:
                continue
            lengths[c], before[c] = length, came
            for other, step in links[c]:
                if length + step < lengths[other]:
                    heapq.heappush(heap, (length + step, other, c))
        return lengths, before

    def _seen(self) -> list[list[tuple[int, float]]]:
        if self._links is None:
            count = len(self.corners)
            pairs = [(a, b) for a in range(count) for b in range(a + 1, count)]
            free = self._free([(self.corners[a], self.corners[b]) for a, b in pairs])
            self._links = [[] for _ in range(count)]
            for (a, b), ok in zip(pairs, free, strict=True):
                if ok:
                    step = math.dist(self.corners[a], self.corners[b])
                    self._links[a].append((b, step))
                    self._links[b].append((a, step))
        return self._links

    def _free(self, stretches: list[tuple[Flat, Flat]]) -> list[bool]:
        """Tell of each stretch whether nothing is in its way; one that starts and ends over a plate stays there."""
        if not stretches or (self.blocked is None and self.allowed is None):
            return [True] * len(stretches)
        lines = shapely.linestrings(stretches)
        free = [True] * len(stretches)
        if self.blocked is not None:
            free = [not hit for hit in shapely.intersects(self.blocked, lines).tolist()]
        if self.allowed is not None:
            for i, kept in enumerate(shapely.covers(self.allowed, lines).tolist()):
                if not kept and free[i]:
                    free[i] = not all(self._over(end) for end in stretches[i])
        return free

    def _over(self, at: Flat) -> bool:
        return bool(shapely.intersects_xy(self.allowed, *at))


def _area(corners: Iterable[Flat]) -> Any:  # noqa: ANN401  shapely has no types
    return shapely.make_valid(shapely.Polygon(list(corners)))


def _convex(area: Any) -> bool:  # noqa: ANN401  shapely has no types
    return bool(area.equals(area.convex_hull))


def _corners(area: Any) -> list[Flat]:  # noqa: ANN401  shapely has no types
    rings = [
        ring
        for polygon in shapely.get_parts(area)
        if polygon.geom_type == "Polygon"
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    return [(x, y) for ring in rings for x, y in ring.coords[:-1]]
