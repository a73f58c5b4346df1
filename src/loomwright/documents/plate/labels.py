"""Find a place for every label: on its thing if there is room, else beside it, else further off with a leader.

This is the one place that knows every box on a page. Labels never share area with each other, none lies in the box of
a thing other than its own, and a leader never runs through a label. Without a leader a label touches its own thing and
no other one. Of the places that are left the one is taken that covers the least of what is drawn. A label without any
place is given back as such, to be told elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from loomwright.documents.plate.ink import Ink
from loomwright.documents.plate.label_places import Try, last_stages, stages
from loomwright.documents.plate.label_rules import Around, Dots, Standing, Things, intruding, things_of
from loomwright.documents.plate.wish import Placed, Wish
from loomwright.documents.scene import Box

_AGAIN = 6
_MOST_LATE = 8  # where more find no place, the page is too small for them anyhow
_NOTHING = Around()


@dataclass(frozen=True, slots=True)
class _Page:
    """What labels are placed on: the room for them, what is drawn there, and the labels that stand from the outset."""

    room: Box
    ink: Ink
    dots: Dots
    held: Sequence[Placed]


def place(
    wishes: Sequence[Wish],
    room: Box,
    ink: Ink,
    held: Sequence[Placed] = (),
    around: Around = _NOTHING,
) -> tuple[Placed | None, ...]:
    """Place labels in a room, in the order of their wishes, beside those that are `held` already; None: no place.

    A label keeps out of the boxes of things `around` it, but for its own one.
    """
    page = _Page(room, ink, Dots(around.dots), held)
    asked = [(wish, things_of(wish, around)) for wish in wishes]
    order = list(range(len(wishes)))
    found = _in_order(order, {}, asked, page)
    for with_body in (True, False):  # the names of devices and slots before those of trunks and areas
        late = [i for i in order if i not in found and not wishes[i].bound and bool(wishes[i].body) is with_body]
        for i in late[:_MOST_LATE]:
            found = _made_room(i, found, asked, page)
    far = [i for i in order if i not in found or found[i].leader is not None]
    found = _in_order(far, found, asked, page)  # once more, now that all others stand
    return tuple(found.get(i) for i in order)


def _made_room(
    late: int, found: dict[int, Placed], asked: Sequence[tuple[Wish, Things]], page: _Page
) -> dict[int, Placed]:
    """Give a label that came too late the place that it likes best, if those in its way find others.

    Labels that stand on their own thing stay there, and so does one that found no other place. A bound one gives way,
    and so does one whose thing has no box to one whose thing has.
    """
    fixed = {i for i, placed in found.items() if asked[i][0].about.holds(placed.box)}
    for _ in range(_AGAIN):
        wanted = _best(*asked[late], page, Standing([*page.held, *(found[i] for i in fixed)]), late=True)
        if wanted is None:
            break
        alone = Standing([wanted])
        kept = {i: p for i, p in found.items() if alone.leave(Try(p.box, p.lines, 0.0, p.leader))}
        again = _in_order([i for i in found if i not in kept], {**kept, late: wanted}, asked, page, late=True)
        lost = {i for i in found if i not in again and not _gives_way(asked[i][0], asked[late][0])}
        if not lost:
            return again
        fixed |= lost
    return found


def _gives_way(wish: Wish, late: Wish) -> bool:
    return wish.bound or (bool(late.body) and not wish.body)


def _in_order(
    order: Sequence[int],
    stand: Mapping[int, Placed],
    asked: Sequence[tuple[Wish, Things]],
    page: _Page,
    *,
    late: bool = False,
) -> dict[int, Placed]:
    """Place labels one after the other where those that `stand` leave room; return those that have a place."""
    found = dict(stand)
    for i in order:
        others = [*page.held, *(placed for j, placed in found.items() if j != i)]
        placed = _best(*asked[i], page, Standing(others), late=late)
        if placed is not None:
            found[i] = placed
    return found


def _best(wish: Wish, things: Things, page: _Page, standing: Standing, *, late: bool = False) -> Placed | None:
    """Return the cheapest place that is free; a `late` label looks in between and further off, too."""
    best = _cheapest(stages(wish, things.seen, page.room), wish, things, page, standing)
    if best is None and late:
        best = _cheapest(last_stages(wish, things.seen, page.room), wish, things, page, standing)
    return Placed(wish.key, best.box, best.lines, best.leader) if best is not None else None


def _cheapest(
    places: Iterable[tuple[float, Iterable[Try]]], wish: Wish, things: Things, page: _Page, standing: Standing
) -> Try | None:
    best: Try | None = None
    most = math.inf
    for least, attempts in places:
        if most <= least:
            continue
        for attempt in attempts:
            if attempt.cost >= most:
                continue
            cost = attempt.cost + page.ink.under(attempt.box)
            if cost >= most or not standing.leave(attempt):
                continue
            cost += intruding(attempt, wish, things) + page.dots.covered(attempt) + standing.crossed(attempt.leader)
            if cost < most:
                best, most = attempt, cost
    return best
