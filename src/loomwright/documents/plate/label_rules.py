"""Where a label may stand: clear of other labels and their leaders, and out of the boxes of other things."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from loomwright.documents.legibility import meets
from loomwright.documents.plate.label_places import Try
from loomwright.documents.plate.wish import Leader, Placed, Wish
from loomwright.documents.scene import Box, Point, around

TOUCHING_MM = 1.0
"""So near to its thing a label needs no leader; as near to another thing it needs one."""

_APART_MM = 0.35
_LEAST_SEEN_MM = 1.5
_CROSSED_LEADER_COST = 12.0
_UNDER_BADGE_COST = 6.0
_INTRUDING_COST = 14.0
_TOUCHING_COST = 3.0

_Thing = TypeVar("_Thing")
_Flat = tuple[float, float, float, float]  # a box as plain numbers: these are asked some hundred thousand times a page


@dataclass(frozen=True, slots=True)
class Things:
    """The boxes of the things on a page as one label sees them.

    `others` are those in which it may not lie; `seen` is what of its own thing none of them shares.
    """

    others: tuple[_Flat, ...]
    seen: Box


def things_of(wish: Wish, bodies: Mapping[str, Box]) -> Things:
    """Return the things as a label sees them; `bodies` are their boxes by name."""
    others = tuple(box for name, box in bodies.items() if name != wish.body)
    seen = wish.about
    for box in others if wish.body else ():
        seen = _beyond(seen, box) if box.overlaps(seen) else seen
    return Things(tuple(map(_flat, others)), seen)


def _beyond(box: Box, other: Box) -> Box:
    """Return the largest part of a box beyond another one, or all of it where too little sticks out."""
    parts = (
        Box(box.left, box.top, min(box.right, other.left), box.bottom),
        Box(max(box.left, other.right), box.top, box.right, box.bottom),
        Box(box.left, box.top, box.right, min(box.bottom, other.top)),
        Box(box.left, max(box.top, other.bottom), box.right, box.bottom),
    )
    wide_enough = [part for part in parts if min(part.width, part.height) >= _LEAST_SEEN_MM]
    return max(wide_enough, key=lambda part: part.width * part.height, default=box)


def intruding(attempt: Try, wish: Wish, things: Things) -> float:
    """Return what it costs that a label is in or at the box of another thing, infinite where it may not be there.

    What has no box of its own, such as a trunk, may lie in one with a leader, where no other place is left.
    """
    if _in_any(attempt.box, things.others):
        return math.inf if wish.body or attempt.leader is None else _INTRUDING_COST
    if attempt.leader is not None or things.seen.holds(attempt.box):
        return 0.0
    if _in_any(attempt.box.grown(TOUCHING_MM), things.others):
        return math.inf if wish.body else _TOUCHING_COST
    return 0.0


class Standing:
    """The labels that stand already, with their leaders."""

    def __init__(self, labels: Sequence[Placed]) -> None:
        self._boxes = [_flat(placed.box) for placed in labels]
        self._grown = [(_flat(placed.box.grown(_APART_MM)), placed) for placed in labels]
        self._soft = [placed.box for placed in labels if placed.soft]
        held = [placed.leader for placed in labels if placed.leader is not None]
        self._leaders = [(_flat(around(list(leader)).grown(_APART_MM)), leader) for leader in held]

    def leave(self, attempt: Try) -> bool:
        """Tell whether neither a label nor its leader is in the way of one that stands, nor those in its."""
        box = attempt.box.grown(_APART_MM)
        if _in_any(box, self._boxes) or any(meets(*leader, box) for leader in _near(_flat(box), self._leaders)):
            return False
        own = attempt.leader
        if own is None:
            return True
        end = Box(*own[1], *own[1])
        in_reach = _near(_flat(around(list(own)).grown(_APART_MM)), self._grown)
        return not any(
            meets(*own, placed.box.grown(_APART_MM)) and not (placed.soft and placed.box.holds(end))
            for placed in in_reach
        )

    def crossed(self, leader: Leader | None) -> float:
        """Return what it costs that a leader crosses others, or ends out of sight under a badge."""
        if leader is None:
            return 0.0
        end = Box(*leader[1], *leader[1])
        hidden = _UNDER_BADGE_COST if any(box.holds(end) for box in self._soft) else 0.0
        in_reach = _near(_flat(around(list(leader)).grown(_APART_MM)), self._leaders)
        return hidden + sum(_CROSSED_LEADER_COST for other in in_reach if _cross(*leader, *other))


def _flat(box: Box) -> _Flat:
    return (box.left, box.top, box.right, box.bottom)


def _in_any(box: Box, others: Iterable[_Flat]) -> bool:
    """Tell whether a box shares area with one of some others."""
    left, top, right, bottom = box.left, box.top, box.right, box.bottom
    for other_left, other_top, other_right, other_bottom in others:
        if left < other_right and other_left < right and top < other_bottom and other_top < bottom:
            return True
    return False


def _near(box: _Flat, held: Iterable[tuple[_Flat, _Thing]]) -> list[_Thing]:
    """Return what is held with a box that shares area with this one."""
    left, top, right, bottom = box
    return [
        thing
        for (other_left, other_top, other_right, other_bottom), thing in held
        if left < other_right and other_left < right and top < other_bottom and other_top < bottom
    ]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
