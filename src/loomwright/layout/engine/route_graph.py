"""The net as a graph in which every bend is an arc, so that a cheapest way counts its bends exactly."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loomwright.layout.result import Edge
from loomwright.layout.route_problem import RouteProblem
from loomwright.wording import natural

# A turn of 30 degrees is no bend yet; the small number keeps rounding from deciding.
_STRAIGHT = math.cos(math.radians(30)) - 1e-9
NO_EDGE = -1

Key = tuple[tuple[tuple[int, int, str], ...], str]


def in_order(name: str) -> Key:
    """Make the sort key of a name: as people count, and by letter where that says nothing."""
    return natural(name), name


@dataclass(frozen=True, slots=True)
class Ways:
    """Where one run may go: from state `start` to state `end`, over the trunks' arcs and its `own`."""

    start: int
    end: int
    own: tuple[int, ...]
    own_out: dict[int, tuple[int, ...]]


class TurnGraph:
    """States are places with a direction; arc `i` leads from `tail[i]` to `head[i]` along edge `edge[i]`.

    `forward[i]` tells whether it leads from the edge's `a` to its `b`. Every node on a trunk has a hub. Arriving at the
    hub costs a bend and leaving it is free. Where two edges run straight into each other, they have ports of their
    own, joined without a bend. `trunk_out` lists the arcs that every run may use, by their tail.
    """

    def __init__(self, problem: RouteProblem) -> None:
        """Build the part of the graph that all runs share."""
        self.edges: tuple[Edge, ...] = tuple(sorted(problem.edges, key=lambda e: in_order(e.name)))
        self._bends_free = problem.prices.bend_g == 0
        self.tail: list[int] = []
        self.head: list[int] = []
        self.edge: list[int] = []
        self.bends: list[bool] = []
        self.forward: list[bool] = []
        self._states: dict[tuple[str, str, int], int] = {}
        self._arcs: dict[tuple[int, int, int], int] = {}
        self._at: dict[str, list[int]] = {}
        for i, edge in enumerate(self.edges):
            if edge.a != edge.b:
                self._at.setdefault(edge.a, []).append(i)
                self._at.setdefault(edge.b, []).append(i)
        self._on_trunk = {node for edge in self.edges if edge.shared for node in (edge.a, edge.b)}
        self._heading = {(i, node): _heading(self.edges[i], node) for node, at in self._at.items() for i in at}
        self._straight = {(i, node): self._straight_on(i, node) for node, at in self._at.items() for i in at}
        self.trunk_arcs = tuple(dict.fromkeys(self._trunk_arcs()))
        self._on_trunks = frozenset(self.trunk_arcs)
        self.trunk_out = _by_tail(self.trunk_arcs, self.tail)

    @property
    def size(self) -> int:
        """How many states there are."""
        return len(self._states)

    def ways(self, start: str, end: str) -> Ways:
        """Return where a run between two nodes may go."""
        own: list[int] = []
        for i in self._at.get(start, ()):
            if not self.edges[i].shared:
                own += self._first(i, start, end)
        for i in self._at.get(end, ()):
            last = self._last(i, start, end)
            if last is not None:
                own += last
        own = [arc for arc in dict.fromkeys(own) if arc not in self._on_trunks]
        return Ways(self._out(NO_EDGE, start), self._state("end", end, NO_EDGE), tuple(own), _by_tail(own, self.tail))

    def node_path(self, edges: Sequence[int], start: str) -> list[str]:
        """Return the nodes that a chain of edges passes, from its start."""
        nodes = [start]
        for i in edges:
            nodes.append(self.edges[i].other(nodes[-1]))
        return nodes

    def bends_on(self, edges: Sequence[int], nodes: Sequence[str]) -> int:
        """Count the bends of a chain of edges that passes these nodes."""
        pairs = zip(edges, edges[1:], nodes[1:-1], strict=False)
        return sum(onto not in self._straight[came, node] for came, onto, node in pairs)

    def _first(self, i: int, start: str, end: str) -> list[int]:
        """Arcs along a drop or loose edge away from the run's start, and on from where it ends."""
        there, out, hub = self.edges[i].other(start), self._out(i, start), self._hub(start)
        onto = [] if out == hub else [self._arc(hub, out, NO_EDGE, bends=False)]
        if there == end:
            return [*onto, self._arc(out, self._state("end", end, NO_EDGE), i, bends=False, tail=start)]
        if there not in self._on_trunk:
            return []
        return [*onto, *self._arrive(i, start, there), *self._turn(i, there, self._shared_at(there))]

    def _last(self, i: int, start: str, end: str) -> list[int] | None:
        """Arcs along an edge into the run's end, and the ones that lead into it."""
        here = self.edges[i].other(end)
        if here == start and not self.edges[i].shared:
            return None
        if here not in self._on_trunk and here != start:
            return None
        into = self._arc(self._out(i, here), self._state("end", end, NO_EDGE), i, bends=False, tail=here)
        if self.edges[i].shared:
            return [into]
        return [into, *self._leave(i, here, start)]

    def _leave(self, i: int, here: str, start: str) -> list[int]:
        """Connect a drop of the run's end with the trunks, and with drops of its start, where it leaves them."""
        out = self._out(i, here)
        if out == self._hub(here):
            return []
        arcs = [self._arc(self._hub(here), out, NO_EDGE, bends=False)]
        from_own = [j for j in self._straight[i, here] if self.edges[j].shared or self.edges[j].other(here) == start]
        return arcs + [self._arc(self._in(j, here), out, NO_EDGE, bends=False) for j in from_own]

    def _trunk_arcs(self) -> Iterable[int]:
        for i, edge in enumerate(self.edges):
            if edge.shared and edge.a != edge.b:
                for tail, head in ((edge.a, edge.b), (edge.b, edge.a)):
                    yield from self._arrive(i, tail, head)
                    yield from self._turn(i, head, self._shared_at(head))

    def _shared_at(self, node: str) -> list[int]:
        return [i for i in self._at[node] if self.edges[i].shared]

    def _arrive(self, i: int, tail: str, head: str) -> list[int]:
        port = self._in(i, head)
        bends = port == self._hub(head)
        return [self._arc(self._out(i, tail), port, i, bends=bends, tail=tail)]

    def _turn(self, i: int, node: str, onto: Sequence[int]) -> list[int]:
        """Connect the arriving port of an edge with the hub and with the edges that go straight on."""
        port, hub = self._in(i, node), self._hub(node)
        arcs = [] if port == hub else [self._arc(port, hub, NO_EDGE, bends=True)]
        for j in onto:
            out = self._out(j, node)
            if out != hub:
                arcs.append(self._arc(hub, out, NO_EDGE, bends=False))
            if j in self._straight[i, node]:
                arcs.append(self._arc(port, out, NO_EDGE, bends=False))
        return arcs

    def _straight_on(self, i: int, node: str) -> tuple[int, ...]:
        """Return the edges that go straight on where an edge arrives at a node; nobody asks where bends are free."""
        if self._bends_free:
            return ()
        came = self._heading[i, node]
        on = []
        for j in self._at[node]:
            leaves = self._heading[j, node]
            straight = came is None or leaves is None or -sum(map(float.__mul__, came, leaves)) >= _STRAIGHT
            if j != i and straight:
                on.append(j)
        return tuple(on)

    def _hub(self, node: str) -> int:
        return self._state("hub", node, NO_EDGE)

    def _in(self, i: int, node: str) -> int:
        return self._state("in", node, i) if self._straight[i, node] else self._hub(node)

    def _out(self, i: int, node: str) -> int:
        """Return where an edge is left onto; a terminal off the trunks is only ever started from."""
        if i == NO_EDGE or node not in self._on_trunk:
            return self._state("hub", node, NO_EDGE)
        return self._state("out", node, i) if self._straight[i, node] else self._hub(node)

    def _state(self, kind: str, node: str, i: int) -> int:
        return self._states.setdefault((kind, node, i), len(self._states))

    def _arc(self, leaves: int, arrives: int, edge: int, *, bends: bool, tail: str = "") -> int:
        known = self._arcs.get((leaves, arrives, edge))
        if known is None:
            known = self._arcs[leaves, arrives, edge] = len(self.tail)
            self.tail.append(leaves)
            self.head.append(arrives)
            self.edge.append(edge)
            self.bends.append(bends)
            self.forward.append(edge == NO_EDGE or tail == self.edges[edge].a)
        return known


def _heading(edge: Edge, node: str) -> tuple[float, float, float] | None:
    """Return the direction in which an edge leaves a node, None where it has no length to tell."""
    path = edge.path if node == edge.a else edge.path[::-1]
    for point in path[1:]:
        step = tuple(float(there - here) for here, there in zip(path[0], point, strict=True))
        size = math.hypot(*step)
        if size > 1e-9:  # noqa: PLR2004 - a nanometre has no direction
            return step[0] / size, step[1] / size, step[2] / size
    return None


def _by_tail(arcs: Iterable[int], tail: Sequence[int]) -> dict[int, tuple[int, ...]]:
    out: dict[int, list[int]] = {}
    for arc in arcs:
        out.setdefault(tail[arc], []).append(arc)
    return {state: tuple(leaving) for state, leaving in out.items()}
