"""Crossings in the program of routes: who passes over a trunk that is opened pays for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwright.layout.engine.route_jobs import Job, Prepared


@dataclass(frozen=True, slots=True)
class Crossing:
    """Flows of a job of which at most one is taken, each over an edge; with the edge opened, one costs `cost_g`."""

    edge: int
    flows: tuple[int, ...]
    cost_g: float


def passed(ready: Prepared, arcs: Sequence[int]) -> set[int]:
    """Return the edges that arcs pass over."""
    edge = ready.graph.edge
    return {w for arc in arcs if edge[arc] >= 0 for w in ready.over[edge[arc]]}


def crossings(ready: Prepared, job: Job, flows: Sequence[Mapping[int, int]]) -> list[Crossing]:
    """Return what a job can cross, `flows` being the columns of its options by arc.

    A way has one edge off the trunks at its start and one at its end. So all that leave the start over a trunk make
    one crossing, all that reach the end over it another; who passes it a second time makes one more.
    """
    found: dict[tuple[bool, int, int], list[int]] = {}
    over = dict(job.over)
    for columns in flows:
        for arc, column in columns.items():
            i = ready.graph.edge[arc]
            at_start = job.start in (ready.edges[i].a, ready.edges[i].b)
            for n, w in enumerate(over.get(i, ())):
                time = over[i][:n].count(w)
                found.setdefault((at_start, w, time), []).append(column)
    cost_g = ready.cross_g * len(job.runs)
    return [Crossing(w, tuple(columns), cost_g) for (_, w, _), columns in sorted(found.items())]
