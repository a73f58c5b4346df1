"""The best tree from one node to a few others, exactly, by every set of runs (Dreyfus and Wagner 1971).

For each node and each set of runs the least cost of serving the set from there: along an edge that is opened for all of
it, or as two sets that part there. Copper counts too: an edge costs what opening it costs and what each run of the set
pays on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from heapq import heapify, heappop, heappush

from loomwright.layout.engine.route_jobs import Offer, Prepared, Taken
from loomwright.search import Watch

_MOST_STEPS = 6_000_000

Step = tuple[str, int, int]
"""How a set goes on from a node: "along" an edge to a node, "part" with a set, "end" over a drop (-1: at the end)."""


def is_small(ready: Prepared) -> bool:
    """Whether the sets of runs are few enough to try them all."""
    nodes = {node for edge in ready.edges for node in (edge.a, edge.b)}
    return bool(len(nodes) * 3 ** len(ready.jobs) <= _MOST_STEPS)


def best_tree(
    ready: Prepared, offers: Mapping[int, Sequence[Offer]], edges: Sequence[int], watch: Watch
) -> dict[int, Taken] | None:
    """Return the ways of the best tree over these edges; None where it was stopped, or there is none.

    Right where `fans_out` holds: all jobs start at one node, with one option each, and bends are free.
    """
    tree = _Tree(ready, offers, edges)
    for together in range(1, 1 << len(offers)):
        if watch.stopped:
            return None
        tree.serve(together)
    return tree.ways((1 << len(offers)) - 1)


class _Tree:
    """Costs and steps by set of jobs (as bits) and by node."""

    def __init__(self, ready: Prepared, offers: Mapping[int, Sequence[Offer]], edges: Sequence[int]) -> None:
        self.ready, self.jobs, self.offers = ready, list(offers), offers
        names = sorted({n for i in edges if ready.edges[i].shared for n in (ready.edges[i].a, ready.edges[i].b)})
        self.number = {name: v for v, name in enumerate(names)}
        self.near: list[list[tuple[int, int]]] = [[] for _ in names]
        for i in edges:
            edge = ready.edges[i]
            if edge.shared and edge.a != edge.b:
                a, b = self.number[edge.a], self.number[edge.b]
                self.near[a].append((b, i))
                self.near[b].append((a, i))
        self.costs: dict[int, list[float]] = {}
        self.steps: dict[int, list[Step | None]] = {}

    def serve(self, together: int) -> None:
        """Find the least cost of serving a set from every node, smaller sets being known."""
        costs, steps = self._parted(together) if together & (together - 1) else self._ends(together)
        members = [k for bit, k in enumerate(self.jobs) if together >> bit & 1]
        price: dict[int, float] = {}
        heap = [(cost, v) for v, cost in enumerate(costs) if cost < math.inf]
        heapify(heap)
        while heap:
            cost, v = heappop(heap)
            if cost > costs[v]:
                continue
            for w, i in self.near[v]:
                if i not in price:
                    price[i] = self.ready.open_g[i] + sum(self.offers[k][0].base[i] for k in members)
                if cost + price[i] < costs[w]:
                    costs[w], steps[w] = cost + price[i], ("along", i, v)
                    heappush(heap, (costs[w], w))
        self.costs[together], self.steps[together] = costs, steps

    def ways(self, everybody: int) -> dict[int, Taken] | None:
        """Follow the steps from the start that all share."""
        start = self.number.get(self.ready.jobs[self.jobs[0]].start) if self.jobs else None
        if start is None or self.costs[everybody][start] == math.inf:
            return None
        along: dict[int, list[int]] = {k: [] for k in self.jobs}
        rest = [(everybody, start)]
        while rest:
            together, v = rest.pop()
            kind, i, w = self.steps[together][v] or ("end", -1, v)
            if kind == "part":
                rest += [(i, v), (together ^ i, v)]
                continue
            for bit, k in enumerate(self.jobs):
                if together >> bit & 1 and i >= 0:
                    along[k].append(i)
            if kind == "along":
                rest.append((together, w))
        return {k: self.ready.taken(self.ready.jobs[k], self.offers[k][0], edges) for k, edges in along.items()}

    def _ends(self, alone: int) -> tuple[list[float], list[Step | None]]:
        """Return where a single job ends: at its node, or over a drop to it."""
        k = self.jobs[alone.bit_length() - 1]
        costs, steps = [math.inf] * len(self.near), list[Step | None]([None] * len(self.near))
        end, base = self.ready.jobs[k].end, self.offers[k][0].base
        if end in self.number:
            costs[self.number[end]] = 0.0
        for i, edge in enumerate(self.ready.edges):
            if not edge.shared and end in (edge.a, edge.b) and edge.other(end) in self.number:
                v = self.number[edge.other(end)]
                if base[i] < costs[v]:
                    costs[v], steps[v] = base[i], ("end", i, v)
        return costs, steps

    def _parted(self, together: int) -> tuple[list[float], list[Step | None]]:
        """Return the cheapest way to part a set at each node."""
        costs, steps = [math.inf] * len(self.near), list[Step | None]([None] * len(self.near))
        for part in _halves(together):
            pairs = zip(self.costs[part], self.costs[together ^ part], strict=True)
            for v, cost in enumerate(one + other for one, other in pairs):
                if cost < costs[v]:
                    costs[v], steps[v] = cost, ("part", part, v)
        return costs, steps


def _halves(together: int) -> Iterator[int]:
    """Yield one part of each way to split a set in two."""
    part = (together - 1) & together
    while part > together ^ part:
        yield part
        part = (part - 1) & together
