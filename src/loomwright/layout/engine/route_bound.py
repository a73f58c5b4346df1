"""What any answer must cost at least, and which stretches no better answer can use.

A dual ascent for fixed-charge networks (Balakrishnan, Magnanti and Wong 1989; for trees Wong 1984): each job's sink
side is raised against its cheapest cut, and pays from the price of opening the edges that hold it back. What the jobs
pay together never exceeds that price, so that the sum of their cheapest ways is a lower bound.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

from loomwright.layout.engine.route_jobs import Offer, Prepared
from loomwright.layout.engine.route_paths import spread

_ZERO = 1e-9


@dataclass(slots=True)
class _Climb:
    """One job on its way up: the states behind its cut, their potentials, and what it pays for each resource."""

    base: list[float]
    far: dict[int, float]
    behind: set[int]
    border: list[int]
    value: float
    paid: dict[int, float] = field(default_factory=dict)


class Ascent:
    """The lower bound of a prepared problem under one choice of the main leads.

    `directed` opens each direction of an edge on its own, which is stronger, and right where all jobs fan out
    from one node as a tree.
    """

    def __init__(
        self, ready: Prepared, shared: int, offers: Mapping[int, Sequence[Offer]], *, directed: bool = False
    ) -> None:
        """Climb until every job's cut has reached its start."""
        self.ready, self.shared, self.offers, self.directed = ready, shared, offers, directed
        graph = ready.graph
        ways = 2 if directed else 1
        self._open = [g for g in ready.open_g for _ in range(ways)]
        self._mix = [g for g in ready.mix_g for _ in range(ways)]
        self._used = ([0.0] * len(self._open), [0.0] * len(self._open))
        self.resource = [
            -1 if i < 0 or not ready.edges[i].shared else (2 * i + graph.forward[arc] if directed else i)
            for arc, i in enumerate(graph.edge)
        ]
        self._trunk_into = _by_head(graph.trunk_arcs, graph.head)
        self._jobs = {k: self._begin(k) for k in sorted(offers)}
        self._climb_all()

    @property
    def bound(self) -> float:
        """What any answer that routes all these jobs costs at least [g]."""
        return sum(job.value for job in self._jobs.values()) + self.ready.problem.shared_g[self.shared]

    def unpaid(self, *, power: bool) -> frozenset[int]:
        """Return the edges whose price of opening is not paid in full: a good answer does without most of them."""
        paid = {
            self.ready.graph.edge[arc]
            for arc, res in enumerate(self.resource)
            if res >= 0 and self._room(res, power=power) <= _ZERO
        }
        return frozenset(i for i, edge in enumerate(self.ready.edges) if edge.shared and i not in paid)

    def kept(self, k: int, offer: Offer, upper: float) -> list[int]:
        """Return the arcs that an answer of at most `upper` [g] can use for a job with this option."""
        job, graph = self._jobs[k], self.ready.graph
        power, bend = self.ready.jobs[k].power, self.ready.jobs[k].bend
        spare = upper - (self.bound - job.value) + 1e-6 * max(1.0, abs(upper))
        steps: list[tuple[int, float, float]] = []
        for arc in (*graph.trunk_arcs, *self.ready.jobs[k].ways.own):
            i, res = graph.edge[arc], self.resource[arc]
            cost = (offer.base[i] if i >= 0 else 0.0) + (bend if graph.bends[arc] else 0.0)
            if cost < math.inf:
                more = 0.0 if res < 0 else job.paid.get(res, 0.0) + self._room(res, power=power)
                steps.append((arc, cost + more, self.ready.wire_m[i] if i >= 0 else 0.0))
        cheap = self.within(k, [(arc, cost) for arc, cost, _ in steps], spare)
        if offer.longest_m == math.inf:
            return sorted(cheap)
        short = self.within(k, [(arc, m) for arc, _, m in steps if arc in cheap], offer.longest_m + _ZERO)
        return sorted(short)

    def longest_m(self, k: int, offer: Offer, arcs: Sequence[int], upper: float) -> float:
        """Return how long [m] a job's way can be at most in an answer of at most `upper` [g]."""
        edges = {self.ready.graph.edge[arc] for arc in arcs} - {-1}
        total_m = sum(self.ready.wire_m[i] for i in edges)
        rates = [offer.base[i] / self.ready.wire_m[i] for i in edges if self.ready.wire_m[i] > 0]
        spare = upper - (self.bound - self._jobs[k].value)
        rate = min(rates, default=0.0)
        return min(total_m, spare / rate) if rate > 0 else total_m

    def within(self, k: int, steps: Sequence[tuple[int, float]], most: float) -> set[int]:
        """Return the arcs on a way from start to end that costs no more than `most`."""
        tail, head, ways = self.ready.graph.tail, self.ready.graph.head, self.ready.jobs[k].ways
        onward: dict[int, list[tuple[int, float]]] = {}
        back: dict[int, list[tuple[int, float]]] = {}
        for arc, cost in steps:
            onward.setdefault(tail[arc], []).append((head[arc], cost))
            back.setdefault(head[arc], []).append((tail[arc], cost))
        here, left = spread(onward, ways.start), spread(back, ways.end)
        inf = math.inf
        return {arc for arc, cost in steps if here.get(tail[arc], inf) + cost + left.get(head[arc], inf) <= most}

    def _begin(self, k: int) -> _Climb:
        job, graph = self.ready.jobs[k], self.ready.graph
        base = [min(each) for each in zip(*(offer.base for offer in self.offers[k]), strict=True)]
        far = dict(self.offers[k][0].left)
        climb = _Climb(base, far, set(), [], far[job.ways.start])
        self._own_into = {**getattr(self, "_own_into", {}), k: _by_head(job.ways.own, graph.head)}
        self._take_in(k, climb, [job.ways.end])
        return climb

    def _climb_all(self) -> None:
        queue = [(len(job.behind), k) for k, job in self._jobs.items()]
        heapify(queue)
        while queue:
            _, k = heappop(queue)
            job = self._jobs[k]
            if self.ready.jobs[k].ways.start not in job.behind:
                self._raise(k, job)
                heappush(queue, (len(job.behind), k))

    def _raise(self, k: int, job: _Climb) -> None:
        """Raise a job's cut until the first arc into it gives way."""
        power, tail = self.ready.jobs[k].power, self.ready.graph.tail
        job.border = [arc for arc in job.border if tail[arc] not in job.behind]
        slack = [(arc, self._reduced(k, job, arc)) for arc in job.border]
        step = min(left + self._room(self.resource[arc], power=power) for arc, left in slack)
        pays: dict[int, float] = {}
        for arc, left in slack:
            if left < step and self.resource[arc] >= 0:
                pays[self.resource[arc]] = max(pays.get(self.resource[arc], 0.0), step - left)
        for res, more in pays.items():
            job.paid[res] = job.paid.get(res, 0.0) + more
            self._used[power][res] += more
        for state in job.behind:
            job.far[state] -= step
        job.value += step
        opened = [tail[arc] for arc in job.border if self._gives(k, job, arc)]
        self._take_in(k, job, opened)

    def _take_in(self, k: int, job: _Climb, states: list[int]) -> None:
        """Take states behind the cut, and everything that nothing holds back from them."""
        tail, none = self.ready.graph.tail, ()
        while states:
            state = states.pop()
            if state in job.behind:
                continue
            job.behind.add(state)
            for arc in (*self._trunk_into.get(state, none), *self._own_into[k].get(state, none)):
                if tail[arc] not in job.behind and self._cost(k, job, arc) < math.inf and tail[arc] in job.far:
                    if self._gives(k, job, arc):
                        states.append(tail[arc])
                    else:
                        job.border.append(arc)

    def _gives(self, k: int, job: _Climb, arc: int) -> bool:
        room = self._room(self.resource[arc], power=self.ready.jobs[k].power)
        return room + self._reduced(k, job, arc) <= _ZERO

    def _reduced(self, k: int, job: _Climb, arc: int) -> float:
        graph = self.ready.graph
        paid = job.paid.get(self.resource[arc], 0.0)
        return self._cost(k, job, arc) + paid + job.far[graph.head[arc]] - job.far[graph.tail[arc]]

    def _cost(self, k: int, job: _Climb, arc: int) -> float:
        graph = self.ready.graph
        own = job.base[graph.edge[arc]] if graph.edge[arc] >= 0 else 0.0
        return own + (self.ready.jobs[k].bend if graph.bends[arc] else 0.0)

    def _room(self, res: int, *, power: bool) -> float:
        """Return what is left of the price of opening a resource to a kind of wire [g]."""
        if res < 0:
            return 0.0
        mine, other = self._used[power][res], self._used[not power][res]
        return min(self._open[res] - mine, self._open[res] + self._mix[res] - mine - other)


def _by_head(arcs: Sequence[int], head: Sequence[int]) -> dict[int, tuple[int, ...]]:
    into: dict[int, list[int]] = {}
    for arc in arcs:
        into.setdefault(head[arc], []).append(arc)
    return {state: tuple(arriving) for state, arriving in into.items()}
