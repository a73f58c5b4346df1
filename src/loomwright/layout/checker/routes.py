"""Check an answer to a routing problem rule by rule, and reckon its cost again; no code is shared with the search."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from loomwright.layout.result import Copper, Course, Edge, Point, Route, Run
from loomwright.layout.route_bundle import bundle_mm
from loomwright.layout.route_problem import RouteAnswer, RouteProblem

_HAIR = 1e-6
_BEND_DEG = 30.0


def check_routes(problem: RouteProblem, answer: RouteAnswer) -> float:
    """Return what an answer costs [g of copper], reckoned from its routes alone.

    Raises
    ------
    ValueError
        A run has no route or two, a route breaks a rule of `RouteProblem`, or the certificate is wrong.
    """
    runs = {run.name: run for run in problem.runs}
    edges = {edge.name: edge for edge in problem.edges}
    if not 0 <= answer.shared < len(problem.shared_g):
        raise ValueError(f"there is no choice {answer.shared} of the main leads")
    _check_everybody(runs, answer)
    trunk_nodes = {node for edge in problem.edges if edge.shared for node in (edge.a, edge.b)}
    for route in answer.routes:
        _check_route(route, runs[route.run], edges, trunk_nodes)
        _check_length(route, runs[route.run], edges, answer.shared)
    for name, lies in problem.fixed:
        if any(route.run == name and route.edges != lies for route in answer.routes):
            raise ValueError(f"{name} lies already, and has been moved")
    _check_room(problem, answer, runs)
    cost_g = _cost_g(problem, answer, runs, edges)
    _check_certificate(answer, cost_g)
    return cost_g


def _check_everybody(runs: dict[str, Run], answer: RouteAnswer) -> None:
    told = [*(route.run for route in answer.routes), *(name for name, _ in answer.unroutable)]
    for name in told:
        if name not in runs:
            raise ValueError(f"there is no run {name}")
        if told.count(name) > 1:
            raise ValueError(f"{name} has more than one route")
    for name in runs:
        if name not in told:
            raise ValueError(f"{name} has no route, and nobody says why")


def _check_route(route: Route, run: Run, edges: dict[str, Edge], trunk_nodes: set[str]) -> None:
    if len(route.nodes) != len(route.edges) + 1 or (route.nodes[0], route.nodes[-1]) != (run.start, run.end):
        raise ValueError(f"{run.name} does not lead from {run.start} to {run.end}")
    if len(set(route.nodes)) != len(route.nodes):
        raise ValueError(f"{run.name} passes a node twice")
    for name, (here, there) in zip(route.edges, pairwise(route.nodes), strict=True):
        edge = edges.get(name)
        if edge is None:
            raise ValueError(f"{run.name} uses an edge {name}, which the net does not have")
        if {edge.a, edge.b} != {here, there}:
            raise ValueError(f"{run.name} uses {name} from {here} to {there}, which it does not join")
        if not edge.shared and not {edge.a, edge.b} & {run.start, run.end}:
            raise ValueError(f"{run.name} uses {name}, a drop of somebody else")
        if edge.signal_only and run.power:
            raise ValueError(f"{run.name} carries power on {name}, which is for signals only")
    for node in route.nodes[1:-1]:
        if node not in trunk_nodes:
            raise ValueError(f"{run.name} passes through the terminal {node}")


def _check_length(route: Route, run: Run, edges: dict[str, Edge], shared: int) -> None:
    if not 0 <= route.option < len(run.options):
        raise ValueError(f"{run.name} has no option {route.option}")
    limits = run.options[route.option].longest_m
    limit_m = limits[0] if len(limits) == 1 else limits[shared]
    length_m = math.fsum(edges[name].length_m + edges[name].slack_m for name in route.edges)
    if length_m > limit_m + _HAIR:
        raise ValueError(f"{run.name} is {length_m:.3f} m long, and its wire holds for {limit_m:.3f} m")


def _check_room(problem: RouteProblem, answer: RouteAnswer, runs: dict[str, Run]) -> None:
    for edge in problem.edges:
        if edge.capacity_m is not None:
            through = [route for route in answer.routes if edge.name in route.edges]
            wires = [mm for route in through for mm in _copper(route, runs).wire_mm]
            needs_mm = bundle_mm(wires)
            if needs_mm > edge.capacity_m * 1000 + _HAIR:
                raise ValueError(
                    f"{edge.name} lets {edge.capacity_m * 1000:g} mm through, and its bundle is {needs_mm:.2f} mm thick"
                )


def _cost_g(problem: RouteProblem, answer: RouteAnswer, runs: dict[str, Run], edges: dict[str, Edge]) -> float:
    prices = problem.prices
    parts = [problem.shared_g[answer.shared]]
    kinds: dict[str, set[bool]] = {}
    passed: list[str] = []
    for route in answer.routes:
        run = runs[route.run]
        along = [edges[name] for name in route.edges]
        for edge in along:
            wire_m = edge.length_m + edge.slack_m
            parts.append(_copper(route, runs).mass_g_per_m * wire_m)
            parts.append(prices.handling_g_per_m * len(run.wires) * wire_m)
            if edge.course in (Course.DROP, Course.LOOSE):
                on_drop = edge.course is Course.DROP
                parts.append(prices.drop_g_per_m * wire_m if on_drop else prices.loose_g_per_m * wire_m)
                parts.append(0.0 if on_drop else prices.loose_run_g)
                passed.extend(edge.over)
            else:
                kinds.setdefault(edge.name, set()).add(run.power)
        turns = zip(pairwise(along), route.nodes[1:-1], strict=False)
        parts.append(prices.bend_g * sum(_turns(came, onto, node) for (came, onto), node in turns))
    for name, users in kinds.items():
        edge = edges[name]
        parts.append(prices.crossing_g * passed.count(name))
        rate = prices.trunk_g_per_m if edge.course is Course.TRUNK else prices.link_g_per_m
        parts.append(rate * edge.length_m)
        if len(users) > 1:
            parts.append(prices.mixing_g_per_m * edge.length_m)
    return math.fsum(parts)


def _copper(route: Route, runs: dict[str, Run]) -> Copper:
    return runs[route.run].options[route.option]


def _turns(came: Edge, onto: Edge, node: str) -> bool:
    """Whether a wire turns by more than 30 degrees at a node; what has no length turns nothing."""
    before, after = _toward(came, node), _toward(onto, node)
    if before is None or after is None:
        return False
    cosine = -sum(a * b for a, b in zip(before, after, strict=True)) / (math.hypot(*before) * math.hypot(*after))
    return cosine < math.cos(math.radians(_BEND_DEG)) - 1e-9


def _toward(edge: Edge, node: str) -> tuple[float, float, float] | None:
    """Return the way an edge's path takes from a node to its first other point."""
    points: Sequence[Point] = edge.path if edge.a == node else tuple(reversed(edge.path))
    for x, y, z in points[1:]:
        step = (x - points[0][0], y - points[0][1], z - points[0][2])
        if math.hypot(*step) > 1e-9:  # noqa: PLR2004 - a nanometre has no direction
            return step
    return None


def _check_certificate(answer: RouteAnswer, cost_g: float) -> None:
    proof = answer.certificate
    hair_g = _HAIR * max(1.0, abs(cost_g))
    if abs(proof.cost - cost_g) > hair_g:
        raise ValueError(f"the routes cost {cost_g:.6f} g, and the certificate says {proof.cost:.6f} g")
    if proof.bound > proof.cost + hair_g:
        raise ValueError(f"the certificate's bound {proof.bound:.6f} g is above its cost {proof.cost:.6f} g")
    left = len(answer.unroutable)
    if proof.breaks != left or proof.least_breaks > left:
        raise ValueError(f"{left} runs have no route, and the certificate says {proof.breaks:g}")
    if proof.baseline is None:
        return
    plain_left = left if proof.baseline_breaks is None else proof.baseline_breaks
    if plain_left < left:
        raise ValueError(f"{left} runs have no route, and the plain answer leaves out only {plain_left:g}")
    if plain_left == left and proof.cost > proof.baseline + hair_g:
        raise ValueError(f"the answer costs {proof.cost:.6f} g, more than the plain one at {proof.baseline:.6f} g")
