"""Route random robots' wires over random trunks, and say how fast and how well it was proved.

    python benchmarks/trunks.py [NETS] [--prove] [--steiner] [--dear] [--scarce]

Prints, for nets of 20 to 60 trunk nodes and 30 to 40 runs, the median and the worst time (on the clock, and busy: on a
machine that others use too, the second is the one to compare), how many are proved, the largest gap, and how much
cheaper the answer is than the plain one. `--dear` triples the price of trunks, `--scarce` gives every trunk a capacity.
`--steiner` solves the published trees of tests/reference/steiner instead. Aim on two cores: up to 60 nodes and 40 runs
proved in 20 s, median under 1 s. Nothing here fails: machines are noisy, people read the numbers.
"""

from __future__ import annotations

import itertools
import math
import random
import statistics
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from time import perf_counter, process_time

from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine.route_solver import route
from loomwright.layout.net.crossings import crossings_of
from loomwright.layout.result import Copper, Course, Edge, Node, Point, Run
from loomwright.layout.route_problem import Prices, RouteAnswer, RouteProblem
from loomwright.search import Effort
from loomwright.units.gauge import Gauge

_PRICES = Prices(
    handling_g_per_m=5,
    drop_g_per_m=10,
    loose_g_per_m=50,
    loose_run_g=20,
    trunk_g_per_m=40,
    link_g_per_m=80,
    mixing_g_per_m=20,
    bend_g=1,
    crossing_g=10,
)
# Copper of a pair [g/m] and the outside of one of its wires [mm], by AWG number.
_PAIRS = {12: (59.0, 3.6), 14: (37.0, 3.0), 16: (23.0, 2.5), 18: (14.6, 2.1), 22: (5.8, 1.5)}


@dataclass(frozen=True, slots=True)
class _Seen:
    seconds: float
    busy_s: float
    gap: float
    saved: float


