"""Small random nets for the routing tests, and the best answer to them by trying everything."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.layout.result import Copper, Course, Edge, Node, Run
from loomwright.layout.route_bundle import fits
from loomwright.layout.route_problem import Prices, RouteProblem

Spot = tuple[float, float, float]
_EASY = Prices(
    handling_g_per_m=5,
    drop_g_per_m=30,
    loose_g_per_m=30,
    loose_run_g=7,
    trunk_g_per_m=40,
    link_g_per_m=70,
    mixing_g_per_m=15,
    bend_g=1,
    crossing_g=4,
)


def net(seed: int) -> RouteProblem:
    """Make a net of four to six trunk nodes with two to four runs, by turns with every rule that can bind."""
    rng = random.Random(seed)  # noqa: S311 - small nets, no secrets
    grid = rng.sample(list(itertools.product(range(3), range(3))), rng.randint(4, 6))
    spots: dict[str, Spot] = {f"n{n}": (x * 0.3, y * 0.3, 0.0) for n, (x, y) in enumerate(grid)}
    trunk_nodes = list(spots)
    edges = [_trunk(rng, n, pair, spots) for n, pair in enumerate(_pairs(rng, trunk_nodes))]
    names = [edge.name for edge in edges]

    def over(who: str, times: int) -> tuple[str, ...]:
        return tuple(random.Random(f"{seed} {who}").choices(names, k=times))  # noqa: S311 - the same

    runs: list[Run] = []
    for n in range(rng.randint(2, 4)):
        ends = []
        for side in "ab":
            if rng.random() < 0.2:
                ends.append(rng.choice(trunk_nodes))
            elif side == "a" and n and rng.random() < 0.5:
                ends.append(runs[0].start)
            else:
                ends.append(f"{side}{n}")
        for end in ends:
            if end not in spots:
                spots[end] = (rng.uniform(0, 0.6), rng.uniform(0, 0.6), 0.0)
                edges += [
                    _line(f"drop {end} {to}", end, to, spots, Course.DROP, over=over(end, rng.randint(0, 1)))
                    for to in rng.sample(trunk_nodes, rng.randint(1, 2))
                ]
        if rng.random() < 0.4 and ends[0] != ends[1]:
            passed = over(f"loose {n}", rng.randint(0, 3))
            edges.append(_line(f"loose {n}", ends[0], ends[1], spots, Course.LOOSE, over=passed))
        runs.append(_run(rng, n, ends, shared=2))
    bend_g = rng.choice([0.0, 1.0, 8.0])
    prices = Prices(
        handling_g_per_m=rng.choice([0, 5]),
        drop_g_per_m=random.Random(seed + 1).choice([0, 12, 40]),  # noqa: S311 - the same
        loose_g_per_m=rng.choice([0, 30]),
        loose_run_g=random.Random(seed).choice([0, 12]),  # noqa: S311 - the same
        trunk_g_per_m=rng.choice([5, 40, 150]),
        link_g_per_m=70,
        mixing_g_per_m=rng.choice([0, 15, 200]),
        bend_g=bend_g,
        crossing_g=4,
    )
    nodes = tuple(Node(name, at) for name, at in spots.items())
    shared_g = (0.0, rng.choice([2.0, 10.0]))
    return RouteProblem(nodes=nodes, edges=tuple(edges), runs=tuple(runs), prices=prices, shared_g=shared_g)


def line(name: str, a: str, b: str, start: Spot, end: Spot, course: Course = Course.TRUNK) -> Edge:
    """Draw a straight edge."""
    return Edge(name, a, b, (start, end), math.dist(start, end), course)


def easy(
    edges: tuple[Edge, ...], runs: tuple[Run, ...], *, prices: Prices = _EASY, shared_g: tuple[float, ...] = (0.0,)
) -> RouteProblem:
    """Make a problem of edges and runs with plain prices."""
    return RouteProblem(nodes=(), edges=edges, runs=runs, prices=prices, shared_g=shared_g)


def paths_of(problem: RouteProblem, run: Run, index: Mapping[str, int], *, turned: bool) -> Iterator[tuple[int, ...]]:
    """Yield every way of a run as numbers of edges, from its end where `turned`."""
    for path in _paths(problem, run, [], run.start, {run.start}):
        way = tuple(index[edge.name] for edge in path)
        yield way[::-1] if turned else way


@dataclass(frozen=True, slots=True)
class _Choice:
    edges: tuple[Edge, ...]
    power: bool
    wire_mm: tuple[float, ...]
    own_g: float


def best_by_trial(problem: RouteProblem) -> tuple[int, float]:
    """Return how many runs stay without a way at least, and what it costs at least then, by trying every combination.

    Costs are reckoned from the definition in `Prices`, with plane geometry of its own.
    """
    best = (len(problem.runs) + 1, math.inf)
    for shared, mains_g in enumerate(problem.shared_g):
        choices = [list(_choices(problem, run, shared)) for run in problem.runs]
        best = min(best, _try(problem, choices, [], 0, mains_g, best))
    return best


def _try(
    problem: RouteProblem,
    choices: list[list[_Choice]],
    taken: list[_Choice],
    left: int,
    own_g: float,
    best: tuple[int, float],
) -> tuple[int, float]:
    cost_g = own_g + _open_g(problem, taken)
    if (left, cost_g) >= best:
        return best
    if not choices:
        return left, cost_g
    for choice in choices[0]:
        if _room(problem, [*taken, choice]):
            best = _try(problem, choices[1:], [*taken, choice], left, own_g + choice.own_g, best)
    return _try(problem, choices[1:], taken, left + 1, own_g, best)


def _choices(problem: RouteProblem, run: Run, shared: int) -> Iterator[_Choice]:
    prices = problem.prices
    if run.start == run.end:
        yield _Choice((), run.power, (), 0.0)
        return
    for path in _paths(problem, run, [], run.start, {run.start}):
        wire_m = sum(edge.length_m + edge.slack_m for edge in path)
        drop_m = sum(edge.length_m + edge.slack_m for edge in path if edge.course is Course.DROP)
        loose_m = sum(edge.length_m + edge.slack_m for edge in path if edge.course is Course.LOOSE)
        extra = prices.drop_g_per_m * drop_m + prices.loose_g_per_m * loose_m
        extra += prices.handling_g_per_m * len(run.wires) * wire_m
        extra += prices.loose_run_g * sum(edge.course is Course.LOOSE for edge in path)
        extra += prices.bend_g * _bends(path, run.start)
        for copper in run.options:
            limit_m = copper.longest_m[shared if len(copper.longest_m) > 1 else 0]
            if wire_m <= limit_m + 1e-9:
                yield _Choice(tuple(path), run.power, copper.wire_mm, extra + copper.mass_g_per_m * wire_m)


def _paths(problem: RouteProblem, run: Run, path: list[Edge], at: str, passed: set[str]) -> Iterator[list[Edge]]:
    if at == run.end:
        yield path
        return
    if path and not any(edge.shared and at in (edge.a, edge.b) for edge in problem.edges):
        return
    for edge in problem.edges:
        own = edge.shared or run.start in (edge.a, edge.b) or run.end in (edge.a, edge.b)
        if at in (edge.a, edge.b) and own and not (run.power and edge.signal_only):
            there = edge.b if at == edge.a else edge.a
            if there not in passed:
                yield from _paths(problem, run, [*path, edge], there, passed | {there})


def _bends(path: list[Edge], start: str) -> int:
    bends, at = 0, start
    for came, onto in itertools.pairwise(path):
        at = came.b if at == came.a else came.a
        one = _angle(came, at) + math.pi
        turn = abs((one - _angle(onto, at) + math.pi) % (2 * math.pi) - math.pi)
        bends += turn > math.radians(30) + 1e-6
    return bends


def _angle(edge: Edge, node: str) -> float:
    (x, y, _), (to_x, to_y, _) = edge.path if node == edge.a else edge.path[::-1]
    return math.atan2(to_y - y, to_x - x)


def _open_g(problem: RouteProblem, taken: list[_Choice]) -> float:
    prices, total = problem.prices, 0.0
    kinds: dict[Edge, set[bool]] = {}
    for choice in taken:
        for edge in choice.edges:
            if edge.shared:
                kinds.setdefault(edge, set()).add(choice.power)
    over = [name for choice in taken for edge in choice.edges for name in edge.over]
    for edge, users in kinds.items():
        total += prices.crossing_g * over.count(edge.name)
        total += (prices.trunk_g_per_m if edge.course is Course.TRUNK else prices.link_g_per_m) * edge.length_m
        total += prices.mixing_g_per_m * edge.length_m if len(users) > 1 else 0.0
    return total


def _room(problem: RouteProblem, taken: list[_Choice]) -> bool:
    narrow = [edge for edge in problem.edges if edge.capacity_m is not None]
    return all(fits([mm for c in taken if edge in c.edges for mm in c.wire_mm], edge.capacity_m) for edge in narrow)


def _pairs(rng: random.Random, nodes: list[str]) -> list[tuple[str, str]]:
    tree = [(node, rng.choice(nodes[:n])) for n, node in enumerate(nodes) if n]
    more = [tuple(rng.sample(nodes, 2)) for _ in range(rng.randint(1, 3))]
    return [*tree, *((a, b) for a, b in more)]


def _trunk(rng: random.Random, n: int, pair: tuple[str, str], spots: dict[str, Spot]) -> Edge:
    a, b = pair
    return Edge(
        f"t{n}",
        a,
        b,
        (spots[a], spots[b]),
        math.dist(spots[a], spots[b]),
        Course.LINK if rng.random() < 0.2 else Course.TRUNK,
        capacity_m=rng.choice([0.004, 0.0065, 0.008, 0.011]) if rng.random() < 0.35 else None,
        slack_m=rng.choice([0.0, 0.0, 0.1]),
        signal_only=rng.random() < 0.1,
    )


def _line(name: str, a: str, b: str, spots: dict[str, Spot], course: Course, *, over: tuple[str, ...]) -> Edge:
    return Edge(name, a, b, (spots[a], spots[b]), math.dist(spots[a], spots[b]), course, over=over)


def _run(rng: random.Random, n: int, ends: list[str], *, shared: int) -> Run:
    options = []
    for mass, outside in rng.sample([(59.0, 3.6), (37.0, 3.0), (14.6, 2.1)], rng.randint(1, 3)):
        reach = math.inf if mass > 50 and rng.random() < 0.7 else rng.uniform(0.4, 1.4)
        options.append(Copper(None, mass, (outside,) * 2, (reach, reach * rng.choice([1.0, 1.4]))[:shared]))
    wires = ((f"r{n}", "plus"), (f"r{n}", "minus"))
    return Run(f"r{n}", ends[0], ends[1], wires, rng.random() < 0.6, tuple(options))
