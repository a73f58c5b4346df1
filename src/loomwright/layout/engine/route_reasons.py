"""Say in words why a run has no way."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.layout.engine.route_jobs import Job, Prepared
from loomwright.layout.engine.route_paths import distances
from loomwright.layout.engine.route_state import State


def why_not(ready: Prepared, state: State) -> Iterator[tuple[str, str]]:
    """Yield each run that a state leaves out, with the reason."""
    for k, job in enumerate(ready.jobs):
        if k not in state.taken:
            why = "the trunks on its way are full" if k in state.offers else _why_never(ready, job, state.shared)
            for run in job.runs:
                yield run.name, why


def _why_never(ready: Prepared, job: Job, shared: int) -> str:
    run = job.runs[0]
    options = run.options
    if not options:
        return "there is no wire to make it of"
    if job.name in ready.lying:
        return "the way that it lies on no longer leads from end to end, or no longer takes it"
    if _shortest_m(ready, job, frozenset()) == math.inf:
        return f"no trunk leads from {run.start} to {run.end}"
    closed = frozenset(i for i, edge in enumerate(ready.edges) if job.power and edge.signal_only)
    if _shortest_m(ready, job, closed) == math.inf:
        return f"every way from {run.start} to {run.end} has a trunk for signals only"
    narrow = [
        _shortest_m(ready, job, frozenset(i for i, g in enumerate(ready.offer(job, n, shared).base) if g == math.inf))
        for n in range(len(options))
    ]
    shortest_m = min(narrow)
    if shortest_m == math.inf:
        return f"every way from {run.start} to {run.end} has a trunk that is too narrow for it"
    longest_m = max(copper.reach_m(shared) for copper in options)
    return f"its shortest way is {shortest_m:.2f} m, and no wire on offer holds its drop beyond {longest_m:.2f} m"


def _shortest_m(ready: Prepared, job: Job, closed: frozenset[int]) -> float:
    far = distances(ready.graph, job.ways, lambda i: math.inf if i in closed else ready.wire_m[i], 0.0)
    return far.get(job.ways.end, math.inf)
