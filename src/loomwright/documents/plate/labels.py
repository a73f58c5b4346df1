"""Find a place for every label: on its thing if there is room, else beside it, else further off with a leader.

This is the one place that knows every box on a page. Labels never share area with each other, none lies in the box of
a thing other than its own, and a leader never runs through a label. Without a leader a label touches its own thing and
no other one. Of the places that are left the one is taken that covers the least of what is drawn. A label without any
place is given back as such, to be told elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.documents.plate.ink import Ink
from loomwright.documents.plate.label_places import Try, stages
from loomwright.documents.plate.label_rules import Standing, Things, intruding, things_of
from loomwright.documents.plate.wish import Placed, Wish
from loomwright.documents.scene import Box

_AGAIN = 2
_NOTHING: Mapping[str, Box] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class _Page:
    """What labels are placed on: the room for them, what is drawn there, and the labels that stand from the outset."""

    room: Box
    ink: Ink
    held: Sequence[Placed]


def place(
    wishes: Sequence[Wish],
    room: Box,
    ink: Ink,
    held: Sequence[Placed] = (),
    bodies: Mapping[str, Box] = _NOTHING,
) -> tuple[Placed | None, ...]:
    """Place labels in a room, in the order of their wishes, beside those that are `held` already; None: no place.

    `bodies` are the boxes of things by their names: a label keeps out of all but its own one.
    """
    page = _Page(room, ink, held)
    asked = [(wish, things_of(wish, bodies)) for wish in wishes]
    order = list(range(len(wishes)))
    best = _in_order(order, {}, asked, page)
    for _ in range(_AGAIN):
        lost = [i for i, wish in enumerate(wishes) if i not in best and not wish.bound and wish.most == math.inf]
        if not lost:
            break
        order = [*lost, *(i for i in order if i not in lost)]  # who came too late comes first
        found = _in_order(order, {}, asked, page)
        best = found if len(found) > len(best) else best
    best = _in_order(order, best, asked, page)  # once more, now that all others stand
    return tuple(best.get(i) for i in range(len(wishes)))


def _in_order(
    order: Sequence[int], stand: Mapping[int, Placed], asked: Sequence[tuple[Wish, Things]], page: _Page
) -> dict[int, Placed]:
    """Place labels one after the other where those that `stand` leave room; return those that have a place."""
    found = dict(stand)
    for i in order:
        others = [*page.held, *(placed for j, placed in found.items() if j != i)]
        placed = _best(*asked[i], page, Standing(others))
        if placed is not None:
            found[i] = placed
    return found


def _best(wish: Wish, things: Things, page: _Page, standing: Standing) -> Placed | None:
    """Return the cheapest place that is free."""
    best: Try | None = None
    most = wish.most
    for least, attempts in stages(wish, things.seen):
        if most <= least:
            continue
        for attempt in attempts:
            if attempt.cost >= most or not page.room.holds(attempt.box):
                continue
            cost = attempt.cost + page.ink.under(attempt.box)
            if cost >= most or not standing.leave(attempt):
                continue
            cost += intruding(attempt, wish, things) + standing.crossed(attempt.leader)
            if cost < most:
                best, most = attempt, cost
    return Placed(wish.key, best.box, best.lines, best.leader) if best is not None else None
