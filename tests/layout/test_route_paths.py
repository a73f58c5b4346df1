"""One run's cheapest way, within a longest length too, against every way there is."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.layout.engine.route_jobs import Prepared
from loomwright.layout.engine.route_paths import arcs_along, cheapest, cheapest_within, without_loops
from loomwright.layout.route_problem import RouteProblem
from tests.layout.route_nets import easy, net, paths_of


@settings(max_examples=60)
@given(st.integers(min_value=0, max_value=10**6).map(net), st.floats(min_value=0.2, max_value=2.5))
def test_the_cheapest_way_within_a_length(problem: RouteProblem, longest_m: float) -> None:
    """Prices that have nothing to do with length, so that the cheapest way is often too long."""
    ready = Prepared(problem)
    for job in ready.jobs:
        closed = [job.power and edge.signal_only for edge in ready.edges]
        price = [math.inf if shut else 1.0 + (7 * i) % 5 for i, shut in enumerate(closed)]
        ways = [
            (sum(price[i] for i in way) + 0.5 * ready.graph.bends_on(way, ready.graph.node_path(way, job.start)), way)
            for way in paths_of(ready.problem, job.runs[0], ready.index, turned=job.start != job.runs[0].start)
        ]
        free = cheapest(ready.graph, job.ways, price, 0.5)
        assert (math.inf if free is None else free.cost) == min((cost for cost, _ in ways), default=math.inf)
        short = [cost for cost, way in ways if sum(ready.wire_m[i] for i in way) <= longest_m]
        within = cheapest_within(ready.graph, job.ways, price, 0.5, wire_m=ready.wire_m, longest_m=longest_m)
        assert (math.inf if within is None else within.cost) == min(short, default=math.inf)
        if within is not None:
            assert sum(ready.wire_m[i] for i in within.edges) <= longest_m + 1e-9
            assert arcs_along(ready.graph, job.ways, within.edges) is not None


@settings(max_examples=60)
@given(st.integers(min_value=0, max_value=10**6).map(net), st.integers(min_value=0, max_value=6))
def test_the_cheapest_way_is_found_by_what_is_left_too(problem: RouteProblem, seed: int) -> None:
    """Prices on top of what each job pays itself: the same cost, and nothing where it is not below a limit."""
    ready = Prepared(problem)
    for job in ready.jobs:
        for offer in ready.offers(job, 0):
            price = [own + (seed * i) % 7 for i, own in enumerate(offer.base)]
            blind = cheapest(ready.graph, job.ways, price, job.bend)
            seeing = cheapest(ready.graph, job.ways, price, job.bend, offer.left)
            assert (blind is None) == (seeing is None)
            if blind is None or seeing is None:
                continue
            assert math.isclose(blind.cost, seeing.cost)
            more, less = (
                cheapest(ready.graph, job.ways, price, job.bend, offer.left, blind.cost + by) for by in (1e-6, -1e-6)
            )
            assert more == seeing
            assert less is None


def test_a_loop_is_cut_out_of_a_way() -> None:
    assert without_loops([0, 1, 2, 3, 4], ["a", "b", "c", "d", "b", "e"]) == (0, 4)
    assert without_loops([0, 1], ["a", "b", "c"]) == (0, 1)
    assert without_loops([0, 0], ["a", "b", "a"]) == ()


def test_a_problem_without_runs_is_ready_too() -> None:
    assert Prepared(easy((), ())).jobs == ()
