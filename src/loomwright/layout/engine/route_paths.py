"""The cheapest way of one run: by price alone, or by price within a longest length."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from loomwright.layout.engine.route_graph import TurnGraph, Ways

_SAME_M = 1e-9


@dataclass(frozen=True, slots=True)
class Way:
    """A way found: its edges in order, and what it costs by the prices that were asked for."""

    edges: tuple[int, ...]
    cost: float


def cheapest(
    graph: TurnGraph,
    ways: Ways,
    price: Sequence[float],
    bend: float,
    left: Mapping[int, float] | None = None,
    below: float = math.inf,
) -> Way | None:
    """Return the cheapest way by a price for each edge (inf: closed) and for each bend; None where there is none.

    `left` has what is left to the end from each state at least, so that the search looks there first; states that it
    does not have lead nowhere. What costs `below` or more need not be found.
    """
    costs = {ways.start: 0.0}
    came: dict[int, int] = {}
    heap = [(0.0, ways.start)]
    done: set[int] = set()
    inf = math.inf
    head, edge, bends = graph.head, graph.edge, graph.bends
    trunk_out, own_out, none = graph.trunk_out, ways.own_out, ()
    while heap:
        _, state = heappop(heap)
        if state in done:
            continue
        if state == ways.end:
            break
        done.add(state)
        cost = costs[state]
        for arcs in (trunk_out.get(state, none), own_out.get(state, none)):
            for arc in arcs:
                i, to = edge[arc], head[arc]
                there = cost + (price[i] if i >= 0 else 0.0) + (bend if bends[arc] else 0.0)
                if there < costs.get(to, inf):
                    least = there if left is None else there + left.get(to, inf)
                    if least < below:
                        costs[to] = there
                        came[to] = arc
                        heappush(heap, (least, to))
    return Way(_back(graph, ways, came), costs[ways.end]) if ways.end in came else None


def cheapest_within(
    graph: TurnGraph, ways: Ways, price: Sequence[float], bend: float, *, wire_m: Sequence[float], longest_m: float
) -> Way | None:
    """Return the cheapest way that is not longer than `longest_m` [m]; None where there is none.

    Labels of cost and length; one that is neither cheaper nor shorter than another at the same place is dropped.
    """
    left_m = distances(graph, ways, lambda i: wire_m[i] if price[i] < math.inf else math.inf, 0.0, backwards=True)
    if left_m.get(ways.start, math.inf) > longest_m + _SAME_M:
        return None
    shortest: dict[int, float] = {}
    labels: list[tuple[int, int]] = [(-1, -1)]
    heap = [(0.0, 0.0, 0, ways.start)]
    none: tuple[int, ...] = ()
    while heap:
        cost, length_m, label, state = heappop(heap)
        if length_m >= shortest.get(state, math.inf):
            continue
        shortest[state] = length_m
        if state == ways.end:
            return Way(_edges(graph, labels, label), cost)
        for arc in (*graph.trunk_out.get(state, none), *ways.own_out.get(state, none)):
            i, to = graph.edge[arc], graph.head[arc]
            there = cost + (price[i] if i >= 0 else 0.0) + (bend if graph.bends[arc] else 0.0)
            far_m = length_m + (wire_m[i] if i >= 0 else 0.0)
            fits = far_m + left_m.get(to, math.inf) <= longest_m + _SAME_M
            if fits and there < math.inf and far_m < shortest.get(to, math.inf):
                labels.append((label, arc))
                heappush(heap, (there, far_m, len(labels) - 1, to))
    return None


def distances(
    graph: TurnGraph, ways: Ways, price: Callable[[int], float], bend: float, *, backwards: bool = False
) -> dict[int, float]:
    """Return the least price from the start to every state that is reached, or from every state to the end."""
    steps: dict[int, list[tuple[int, float]]] = {}
    for arc in (*graph.trunk_arcs, *ways.own):
        cost = (price(graph.edge[arc]) if graph.edge[arc] >= 0 else 0.0) + (bend if graph.bends[arc] else 0.0)
        if cost < math.inf:
            a, b = graph.tail[arc], graph.head[arc]
            steps.setdefault(b if backwards else a, []).append((a if backwards else b, cost))
    return spread(steps, ways.end if backwards else ways.start)


def spread(steps: dict[int, list[tuple[int, float]]], origin: int) -> dict[int, float]:
    """Return the least price from one state to every other that steps (to, price) lead to."""
    far: dict[int, float] = {}
    heap = [(0.0, origin)]
    while heap:
        cost, state = heappop(heap)
        if state in far:
            continue
        far[state] = cost
        for to, step in steps.get(state, ()):
            if to not in far:
                heappush(heap, (cost + step, to))
    return far


def arcs_along(graph: TurnGraph, ways: Ways, edges: Sequence[int]) -> list[int] | None:
    """Return the arcs of a way along these edges with the fewest bends; None where no way leads along them."""
    heap: list[tuple[int, int, int, tuple[int, ...]]] = [(0, 0, ways.start, ())]
    seen: set[tuple[int, int]] = set()
    while heap:
        bends, at, state, arcs = heappop(heap)
        if at == len(edges) and state == ways.end:
            return list(arcs)
        if (at, state) in seen:
            continue
        seen.add((at, state))
        for arc in (*graph.trunk_out.get(state, ()), *ways.own_out.get(state, ())):
            i = graph.edge[arc]
            if i < 0 or (at < len(edges) and i == edges[at]):
                heappush(heap, (bends + graph.bends[arc], at + (i >= 0), graph.head[arc], (*arcs, arc)))
    return None


def without_loops(edges: Sequence[int], nodes: Sequence[str]) -> tuple[int, ...]:
    """Cut out of a way every loop that comes back to a node it has passed."""
    kept: list[int] = []
    passed = [nodes[0]]
    for i, node in zip(edges, nodes[1:], strict=True):
        if node in passed:
            back = passed.index(node)
            del kept[back:], passed[back + 1 :]
        else:
            kept.append(i)
            passed.append(node)
    return tuple(kept)


def _back(graph: TurnGraph, ways: Ways, came: Mapping[int, int]) -> tuple[int, ...]:
    edges, state = [], ways.end
    while state != ways.start:
        if graph.edge[came[state]] >= 0:
            edges.append(graph.edge[came[state]])
        state = graph.tail[came[state]]
    return tuple(reversed(edges))


def _edges(graph: TurnGraph, labels: Sequence[tuple[int, int]], label: int) -> tuple[int, ...]:
    edges: list[int] = []
    while label > 0:
        label, arc = labels[label]
        if graph.edge[arc] >= 0:
            edges.append(graph.edge[arc])
    return tuple(reversed(edges))
