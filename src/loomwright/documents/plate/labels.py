"""Find a place for every label: on its thing if there is room, else beside it, else further off with a leader.

Labels never share area with each other, and a leader never runs through a label; of the places that are left the one
is taken that covers the least of what is drawn. A label without any place is given back as such, to be told elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.documents.legibility import meets
from loomwright.documents.plate.ink import Ink
from loomwright.documents.scene import Box, Point, around
from loomwright.documents.type import Face, cap_mm, ink_mm, width_mm

Leader = tuple[Point, Point]
"""A line from a label's edge to the thing that it names."""

PAD_MM = 0.5
LEADING = 1.22

_LEAST_BELOW = 0.1

_APART_MM = 0.35
_BESIDE_MM = 0.9
_RINGS_MM = (3.0, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0, 40.0)
_ANGLES = 24
_WAYS = tuple((math.cos(2 * math.pi * i / _ANGLES), math.sin(2 * math.pi * i / _ANGLES)) for i in range(_ANGLES))
_PER_MM = 0.7
_BESIDE_COST = 4.0
_LEADER_COST = 9.0
_CROSSED_LEADER_COST = 12.0
_REACH_MM = 1.2  # how far a leader goes into the thing that it names


@dataclass(frozen=True, slots=True)
class Words:
    """One line of a label; `full` is the whole of it where it had to be shortened."""

    text: str
    size_mm: float
    face: Face = Face.TEXT
    full: str = ""


