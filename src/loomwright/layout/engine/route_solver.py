"""Route all wires together: the plain answer first, then better ones, then the proof that none is better."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwright.layout.engine.route_bound import Ascent
from loomwright.layout.engine.route_graph import in_order
from loomwright.layout.engine.route_greedy import close, greedy, guided, plain, reroute
from loomwright.layout.engine.route_jobs import Offer, Prepared
from loomwright.layout.engine.route_known import from_known
from loomwright.layout.engine.route_reasons import why_not
from loomwright.layout.engine.route_state import State
from loomwright.layout.result import Route
from loomwright.layout.route_problem import RouteAnswer, RouteProblem
from loomwright.search import SILENT, Certificate, Effort, News, Watch

_SAME_G = 1e-7
# Nodes of the search tree for a search that nobody asked to prove, and flows beyond which it is not even begun; the
# robots of benchmarks/trunks.py need a few nodes and up to a third of the flows.
_USUAL_NODES, _USUAL_FLOWS = 200, 60_000


def route(
    problem: RouteProblem,
    *,
    effort: Effort,
    watch: Watch = SILENT,
    start: Mapping[str, tuple[str, ...]] | None = None,
) -> RouteAnswer:
    """Give every run a way over the net and an option, at the least cost of all together, see `Prices`.

    `start` gives edges of known ways by run; those that keep the rules are where the search starts, and stay unless
    something cheaper is found. An end that is asked for, by `watch` or Ctrl-C, keeps the best answer so far.
    """
    search = _Search(Prepared(problem), watch)
    try:
        search.first(start or {})
        if effort == Effort.FIRST:
            for shared in range(len(problem.shared_g)):
                search.tidy(shared)
        else:
            search.improve(None if effort == Effort.PROVE else _USUAL_NODES)
    except KeyboardInterrupt:
        if search.best is None:
            raise
    return search.answer()


@dataclass(slots=True)
class _Search:
    """The best answer so far, and what is proved for each choice of the main leads."""

    ready: Prepared
    watch: Watch
    best: State | None = None
    plain: State | None = None
    offers: dict[int, dict[int, tuple[Offer, ...]]] = field(default_factory=dict)
    starts: dict[int, State] = field(default_factory=dict)
    least: dict[int, tuple[int, float]] = field(default_factory=dict)

    def first(self, known: Mapping[str, tuple[str, ...]]) -> None:
        """Find answers at once, under every choice of the main leads."""
        choices = range(len(self.ready.problem.shared_g))
        for shared in choices:
            offers = {k: self.ready.offers(job, shared) for k, job in enumerate(self.ready.jobs)}
            self.offers[shared] = {k: some for k, some in offers.items() if some}
            gone = sum(len(job.runs) for k, job in enumerate(self.ready.jobs) if k not in self.offers[shared])
            self.least[shared] = gone, self._least_own(shared)
        for shared in choices:
            if known:
                self._take(from_known(self.ready, shared, self.offers[shared], known))
        for shared in choices:
            simple = plain(self.ready, shared, self.offers[shared])
            if self.plain is None or simple.rank < self.plain.rank:
                self.plain = simple
            self._take(simple)
            self._take(reroute(greedy(self.ready, shared, self.offers[shared]), self.watch))
            self._take(reroute(simple.copy(), self.watch))
            if known or (self.best is not None and self.best.shared != shared):
                self._take(reroute(self._copy(shared), self.watch))

    def tidy(self, shared: int) -> None:
        """Try to do without each trunk of the best answer under a choice of the main leads."""
        self._take(close(self.starts[shared].copy(), self.watch))

    def improve(self, most_nodes: int | None) -> None:
        """Search every choice that can still hold a better answer, the most promising first, and prove it."""
        from loomwright.layout.engine.route_exact import Exact, fans_out  # noqa: PLC0415 - HiGHS, for real searches only

        nodes = 0
        for shared in sorted(self.starts, key=lambda s: (self.starts[s].rank, s)):
            if self.watch.stopped or self.best is None or self._beaten(shared):
                continue
            offers = self.offers[shared]
            ascent = Ascent(self.ready, shared, offers, directed=fans_out(self.ready, offers))
            if self.best.rank[0] == self.least[shared][0]:
                self.least[shared] = self.least[shared][0], max(self.least[shared][1], ascent.bound)
            unpaid = {power: ascent.unpaid(power=power) for power in (True, False)}
            state = guided(State(self.ready, shared, offers), unpaid)
            self._take(reroute(state, self.watch))
            if self._beaten(shared):
                continue
            exact = Exact(ascent, self.starts[shared], self.best.rank, self.watch)
            if most_nodes is not None and exact.flows > _USUAL_FLOWS:
                self.tidy(shared)
                continue
            proof = exact.search(None if most_nodes is None else max(0, most_nodes - nodes))
            nodes += proof.nodes
            if exact.best is not None:
                self._take(exact.best)
            self.least[shared] = max(self.least[shared], (proof.left, proof.bound))

    def answer(self) -> RouteAnswer:
        """Return the best answer with what is proved of it."""
        assert self.best is not None  # noqa: S101 - `first` has found one, if only an empty one
        left, bound = min(self.least.values())
        rank = self.best.rank
        proof = Certificate(
            cost=rank[1],
            bound=min(bound, rank[1]),
            unit="g of copper",
            baseline=self.plain.cost if self.plain is not None else None,
            baseline_breaks=self.plain.rank[0] if self.plain is not None else None,
            breaks=rank[0],
            least_breaks=min(left, rank[0]),
        )
        return RouteAnswer(
            routes=tuple(sorted(self._routes(self.best), key=lambda r: in_order(r.run))),
            shared=self.best.shared,
            certificate=proof,
            unroutable=tuple(sorted(why_not(self.ready, self.best), key=lambda pair: in_order(pair[0]))),
        )

    def _take(self, state: State) -> None:
        """Keep a state where it is better than what is known, and tell."""
        first = self.starts.get(state.shared)
        if first is None or _less(state, first):
            self.starts[state.shared] = state.copy()
        if self.best is None or _less(state, self.best):
            self.best = state.copy()
            bound = min(self.least.values())[1]
            self.watch.tell(News(stage="trunks", cost=state.cost, bound=min(bound, state.cost), used=0.0))

    def _copy(self, shared: int) -> State:
        """Carry the best answer so far over to a choice of the main leads, as far as it holds there."""
        assert self.best is not None  # noqa: S101 - asked for after the plain answer
        known = {job.name: self.best.taken[k].edges for k, job in enumerate(self.ready.jobs) if k in self.best.taken}
        names = {name: tuple(self.ready.edges[i].name for i in edges) for name, edges in known.items()}
        return from_known(self.ready, shared, self.offers[shared], self.ready.as_written(names))

    def _beaten(self, shared: int) -> bool:
        assert self.best is not None  # noqa: S101 - `first` has found one
        left, bound = self.least[shared]
        return (left, bound) >= (self.best.rank[0], self.best.rank[1] - _SAME_G)

    def _least_own(self, shared: int) -> float:
        """Return what the runs pay themselves at least, were every trunk open already [g]."""
        total = self.ready.problem.shared_g[shared]
        for k, offers in self.offers[shared].items():
            nobody = [frozenset[int]()] * len(offers)
            found = self.ready.best_way(self.ready.jobs[k], offers, {}, nobody, lambda taken: taken.own)
            total += found[0] if found is not None else 0.0
        return total

    def _routes(self, state: State) -> list[Route]:
        """Write every run's way from its own start, whichever end the search began at."""
        graph = self.ready.graph
        routes = [Route(run.name, (), (run.start,), option) for run, option in self.ready.still]
        for k, taken in state.taken.items():
            job = self.ready.jobs[k]
            edges = [self.ready.edges[i].name for i in taken.edges]
            nodes = graph.node_path(taken.edges, job.start)
            for run in job.runs:
                turned = run.start != job.start
                on = (tuple(edges[::-1]), tuple(nodes[::-1])) if turned else (tuple(edges), tuple(nodes))
                routes.append(Route(run.name, *on, taken.option))
        return routes


def _less(one: State, other: State) -> bool:
    return (one.rank[0], one.rank[1] + _SAME_G) < other.rank
