"""A short chain at once: from each device to the nearest one left, then stretches turned round while that helps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

Order = tuple[int, ...]
Distance = Sequence[Sequence[int]]


def length_of(distance_mm: Distance, order: Order) -> int:
    """Return the length of a chain [mm]."""
    return sum(distance_mm[one][two] for one, two in pairwise(order))


def nearest_first(distance_mm: Distance, ends: Order) -> Order:
    """Go from each device to the nearest one left, from the best start; `ends` are the first device and the last."""
    starts = ends[:1] or range(len(distance_mm))
    return min(
        (_from(distance_mm, start, ends) for start in starts), key=lambda order: (length_of(distance_mm, order), order)
    )


def _from(distance_mm: Distance, start: int, ends: Order) -> Order:
    order = [start]
    left = set(range(len(distance_mm))) - {start} - set(ends)
    while left:
        order.append(min(left, key=lambda other: (distance_mm[order[-1]][other], other)))
        left.remove(order[-1])
    return (*order, *ends[1:])


def turned(distance_mm: Distance, order: Order, ends: Order) -> Order:
    """Turn stretches of a chain round, and move single devices elsewhere, as long as one of these makes it shorter."""
    first, last = bool(ends), len(order) - (len(ends) > 1)
    best, length = order, length_of(distance_mm, order)
    while True:
        shorter = min(
            ((length_of(distance_mm, other), other) for other in _changed(best, first, last)), default=(length, best)
        )
        if shorter[0] >= length:
            return best
        length, best = shorter


def _changed(order: Order, first: int, last: int) -> list[Order]:
    changed = [order[:i] + order[i:j][::-1] + order[j:] for i in range(first, last) for j in range(i + 2, last + 1)]
    for i in range(first, last):
        rest = order[:i] + order[i + 1 :]
        changed += [(*rest[:j], order[i], *rest[j:]) for j in range(first, last) if j != i]
    return changed


def least_length(distance_mm: Distance) -> int:
    """Return what any chain is long at least [mm]: the shortest tree over all devices, which a chain is one of."""
    nearest = {other: distance_mm[0][other] for other in range(1, len(distance_mm))}
    total = 0
    while nearest:
        new = min(nearest, key=lambda other: (nearest[other], other))
        total += nearest.pop(new)
        nearest = {other: min(far, distance_mm[new][other]) for other, far in nearest.items()}
    return total
