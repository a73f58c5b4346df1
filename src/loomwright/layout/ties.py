"""Where a bundle bends, and where it is tied."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from loomwright.catalogue.bundle_practice import practice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.layout.result import Point

_SHARPEST_DEG = 150.0
_POINT_M = 1e-9


@dataclass(frozen=True, slots=True)
class Bend:
    """A corner of a path: where it is, how far along the path [m], how far it turns [degrees], and its two legs [m].

    A leg reaches to the next corner or to the end of the path; `shared` counts the legs that another corner needs too.
    """

    at: Point
    along_m: float
    turn_deg: float
    back_m: float
    ahead_m: float
    back_shared: bool
    ahead_shared: bool

    def needs_m(self, radius_m: float) -> float:
        """Return the straight that a curve of this radius takes from each leg [m]: r tan(turn/2)."""
        return radius_m * math.tan(math.radians(min(self.turn_deg, _SHARPEST_DEG)) / 2)


def bends(path: Sequence[Point]) -> tuple[Bend, ...]:
    """Return the corners of a path that turn by more than a slight angle (source: own-choice)."""
    points = [*path[:1], *(b for a, b in pairwise(path) if math.dist(a, b) > _POINT_M)]
    reach = list(accumulate((math.dist(a, b) for a, b in pairwise(points)), initial=0.0))
    least_deg = practice("bend from")
    turns = [(i, _turn_deg(points[i - 1], points[i], points[i + 1])) for i in range(1, len(points) - 1)]
    corners = [(i, turn) for i, turn in turns if turn > least_deg]
    stops = [0.0, *(reach[i] for i, _ in corners), reach[-1]]
    return tuple(
        Bend(
            points[i],
            reach[i],
            turn,
            reach[i] - stops[n],
            stops[n + 2] - reach[i],
            back_shared=n > 0,
            ahead_shared=n < len(corners) - 1,
        )
        for n, (i, turn) in enumerate(corners)
    )


def tie_places(path: Sequence[Point], *, radius_m: float, moving: bool = False) -> tuple[Point, ...]:
    """Return where a bundle along a path is tied: near both of its ends, before and after every bend, and between.

    `radius_m` is that of its bends at its middle line. Ties lie no farther apart than the spacing that is common
    practice, and never so near that one does the other's work. A moving joint is held at its two ends only.
    """
    near, apart, spacing = practice("tie from a breakout"), practice("ties apart"), practice("tie spacing")
    total = sum(math.dist(a, b) for a, b in pairwise(path))
    if total < apart:
        return ()
    if total < 2 * near + apart:
        return (point_along(path, total / 2),)
    held = [near, total - near]
    for bend in () if moving else bends(path):
        needs = max(near, bend.needs_m(radius_m))
        for place in (bend.along_m - min(needs, bend.back_m / 2), bend.along_m + min(needs, bend.ahead_m / 2)):
            if all(abs(place - other) >= apart for other in held):
                held.append(place)
    held.sort()
    between = [] if moving else [place for a, b in pairwise(held) for place in _between(a, b, spacing)]
    return tuple(point_along(path, place) for place in sorted((*held, *between)))


def point_along(path: Sequence[Point], along_m: float) -> Point:
    """Return the point this far along a path [m]; its end where the path is shorter."""
    for a, b in pairwise(path):
        step = math.dist(a, b)
        if step > 0 and along_m <= step:
            share = along_m / step
            return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2]))
        along_m -= step
    return path[-1]


def _between(a: float, b: float, spacing: float) -> list[float]:
    parts = math.ceil((b - a) / spacing - _POINT_M)
    return [a + (b - a) * i / parts for i in range(1, parts)]


def _turn_deg(a: Point, b: Point, c: Point) -> float:
    into = [q - p for p, q in zip(a, b, strict=True)]
    out = [q - p for p, q in zip(b, c, strict=True)]
    cosine = sum(p * q for p, q in zip(into, out, strict=True)) / (math.hypot(*into) * math.hypot(*out))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
