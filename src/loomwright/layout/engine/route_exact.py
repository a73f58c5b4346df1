"""Search for the best routes under one choice of the main leads, and prove them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.layout.engine.route_bound import Ascent
from loomwright.layout.engine.route_graph import NO_EDGE
from loomwright.layout.engine.route_greedy import close, guided, reroute
from loomwright.layout.engine.route_highs import Relaxed, Solved, minimise, relax
from loomwright.layout.engine.route_jobs import Offer, Prepared
from loomwright.layout.engine.route_model import Cover, Lane, Model, no_thinner
from loomwright.layout.engine.route_paths import arcs_along
from loomwright.layout.engine.route_state import State
from loomwright.layout.engine.route_tree import best_tree, is_small
from loomwright.layout.route_bundle import fits
from loomwright.search import Watch

_SAME_G = 1e-6
_ROUNDS = 60
# So many flows make the root of a search tree as much work as one more node; rounds use up a budget too.
_ROOT = 250
# So close to the bound an answer leaves the program little to search.
_NEAR = 0.002


@dataclass(frozen=True, slots=True)
class Proof:
    """What is proved: how many runs stay without a way at least, what it costs at least then [g]; the nodes it took."""

    left: int
    bound: float
    nodes: int = 0


def fans_out(ready: Prepared, offers: Mapping[int, Sequence[Offer]]) -> bool:
    """Whether some best answer is a tree from one node: nothing but length and opening bears on the routes."""
    jobs = ready.jobs
    at_start = [e for e in ready.edges if not e.shared and jobs and jobs[0].start in (e.a, e.b)]
    return (
        len({(job.start, job.power) for job in jobs}) == 1
        and ready.problem.prices.bend_g == 0
        and not at_start
        and all(edge.capacity_m is None for edge in ready.edges)
        and all(len(options) == 1 and options[0].longest_m == math.inf for options in offers.values())
        and not ready.lying
        and not any(ready.over)
    )


class Exact:
    """The program of one choice, grown by rows until its answer keeps every rule."""

    def __init__(self, ascent: Ascent, start: State, upper: tuple[int, float], watch: Watch) -> None:
        """Look for answers better than `upper` (runs without a way, cost); `start` is a known one of this choice."""
        self.ready, self.offers, self.shared = ascent.ready, ascent.offers, ascent.shared
        self.ascent, self.start, self.upper, self.watch = ascent, start, upper, watch
        self.best: State | None = None
        self.gone = sum(len(job.runs) for k, job in enumerate(self.ready.jobs) if k not in self.offers)
        self.left_out_g = self._more_than_all() if upper[0] > self.gone else None
        self.lanes = self._lanes()

    @property
    def flows(self) -> int:
        """How many flows the program has, one for each job, option and arc; none where it needs no program."""
        return 0 if self._is_small_tree else sum(len(lane.arcs) for lane in self.lanes)

    @property
    def _is_small_tree(self) -> bool:
        return self.ascent.directed and self.left_out_g is None and is_small(self.ready)

    def search(self, most_nodes: int | None) -> Proof:
        """Solve, add what the answer breaks, and solve again."""
        if {lane.job for lane in self.lanes} != set(self.offers):
            return Proof(self.gone, self.upper[1])
        if self._is_small_tree and self._try_trees():
            return Proof(self.gone, self.upper[1])
        covers: list[Cover] = []
        simple: frozenset[int] = frozenset()
        bound, nodes = self.thin_out(), 0
        if bound >= self._enough_g or {lane.job for lane in self.lanes} != set(self.offers):
            return self._proof(max(bound, self._enough_g), nodes)
        for _ in range(_ROUNDS):
            model = Model(self.ready, self.lanes, self.ascent.directed, covers, simple, self.left_out_g)
            solved = self._solve(model, None if most_nodes is None else max(0, most_nodes - nodes))
            nodes, bound = nodes + solved.nodes + self.flows // _ROOT, max(bound, solved.bound)
            if solved.values is None:
                break
            state, loops = self._state(model, solved.values)
            full = self._too_full(state)
            for better in self._mended(state) if full else (state,):
                self._keep(better)
            ended = solved.stopped or self.watch.stopped or (most_nodes is not None and nodes >= most_nodes)
            if ended or not (full or loops - simple):
                break
            covers, simple = covers + full, simple | loops
            bound = max(bound, self.thin_out(covers))
        return self._proof(bound, nodes)

    def _try_trees(self) -> bool:
        """Find the best tree over the arcs that are left; return whether there is one."""
        graph = self.ready.graph
        edges = sorted({graph.edge[arc] for lane in self.lanes for arc in lane.arcs} - {NO_EDGE})
        ways = best_tree(self.ready, self.offers, edges, self.watch)
        if ways is None:
            return False
        state = State(self.ready, self.shared, self.offers)
        for k, taken in ways.items():
            state.put(k, taken)
        self._keep(state)
        return True

    def _solve(self, model: Model, most_nodes: int | None) -> Solved:
        enough = None if self.left_out_g else self._enough_g
        graph, hint = self.ready.graph, {}
        for k, taken in (self.best or self.start).taken.items():
            arcs = arcs_along(graph, self.ready.jobs[k].ways, taken.edges)
            if arcs is not None:
                hint[k] = taken.option, arcs
        return minimise(model.rows, hint=model.hint(hint), enough=enough, most_nodes=most_nodes, watch=self.watch)

    @property
    def _mains_g(self) -> float:
        return self.ready.problem.shared_g[self.shared]

    @property
    def _enough_g(self) -> float:
        """A bound from which on nothing better than the known answer is left; unknown while runs are left out."""
        return self.upper[1] - self._mains_g - _SAME_G if self.left_out_g is None else math.inf

    def thin_out(self, covers: Sequence[Cover] = ()) -> float:
        """Drop the arcs that the program without whole numbers proves useless; return its bound."""
        if self.left_out_g is not None:
            return -math.inf
        model = Model(self.ready, self.lanes, self.ascent.directed, covers, frozenset(), None)
        relaxed = relax(model.rows, self.watch)
        if relaxed is None:
            return -math.inf
        self._keep(self._rounded(model, relaxed))
        spare = self._enough_g + 2 * _SAME_G - relaxed.bound
        thinner = []
        for lane, flow in zip(self.lanes, model.flow, strict=True):
            kept = self.ascent.within(lane.job, [(arc, relaxed.adds[flow[arc]]) for arc in lane.arcs], spare)
            if kept:
                thinner.append(replace(lane, arcs=tuple(arc for arc in lane.arcs if arc in kept)))
        self.lanes = thinner
        return relaxed.bound

    def _rounded(self, model: Model, relaxed: Relaxed) -> State:
        """Return an answer over the edges that a split flow takes."""
        values = relaxed.values
        graph = self.ready.graph
        used = {
            power: {
                graph.edge[arc]
                for lane, flow in zip(model.lanes, model.flow, strict=True)
                for arc, column in flow.items()
                if self.ready.jobs[lane.job].power == power and values[column] > _SAME_G
            }
            for power in (True, False)
        }
        unused = {power: frozenset(range(len(self.ready.edges))) - edges for power, edges in used.items()}
        state = reroute(guided(State(self.ready, self.shared, self.offers), unused), self.watch)
        near = state.cost - self._mains_g <= relaxed.bound * (1 + _NEAR)
        return state if near else close(state, self.watch)

    def _lanes(self) -> list[Lane]:
        lanes = []
        graph, upper_g = self.ready.graph, self.upper[1]
        for k, offers in self.offers.items():
            for offer in offers:
                if self.left_out_g is None:
                    arcs = self.ascent.kept(k, offer, upper_g)
                    farthest_m = self.ascent.longest_m(k, offer, arcs, upper_g)
                else:
                    every = (*graph.trunk_arcs, *self.ready.jobs[k].ways.own)
                    arcs = [arc for arc in every if graph.edge[arc] < 0 or offer.base[graph.edge[arc]] < math.inf]
                    farthest_m = math.fsum(self.ready.wire_m)
                if arcs:
                    lanes.append(Lane(k, offer, tuple(arcs), farthest_m > offer.longest_m))
        return lanes

    def _more_than_all(self) -> float:
        """Return a price [g] that no difference between two answers can reach."""
        ready = self.ready
        own = sum(
            max(sum(g for g in offer.base if g < math.inf) for offer in offers) + ready.jobs[k].bend * len(ready.edges)
            for k, offers in self.offers.items()
        )
        crossings = sum(len(job.runs) * sum(len(passed) for _, passed in job.over) for job in ready.jobs)
        return 1 + own + sum(ready.open_g) + sum(ready.mix_g) + ready.cross_g * crossings

    def _state(self, model: Model, values: Sequence[float]) -> tuple[State, frozenset[int]]:
        """Return what the program chose, and the jobs whose way came back to where it had been."""
        state, loops, unclear = State(self.ready, self.shared, self.offers), set(), []
        for k, (offer, edges) in sorted(model.ways(values).items()):
            if edges is None:
                unclear.append(k)
            else:
                taken = self.ready.taken(self.ready.jobs[k], offer, edges)
                state.put(k, taken)
                if taken.edges != edges:
                    loops.add(k)
        for k in unclear:
            state.route(k)
        return state, frozenset(loops)

    def _too_full(self, state: State) -> list[Cover]:
        """Return rows against the bundles that do not fit: their fewest wires that are too many."""
        covers = []
        for i in self.ready.tight:
            capacity_m = self.ready.edges[i].capacity_m
            inside = {k: state.offer(k).wire_mm for k in state.users(i)}
            if fits(_all(inside.values()), capacity_m):
                continue
            for k in sorted(inside, key=lambda k: (sum(inside[k]), k)):
                without = [mm for other, mm in inside.items() if other != k]
                if not fits(_all(without), capacity_m):
                    del inside[k]
            lanes = self._as_thick(inside)
            covers += [Cover(j, lanes, len(inside) - 1) for j in self._no_wider_than(i)]
        return covers

    def _no_wider_than(self, edge: int) -> list[int]:
        """Return the narrow edges through which nothing fits that does not fit through one of them, that one first."""
        widths = {j: self.ready.edges[j].capacity_m or 0.0 for j in self.ready.tight}
        return [edge, *(j for j, width_m in widths.items() if width_m <= widths[edge] and j != edge)]

    def _as_thick(self, inside: Mapping[int, Sequence[float]]) -> frozenset[tuple[int, int]]:
        """Return the options that take at least as much room: a job's own, and any that outdoes every one inside."""
        return frozenset(
            (k, offer.option)
            for k, offers in self.offers.items()
            for offer in offers
            if all(no_thinner(offer.wire_mm, mm) for mm in ([inside[k]] if k in inside else inside.values()))
        )

    def _mended(self, state: State) -> Iterator[State]:
        """Send everybody on a bundle that is too full another way, or one after the other until the rest fits."""
        full = [i for i in self.ready.tight if not self._holds(state, i)]
        for one_by_one in (True, False):
            mended, moved = state.copy(), list[int]()
            for i in full:
                for k in sorted(mended.users(i), key=lambda k: (mended.added_g(k), k)):
                    if not (one_by_one and self._holds(mended, i)):
                        mended.lift(k)
                        moved.append(k)
            for k in moved:
                mended.route(k)
            yield close(reroute(mended, self.watch), self.watch)

    def _holds(self, state: State, edge: int) -> bool:
        wires = [state.offer(k).wire_mm for k in state.users(edge)]
        return fits(_all(wires), self.ready.edges[edge].capacity_m)

    def _keep(self, state: State) -> None:
        if not self._too_full(state) and (self.best is None or state.rank < self.best.rank):
            self.best = state.copy()
            self.upper = min(self.upper, state.rank)

    def _proof(self, bound: float, nodes: int) -> Proof:
        if self.left_out_g is None:
            return Proof(self.gone, min(bound + self._mains_g, self.upper[1]), nodes)
        left = max(0, math.floor(bound / self.left_out_g + 1e-9)) if bound > -math.inf else 0
        over = max(0.0, bound - left * self.left_out_g) if bound > -math.inf else 0.0
        return Proof(self.gone + left, over + self._mains_g, nodes)


def _all(wires: Iterable[Sequence[float]]) -> list[float]:
    return [mm for each in wires for mm in each]
