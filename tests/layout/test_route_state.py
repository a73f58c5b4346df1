"""All ways taken together: what a way adds is what the whole costs more, and who leaves makes room."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.trunks import robot
from loomwright.layout.engine import route_greedy
from loomwright.layout.engine.route_greedy import close, greedy, plain
from loomwright.layout.engine.route_jobs import Prepared
from loomwright.layout.engine.route_state import State
from loomwright.layout.result import Copper, Run
from loomwright.layout.route_problem import RouteProblem
from loomwright.search import SILENT
from tests.layout.route_nets import easy, line, net

NETS = st.integers(min_value=0, max_value=10**6).map(net)


def empty(problem: RouteProblem) -> State:
    """Make ready with nobody on a way."""
    ready = Prepared(problem)
    offers = {k: ready.offers(job, 0) for k, job in enumerate(ready.jobs)}
    return State(ready, 0, {k: some for k, some in offers.items() if some})


@given(NETS)
def test_what_a_way_adds_is_what_the_whole_costs_more(problem: RouteProblem) -> None:
    """Opening, mixing, what it passes over, and those who pass over what it opens."""
    start = empty(problem)
    state = greedy(start.ready, 0, start.offers)
    for k in list(state.taken):
        with_it, adds = state.cost, state.added_g(k)
        assert state.cost == pytest.approx(with_it)
        taken = state.lift(k)
        assert state.cost + adds == pytest.approx(with_it)
        assert taken is not None
        state.put(k, taken)


@given(NETS)
def test_trying_again_never_costs_more(problem: RouteProblem) -> None:
    start = empty(problem)
    state = greedy(start.ready, 0, start.offers)
    for k in state.offers:
        before = state.rank
        state.again(k)
        assert state.rank <= (before[0], before[1] + 1e-6)


def test_who_leaves_a_full_trunk_makes_room() -> None:
    narrow = replace(line("ab", "a", "b", (0, 0, 0), (1, 0, 0)), capacity_m=0.008)
    copper = (Copper(None, 60, (3.6, 3.6)),)
    runs = [Run(f"r{n}", "a", "b", ((f"r{n}", "plus"),), power=True, options=copper) for n in range(2)]
    state = empty(easy((narrow,), tuple(runs)))
    assert state.shut(1) == [frozenset()]
    assert state.route(0)
    assert state.shut(1) == [frozenset({0})]
    assert not state.route(1)
    state.lift(0)
    assert state.shut(1) == [frozenset()]
    assert state.route(1)


def test_no_more_trunks_are_tried_than_the_budget_of_work_allows(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[int] = []
    without = route_greedy._without

    def counted(state: State, edge: int) -> bool:
        tried.append(edge)
        return without(state, edge)

    monkeypatch.setattr(route_greedy, "_without", counted)
    start = empty(robot(random.Random(3), 20, 12))  # noqa: S311 - a net, no secret
    first = plain(start.ready, 0, start.offers)
    close(first.copy(), SILENT)
    assert len(tried) > 3
    tried.clear()
    monkeypatch.setattr(route_greedy, "_TRIES", 3)
    close(first, SILENT)
    assert len(tried) == 3
