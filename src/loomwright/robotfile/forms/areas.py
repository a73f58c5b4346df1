"""Areas of a plate: how a list of corners is read, and what is no area."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import dist
from typing import TYPE_CHECKING, Any

from loomwright.robotfile.forms.facts import NotReadableError
from loomwright.robotfile.forms.leaves import Row, as_written
from loomwright.robotfile.forms.not_readable import Together
from loomwright.robotfile.forms.places import POINT_SCHEMA, SAME_M, each_place, is_place, point_of, refuse_same

if TYPE_CHECKING:
    from loomwright.robotfile.forms.leaves import Raw
    from loomwright.robotfile.forms.places import Point

    Edge = tuple[Point, Point]

_TWO_CORNERS, _THREE_CORNERS = 2, 3
_EXAMPLE = "[[0, 0], [640 mm, 0], [640 mm, 700 mm], [0, 700 mm]]"
_WALK = "List the corners one after the other, as you walk around the edge."

AREA_SCHEMA: dict[str, Any] = {"type": "array", "items": POINT_SCHEMA, "minItems": _THREE_CORNERS}


def area_of_corners(raw: Raw) -> tuple[Point, ...]:
    """Read a list of three or more corners [m]; raise NotReadableError.

    The first corner may stand once more at the end. An area whose edges cross, or that is a mere line, is refused.
    """
    if not isinstance(raw, Row) or len(raw) < _THREE_CORNERS or is_place(raw, len(raw)):
        what = "An area is a list of three or more corners."
        raise NotReadableError("bad-area", what, f"Write `{_area_around(raw)}`.", raw)
    corners = each_place(raw, point_of)
    if dist(corners[0], corners[-1]) < SAME_M:
        corners = corners[:-1]
    all_ = Together()
    for item, (one, other) in zip(raw[1:], pairwise(corners), strict=False):
        with all_.reading(item):
            refuse_same(one, other, "corner")
    all_.settle()
    _refuse_a_line(corners, raw)
    _refuse_crossed_edges(corners, raw)
    return corners


def _area_around(raw: Raw) -> str:
    """Write the rectangle that two opposite corners span, or an example."""
    if not isinstance(raw, Row) or len(raw) != _TWO_CORNERS or not all(is_place(item, 2) for item in raw):
        return _EXAMPLE
    (left, rear), (right, front) = (map(as_written, corner) for corner in raw)
    return f"[[{left}, {rear}], [{right}, {rear}], [{right}, {front}], [{left}, {front}]]"


def _refuse_a_line(corners: tuple[Point, ...], raw: Raw) -> None:
    if all(_turn(corners[0], corners[1], corner) == 0 for corner in corners):
        what = "These corners lie on one line, so there is nothing between them."
        raise NotReadableError("bad-area", what, _WALK, raw)


def _refuse_crossed_edges(corners: tuple[Point, ...], raw: Raw) -> None:
    count = len(corners)
    edges = [(corners[i], corners[(i + 1) % count]) for i in range(count)]
    for (i, one), (j, other) in combinations(enumerate(edges), 2):
        # Neighbours share a corner. One that runs back along the other is met by the next edge, or by the one before.
        if 1 < j - i < count - 1 and _meet(one, other):
            ways = [f"from corner {k + 1} to corner {(k + 1) % count + 1}" for k in (i, j)]
            what = f"Two edges of this area cross or touch: {ways[0]}, and {ways[1]}."
            raise NotReadableError("crossed-edges", what, _WALK, raw)


def _turn(a: Point, b: Point, c: Point) -> int:
    """Tell to which side the way from a over b to c turns: 1 left, -1 right, 0 not at all."""
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    if abs(cross) < SAME_M * dist(a, b):
        return 0
    return 1 if cross > 0 else -1


def _meet(one: Edge, other: Edge) -> bool:
    """Tell whether two edges have a point in common."""
    (a, b), (c, d) = one, other
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return True
    return any(
        dist(p, r) + dist(r, q) - dist(p, q) < SAME_M for p, q, r in ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    )
