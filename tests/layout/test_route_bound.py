"""The dual ascent on its own: a true lower bound, and nothing left out that a best answer uses."""

from __future__ import annotations

import random

import pytest

from benchmarks.trunks import robot
from loomwright.layout.engine.route_bound import Ascent
from loomwright.layout.engine.route_exact import Exact
from loomwright.layout.engine.route_greedy import plain
from loomwright.layout.engine.route_jobs import Prepared
from loomwright.layout.engine.route_known import from_known
from loomwright.layout.engine.route_paths import arcs_along
from loomwright.layout.engine.route_solver import route
from loomwright.layout.engine.route_state import State
from loomwright.search import SILENT, Effort
from tests.layout.route_nets import best_by_trial, net


def ready_nets() -> list[tuple[int, State]]:
    """Return nets where everybody has a way, with their best answer."""
    found = []
    for seed in range(400):
        answer = route(net(seed), effort=Effort.PROVE)
        if not answer.unroutable:
            ready = Prepared(net(seed))
            offers = {k: ready.offers(job, answer.shared) for k, job in enumerate(ready.jobs)}
            ways = {one.run: one.edges for one in answer.routes}
            found.append((seed, from_known(ready, answer.shared, offers, ways)))
    return found


@pytest.fixture(scope="module")
def nets() -> list[tuple[int, State]]:
    """Make them once."""
    return ready_nets()


def test_the_bound_is_never_above_the_best(nets: list[tuple[int, State]]) -> None:
    tight = 0
    for seed, best in nets:
        ascent = Ascent(best.ready, best.shared, best.offers)
        left, cost = best_by_trial(net(seed))
        assert left == 0
        assert ascent.bound <= cost + 1e-6, f"net {seed}"
        tight += ascent.bound > 0.9 * cost
    assert tight > len(nets) / 2


def test_no_arc_of_a_best_answer_is_left_out(nets: list[tuple[int, State]]) -> None:
    """Neither by the ascent, nor by the program without whole numbers."""
    for seed, best in nets:
        ascent = Ascent(best.ready, best.shared, best.offers)
        exact = Exact(ascent, plain(best.ready, best.shared, best.offers), (0, best.cost + 1e-4), SILENT)
        for thinned in (False, True):
            if thinned:
                exact.thin_out()
            for k, taken in best.taken.items():
                along = arcs_along(best.ready.graph, best.ready.jobs[k].ways, taken.edges)
                lanes = [lane for lane in exact.lanes if (lane.job, lane.offer.option) == (k, taken.option)]
                assert along is not None
                assert any(set(along) <= set(lane.arcs) for lane in lanes), f"net {seed}"


def test_what_the_relaxation_leaves_out_is_useless() -> None:
    """On a robot whose first answer is not the best: neither of the two loses an arc, and most others go."""
    problem = robot(random.Random(8), 30, 20, dear=3.0)  # noqa: S311 - a net, no secret
    ready = Prepared(problem)
    first, best = (route(problem, effort=effort) for effort in (Effort.FIRST, Effort.PROVE))
    assert first.shared == best.shared
    offers = {k: ready.offers(job, best.shared) for k, job in enumerate(ready.jobs)}
    states = [
        from_known(ready, best.shared, offers, {one.run: one.edges for one in answer.routes})
        for answer in (first, best)
    ]
    upper = states[0].cost + 1e-4
    exact = Exact(Ascent(ready, best.shared, offers), states[0], (0, upper), SILENT)
    before = exact.flows
    assert exact.thin_out() < best.certificate.cost + 1e-6 < upper - 1
    assert exact.flows < 0.8 * before
    for state in states:
        for k, taken in state.taken.items():
            along = arcs_along(ready.graph, ready.jobs[k].ways, taken.edges) or []
            assert any(lane.job == k and set(along) <= set(lane.arcs) for lane in exact.lanes)
