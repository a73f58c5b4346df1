"""The shortest way over a net, from one terminal to all others."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.layout.result import Net, Terminal


@dataclass(slots=True)
class Ways:
    """Answers for one net. Nobody passes through a terminal that is not his own."""

    net: Net
    _beside: dict[str, list[tuple[str, float]]] = field(default_factory=dict)
    _found: dict[str, dict[str, float]] = field(default_factory=dict)

    def length_m(self, one: Terminal, other: Terminal) -> float | None:
        """Return the wire that the shortest way takes [m]; None where a terminal has no place or there is no way."""
        start, end = self.net.terminals.get(one), self.net.terminals.get(other)
        if start is None or end is None:
            return None
        return self._from(end).get(start)

    def _from(self, start: str) -> dict[str, float]:
        if start not in self._found:
            self._found[start] = self._search(start)
        return self._found[start]

    def _search(self, start: str) -> dict[str, float]:
        """Dijkstra's algorithm; ends of ways are terminals, so it goes on only from the start and from shared nodes."""
        if not self._beside:
            self._index()
        closed = frozenset(self.net.terminals.values()) - {start}
        best = {start: 0.0}
        heap = [(0.0, start)]
        while heap:
            far_m, node = heapq.heappop(heap)
            if far_m > best[node] or node in closed:
                continue
            for beside, edge_m in self._beside.get(node, ()):
                if far_m + edge_m < best.get(beside, float("inf")):
                    best[beside] = far_m + edge_m
                    heapq.heappush(heap, (far_m + edge_m, beside))
        return best

    def _index(self) -> None:
        for edge in self.net.edges:
            self._beside.setdefault(edge.a, []).append((edge.b, edge.wire_m))
            self._beside.setdefault(edge.b, []).append((edge.a, edge.wire_m))
