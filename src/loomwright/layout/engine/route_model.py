"""Routing as a mixed-integer program: flows of jobs over edges that must be opened, solved with HiGHS."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from loomwright.catalogue.wire_diameter import bundle_over_wire
from loomwright.layout.engine.route_crossings import crossings, passed
from loomwright.layout.engine.route_jobs import Offer, Prepared
from loomwright.layout.route_bundle import fits

INF = math.inf
_HALF = 0.5


@dataclass(frozen=True, slots=True)
class Lane:
    """One job with one of its options, and the arcs it may use; `whole` where its flow must not be split by law."""

    job: int
    offer: Offer
    arcs: tuple[int, ...]
    whole: bool


@dataclass(frozen=True, slots=True)
class Cover:
    """Lanes of which at most `most` fit through an edge together."""

    edge: int
    lanes: frozenset[tuple[int, int]]
    most: int


@dataclass(slots=True)
class Rows:
    """A program under construction: columns with cost and bounds, rows as sparse lists."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    start: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)

    def column(self, cost: float, *, upper: float = 1.0, whole: bool = False) -> int:
        """Add a column from 0 to `upper` and return its number."""
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, low: float, terms: Mapping[int, float], high: float) -> None:
        """Add a row: low <= terms <= high."""
        self.row_low.append(low)
        self.row_high.append(high)
        self.index.extend(terms)
        self.value.extend(terms.values())
        self.start.append(len(self.index))


