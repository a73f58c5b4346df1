"""Free ground: the shortest way between two places, round keep-outs and bodies, inside the plates."""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
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
_DETOUR_M = 0.3
_EDGE_M = 0.005


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
        self._inners: dict[int, list[tuple[KeepOut, Any]]] = {}
        self._yards: dict[tuple[frozenset[int], tuple[Body, ...], tuple[Body, ...]], _Yard] = {}

    def on_a_plate(self, at: Flat) -> bool:
        """Tell whether a place lies over a plate; where no outline is drawn, every place does."""
        return self._allowed is None or bool(shapely.intersects_xy(self._allowed, *at))

    def inside(self, start: Point, end: Point) -> bool:
        """Tell whether a straight stretch stays over the plates; where no outline is drawn, every stretch does."""
        return self._allowed is None or bool(shapely.covers(self._allowed, shapely.LineString([start[:2], end[:2]])))

    def keep_outs(self, start: Point, end: Point) -> list[KeepOut]:
        """Return the keep-outs that a straight stretch runs through, or that a place is under (start equals end)."""
        found = [
            (keep_out, inner)
            for band in sorted(self._bands(min(start[2], end[2]), max(start[2], end[2])))
            for keep_out, inner in self._inner(band)
        ]
        if not found:
            return []
        stretch = shapely.Point(start[:2]) if start[:2] == end[:2] else shapely.LineString([start[:2], end[:2]])
        return [keep_out for keep_out, inner in found if shapely.intersects(inner, stretch)]

    def _inner(self, band: int) -> list[tuple[KeepOut, Any]]:
        """Return the keep-outs of a plate that have an area, with what is inside them."""
        if band not in self._inners:
            keep_outs = [k for k in self._plates[band].keep_outs if len(k.corners) > 2]  # noqa: PLR2004  an area
            self._inners[band] = [(k, _area(k.corners).buffer(-SKIN_M, join_style="mitre")) for k in keep_outs]
        return self._inners[band]

    def ways(
        self,
        start: Point,
        ends: Sequence[Point],
        bodies: Iterable[Body] = (),
        *,
        walls: Iterable[Body] = (),
        direct: bool = False,
    ) -> list[Way | None]:
        """Return the shortest way from a place to each of several others, None where there is none.

        Heights decide which keep-outs hold; `bodies` are outlines to go round, off the plate too where they hang over
        its edge, and `walls` outlines that count as keep-outs do. With `direct` only straight ways count.
        """
        held, more = tuple(bodies), tuple(walls)
        found: list[Way | None] = [None] * len(ends)
        groups: dict[frozenset[int], list[int]] = {}
        for i, end in enumerate(ends):
            groups.setdefault(self._bands(min(start[2], end[2]), max(start[2], end[2])), []).append(i)
        for bands, chosen in groups.items():
            yard = self._yard(bands, held, more)
            ways = yard.ways((start[0], start[1]), [(ends[i][0], ends[i][1]) for i in chosen], direct=direct)
            for i, way in zip(chosen, ways, strict=True):
                found[i] = way
        return found

    def covered(self, start: Point, end: Point, walls: Iterable[Body] = ()) -> list[tuple[float, float]]:
        """Return which shares of a straight stretch lie under keep-outs and `walls`, as pairs from 0 to 1."""
        blocked = self._yard(self._bands(min(start[2], end[2]), max(start[2], end[2])), (), tuple(walls)).hidden
        if blocked.is_empty:
            return []
        length_m = math.hypot(end[0] - start[0], end[1] - start[1])
        if length_m == 0.0:
            return [(0.0, 1.0)] if shapely.intersects_xy(blocked, start[0], start[1]) else []
        parts = shapely.get_parts(shapely.LineString([start[:2], end[:2]]).intersection(blocked))
        shares = [
            sorted(math.dist(start[:2], c) / length_m for c in part.coords) for part in parts if not part.is_empty
        ]
        return [(found[0], found[-1]) for found in sorted(shares)]

    def way(self, start: Point, end: Point, bodies: Iterable[Body] = (), *, walls: Iterable[Body] = ()) -> Way | None:
        """Return the shortest way between two places, or None."""
        return self.ways(start, [end], bodies, walls=walls)[0]

    def _bands(self, low_m: float, high_m: float) -> frozenset[int]:
        tops = [plate.height_m for plate in self._plates[1:]]
        first = sum(top <= low_m for top in tops)
        last = sum(top <= high_m for top in tops)
        return frozenset(range(first, last + 1)) if self._plates else frozenset()

    def _yard(self, bands: frozenset[int], bodies: tuple[Body, ...], walls: tuple[Body, ...]) -> _Yard:
        key = (bands, bodies, walls)
        if key not in self._yards:
            corners = sorted([*walls, *(keep_out.corners for band in bands for keep_out, _ in self._inner(band))])
            self._yards[key] = _Yard([_area(each) for each in corners], [_area(body) for body in bodies], self._allowed)
        return self._yards[key]