@dataclass(frozen=True, slots=True)
class Wish:
    """A label that wants a place.

    `forms` are the ways it can be set, best first, each of one or more lines. `on` are the places for its middle that
    it prefers to all others, best first; a `bound` label stands on one of them or nowhere. `about` is the box of the
    thing that it names, on which it may stand where it fits and to which a leader goes; `own` is the weight per mm2
    that the thing itself has in the ink. `extra` is the size of a label without words.
    """

    key: str
    forms: tuple[tuple[Words, ...], ...]
    about: Box
    on: tuple[Point, ...] = ()
    bound: bool = False
    extra: Point = (0.0, 0.0)
    inside: bool = True
    own: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with its place: the box of its ground, its lines, and the leader to its thing.

    A leader may end under a `soft` one, such as a badge that sits on the very thing.
    """

    key: str
    box: Box
    lines: tuple[Words, ...]
    leader: Leader | None = None
    soft: bool = False


@dataclass(frozen=True, slots=True)
class _Try:
    box: Box
    lines: tuple[Words, ...]
    cost: float
    leader: Leader | None = None


def place(wishes: Sequence[Wish], room: Box, ink: Ink, held: Sequence[Placed] = ()) -> tuple[Placed | None, ...]:
    """Place labels in a room, in the order of their wishes, beside those that are `held` already; None: no place."""
    done = list(held)
    found: dict[int, Placed | None] = {}
    for i, wish in enumerate(wishes):
        best = _best(wish, room, ink, done)
        found[i] = best
        if best is not None:
            done.append(best)
    for i, wish in enumerate(wishes):  # once more, now that all others stand
        others = [*held, *(placed for j, placed in found.items() if placed is not None and j != i)]
        found[i] = _best(wish, room, ink, others) or found[i]
    return tuple(found[i] for i in range(len(wishes)))


def size_of(lines: Sequence[Words], extra: Point = (0.0, 0.0)) -> Point:
    """Return width and height of a label with its ground [mm]."""
    if not lines:
        return extra
    wide = max(width_mm(line.text, line.face, line.size_mm) for line in lines)
    tall = above_mm(lines[0]) + sum(line.size_mm * LEADING for line in lines[1:]) + _below_mm(lines[-1])
    return (wide + 2 * PAD_MM + extra[0], max(tall + 2 * PAD_MM, extra[1]))


def above_mm(line: Words) -> float:
    """Return what a line takes above its baseline: its capitals, or more where its ink is taller [mm]."""
    return max(cap_mm(line.face, line.size_mm), ink_mm(line.text, line.face, line.size_mm)[1])


def _below_mm(line: Words) -> float:
    """Return what a line takes below its baseline [mm]."""
    return max(_LEAST_BELOW * line.size_mm, ink_mm(line.text, line.face, line.size_mm)[0])


def _best(wish: Wish, room: Box, ink: Ink, done: Sequence[Placed]) -> Placed | None:
    """Return the cheapest place that is free."""
    best: _Try | None = None
    boxes = [(placed.box, placed.soft) for placed in done]
    leaders = [placed.leader for placed in done if placed.leader is not None]
    for least, attempts in _stages(wish):
        if best is not None and best.cost <= least:
            continue
        for attempt in attempts:
            if not room.holds(attempt.box) or (best is not None and attempt.cost >= best.cost):
                continue
            cost = attempt.cost + ink.under(attempt.box)
            if best is not None and cost >= best.cost:
                continue
            if _free(attempt, boxes, leaders):
                cost += _crossed(attempt, leaders)
                if best is None or cost < best.cost:
                    best = _Try(attempt.box, attempt.lines, cost, attempt.leader)
    return Placed(wish.key, best.box, best.lines, best.leader) if best is not None else None


def _stages(wish: Wish) -> Iterator[tuple[float, Iterator[_Try]]]:
    """Give the places that come into question, cheap ones first, each stage with the least that a place there costs."""
    for later, lines in enumerate(wish.forms):
        wide, tall = size_of(lines, wish.extra)
        extra = later * 0.6
        yield extra, (_Try(_around(x, y, wide, tall), lines, i * 0.5 + extra) for i, (x, y) in enumerate(wish.on))
        if wish.bound:
            continue
        if wish.inside:
            least = extra - wish.own * wide * tall
            yield least, _within(wish.about, lines, wide, tall, least)
        yield extra + _BESIDE_COST, _beside(wish.about, lines, wide, tall, extra + _BESIDE_COST)
    if not wish.bound:
        for ring in _RINGS_MM:
            for later, lines in enumerate(wish.forms):
                cost = later * 0.6 + _LEADER_COST
                yield cost + ring * _PER_MM / 2, _off(wish.about, lines, size_of(lines, wish.extra), cost, ring)


def _around(x: float, y: float, wide: float, tall: float) -> Box:
    return Box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)


def _within(about: Box, lines: tuple[Words, ...], wide: float, tall: float, cost: float) -> Iterator[_Try]:
    """Give places on the thing itself: its middle, then towards its edges."""
    across, down = about.width - wide - 1.2, about.height - tall - 1.2
    if across < 0 or down < 0:
        return
    x, y = (about.left + about.right) / 2, (about.top + about.bottom) / 2
    for i in (0, -1, 1, -2, 2):
        for j in (0, -1, 1, -2, 2):
            yield _Try(_around(x + j * across / 4, y + i * down / 4, wide, tall), lines, cost + (abs(i) + abs(j)) * 0.3)


def _beside(about: Box, lines: tuple[Words, ...], wide: float, tall: float, cost: float) -> Iterator[_Try]:
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
            yield _Try(_around(at_x, at_y, wide, tall), lines, cost + more)


def _off(about: Box, lines: tuple[Words, ...], size: Point, cost: float, ring_mm: float) -> Iterator[_Try]:
    """Give places around the thing in a ring, each with a leader."""
    x, y = (about.left + about.right) / 2, (about.top + about.bottom) / 2
    across, down = (about.width + size[0]) / 2 + ring_mm, (about.height + size[1]) / 2 + ring_mm
    for way in _WAYS:
        box = _around(x + way[0] * across, y + way[1] * down, *size)
        leader = _leader(box, about)
        if leader is not None:
            yield _Try(box, lines, cost + _PER_MM * math.dist(*leader), leader)


def _leader(box: Box, about: Box) -> Leader | None:
    """Return the shortest line from a label's edge into the box of its thing; None where they touch."""
    reach_x, reach_y = min(_REACH_MM, about.width / 2), min(_REACH_MM, about.height / 2)
    inner = Box(about.left + reach_x, about.top + reach_y, about.right - reach_x, about.bottom - reach_y)
    x = _nearest(box.left, box.right, inner.left, inner.right)
    y = _nearest(box.top, box.bottom, inner.top, inner.bottom)
    start, end = (x[0], y[0]), (x[1], y[1])
    return (start, end) if math.dist(start, end) > 2 * _REACH_MM and not box.overlaps(about) else None


def _nearest(low: float, high: float, other_low: float, other_high: float) -> Point:
    """Return where two spans come nearest to each other: the middle of what they share, or their facing ends."""
    if high < other_low:
        return (high, other_low)
    if other_high < low:
        return (low, other_high)
    middle = (max(low, other_low) + min(high, other_high)) / 2
    return (middle, middle)


def _free(attempt: _Try, boxes: Sequence[tuple[Box, bool]], leaders: Sequence[Leader]) -> bool:
    """Tell whether neither the label nor its leader is in the way of a label that stands."""
    grown = attempt.box.grown(_APART_MM)
    if any(grown.overlaps(box) for box, _ in boxes) or any(meets(*leader, grown) for leader in leaders):
        return False
    own = attempt.leader
    if own is None:
        return True
    reach = around(list(own)).grown(2 * _APART_MM)
    end = Box(*own[1], *own[1])
    return not any(
        reach.overlaps(box) and meets(*own, box.grown(_APART_MM)) and not (soft and box.holds(end))
        for box, soft in boxes
    )


def _crossed(attempt: _Try, leaders: Sequence[Leader]) -> float:
    """Return what it costs that leaders cross each other."""
    own = attempt.leader
    return 0.0 if own is None else sum(_CROSSED_LEADER_COST for leader in leaders if _cross(*own, *leader))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
