"""Where a label may stand: clear of other labels and their leaders, and out of the boxes of other things."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from loomwright.documents.legibility import meets
from loomwright.documents.plate.flat import Flat, flat, in_any, near
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
_OVER_DOT_COST = 10.0
_ON_DOT_COST = 14.0
_DOT_MM = 1.0
_TOUCHING_COST = 3.0


@dataclass(frozen=True, slots=True)
class Around:
    """What stands on a page: the boxes of things by their names, and the dots of all terminals."""

    bodies: Mapping[str, Box] = field(default_factory=dict)
    dots: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Things:
    """The boxes of the things on a page as one label sees them.

    `others` are those in which it may not lie; `seen` is what of its own thing none of them shares.
    """

    others: tuple[Flat, ...]
    seen: Box


def things_of(wish: Wish, around_it: Around) -> Things:
    """Return the things as a label sees them."""
    others = tuple(box for name, box in around_it.bodies.items() if name != wish.body)
    seen = wish.about
    for box in others if wish.body else ():
        seen = _beyond(seen, box) if box.overlaps(seen) else seen
    return Things(tuple(map(flat, others)), seen)


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
    if in_any(attempt.box, things.others):
        return math.inf if wish.body or attempt.leader is None else _INTRUDING_COST
    if attempt.leader is not None or things.seen.holds(attempt.box):
        return 0.0
    if in_any(attempt.box.grown(TOUCHING_MM), things.others):
        return math.inf if wish.body else _TOUCHING_COST
    return 0.0


class Dots:
    """The dots of terminals, which no label should hide; a leader that runs over one would seem to end there."""

    def __init__(self, dots: Sequence[Point]) -> None:
        boxes = [Box(*dot, *dot).grown(_DOT_MM) for dot in dots]
        self._dots = [(flat(box), box) for box in boxes]

    def covered(self, attempt: Try) -> float:
        """Return what it costs that a label lies on dots, or its leader runs over some on its way."""
        hidden = len(near(flat(attempt.box), self._dots))
        if attempt.leader is None:
            return hidden * _ON_DOT_COST
        end = Box(*attempt.leader[1], *attempt.leader[1])
        in_reach = near(flat(around(list(attempt.leader))), self._dots)
        over = sum(meets(*attempt.leader, dot) and not dot.holds(end) for dot in in_reach)
        return hidden * _ON_DOT_COST + over * _OVER_DOT_COST


class Standing:
    """The labels that stand already, with their leaders."""

    def __init__(self, labels: Sequence[Placed]) -> None:
        self._boxes = [flat(placed.box) for placed in labels]
        self._grown = [(flat(placed.box.grown(_APART_MM)), placed) for placed in labels]
        self._soft = [placed.box for placed in labels if placed.soft]
        held = [placed.leader for placed in labels if placed.leader is not None]
        self._leaders = [(flat(around(list(leader)).grown(_APART_MM)), leader) for leader in held]

    def leave(self, attempt: Try) -> bool:
        """Tell whether neither a label nor its leader is in the way of one that stands, nor those in its."""
        box = attempt.box.grown(_APART_MM)
        if in_any(box, self._boxes) or any(meets(*leader, box) for leader in near(flat(box), self._leaders)):
            return False
        own = attempt.leader
        if own is None:
            return True
        end = Box(*own[1], *own[1])
        in_reach = near(flat(around(list(own)).grown(_APART_MM)), self._grown)
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
        in_reach = near(flat(around(list(leader)).grown(_APART_MM)), self._leaders)
        return hidden + sum(_CROSSED_LEADER_COST for other in in_reach if _cross(*leader, *other))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
