"""The shortest chain of a few devices, by dynamic programming over their subsets (the Held-Karp recursion)."""

from __future__ import annotations

from loomwright.layout.engine.chain_first import Distance, Order


def by_subsets(distance_mm: Distance, ends: Order) -> Order:
    """Return the shortest chain; of several, the one whose numbers come first. Work grows with n² x 2ⁿ.

    `best[left, at]` is the shortest way from `at` through all devices in `left`, built from the last hop backwards, so
    that the way forward can then be read with the lowest number first.
    """
    devices = range(len(distance_mm))
    everything = (1 << len(devices)) - 1
    last = ends[1] if len(ends) > 1 else None
    best: list[dict[int, int]] = [{} for _ in range(everything + 1)]
    for at in devices:
        if last is None or at == last:
            best[0][at] = 0
    for left in range(1, everything + 1):
        for at in devices:
            if not left >> at & 1:
                ways = [distance_mm[at][to] + best[left ^ (1 << to)][to] for to in devices if _next(best, left, to)]
                if ways:
                    best[left][at] = min(ways)
    starts = [at for at in ends[:1] or devices if at in best[everything ^ (1 << at)]]
    order = [min(starts, key=lambda at: (best[everything ^ (1 << at)][at], at))]
    left = everything ^ (1 << order[0])
    while left:
        at = order[-1]
        order.append(
            min(
                (to for to in devices if _next(best, left, to)),
                key=lambda to: (distance_mm[at][to] + best[left ^ (1 << to)][to], to),
            )
        )
        left ^= 1 << order[-1]
    return tuple(order)


def _next(best: list[dict[int, int]], left: int, to: int) -> bool:
    """Tell whether a device is still to come and the rest can be reached from it."""
    return bool(left >> to & 1) and to in best[left ^ (1 << to)]
