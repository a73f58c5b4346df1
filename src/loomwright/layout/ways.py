"""The shortest way over a net, from one terminal to all others."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.layout.result import Edge, Net, Terminal


@dataclass(slots=True)
class Ways:
    """Answers for one net. Nobody passes through a terminal that is not his own."""

    net: Net
    _beside: dict[str, list[tuple[str, Edge]]] = field(default_factory=dict)
    _found: dict[str, dict[str, float]] = field(default_factory=dict)

    def length_m(self, one: Terminal, other: Terminal) -> float | None:
        """Return the wire that the shortest way takes [m]; None where a terminal has no place or there is no way."""
        start, end = self.net.terminals.get(one), self.net.terminals.get(other)
        if start is None or end is None:
            return None
        return self._from(end).get(start)

    def edges(self, start: str, end: str) -> list[Edge] | None:
        """Return the edges of the shortest way between two nodes, in order from the start; None where there is none."""
        far = self._from(end)
        if start not in far:
            return None
        way: list[Edge] = []
        node = start
        while node != end:
            node, edge = min(
                (
                    step
                    for step in self._beside[node]
                    if step[0] in far and (step[0] == end or step[0] not in self._closed)
                ),
                key=lambda step: (far[step[0]] + step[1].wire_m, step[1].name),
            )
            way.append(edge)
        return way

    @property
    def _closed(self) -> frozenset[str]:
        return frozenset(self.net.terminals.values())

    def _from(self, start: str) -> dict[str, float]:
        if start not in self._found:
            self._found[start] = self._search(start)
        return self._found[start]

    def _search(self, start: str) -> dict[str, float]:
        """Dijkstra's algorithm; ends of ways are terminals, so it goes on only from the start and from shared nodes."""
        if not self._beside:
            self._index()
        closed = self._closed - {start}
        best = {start: 0.0}
        heap = [(0.0, start)]
        while heap:
            far_m, node = heapq.heappop(heap)
            if far_m > best[node] or node in closed:
                continue
            for beside, edge in self._beside.get(node, ()):
                if far_m + edge.wire_m < best.get(beside, float("inf")):
                    best[beside] = far_m + edge.wire_m
                    heapq.heappush(heap, (far_m + edge.wire_m, beside))
        return best

    def _index(self) -> None:
        for edge in self.net.edges:
            self._beside.setdefault(edge.a, []).append((edge.b, edge))
            self._beside.setdefault(edge.b, []).append((edge.a, edge))