def robot(rng: random.Random, nodes: int, runs: int, *, dear: float = 1.0, scarce: bool = False) -> RouteProblem:
    """Make a robot-like net: trunks on a loose grid, power from a block, data from a controller."""
    corners, trunks = _trunks(rng, nodes, scarce=scarce)
    devices = [f"device {n}" for n in range(runs * 3 // 5)]
    at = {name: (rng.uniform(0, 0.7), rng.uniform(0, 0.7), 0.05) for name in devices}
    at |= {"controller": (rng.uniform(0.2, 0.5), rng.uniform(0.2, 0.5), 0.05)}
    at |= {f"slot {n}": (0.3 + 0.02 * n, 0.33 + 0.04 * (n % 2), 0.05) for n in range(8)}
    edges = [*trunks, *(drop for name, point in at.items() for drop in _drops(rng, name, point, corners))]
    wanted: list[Run] = []
    for n in range(runs):
        if n < len(devices):
            wanted.append(_power(rng, f"run {n}", f"slot {n % 8}", devices[n]))
        else:
            start = "controller" if rng.random() < 0.6 else rng.choice(devices)  # noqa: PLR2004
            end = rng.choice([name for name in devices if name != start])
            copper = Copper(Gauge(22), _PAIRS[22][0], (_PAIRS[22][1],) * 2, (math.inf,) * 2)
            wanted.append(Run(f"run {n}", start, end, ((f"run {n}", "high"), (f"run {n}", "low")), False, (copper,)))  # noqa: FBT003
    edges += [_line(f"loose {r.name}", r.start, r.end, at[r.start], at[r.end], Course.LOOSE) for r in wanted]
    over = crossings_of([edge.path for edge in edges], edges)
    edges = [edge if edge.shared else replace(edge, over=passed) for edge, passed in zip(edges, over, strict=True)]
    prices = replace(_PRICES, trunk_g_per_m=_PRICES.trunk_g_per_m * dear, link_g_per_m=_PRICES.link_g_per_m * dear)
    places = tuple(Node(name, point) for name, point in (corners | at).items())
    return RouteProblem(
        nodes=places, edges=tuple(edges), runs=tuple(wanted), prices=prices, shared_g=(0.0, rng.uniform(5, 60))
    )


def steiner(path: Path) -> RouteProblem:
    """Read a Steiner tree as routing: wires are free, roads cost their length, the first terminal feeds all others."""
    rows = [line.split() for line in path.read_text(encoding="ascii").splitlines()]
    roads = [(row[1], row[2], float(row[3])) for row in rows if row[:1] == ["E"]]
    ends = [row[1] for row in rows if row[:1] == ["T"]]
    edges = tuple(Edge(f"e{n}", a, b, (), length, Course.TRUNK) for n, (a, b, length) in enumerate(roads))
    copper = (Copper(None, 0.0, ()),)
    runs = tuple(Run(f"r{end}", ends[0], end, (), power=True, options=copper) for end in ends[1:])
    nodes = tuple(Node(name, (0, 0, 0)) for name in dict.fromkeys(n for a, b, _ in roads for n in (a, b)))
    prices = Prices(
        handling_g_per_m=0,
        drop_g_per_m=0,
        loose_g_per_m=0,
        loose_run_g=0,
        trunk_g_per_m=1,
        link_g_per_m=1,
        mixing_g_per_m=0,
        bend_g=0,
        crossing_g=0,
    )
    return RouteProblem(nodes=nodes, edges=edges, runs=runs, prices=prices)


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    effort = Effort.PROVE if "--prove" in words else Effort.USUAL
    numbers = [int(word) for word in words if word.isdecimal()]
    if "--steiner" in words:
        for path in sorted((Path(__file__).parent.parent / "tests/reference/steiner").glob("*.gr")):
            one, answer = _solve(steiner(path), effort)
            print(
                f"{path.stem}  {answer.certificate.cost:8.0f}  gap {one.gap:7.3%}",
                f"{one.seconds:6.2f} s, busy {one.busy_s:.2f} s",
                flush=True,
            )
        return
    seen: list[_Seen] = []
    for n, problem in enumerate(_robots(numbers[0] if numbers else 20, words)):
        one, answer = _solve(problem, effort)
        seen.append(one)
        cost = answer.certificate.cost
        print(f"net {n:3}  {len(problem.edges):4} edges {len(problem.runs):3} runs  {cost:8.1f} g", end="")
        print(
            f"  gap {one.gap:7.3%}  saved {one.saved:6.2%}  {one.seconds:6.2f} s, busy {one.busy_s:.2f} s", flush=True
        )
    seconds = [one.seconds for one in seen]
    print(f"{len(seen)} nets: median {statistics.median(seconds):.2f} s, worst {max(seconds):.2f} s", end="")
    print(f", proved {sum(one.gap == 0 for one in seen)}, largest gap {max(one.gap for one in seen):.3%}", end="")
    print(
        f", busy {statistics.median(one.busy_s for one in seen):.2f} s and {max(one.busy_s for one in seen):.2f} s",
        end="",
    )
    print(f", {statistics.mean(one.saved for one in seen):.1%} cheaper than the plain answer")


def _robots(count: int, words: Sequence[str]) -> Iterator[RouteProblem]:
    for seed in range(count):
        rng = random.Random(seed)  # noqa: S311 - a net to measure, no secret
        dear = 3.0 if "--dear" in words else 1.0
        yield robot(rng, rng.randint(20, 60), rng.randint(30, 40), dear=dear, scarce="--scarce" in words)


def _solve(problem: RouteProblem, effort: Effort) -> tuple[_Seen, RouteAnswer]:
    start, busy = perf_counter(), process_time()
    answer = route(problem, effort=effort)
    seconds, busy_s = perf_counter() - start, process_time() - busy
    check_routes(problem, answer)
    proof = answer.certificate
    as_many = proof.baseline_breaks == proof.breaks
    saved = 1 - proof.cost / proof.baseline if proof.baseline and as_many else 0.0
    return _Seen(seconds, busy_s, proof.gap, saved), answer


def _trunks(rng: random.Random, count: int, *, scarce: bool) -> tuple[dict[str, Point], list[Edge]]:
    """Lay trunks: a spanning tree of a jittered grid, and a quarter of the other grid lines."""
    wide = math.ceil(math.sqrt(count))
    step = 0.7 / max(1, wide - 1)
    spots = list(itertools.product(range(wide), range(wide)))[:count]
    names = {spot: f"node {n}" for n, spot in enumerate(spots)}
    jitter = {
        spot: (step * spot[0] + rng.gauss(0, 0.15 * step), step * spot[1] + rng.gauss(0, 0.15 * step), 0.05)
        for spot in spots
    }
    lines = [(a, b) for a in spots for b in ((a[0] + 1, a[1]), (a[0], a[1] + 1)) if b in names]
    rng.shuffle(lines)
    group = {spot: spot for spot in spots}
    edges: list[Edge] = []
    for a, b in lines:
        joins = _top(group, a) != _top(group, b)
        if joins or rng.random() < 0.3:  # noqa: PLR2004
            group[_top(group, a)] = _top(group, b)
            course = Course.LINK if rng.random() < 0.1 else Course.TRUNK  # noqa: PLR2004
            line = _line(f"trunk {len(edges)}", names[a], names[b], jitter[a], jitter[b], course)
            width = rng.choice([0.012, 0.016, 0.02]) if scarce else None
            edges.append(replace(line, signal_only=rng.random() < 0.05, capacity_m=width))  # noqa: PLR2004
    return {names[spot]: point for spot, point in jitter.items()}, edges


def _top(group: dict[tuple[int, int], tuple[int, int]], spot: tuple[int, int]) -> tuple[int, int]:
    while group[spot] != spot:
        spot = group[spot]
    return spot


def _drops(rng: random.Random, name: str, point: Point, corners: dict[str, Point]) -> list[Edge]:
    near = sorted(corners, key=lambda corner: math.dist(point, corners[corner]))[: rng.randint(2, 4)]
    return [_line(f"drop {name} {to}", name, to, point, corners[to], Course.DROP) for to in near]


def _line(name: str, a: str, b: str, start: Point, end: Point, course: Course) -> Edge:
    return Edge(name, a, b, (start, end), math.dist(start, end), course)


def _power(rng: random.Random, name: str, start: str, end: str) -> Run:
    """Make a pair with two or three gauges; the thinner ones hold for a shorter way, longer behind thicker mains."""
    first = rng.choice([12, 14, 16, 18])
    options = []
    for n, gauge in enumerate(g for g in (18, 16, 14, 12) if g <= first):
        mass, outside = _PAIRS[gauge]
        reach = rng.uniform(0.4, 0.8) * 1.6**n if gauge != 12 else math.inf  # noqa: PLR2004
        options.append(Copper(Gauge(gauge), mass, (outside, outside), (reach, reach * 1.3)))
    return Run(name, start, end, ((name, "plus"), (name, "minus")), True, tuple(options))  # noqa: FBT003


if __name__ == "__main__":
    main(sys.argv[1:])
