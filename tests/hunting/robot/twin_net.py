"""Nodal analysis of the twin, on its own: resistors and given voltages, island by island."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeAlias

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import splu

Node: TypeAlias = tuple[str, ...]
#: Two nodes and the ohms between them; infinite where nothing passes.
Link: TypeAlias = tuple[Node, Node, float]
Column: TypeAlias = "np.ndarray[Any, np.dtype[np.float64]]"


@dataclass(frozen=True, slots=True)
class Given:
    """A voltage [V] that `plus` has over `minus` behind some ohms; `feed` gives its current, ampere for ampere."""

    feed: Node
    plus: Node
    minus: Node
    volts: float
    ohm: float


class Solved:
    """A network of links and given voltages, factored once; every island has a zero of its own."""

    def __init__(self, links: Mapping[str, Link], givens: Iterable[Given] = ()) -> None:
        self.links = links
        self.givens = tuple(givens)
        self.there = [link for link in links.values() if not math.isinf(link[2])]
        self.number: dict[Node, int] = {}
        for a, b, _ in [*self.there, *((g.feed, g.plus, 0.0) for g in self.givens)]:
            self.number.setdefault(a, len(self.number))
            self.number.setdefault(b, len(self.number))
        for given in self.givens:
            self.number.setdefault(given.minus, len(self.number))
        self.island = self._islands()

    def volts(self, red: Node, black: Node) -> float:
        """Return what a voltmeter shows [V]; zero between things that nothing joins."""
        return self._between(self.at_rest, red, black)

    def amps(self, name: str) -> float:
        """Return the current through a link [A], from its first node to its second."""
        a, b, ohm = self.links[name]
        return 0.0 if math.isinf(ohm) else self.volts(a, b) / ohm

    def ohms(self, red: Node, black: Node) -> float:
        """Return what an ohmmeter shows [ohm], infinite between things that nothing joins; givens must be out."""
        if red == black:
            return 0.0
        return -self._between(self.taking(red, black), red, black) if self.joined(red, black) else math.inf

    def joined(self, a: Node, b: Node) -> bool:
        """Tell whether current can pass between two nodes."""
        known = a in self.number and b in self.number
        return known and bool(self.island[self.number[a]] == self.island[self.number[b]])

    def taking(self, plus: Node, minus: Node) -> Column:
        """Return by how much all voltages move [V] when one ampere is taken from plus to minus."""
        right = np.zeros(self._size)
        if self.joined(plus, minus):
            right[self.number[plus]] -= 1.0
            right[self.number[minus]] += 1.0
        return self._factored.solve(right)  # type: ignore[no-any-return]

    def moved(self, column: Column, red: Node, black: Node) -> float:
        """Return the difference of a column between two nodes [V]."""
        return self._between(column, red, black)

    @cached_property
    def at_rest(self) -> Column:
        """The voltages that the givens make."""
        right = np.zeros(self._size)
        for count, given in enumerate(self.givens):
            right[len(self.number) + count] = given.volts
        return self._factored.solve(right)  # type: ignore[no-any-return]

    @property
    def _size(self) -> int:
        return len(self.number) + len(self.givens)

    def _between(self, column: Column, red: Node, black: Node) -> float:
        if not self.joined(red, black):
            return 0.0
        return float(column[self.number[red]] - column[self.number[black]])

    def _islands(self) -> Column:
        pairs = [(a, b) for a, b, _ in self.there]
        pairs += [pair for g in self.givens for pair in ((g.feed, g.plus), (g.plus, g.minus))]
        rows = [self.number[a] for a, _ in pairs]
        columns = [self.number[b] for _, b in pairs]
        shape = (len(self.number), len(self.number))
        return connected_components(csc_matrix((np.ones(len(pairs)), (rows, columns)), shape=shape), directed=False)[1]  # type: ignore[no-any-return]

    @cached_property
    def _factored(self) -> Any:  # noqa: ANN401  scipy names no type for it
        entries: list[tuple[int, int, float]] = []
        for a, b, ohm in self.there:
            i, j, siemens = self.number[a], self.number[b], 1.0 / ohm
            entries += [(i, i, siemens), (j, j, siemens), (i, j, -siemens), (j, i, -siemens)]
        for row, given in enumerate(self.givens, len(self.number)):
            feed, plus, minus = (self.number[node] for node in (given.feed, given.plus, given.minus))
            entries += [
                (feed, row, 1.0),
                (plus, row, -1.0),
                (row, plus, 1.0),
                (row, minus, -1.0),
                (row, row, given.ohm),
            ]
        # One node of each island is tied to zero; nothing flows there, since currents add up to nothing.
        entries += [(int(i), int(i), 1.0) for i in np.unique(self.island, return_index=True)[1]]
        rows, columns, values = zip(*entries, strict=True)
        return splu(csc_matrix((values, (rows, columns)), shape=(self._size, self._size)))