class Model:
    """The program of one choice of the main leads, and the columns that stand for flows."""

    def __init__(
        self,
        ready: Prepared,
        lanes: Sequence[Lane],
        directed: bool,  # noqa: FBT001 - one of the facts of the program, not a switch
        covers: Sequence[Cover],
        simple: frozenset[int],
        left_out_g: float | None,
    ) -> None:
        """Build it. `simple` are jobs with a row that they pass no node twice; `left_out_g` prices a job left out."""
        self.ready, self.lanes = ready, tuple(replace(n, whole=True) if n.job in simple else n for n in lanes)
        self.rows = Rows()
        self.flow: list[dict[int, int]] = []
        self._along: list[dict[int, list[tuple[int, bool]]]] = []
        self.left_out: dict[int, int] = {}
        self._picks: dict[int, int] = {}
        self._implied: list[tuple[int, list[int], int]] = []
        self._crossed: list[tuple[int, tuple[int, ...], int]] = []
        self._opened: dict[int, int] = {}
        self._by_job: dict[int, list[int]] = {}
        for n, lane in enumerate(lanes):
            self._by_job.setdefault(lane.job, []).append(n)
        self._on = self._edges_used()
        self._passed = set().union(*(passed(ready, lane.arcs) for lane in self.lanes))
        self._sole = {} if directed else self._alone()
        self.tight = [i for i in ready.tight if self._can_overfill(i)]
        self._flows(left_out_g)
        if directed:
            self._tree()
        else:
            self._open()
            self._cross()
        self._room(covers)
        for k in sorted(simple):
            self._pass_once(k)

    def shares(self, edge: int) -> list[int]:
        """Return the lanes that may use an edge."""
        return self._on.get(edge, [])

    def hint(self, arcs: Mapping[int, tuple[int, Sequence[int]]]) -> dict[int, float] | None:
        """Return the columns that are 1 when each job takes an option along these arcs; None where it may not."""
        on: dict[int, float] = {}
        for k, numbers in self._by_job.items():
            option, along = arcs.get(k, (-1, ()))
            n = next((n for n in numbers if self.lanes[n].offer.option == option), None)
            if n is None and k in self.left_out:
                on[self.left_out[k]] = 1.0
            elif n is None or not self.flow[n].keys() >= set(along):
                return None
            else:
                on.update(
                    {self.flow[n][arc]: 1.0 for arc in along} | {self._picks[m]: 1.0 for m in (n,) if m in self._picks}
                )
        for column, members, least in self._implied:
            if sum(member in on for member in members) >= least:
                on[column] = 1.0
        for column, flows, opened in self._crossed:
            if opened in on and any(flow in on for flow in flows):
                on[column] = 1.0
        return on

    def ways(self, values: Sequence[float]) -> dict[int, tuple[Offer, tuple[int, ...] | None]]:
        """Return each routed job's option and edges in order, None for edges that the flow does not tell clearly."""
        found: dict[int, tuple[Offer, tuple[int, ...] | None]] = {}
        for n, lane in enumerate(self.lanes):
            if values[self._picks[n]] > _HALF if n in self._picks else True:
                left = self.left_out.get(lane.job)
                if left is None or values[left] < _HALF:
                    found[lane.job] = lane.offer, self._follow(n, values)
        return found

    def _follow(self, n: int, values: Sequence[float]) -> tuple[int, ...] | None:
        graph, ways = self.ready.graph, self.ready.jobs[self.lanes[n].job].ways
        onward = {graph.tail[arc]: arc for arc, column in self.flow[n].items() if values[column] > _HALF}
        state, edges = ways.start, []
        for _ in range(len(onward)):
            if state == ways.end or state not in onward:
                break
            arc = onward[state]
            state = graph.head[arc]
            if graph.edge[arc] >= 0:
                edges.append(graph.edge[arc])
        return tuple(edges) if state == ways.end else None

    def _edges_used(self) -> dict[int, list[int]]:
        edge = self.ready.graph.edge
        on: dict[int, list[int]] = {}
        for n, lane in enumerate(self.lanes):
            for i in dict.fromkeys(edge[arc] for arc in lane.arcs if edge[arc] >= 0):
                on.setdefault(i, []).append(n)
        return on

    def _alone(self) -> dict[int, int]:
        """Return the edges that only one job can open, and nobody crosses: it pays for them on its flow."""
        jobs = {i: {self.lanes[n].job for n in lanes} for i, lanes in self._on.items() if i not in self._passed}
        return {i: next(iter(users)) for i, users in jobs.items() if len(users) == 1}

    def _can_overfill(self, edge: int) -> bool:
        """Whether the jobs that may still use an edge could be too thick for it together."""
        widest: dict[int, tuple[float, ...]] = {}
        for n in self.shares(edge):
            lane = self.lanes[n]
            both = (widest.get(lane.job, ()), lane.offer.wire_mm)
            ranked = [sorted(mm, reverse=True) for mm in both]
            size = max(map(len, ranked))
            padded = [mm + [0.0] * (size - len(mm)) for mm in ranked]
            widest[lane.job] = tuple(max(at) for at in zip(*padded, strict=True))
        return not fits([mm for wires in widest.values() for mm in wires], self.ready.edges[edge].capacity_m)

    def _flows(self, left_out_g: float | None) -> None:
        graph, rows, tight = self.ready.graph, self.rows, set(self.tight)
        for lane in self.lanes:
            job, columns = self.ready.jobs[lane.job], {}
            for arc in lane.arcs:
                i = graph.edge[arc]
                cost = (lane.offer.base[i] if i >= 0 else 0.0) + (job.bend if graph.bends[arc] else 0.0)
                if self._sole.get(i) == lane.job:
                    cost += self.ready.open_g[i]
                columns[arc] = rows.column(cost, whole=i >= 0 and (lane.whole or i in tight))
            self.flow.append(columns)
            along: dict[int, list[tuple[int, bool]]] = {}
            for arc, column in columns.items():
                along.setdefault(graph.edge[arc], []).append((column, graph.forward[arc]))
            self._along.append(along)
        for k, numbers in self._by_job.items():
            out: dict[int, float] = {}
            if left_out_g is not None:
                self.left_out[k] = rows.column(left_out_g * len(self.ready.jobs[k].runs), whole=True)
                out[self.left_out[k]] = 1.0
            for n in numbers:
                out[self._keep_flow(n, chosen=len(numbers) > 1 or left_out_g is not None)] = 1.0
            out.pop(-1, None)
            if out:
                rows.row(1.0, out, 1.0)

    def _keep_flow(self, n: int, *, chosen: bool) -> int:
        """Let what flows into a state flow out again; return the column that says whether the lane is chosen, or -1."""
        graph, rows, lane = self.ready.graph, self.rows, self.lanes[n]
        ways = self.ready.jobs[lane.job].ways
        terms: dict[int, dict[int, float]] = {ways.start: {}, ways.end: {}}
        for arc, column in self.flow[n].items():
            terms.setdefault(graph.tail[arc], {})[column] = 1.0
            terms.setdefault(graph.head[arc], {})[column] = -1.0
        pick = rows.column(0.0, whole=True) if chosen else -1
        if chosen:
            self._picks[n] = pick
        for state, row in terms.items():
            need = 1.0 if state == ways.start else -1.0 if state == ways.end else 0.0
            if need and chosen:
                row[pick], need = -need, 0.0
            rows.row(need, row, need)
        if lane.whole:
            long = {c: self.ready.wire_m[graph.edge[arc]] for arc, c in self.flow[n].items() if graph.edge[arc] >= 0}
            longest_m = lane.offer.longest_m
            if longest_m < INF:
                rows.row(-INF, {**long, pick: -longest_m} if chosen else long, 1e-9 if chosen else longest_m + 1e-9)
        return pick

    def _through(self, n: int, edge: int, *, forward: bool | None = None) -> dict[int, float]:
        return {column: 1.0 for column, way in self._along[n].get(edge, ()) if forward is None or way == forward}

    def _open(self) -> None:
        """Open an edge for power, for data, or for both with the price of mixing."""
        ready, rows = self.ready, self.rows
        for i, numbers in sorted(self._on.items()):
            costs_none = ready.open_g[i] == ready.mix_g[i] == 0 and i not in self._passed
            if not ready.edges[i].shared or i in self._sole or costs_none:
                continue
            kinds = sorted({ready.jobs[self.lanes[n].job].power for n in numbers})
            if len(kinds) == 1 or ready.mix_g[i] == 0:
                opened = rows.column(ready.open_g[i], whole=True)
                gates = dict.fromkeys(kinds, opened)
                both: tuple[int, ...] = ()
            else:
                both = opened, mixed = rows.column(ready.open_g[i]), rows.column(ready.mix_g[i])
                gates = {kind: rows.column(0.0, whole=True) for kind in kinds}
                for gate in gates.values():
                    rows.row(-INF, {gate: 1.0, opened: -1.0}, 0.0)
                rows.row(-INF, {**dict.fromkeys(gates.values(), 1.0), opened: -1.0, mixed: -1.0}, 0.0)
            behind: dict[int, list[int]] = {gate: [] for gate in gates.values()}
            for k in dict.fromkeys(self.lanes[n].job for n in numbers):
                flows = [self._through(n, i) for n in numbers if self.lanes[n].job == k]
                terms = {column: 1.0 for flow in flows for column in flow}
                rows.row(-INF, {**terms, gates[ready.jobs[k].power]: -1.0}, 0.0)
                behind[gates[ready.jobs[k].power]].extend(terms)
            self._implied += [(gate, columns, 1) for gate, columns in behind.items()]
            self._implied += [(column, list(behind), least) for least, column in enumerate(both, start=1)]
            self._opened[i] = opened

    def _cross(self) -> None:
        """Let a job pay where it passes over an edge that is opened: no less than its flow and the opening beyond 1."""
        for k, numbers in self._by_job.items():
            for one in crossings(self.ready, self.ready.jobs[k], [self.flow[n] for n in numbers]):
                opened = self._opened.get(one.edge)
                if opened is not None:
                    column = self.rows.column(one.cost_g)
                    self.rows.row(-INF, {**dict.fromkeys(one.flows, 1.0), opened: 1.0, column: -1.0}, 1.0)
                    self._crossed.append((column, one.flows, opened))

    def _tree(self) -> None:
        """Open each direction on its own, and no node from two sides: what fans out from one node is a tree."""
        ready, rows = self.ready, self.rows
        into: dict[str, dict[int, float]] = {}
        for i, numbers in sorted(self._on.items()):
            edge = ready.edges[i]
            if not edge.shared:
                continue
            both = {}
            for forward in (False, True):
                flows = [self._through(n, i, forward=forward) for n in numbers]
                if any(flows):
                    opened = rows.column(ready.open_g[i], whole=True)
                    both[opened] = 1.0
                    self._implied.append((opened, [column for flow in flows for column in flow], 1))
                    into.setdefault(edge.b if forward else edge.a, {})[opened] = 1.0
                    for flow in flows:
                        if flow:
                            rows.row(-INF, {**flow, opened: -1.0}, 0.0)
            if len(both) > 1:
                rows.row(-INF, both, 1.0)
        for _, terms in sorted(into.items()):
            if len(terms) > 1:
                rows.row(-INF, terms, 1.0)

    def _room(self, covers: Sequence[Cover]) -> None:
        """Keep the wires' area below the trunk's, few enough of each thickness, and apart what was found not to fit."""
        for i in self.tight:
            capacity_m = self.ready.edges[i].capacity_m or 0.0
            numbers = self.shares(i)
            area = {n: sum(mm * mm for mm in self.lanes[n].offer.wire_mm) for n in numbers}
            terms = {column: area[n] for n in numbers for column in self._through(n, i)}
            most = sum(len(self.lanes[n].offer.wire_mm) for n in numbers)
            least = min(len(self.lanes[n].offer.wire_mm) for n in numbers)
            self.rows.row(-INF, terms, densest(least, most) * (capacity_m * 1e3) ** 2 + 1e-6)
            for mm in sorted({self.lanes[n].offer.wire_mm for n in numbers}):
                thick = [n for n in numbers if no_thinner(self.lanes[n].offer.wire_mm, mm)]
                most = next(c for c in range(len(thick) + 1) if c == len(thick) or not fits(mm * (c + 1), capacity_m))
                if most < len(thick):
                    self.rows.row(-INF, {c: 1.0 for n in thick for c in self._through(n, i)}, float(most))
        for cover in covers:
            lanes = [(n, self.lanes[n]) for n in self.shares(cover.edge)]
            inside = [n for n, lane in lanes if (lane.job, lane.offer.option) in cover.lanes]
            if len({self.lanes[n].job for n in inside}) <= cover.most:
                continue
            self.rows.row(-INF, {c: 1.0 for n in inside for c in self._through(n, cover.edge)}, float(cover.most))

    def _pass_once(self, k: int) -> None:
        into: dict[str, dict[int, float]] = {}
        graph = self.ready.graph
        for n in self._by_job.get(k, ()):
            for arc, column in self.flow[n].items():
                if graph.edge[arc] >= 0:
                    edge = self.ready.edges[graph.edge[arc]]
                    into.setdefault(edge.b if graph.forward[arc] else edge.a, {})[column] = 1.0
        for terms in into.values():
            self.rows.row(-INF, terms, 1.0)


def densest(least: int, most: int) -> float:
    """Return the largest share of its round bundle that some number of wires fills, from `least` to `most` of them.

    By area, equal wires of the same total fill as much as a mix in `bundle_mm`, which is never below them.
    """
    return max((n / bundle_over_wire(n) ** 2 for n in range(max(1, least), most + 1)), default=1.0)


def no_thinner(mm: Sequence[float], other: Sequence[float]) -> bool:
    """Whether wires are at least as many and as thick as others, one by one."""
    one, two = sorted(mm, reverse=True), sorted(other, reverse=True)
    return len(one) >= len(two) and all(a >= b for a, b in zip(one, two, strict=False))
