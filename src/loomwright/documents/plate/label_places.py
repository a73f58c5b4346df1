"""The places that come into question for a label: on its thing, beside it, around it with a leader."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from loomwright.documents.plate.wish import Leader, Wish, Words, size_of
from loomwright.documents.scene import Box, Point

_BESIDE_MM = 0.9
_RINGS_MM = (3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0, 40.0)
_FINE_RINGS_MM = (4.0, 6.5, 10.0, 14.5, 20.0, 26.5, 35.0, 50.0)


def _ways(count: int) -> tuple[Point, ...]:
    angles = [2 * math.pi * i / count for i in range(count)]
    return tuple((math.cos(angle), math.sin(angle)) for angle in angles)


_WAYS, _FINE_WAYS = _ways(24), _ways(72)
_PER_MM = 0.7
_BESIDE_COST = 4.0
_LEADER_COST = 9.0
_REACH_MM = 1.2  # how far a leader goes into the thing that it names


@dataclass(frozen=True, slots=True)
class Try:
    """One place: the label's box, its lines, what the place costs before anything is looked at, and its leader."""

    box: Box
    lines: tuple[Words, ...]
    cost: float
    leader: Leader | None = None


def stages(wish: Wish, seen: Box, room: Box) -> Iterator[tuple[float, Iterator[Try]]]:
    """Give the places in a room that come into question, cheap ones first, each stage with the least that one costs.

    `seen` is what of the label's thing can be told from all others: there it stands, and there its leader ends.
    """
    for later, lines in enumerate(wish.forms):
        wide, tall = size_of(lines, wish.extra)
        extra = later * 0.6
        on = (Try(_around(x, y, wide, tall), lines, i * 0.5 + extra) for i, (x, y) in enumerate(wish.on))
        yield extra, _within_room(on, room)
        if wish.bound:
            continue
        if wish.inside:
            least = extra - wish.own * wide * tall
            yield least, _within_room(_within(seen, lines, wide, tall, least), room)
        if wish.beside:
            cost = extra + _BESIDE_COST
            yield cost, _within_room(_beside(wish.about, lines, wide, tall, cost), room)
    if not wish.bound:
        yield from _rings(wish, seen, room, _RINGS_MM, _WAYS)


def last_stages(wish: Wish, seen: Box, room: Box) -> Iterator[tuple[float, Iterator[Try]]]:
    """Give the places in between and further off, for a label that finds none of the others free."""
    if not wish.bound:
        yield from _rings(wish, seen, room, _FINE_RINGS_MM, _FINE_WAYS)


def _rings(
    wish: Wish, seen: Box, room: Box, rings_mm: Sequence[float], ways: Sequence[Point]
) -> Iterator[tuple[float, Iterator[Try]]]:
    for ring in rings_mm:
        for later, lines in enumerate(wish.forms):
            cost, size = later * 0.6 + _LEADER_COST, size_of(lines, wish.extra)
            yield cost + ring * _PER_MM / 2, _off(seen, lines, size, (cost, ring), ways, room)


def _within_room(attempts: Iterable[Try], room: Box) -> Iterator[Try]:
    return (attempt for attempt in attempts if room.holds(attempt.box))


def _around(x: float, y: float, wide: float, tall: float) -> Box:
    return Box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)


def _within(about: Box, lines: tuple[Words, ...], wide: float, tall: float, cost: float) -> Iterator[Try]:
    """Give places on the thing itself: its middle, then towards its edges."""
    across, down = about.width - wide - 1.2, about.height - tall - 1.2
    if across < 0 or down < 0:
        return
    x, y = (about.left + about.right) / 2, (about.top + about.bottom) / 2
    for i in (0, -1, 1, -2, 2):
        for j in (0, -1, 1, -2, 2):
            yield Try(_around(x + j * across / 4, y + i * down / 4, wide, tall), lines, cost + (abs(i) + abs(j)) * 0.3)


def _beside(about: Box, lines: tuple[Words, ...], wide: float, tall: float, cost: float) -> Iterator[Try]:
    """Give places that touch the thing: above, below, right and left of it, in its middle or flush with its ends."""
    x, y = (about.left + about.right) / 2, (about.top + about.bottom) / 2
    for share in (0.0, -1.0, 1.0, -0.5, 0.5):
        across = x + share * abs(about.width - wide) / 2
        down = y + share * abs(about.height - tall) / 2
        more = abs(share) * 0.4
        for at_x, at_y in (
            (across, about.top - _BESIDE_MM - tall / 2),
            (across, about.bottom + _BESIDE_MM + tall / 2),
            (about.right + _BESIDE_MM + wide / 2, down),
            (about.left - _BESIDE_MM - wide / 2, down),
        ):
            yield Try(_around(at_x, at_y, wide, tall), lines, cost + more)


def _off(
    about: Box,
    lines: tuple[Words, ...],
    size: Point,
    cost_and_ring: tuple[float, float],
    ways: Sequence[Point],
    room: Box,
) -> Iterator[Try]:
    """Give places around the thing in a ring, each with a leader."""
    cost, ring_mm = cost_and_ring
    x, y = (about.left + about.right) / 2, (about.top + about.bottom) / 2
    across, down = (about.width + size[0]) / 2 + ring_mm, (about.height + size[1]) / 2 + ring_mm
    reach_x, reach_y = min(_REACH_MM, about.width / 2), min(_REACH_MM, about.height / 2)
    inner = Box(about.left + reach_x, about.top + reach_y, about.right - reach_x, about.bottom - reach_y)
    low_x, high_x = room.left + size[0] / 2, room.right - size[0] / 2
    low_y, high_y = room.top + size[1] / 2, room.bottom - size[1] / 2
    for way in ways:
        at_x, at_y = x + way[0] * across, y + way[1] * down
        if not (low_x <= at_x <= high_x and low_y <= at_y <= high_y):
            continue
        box = _around(at_x, at_y, *size)
        leader = _shortest(box, inner)
        long = math.dist(*leader)
        if long > 2 * _REACH_MM and not box.overlaps(about):
            yield Try(box, lines, cost + _PER_MM * long, leader)


def _shortest(box: Box, inner: Box) -> Leader:
    """Return the shortest line from a label's edge into the box of its thing."""
    x = _nearest(box.left, box.right, inner.left, inner.right)
    y = _nearest(box.top, box.bottom, inner.top, inner.bottom)
    return ((x[0], y[0]), (x[1], y[1]))


def _nearest(low: float, high: float, other_low: float, other_high: float) -> Point:
    """Return where two spans come nearest to each other: the middle of what they share, or their facing ends."""
    if high < other_low:
        return (high, other_low)
    if other_high < low:
        return (low, other_high)
    middle = ((max(other_low, low)) + (min(other_high, high))) / 2
    return (middle, middle)
