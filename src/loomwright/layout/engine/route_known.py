"""Take up ways that are known already, as far as they still keep the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.layout.engine.route_jobs import Job, Offer, Prepared, Taken
from loomwright.layout.engine.route_paths import arcs_along
from loomwright.layout.engine.route_state import State


def from_known(
    ready: Prepared, shared: int, offers: Mapping[int, Sequence[Offer]], known: Mapping[str, tuple[str, ...]]
) -> State:
    """Lay every run along its known edges (by name, from its start), the others as cheaply as they can beside them."""
    state = State(ready, shared, offers)
    for k in offers:
        job = ready.jobs[k]
        edges = known.get(job.name)
        if edges is not None and all(name in ready.index for name in edges):
            turned = job.runs[0].start != job.start
            numbers = [ready.index[name] for name in (edges[::-1] if turned else edges)]
            taken = _allowed(state, k, job, numbers)
            if taken is not None:
                state.put(k, taken)
    for k in offers:
        if k not in state.taken:
            state.route(k)
    return state


def _allowed(state: State, k: int, job: Job, edges: Sequence[int]) -> Taken | None:
    """Return the way along these edges with the lightest option that holds and fits there, None where there is none."""
    ready = state.ready
    if arcs_along(ready.graph, job.ways, edges) is None:
        return None
    for offer, closed in zip(state.offers[k], state.shut(k), strict=True):
        is_open = all(offer.base[i] < float("inf") and i not in closed for i in edges)
        if is_open and ready.holds(offer, edges):
            taken = ready.taken(job, offer, edges)
            return taken if taken.edges == tuple(edges) else None
    return None
