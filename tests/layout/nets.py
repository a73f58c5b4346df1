"""Small nets for tests of bundles: grids of trunks with a stub for every end, and routes over them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from loomwright.layout.bundles import sections_of
from loomwright.layout.result import Copper, Course, Edge, Point, Route, Run, Section

HOOK_UP_MM = {12: 3.94, 18: 2.74, 22: 2.35}


@dataclass(frozen=True)
class Sample:
    """A net with routed runs."""

    edges: tuple[Edge, ...]
    runs: tuple[Run, ...]
    routes: tuple[Route, ...]

    @property
    def sections(self) -> tuple[Section, ...]:
        """The bundles that the runs make."""
        return sections_of(self.edges, self.runs, self.routes)


def edge(name: str, path: tuple[Point, ...], nodes: tuple[str, str], *, trunk: str = "", **more: object) -> Edge:
    """Make an edge along a path: of a trunk if one is named, a drop if not."""
    length_m = sum(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 for a, b in pairwise(path))
    course = Course.TRUNK if trunk else Course.DROP
    return Edge(name, *nodes, path, length_m, course, trunk, **more)  # type: ignore[arg-type]


def run(name: str, start: str, end: str, *, awg: int = 18, power: bool = True) -> Run:
    """Make a pair of wires from node to node."""
    wires = ((name, "plus"), (name, "minus"))
    return Run(name, start, end, wires, power, (Copper(None, 10.0, (HOOK_UP_MM[awg],) * 2),))


def route(edges: tuple[Edge, ...], name: str, *nodes: str) -> Route:
    """Make the route of a run through these nodes."""
    between = {frozenset((e.a, e.b)): e.name for e in edges}
    return Route(name, tuple(between[frozenset(pair)] for pair in pairwise(nodes)), nodes)


def random_sample(seed: int, *, runs: int, crossroads: int, tall: bool = False) -> Sample:
    """Make a net at random: crossroads joined as they come, planar or not, a stub at each end, shortest routes.

    With `tall`, some stubs go straight up or down, and some runs end at a crossroads without a stub.
    """
    chance = random.Random(seed)  # noqa: S311  a test's own dice
    at = {f"n{i}": (chance.randrange(1, 999) / 1000, chance.randrange(1, 999) / 1000, 0.0) for i in range(crossroads)}
    tree = [(f"n{i}", f"n{chance.randrange(i)}") for i in range(1, crossroads)]
    extra = [tuple(chance.sample(sorted(at), 2)) for _ in range(crossroads // 2)]
    edges = [
        edge(f"t{i}", (at[a], at[b]), (a, b), trunk=f"trunk {i % 3}")
        for i, (a, b) in enumerate(sorted({tuple(sorted(pair)) for pair in (*tree, *extra)}))
    ]
    net = nx.Graph((e.a, e.b) for e in edges)
    made, routes = [], []
    for i in range(runs):
        name, start, end = f"run {i}", *chance.sample(sorted(at), 2)
        ends = (f"{name} a", f"{name} b")
        stubs: list[str] = []
        for stub, node in zip(ends, (start, end), strict=True):
            x, y, _ = at[node]
            if tall and chance.random() < 0.2:
                continue
            stubs.append(stub)
            far = (x + chance.uniform(-0.1, 0.1), y + chance.uniform(-0.1, 0.1), 0.0)
            if tall and chance.random() < 0.4:
                far = (x, y, chance.choice([-0.1, 0.2]))
            edges.append(edge(stub, (far, at[node]), (stub, node)))
        path = nx.shortest_path(net, start, end, weight=lambda a, b, _: hash_of(a, b, seed))
        nodes = (*(ends[:1] if ends[0] in stubs else ()), *path, *(ends[1:] if ends[1] in stubs else ()))
        routes.append(route(tuple(edges), name, *nodes))
        made.append(run(name, nodes[0], nodes[-1]))
    return Sample(tuple(edges), tuple(made), tuple(routes))


def hash_of(a: str, b: str, seed: int) -> int:
    """Give an edge a length that has nothing to do with its place, so that routes wander."""
    return 1 + sum(ord(c) * (7 + seed) for c in min(a, b) + max(a, b)) % 13