class _Yard:
    """One set of things to go round, with which of their corners see each other."""

    def __init__(self, keep_outs: list[Any], bodies: list[Any], allowed: Any) -> None:  # noqa: ANN401  shapely has no types
        # Inside an outline without dents every straight stretch stays inside.
        self.allowed = None if allowed is None or _convex(allowed) else allowed
        areas = [*keep_outs, *bodies]
        self._whole: Any = shapely.union_all(areas)
        self.blocked: Any = None
        corners: list[Flat] = []
        if areas:
            self.blocked = self._whole.buffer(-SKIN_M, join_style="mitre")
            if allowed is not None and keep_outs:
                self.blocked = shapely.union(self.blocked, _sealed(shapely.union_all(keep_outs), allowed))
            shapely.prepare(self.blocked)
            corners = _corners(self._whole)
            if allowed is not None:
                # A thing may hang over the edge of its plate; round a keep-out no wire leaves the plate.
                outer = shapely.union_all(bodies)
                corners = [c for c in corners if shapely.intersects_xy(allowed, *c) or shapely.intersects_xy(outer, *c)]
        if self.allowed is not None:
            corners += _corners(self.allowed.buffer(-SKIN_M, join_style="mitre"))
        if self.blocked is not None:
            corners = [corner for corner in corners if not shapely.intersects_xy(self.blocked, *corner)]
        self.corners = sorted(dict.fromkeys(corners))
        self._rows: dict[Flat, list[Flat]] = {}

    @cached_property
    def hidden(self) -> Any:  # noqa: ANN401  shapely has no types
        """Return where no line may be drawn: a little more than `blocked`, so that what is left ends in the free."""
        return self._whole.buffer(-SKIN_M / 2, join_style="mitre")

    def ways(self, start: Flat, ends: list[Flat], *, direct: bool) -> list[Way | None]:
        free = self._free([(start, end) for end in ends])
        found = [
            Way((start, end) if end != start else (start,), math.dist(start, end)) if ok else None
            for end, ok in zip(ends, free, strict=True)
        ]
        hidden = [i for i, way in enumerate(found) if way is None]
        if direct or not hidden or not self.corners:
            return found
        # Far corners can't be on a way that is hardly longer than straight, so they are tried only where none is.
        limit = max(math.dist(start, ends[i]) for i in hidden) + _DETOUR_M
        near = [c for c in self.corners if any(math.dist(start, c) + math.dist(c, ends[i]) <= limit for i in hidden)]
        around = self._around(start, [ends[i] for i in hidden], near)
        if len(near) < len(self.corners) and any(way is None or way.length_m > limit for way in around):
            around = self._around(start, [ends[i] for i in hidden], self.corners)
        for i, way in zip(hidden, around, strict=True):
            found[i] = way
        return found

    def _around(self, start: Flat, ends: list[Flat], corners: list[Flat]) -> list[Way | None]:
        """Return the shortest ways from a place to others, by way of corners."""
        lengths, before = self._from(start, corners)
        reached = sorted(lengths)
        seen = self._free([(corner, end) for end in ends for corner in reached])
        found: list[Way | None] = []
        for row, end in enumerate(ends):
            open_to = [corner for i, corner in enumerate(reached) if seen[row * len(reached) + i]]
            last = min(open_to, key=lambda corner: (lengths[corner] + math.dist(corner, end), corner), default=None)
            found.append(None if last is None else _walked(start, end, last, before))
        return found

    def _from(self, start: Flat, corners: list[Flat]) -> tuple[dict[Flat, float], dict[Flat, Flat]]:
        """Return how far each corner is from a place, and the corner before it where there is one."""
        lengths: dict[Flat, float] = {}
        before: dict[Flat, Flat] = {}
        free = self._free([(start, corner) for corner in corners])
        heap = [(math.dist(start, c), c, c) for c, ok in zip(corners, free, strict=True) if ok]
        heapq.heapify(heap)
        inside = set(corners)
        while heap:
            length, corner, came = heapq.heappop(heap)
            if corner in lengths:
                continue
            lengths[corner] = length
            if came != corner:
                before[corner] = came
            for other in self._seen_from(corner):
                if other in inside and other not in lengths:
                    heapq.heappush(heap, (length + math.dist(corner, other), other, corner))
        return lengths, before

    def _seen_from(self, corner: Flat) -> list[Flat]:
        if corner not in self._rows:
            free = self._free([(corner, other) for other in self.corners])
            self._rows[corner] = [other for other, ok in zip(self.corners, free, strict=True) if ok and other != corner]
        return self._rows[corner]

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


def _walked(start: Flat, end: Flat, last: Flat, before: dict[Flat, Flat]) -> Way:
    turns = [end, last]
    while turns[-1] in before:
        turns.append(before[turns[-1]])
    clean = tuple(dict.fromkeys([start, *reversed(turns)]))
    return Way(clean, sum(math.dist(a, b) for a, b in pairwise(clean)))


def _area(corners: Iterable[Flat]) -> Any:  # noqa: ANN401  shapely has no types
    return shapely.make_valid(shapely.Polygon(list(corners)))


def _sealed(keep_out: Any, allowed: Any) -> Any:  # noqa: ANN401  shapely has no types
    """Return the inside of a keep-out up to the edge of the plate where it reaches it: no wire fits in between."""
    around = allowed.buffer(_EDGE_M, join_style="mitre").difference(allowed.buffer(-2.5 * SKIN_M, join_style="mitre"))
    return shapely.union(keep_out, around).buffer(-SKIN_M, join_style="mitre").intersection(keep_out)


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
