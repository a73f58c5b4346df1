"""A routing problem made ready: runs in one order, their offers of copper, and what every edge costs."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest

from loomwright.layout.engine.route_graph import NO_EDGE, TurnGraph, Ways, in_order
from loomwright.layout.engine.route_paths import Way, cheapest, cheapest_within, distances, without_loops
from loomwright.layout.result import Copper, Course, Edge, Run
from loomwright.layout.route_bundle import fits
from loomwright.layout.route_problem import RouteProblem

_SAME_M = 1e-9


@dataclass(frozen=True, slots=True)
class Offer:
    """One option of a job under one choice of the main leads.

    `base[i]` is what the job pays itself for edge `i` [g], inf where it may not go; `longest_m` its longest way [m].
    `left` has what the job pays itself from each state to its end at least, with whichever option.
    """

    option: int
    base: tuple[float, ...]
    wire_mm: tuple[float, ...]
    longest_m: float
    left: Mapping[int, float] = field(default_factory=dict, compare=False)


@dataclass(frozen=True, slots=True)
class Job:
    """Runs with the same ends, kind and options, which therefore go together; `start` and `end` may be swapped.

    `over` has those of its own edges that pass over others, and which.
    """

    runs: tuple[Run, ...]
    start: str
    end: str
    power: bool
    ways: Ways
    bend: float
    over: tuple[tuple[int, tuple[int, ...]], ...]

    @property
    def name(self) -> str:
        """The name of its first run."""
        return self.runs[0].name


@dataclass(frozen=True, slots=True)
class Taken:
    """The way that a job takes: its edges in order, its option, and what it pays itself, whoever else is there [g]."""

    edges: tuple[int, ...]
    option: int
    own: float


class Prepared:
    """The problem in arrays: by edge index, with `open_g` for opening it and `mix_g` for power beside data [g]."""

    def __init__(self, problem: RouteProblem) -> None:
        """Sort everything, so that the order in which it was written decides nothing."""
        self.problem = problem
        self.graph = TurnGraph(problem)
        self.edges = self.graph.edges
        self.index = {edge.name: i for i, edge in enumerate(self.edges)}
        prices = problem.prices
        rate = {Course.TRUNK: prices.trunk_g_per_m, Course.LINK: prices.link_g_per_m}
        self.open_g = [rate.get(edge.course, 0.0) * edge.length_m for edge in self.edges]
        self.mix_g = [prices.mixing_g_per_m * edge.length_m if edge.shared else 0.0 for edge in self.edges]
        self.wire_m = [edge.wire_m for edge in self.edges]
        self.shared = tuple(i for i, edge in enumerate(self.edges) if edge.shared)
        # By edge the shared ones that it passes over, as often as it does; opened, each costs its runs so much.
        self.cross_g = prices.crossing_g
        self.over = [self._over(edge) for edge in self.edges]
        self.lying = dict(problem.fixed)
        every = sorted(problem.runs, key=lambda run: in_order(run.name))
        runs = [run for run in every if run.start != run.end]
        self.still = [(run, _lightest(run)) for run in every if run.start == run.end]
        self.tight = frozenset(self._tight(runs))
        self.jobs = tuple(self._jobs(runs))

    def offers(self, job: Job, shared: int) -> tuple[Offer, ...]:
        """Return the options that can carry a job under a choice of the main leads, lightest first."""
        ranked = sorted(range(len(job.runs[0].options)), key=lambda o: (job.runs[0].options[o].mass_g_per_m, o))
        kept: list[Offer] = []
        for option in ranked:
            offer = self.offer(job, option, shared)
            if self._shortest_m(job, offer) <= offer.longest_m + _SAME_M and not any(
                self._no_worse(other, offer) for other in kept
            ):
                kept.append(offer)
        if not kept:
            return ()
        least = [min(each) for each in zip(*(offer.base for offer in kept), strict=True)]
        left = distances(self.graph, job.ways, least.__getitem__, job.bend, backwards=True)
        return tuple(replace(offer, left=left) for offer in kept)

    def as_written(self, edges: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        """Turn edges from each job's start into edges from its first run's start."""
        turned = {job.name for job in self.jobs if job.start != job.runs[0].start}
        return {name: way[::-1] if name in turned else way for name, way in edges.items()}

    def best_way(
        self,
        job: Job,
        offers: Sequence[Offer],
        price: Mapping[int, float],
        shut: Sequence[frozenset[int]],
        cost_g: Callable[[Taken], float],
        below: float = math.inf,
    ) -> tuple[float, Taken] | None:
        """Return the cheapest way of a job, with what it costs, when edges cost `price` beyond the job's own.

        `shut` has the edges that are closed to each offer; `cost_g` tells what a way costs in all, no less than that.
        None where there is no way that costs less than `below`.
        """
        best: tuple[float, Taken] | None = None
        for offer, closed in zip(offers, shut, strict=True):
            full = list(offer.base)
            for i, more in price.items():
                full[i] += more
            for i in closed:
                full[i] = math.inf
            way = self._way(job, offer, full, below)
            if way is not None:
                taken = self.taken(job, offer, way.edges)
                cost = cost_g(taken)
                if cost < below:
                    best, below = (cost, taken), cost
        return best

    def taken(self, job: Job, offer: Offer, edges: Sequence[int]) -> Taken:
        """Return the way along these edges, loops cut out, with what the job pays for it itself."""
        nodes = self.graph.node_path(edges, job.start)
        edges = without_loops(edges, nodes)
        nodes = self.graph.node_path(edges, job.start)
        own = sum(offer.base[i] for i in edges) + job.bend * self.graph.bends_on(edges, nodes)
        return Taken(tuple(edges), offer.option, own)

    def holds(self, offer: Offer, edges: Sequence[int]) -> bool:
        """Whether an option may be as long as these edges."""
        return sum(self.wire_m[i] for i in edges) <= offer.longest_m + _SAME_M

    def _way(self, job: Job, offer: Offer, full: Sequence[float], below: float) -> Way | None:
        way = cheapest(self.graph, job.ways, full, job.bend, offer.left, below)
        if way is None or self.holds(offer, way.edges):
            return way
        return cheapest_within(self.graph, job.ways, full, job.bend, wire_m=self.wire_m, longest_m=offer.longest_m)

    def _shortest_m(self, job: Job, offer: Offer) -> float:
        """Return the length of the shortest way that is open to an option, NaN (not below anything) for none."""
        far = distances(self.graph, job.ways, lambda i: self.wire_m[i] if offer.base[i] < math.inf else math.inf, 0.0)
        return far.get(job.ways.end, math.nan)

    def offer(self, job: Job, option: int, shared: int) -> Offer:
        """Return one option of a job, whether it can carry it or not."""
        copper, prices, count = job.runs[0].options[option], self.problem.prices, len(job.runs)
        rate = copper.mass_g_per_m + prices.handling_g_per_m * len(job.runs[0].wires)
        mm = copper.wire_mm * count
        base = tuple(
            count * self._own_g(edge, rate) if self._open_to(job, mm, edge) else math.inf for edge in self.edges
        )
        return Offer(option, base, mm, copper.reach_m(shared))

    def _over(self, edge: Edge) -> tuple[int, ...]:
        """Return what an edge passes over, where that costs anything; what the net does not have, nobody opens."""
        if edge.shared or self.cross_g == 0:
            return ()
        return tuple(sorted(i for name in edge.over for i in [self.index.get(name, -1)] if i >= 0))

    def _open_to(self, job: Job, mm: Sequence[float], edge: Edge) -> bool:
        lies = self.lying.get(job.name)
        if lies is not None and edge.name not in lies:
            return False
        return fits(mm, edge.capacity_m) and not (edge.signal_only and job.power)

    def _own_g(self, edge: Edge, rate_g_per_m: float) -> float:
        prices = self.problem.prices
        if edge.shared:
            return rate_g_per_m * edge.wire_m
        if edge.course is Course.DROP:
            return (rate_g_per_m + prices.drop_g_per_m) * edge.wire_m
        return (rate_g_per_m + prices.loose_g_per_m) * edge.wire_m + prices.loose_run_g

    def _no_worse(self, one: Offer, other: Offer) -> bool:
        """Whether an option can stand in for another: no dearer, as far, and no thicker where room is scarce."""
        thin = len(one.wire_mm) == len(other.wire_mm) and all(
            a <= b for a, b in zip(sorted(one.wire_mm), sorted(other.wire_mm), strict=True)
        )
        return (
            one.longest_m >= other.longest_m
            and (thin or not self.tight)
            and all(a <= b for a, b in zip(one.base, other.base, strict=True))
        )

    def _tight(self, runs: Sequence[Run]) -> list[int]:
        """Return the edges that would be too narrow if every run with a way there went through at its thickest."""
        tight = []
        for i, edge in enumerate(self.edges):
            if edge.capacity_m is not None:
                users = [run for run in runs if edge.shared or {edge.a, edge.b} & {run.start, run.end}]
                if not fits([mm for run in users for mm in thickest(run.options)], edge.capacity_m):
                    tight.append(i)
        return tight

    def _jobs(self, runs: Sequence[Run]) -> list[Job]:
        ends = [node for run in runs for node in (run.start, run.end)]
        busy = {node: ends.count(node) for node in set(ends)}
        groups: dict[tuple[str, str, bool, tuple[Copper, ...], int, str], list[Run]] = {}
        for run in runs:
            start, end = sorted((run.start, run.end), key=lambda node: (-busy[node], in_order(node)))
            alone = run.name if self.tight or run.name in self.lying else ""
            groups.setdefault((start, end, run.power, run.options, len(run.wires), alone), []).append(run)
        jobs = []
        for (start, end, power, *_), members in groups.items():
            ways = self.graph.ways(start, end)
            own = sorted({self.graph.edge[arc] for arc in ways.own} - {NO_EDGE})
            over = tuple((i, self.over[i]) for i in own if self.over[i])
            jobs.append(Job(tuple(members), start, end, power, ways, self.problem.prices.bend_g * len(members), over))
        return jobs


def thickest(options: Sequence[Copper]) -> list[float]:
    """Return wires [mm] at least as thick as those of every option."""
    ranked = [sorted(copper.wire_mm, reverse=True) for copper in options]
    return [max(at) for at in zip_longest(*ranked, fillvalue=0.0)]


def _lightest(run: Run) -> int:
    return min(range(len(run.options)), key=lambda o: (run.options[o].mass_g_per_m, o), default=0)
