"""A line of the net before it is cut into edges: a trunk, a link, a proposed rail; and where lines come close."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.layout.result import Course, Point

#: People write whole millimetres; a limit this much beyond one does not hang on the last digit of a float [m].
HAIR_M = 1e-6
#: Lines that come closer than this meet [m]: people draw to a few millimetres.
MEET_M = 0.005 + HAIR_M
#: The spacing of breakouts along a trunk [m]: about a hand's width of free ties; common practice.
GRID_M = 0.05


@dataclass(frozen=True, slots=True)
class Line:
    """A line of points with what an `Edge` wants to know of it.

    `offset_m` is where it starts along the trunk that it is a piece of. `drops` tells whether wires may leave it for a
    terminal. `behind` is the moving trunk that carries it, "" for a line that stays where it is.
    """

    name: str
    points: tuple[Point, ...]
    course: Course
    capacity_m: float | None = None
    slack_m: float = 0.0
    moving: bool = False
    signal_only: bool = False
    offset_m: float = 0.0
    drops: bool = True
    behind: str = ""

    @property
    def key(self) -> tuple[object, ...]:
        """What lines are sorted by: nothing of it depends on the order of the file."""
        return (natural(self.name), self.name, self.offset_m, self.points)

    @property
    def lengths_m(self) -> tuple[float, ...]:
        """How far along the line each of its points is [m]."""
        found = [0.0]
        for a, b in zip(self.points, self.points[1:], strict=False):
            found.append(found[-1] + math.dist(a, b))
        return tuple(found)

    @property
    def length_m(self) -> float:
        """The length of the whole line [m]."""
        return self.lengths_m[-1]

    def at(self, along_m: float) -> Point:
        """Return the point so far along the line; beyond its ends, the end."""
        lengths = self.lengths_m
        for i, (a, b) in enumerate(zip(self.points, self.points[1:], strict=False)):
            if along_m <= lengths[i + 1] or i + 2 == len(self.points):
                step = lengths[i + 1] - lengths[i]
                share = min(1.0, max(0.0, (along_m - lengths[i]) / step)) if step else 0.0
                return between(a, b, share)
        return self.points[0]

    def stretches(self) -> Iterator[tuple[float, Point, Point]]:
        """Give its straight stretches: how far along each starts, and its two ends."""
        yield from zip(self.lengths_m, self.points, self.points[1:], strict=False)

    def grid(self) -> list[tuple[float, Point, bool]]:
        """Return where wires may leave it, and whether that is one of the main breakouts.

        Its points and equal steps of about `GRID_M` between them; every other step is a main breakout. The steps are
        the same from both ends, so a line drawn backwards has the same breakouts.
        """
        found = [(0.0, self.points[0], True)]
        for start, a, b in self.stretches():
            length = math.dist(a, b)
            # Half a step counts as a whole one, whatever the last digit of a float says of it.
            steps = 2 * max(1, int(length / (2 * GRID_M) + 0.5 + HAIR_M))
            found += [(start + length * i / steps, between(a, b, i / steps), i % 2 == 0) for i in range(1, steps + 1)]
        return found


def between(a: Point, b: Point, share: float) -> Point:
    """Return the point at a share of the way from one to another."""
    if share in (0.0, 1.0):
        return b if share else a
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))


def nearest_on(line: Line, point: Point) -> tuple[float, float]:
    """Return how far a point is from a line, and how far along the line the nearest place is [m]."""
    return min(_nearest_of(start, a, b, point) for start, a, b in line.stretches())


def meetings(one: Line, other: Line) -> list[tuple[float, float]]:
    """Return where two lines meet, as pairs of how far along each [m]; a shared stretch gives its two ends."""
    found: list[tuple[float, float]] = []
    for along, point in zip(one.lengths_m, one.points, strict=True):
        away, there = nearest_on(other, point)
        if away <= MEET_M:
            found.append((along, there))
    for along, point in zip(other.lengths_m, other.points, strict=True):
        away, here = nearest_on(one, point)
        if away <= MEET_M:
            found.append((here, along))
    for start, a, b in one.stretches():
        for begin, c, d in other.stretches():
            crossing = closest(a, b, c, d)
            if crossing is not None and crossing[2] <= MEET_M:
                found.append((start + crossing[0] * math.dist(a, b), begin + crossing[1] * math.dist(c, d)))
    return _apart(found)


def own_meetings(line: Line) -> list[tuple[float, float]]:
    """Return where a line meets itself, as a ring does, as pairs of how far along it [m]."""
    parts = [(start, replace(line, points=(a, b))) for start, a, b in line.stretches()]
    return [
        (start + here, begin + there)
        for i, (begin, later) in enumerate(parts)
        for start, earlier in parts[: max(0, i - 1)]
        for here, there in meetings(earlier, later)
    ]


def closest(a: Point, b: Point, c: Point, d: Point) -> tuple[float, float, float] | None:
    """Return where two stretches are closest inside, as shares of each, and how far apart they are there [m].

    None where they are parallel or come closest at an end.
    """
    along, across, apart = _minus(b, a), _minus(d, c), _minus(a, c)
    aa, bb, ab = _dot(along, along), _dot(across, across), _dot(along, across)
    ac, bc = _dot(along, apart), _dot(across, apart)
    spread = aa * bb - ab * ab
    if spread <= 1e-9 * aa * bb:
        return None
    share, other = (ab * bc - bb * ac) / spread, (aa * bc - ab * ac) / spread
    if not (0.0 <= share <= 1.0 and 0.0 <= other <= 1.0):
        return None
    return share, other, math.dist(between(a, b, share), between(c, d, other))


def _nearest_of(start: float, a: Point, b: Point, point: Point) -> tuple[float, float]:
    along = _minus(b, a)
    square = _dot(along, along)
    share = min(1.0, max(0.0, _dot(_minus(point, a), along) / square)) if square else 0.0
    return math.dist(between(a, b, share), point), start + share * math.sqrt(square)


def _apart(found: list[tuple[float, float]]) -> list[tuple[float, float]]:
    kept: list[tuple[float, float]] = []
    for pair in sorted(found):
        if all(max(abs(pair[0] - k[0]), abs(pair[1] - k[1])) > 2 * MEET_M for k in kept):
            kept.append(pair)
    return kept


def _minus(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
