"""Answers at once: the plain one (every wire its shortest way), and one that shares what is already open."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from loomwright.layout.engine.route_jobs import Offer, Prepared
from loomwright.layout.engine.route_paths import cheapest
from loomwright.layout.engine.route_state import State
from loomwright.layout.result import Course
from loomwright.search import Watch

_SAME_G = 1e-7
_ROUNDS = 20
# How many edges are tried to do without; the examples need fewer than 150.
_TRIES = 400


def plain(ready: Prepared, shared: int, offers: Mapping[int, Sequence[Offer]]) -> State:
    """Give each run its shortest way on the trunks with the thinnest option that holds, whatever the others do.

    Off the trunks only where there is no other way. One after the other, so that a full trunk turns the rest away.
    """
    state = State(ready, shared, offers)
    loose = frozenset(i for i, edge in enumerate(ready.edges) if edge.course is Course.LOOSE)
    for k in offers:
        if not _shortest(state, k, loose):
            _shortest(state, k, frozenset())
    return state


def greedy(ready: Prepared, shared: int, offers: Mapping[int, Sequence[Offer]]) -> State:
    """Route the runs one after the other, the dearest first, each as cheaply as it can beside those before it."""
    alone = State(ready, shared, offers)
    costs = []
    for k in offers:
        if alone.route(k):
            costs.append((-alone.added_g(k), k))
            alone.lift(k)
    state = State(ready, shared, offers)
    for _, k in sorted(costs):
        state.route(k)
    return state


def guided(state: State, unpaid: Mapping[bool, frozenset[int]]) -> State:
    """Route the runs over the edges that a lower bound has paid for, and whoever finds no way there over any."""
    for closed in (unpaid, {True: frozenset[int](), False: frozenset[int]()}):
        for k in state.offers:
            if k not in state.taken:
                state.route(k, closed[state.ready.jobs[k].power])
    return state


def reroute(state: State, watch: Watch) -> State:
    """Take every run up and lay it again beside the others, until nobody gains."""
    for _ in range(_ROUNDS):
        before = state.rank
        for k in state.offers:
            if watch.stopped:
                return state
            state.again(k)
        if not _less(state.rank, before):
            break
    return state


def close(state: State, watch: Watch) -> State:
    """Try to do without each open edge: whoever is on it goes elsewhere, and it stays so where that is cheaper."""
    tries = 0
    for _ in range(_ROUNDS):
        better = False
        for i in sorted(state.open_edges(), key=lambda i: (-state.ready.open_g[i], i)):
            if watch.stopped:
                return state
            if not state.users(i) or not state.ready.edges[i].shared or tries == _TRIES:
                continue
            tries += 1
            better = _without(state, i) or better
        if not better:
            break
        reroute(state, watch)
    return state


def _without(state: State, edge: int) -> bool:
    """Send everybody off an edge and leave it so where that is cheaper."""
    users = state.users(edge)
    before, was = state.rank, {k: state.lift(k) for k in users}
    for k in users:
        state.route(k, frozenset([edge]))
    if _less(state.rank, before):
        return True
    for k in users:
        state.lift(k)
    for k, taken in was.items():
        if taken is not None:
            state.put(k, taken)
    return False


def _shortest(state: State, k: int, closed: frozenset[int]) -> bool:
    """Lay a job along its shortest way, with its lightest option that holds there."""
    ready = state.ready
    job = ready.jobs[k]
    for offer, shut in zip(state.offers[k], state.shut(k, closed), strict=True):
        far = [m if own < math.inf else own for m, own in zip(ready.wire_m, offer.base, strict=True)]
        for i in shut:
            far[i] = math.inf
        way = cheapest(ready.graph, job.ways, far, 0.0)
        if way is not None and ready.holds(offer, way.edges):
            state.put(k, ready.taken(job, offer, way.edges))
            return True
    return False


def _less(one: tuple[int, float], other: tuple[int, float]) -> bool:
    return (one[0], one[1] + _SAME_G) < other
