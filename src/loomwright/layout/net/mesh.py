"""From lines to nodes and edges: cut where lines meet, at their corners, and where wires leave for a terminal."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.net.line import HAIR_M, own_meetings
from loomwright.layout.net.trunks import meeting_places
from loomwright.layout.result import Course, Edge, Node

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.layout.net.line import Line

#: Cuts of one line that are closer than this are one [m].
SAME_M = 0.002 + HAIR_M

Cut = tuple[int, float]
"""The number of a line and how far along it [m]."""


class Mesh:
    """The shared part of a net. `node_at` gives the node of a cut."""

    def __init__(self, lines: Sequence[Line], breakouts: Iterable[Cut]) -> None:
        self._lines = lines
        self._head: dict[Cut, Cut] = {}
        self._breakouts = frozenset(breakouts)
        for i, line in enumerate(lines):
            for along in line.lengths_m:
                self._add((i, along))
        for cut in self._breakouts:
            self._add(cut)
        for i, one in enumerate(lines):
            for here, there in [] if one.moving else own_meetings(one):
                self._join(self._add((i, here)), self._add((i, there)))
            for j in range(i):
                for here, there in meeting_places(one, lines[j]):
                    self._join(self._add((i, here)), self._add((j, there)))
        self._close_up()
        self.nodes = self._nodes()
        self.edges = self._edges()

    def node_at(self, cut: Cut) -> Node:
        """Return the node where a line was cut."""
        return self._node_of[self._root(cut)]

    def _add(self, cut: Cut) -> Cut:
        self._head.setdefault(cut, cut)
        return cut

    def _root(self, cut: Cut) -> Cut:
        while self._head[cut] != cut:
            cut = self._head[cut]
        return cut

    def _join(self, one: Cut, other: Cut) -> None:
        first, second = sorted((self._root(one), self._root(other)), key=self._weight)
        self._head[second] = first

    def _weight(self, cut: Cut) -> tuple[object, ...]:
        """Cuts that become one node lie where a breakout is, so that no drop gets longer; then on the first trunk.

        Of links the longest comes first: their names only count them.
        """
        line = self._lines[cut[0]]
        shortness = 0.0 if line.drops else -round(line.length_m, 4)
        return (
            cut not in self._breakouts,
            line.course is not Course.TRUNK,
            not line.drops,
            shortness,
            line.key,
            cut[1],
        )

    def _close_up(self) -> None:
        self._cuts: list[list[float]] = [[] for _ in self._lines]
        for i, along in self._head:
            self._cuts[i].append(along)
        for i, cuts in enumerate(self._cuts):
            cuts.sort()
            for a, b in pairwise(cuts):
                if b - a <= SAME_M:
                    self._join((i, a), (i, b))

    def _nodes(self) -> tuple[Node, ...]:
        self._node_of: dict[Cut, Node] = {}
        names: set[str] = set()
        for root in sorted({self._root(cut) for cut in self._head}, key=self._weight):
            line = self._lines[root[0]]
            name = f"{line.name} {round((line.offset_m + root[1]) * 1000)} mm"
            while name in names:
                name += "'"
            names.add(name)
            self._node_of[root] = Node(name, line.at(root[1]))
        return tuple(self._node_of.values())

    def _edges(self) -> tuple[Edge, ...]:
        found: list[Edge] = []
        for i, line in enumerate(self._lines):
            slack_m = line.slack_m
            for low, high in pairwise(self._cuts[i]):
                a, b = self.node_at((i, low)), self.node_at((i, high))
                if a == b:
                    continue
                start, end = (round((line.offset_m + along) * 1000) for along in (low, high))
                found.append(
                    Edge(
                        f"{line.name} {start}-{end} mm",
                        a.name,
                        b.name,
                        (a.at, b.at),
                        math.dist(a.at, b.at),
                        line.course,
                        trunk=line.name,
                        capacity_m=line.capacity_m,
                        slack_m=slack_m,
                        moving=line.moving,
                        signal_only=line.signal_only,
                    )
                )
                slack_m = 0.0
        return tuple(found)
