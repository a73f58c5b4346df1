"""Runs that fan out from one node as a tree: by sets of runs, by the program of flows, and by trying everything."""

from __future__ import annotations

import math
import os
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine import route_exact
from loomwright.layout.engine.route_exact import fans_out
from loomwright.layout.engine.route_jobs import Prepared
from loomwright.layout.engine.route_solver import route
from loomwright.layout.engine.route_state import State
from loomwright.layout.engine.route_tree import best_tree
from loomwright.layout.result import Copper, Course
from loomwright.layout.route_problem import RouteProblem
from loomwright.search import SILENT, Effort
from tests.layout.route_nets import best_by_trial, net


def fan(seed: int) -> RouteProblem:
    """Make a net of which every run starts at the first trunk node, each with its own copper."""
    problem = net(seed)
    edges = tuple(
        replace(edge, capacity_m=None, over=()) for edge in problem.edges if edge.shared or "n0" not in (edge.a, edge.b)
    )
    ends = [run.end for run in problem.runs if run.end != "n0"]
    wires = [Copper(None, mass, (2.0, 2.0), (math.inf,)) for mass in (0, 15, 37, 59)]
    runs = tuple(
        replace(problem.runs[n], start="n0", end=end, power=True, options=(wires[(seed + n) % 4],))
        for n, end in enumerate(ends)
    )
    return replace(problem, edges=edges, runs=runs, prices=replace(problem.prices, bend_g=0))


@settings(max_examples=int(os.environ.get("FUZZ_EXAMPLES", "40")))
@given(st.integers(min_value=0, max_value=10**6).map(fan))
def test_three_methods_find_the_same_tree(problem: RouteProblem) -> None:
    left, cost = best_by_trial(problem)
    for small in (True, False):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(route_exact, "is_small", lambda _ready, small=small: small)
            answer = route(problem, effort=Effort.PROVE)
        check_routes(problem, answer)
        assert answer.certificate.proved
        assert len(answer.unroutable) == left
        assert answer.certificate.cost == pytest.approx(cost)


def test_the_tree_alone_costs_the_best() -> None:
    """With drops at some ends, and without anybody else's help."""
    drops = 0
    for problem in map(fan, range(60)):
        ready = Prepared(problem)
        offers = {k: ready.offers(job, 0) for k, job in enumerate(ready.jobs)}
        if ready.jobs and all(offers.values()):
            ways = best_tree(ready, offers, range(len(ready.edges)), SILENT)
            assert ways is not None
            state = State(ready, 0, offers)
            for k, taken in ways.items():
                state.put(k, taken)
                drops += any(not ready.edges[i].shared for i in taken.edges)
            assert state.cost == pytest.approx(best_by_trial(problem)[1])
    assert drops > 20


def test_a_fan_is_told_from_what_is_none() -> None:
    """Bends, crossings, a second start, a limit of room or length: each makes it more than a tree."""
    problem = next(p for p in map(fan, range(100)) if len(p.runs) > 1 and any(e.course == "drop" for e in p.edges))
    limited = replace(problem.runs[0], options=(Copper(None, 15, (2.0, 2.0), (9.0,)),))
    turned = replace(problem.runs[0], start="n1")
    others = (
        replace(problem, prices=replace(problem.prices, bend_g=1)),
        replace(problem, edges=(replace(problem.edges[0], capacity_m=0.02), *problem.edges[1:])),
        replace(problem, edges=(*problem.edges[:-1], replace(problem.edges[-1], over=(problem.edges[0].name,)))),
        replace(problem, runs=(limited, *problem.runs[1:])),
        replace(problem, runs=(turned, *problem.runs[1:])),
        replace(problem, runs=(replace(problem.runs[0], power=False), *problem.runs[1:])),
        replace(problem, edges=(*problem.edges, replace(problem.edges[-1], a="n0", b="n1", course=Course.DROP))),
        replace(problem, fixed=((problem.runs[0].name, ()),)),
    )
    told = []
    for one in (problem, *others):
        ready = Prepared(one)
        offers = {k: ready.offers(job, 0) for k, job in enumerate(ready.jobs)}
        told.append(fans_out(ready, {k: some for k, some in offers.items() if some}))
    assert told == [True] + [False] * len(others)
