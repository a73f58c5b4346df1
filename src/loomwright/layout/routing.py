"""Lay out every lane over the net: routes, bundles, the order in them, and what is proved of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.layout.bundles import bundles, company
from loomwright.layout.checker.orders import check_orders
from loomwright.layout.checker.routes import check_routes
from loomwright.layout.net import loose_edge
from loomwright.layout.prices import route_prices
from loomwright.layout.result import Layout, Route, Run
from loomwright.layout.route_problem import RouteAnswer, RouteProblem
from loomwright.layout.weaving import weave
from loomwright.search import Effort
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.layout.lanes import Lane
    from loomwright.layout.result import Copper, Edge, Net
    from loomwright.model.robot import Robot
    from loomwright.search import Certificate, Watch
    from loomwright.units.gauge import Gauge

_PLACES = 6


@dataclass(frozen=True, slots=True)
class KnownRoutes:
    """What the last plan decided: each run's edges and gauge, the main leads' choice, and what was proved of it.

    `fixed` are the runs whose wires are made: they stay where they lie. Without a certificate the rest is only where
    the search starts from. `loose` holds the ways off every trunk that were taken, by their names, `bundles` how thick
    each bundle was packed [m], by its name.
    """

    edges: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    gauges: Mapping[str, Gauge | None] = field(default_factory=lambda: MappingProxyType({}))
    shared: int = 0
    fixed: frozenset[str] = frozenset()
    loose: Mapping[str, Edge] = field(default_factory=lambda: MappingProxyType({}))
    bundles: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    certificate: Certificate | None = None


@dataclass(frozen=True, slots=True)
class Posed:
    """What is to be routed: the problem, and the lanes that have no place or no wire, with the reason."""

    problem: RouteProblem
    unrouted: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Routed:
    """The routes before they are bundled: the problem, its answer, and the lanes that have no way, with the reason."""

    problem: RouteProblem
    answer: RouteAnswer
    unrouted: Mapping[str, str]


def pose_routes(
    robot: Robot,
    net: Net,
    lanes: Sequence[Lane],
    options: Mapping[str, tuple[Copper, ...]],
    *,
    shared_g: tuple[float, ...],
    known: KnownRoutes,
) -> Posed:
    """Put together what is to be routed: every lane that has both places.

    `options` gives the ways to make each lane, by its name; `shared_g` prices each choice of the main leads [g of
    copper], see `RouteProblem`.
    """
    runs, unrouted = _runs(robot, net, lanes, options)
    routed = {run.name for run in runs}
    loose = _loose_edges(robot, net, [lane for lane in lanes if lane.name in routed], known)
    edges = (*net.edges, *loose)
    ends = {edge.name: (edge.a, edge.b) for edge in edges}
    fixed = {r.name: known.edges[r.name] for r in runs if r.name in known.fixed}
    # One whose end was moved since is to be made again: it lies nowhere.
    fixed = {r.name: fixed[r.name] for r in runs if r.name in fixed and _leads(r, fixed[r.name], ends)}
    problem = RouteProblem(
        nodes=net.nodes,
        edges=edges,
        runs=runs,
        prices=route_prices(),
        shared_g=shared_g,
        fixed=tuple(sorted(fixed.items())),
    )
    return Posed(problem, unrouted)


def _leads(run: Run, lies: Sequence[str], ends: Mapping[str, tuple[str, str]]) -> bool:
    """Tell whether edges lead, one behind the other, from a run's one node to its other."""
    here = run.start
    for name in lies:
        if name not in ends or here not in ends[name]:
            return False
        one, other = ends[name]
        here = other if here == one else one
    return here == run.end


def known_routes(posed: Posed, known: KnownRoutes) -> Routed | None:
    """Take the routes of the last plan over, where they are still an answer as good as they were; None else."""
    answer = _kept(posed.problem, known)
    return None if answer is None else Routed(posed.problem, answer, posed.unrouted)


def search_routes(posed: Posed, known: KnownRoutes, *, effort: Effort, watch: Watch) -> Routed:
    """Search for the best routes, from those of the last plan on."""
    answer = _sought(posed.problem, known, effort, watch)
    return Routed(posed.problem, answer, {**posed.unrouted, **dict(answer.unroutable)})


def lay_out(robot: Robot, net: Net, routed: Routed, bundles_m: Mapping[str, float]) -> Layout:
    """Bundle the routes, put the wires of each bundle in order, and count what crosses.

    `bundles_m` are the diameters of these very bundles, where they were packed before, by their names.
    """
    problem, answer = routed.problem, routed.answer
    routes = tuple(sorted(answer.routes, key=lambda route: natural(route.run)))
    used = {name for route in routes for name in route.edges}
    edges = tuple(e for e in problem.edges if e.shared or e.name in used)
    by_name = {run.name: run for run in problem.runs}
    # What was not taken is of no more interest: a layout that was taken over looks as when it was decided.
    taken = ((by_name[route.run], route.option) for route in routes)
    runs = tuple(replace(run, options=(run.options[option],)) for run, option in taken)
    routes = tuple(replace(route, option=0) for route in routes)
    sections, grommets, findings = bundles(robot, edges, runs, routes, bundles_m)
    woven = weave(edges, routes, sections)
    counted = check_orders(edges, routes, woven.sections)
    if counted != (woven.crossings, woven.forced):
        raise ValueError(f"the bundles were told to cross {woven.crossings} times, and cross {counted[0]} times")
    return Layout(
        net=net,
        runs=runs,
        routes=routes,
        edges=edges,
        sections=woven.sections,
        grommets=grommets,
        crossings=woven.crossings,
        forced=woven.forced,
        certificate=answer.certificate,
        shared=answer.shared,
        unrouted=routed.unrouted,
        findings=(*net.findings, *findings),
    )


def _runs(
    robot: Robot, net: Net, lanes: Sequence[Lane], options: Mapping[str, tuple[Copper, ...]]
) -> tuple[tuple[Run, ...], dict[str, str]]:
    runs: list[Run] = []
    unrouted: dict[str, str] = {}
    for lane in lanes:
        start, end = net.terminals.get(lane.start), net.terminals.get(lane.end)
        if start is None or end is None:
            missing = robot.device((lane.start if start is None else lane.end)[0])
            unrouted[lane.name] = f"{missing.called if missing is not None else lane.start[0]} has no place"
        elif lane.name in options:
            keys = tuple(wire.key for wire in lane.wires)
            runs.append(Run(lane.name, start, end, keys, lane.power, options[lane.name]))
        else:
            unrouted[lane.name] = "its wire is not known"
    return tuple(runs), unrouted


def _loose_edges(robot: Robot, net: Net, lanes: Sequence[Lane], known: KnownRoutes) -> list[Edge]:
    """Return the ways off every trunk; where routes are known, only those that they take."""
    own = {edge.name for edge in net.edges}
    found: dict[str, Edge] = {}
    for lane in lanes:
        taken = known.edges.get(lane.name, ()) if known.certificate is not None else ()
        if taken and own.issuperset(taken):
            continue
        edge = next((known.loose[name] for name in taken if name in known.loose), None)
        edge = edge or loose_edge(robot, net, lane.start, lane.end)
        if edge is not None:
            found.setdefault(edge.name, edge)
    return list(found.values())


def _kept(problem: RouteProblem, known: KnownRoutes) -> RouteAnswer | None:
    """Take over what was decided, where it is still an answer as good as it was."""
    if known.certificate is None or any(run.name not in known.edges for run in problem.runs):
        return None
    routes = tuple(_route(problem, run, known) for run in problem.runs)
    if any(route is None for route in routes):
        return None
    answer = RouteAnswer(
        routes=tuple(route for route in routes if route is not None),
        shared=known.shared,
        certificate=known.certificate,
    )
    try:
        check_routes(problem, answer)
    except ValueError:
        return None
    return answer


def _route(problem: RouteProblem, run: Run, known: KnownRoutes) -> Route | None:
    """Walk a run's edges from its start; None where they do not follow one another."""
    names = known.edges[run.name]
    edges = {edge.name: edge for edge in problem.edges}
    nodes = [run.start]
    for name in names:
        edge = edges.get(name)
        if edge is None or nodes[-1] not in (edge.a, edge.b):
            return None
        nodes.append(edge.other(nodes[-1]))
    option = next((i for i, o in enumerate(run.options) if o.gauge == known.gauges.get(run.name)), 0)
    return Route(run.name, names, tuple(nodes), option) if nodes[-1] == run.end else None


def _sought(problem: RouteProblem, known: KnownRoutes, effort: Effort, watch: Watch) -> RouteAnswer:
    from loomwright.layout.engine.route_solver import route  # noqa: PLC0415  a current plan does without it

    answer = route(problem, effort=effort, watch=watch, start=known.edges or None)
    check_routes(problem, answer)
    return replace(answer, certificate=_to_a_microgram(answer.certificate))


def _to_a_microgram(proof: Certificate) -> Certificate:
    """Leave the last bits of a computer's arithmetic out of files: they hang on where a search started."""
    cost = round(proof.cost, _PLACES)
    bound = cost if proof.proved else math.floor(proof.bound * 10**_PLACES) / 10**_PLACES
    baseline = None if proof.baseline is None else round(proof.baseline, _PLACES)
    return replace(proof, cost=cost, bound=bound, baseline=baseline)


def ways_of(routed: Routed) -> dict[tuple[str, str], float]:
    """Return the way of every routed wire [m], by circuit and role, with the slack of moving joints."""
    edges = {edge.name: edge for edge in routed.problem.edges}
    runs = {run.name: run for run in routed.problem.runs}
    return {
        key: round(sum(edges[name].wire_m for name in route.edges), 6)
        for route in routed.answer.routes
        for key in runs[route.run].wires
    }


def loaded_beside(layout: Layout) -> dict[str, int]:
    """Return how many wires that carry current lie together in the fullest place on each circuit's way, by circuit."""
    fullest: dict[str, int] = {}
    together = company(layout.sections, layout.runs)
    for run in layout.runs:
        circuit = run.wires[0][0]
        fullest[circuit] = max(fullest.get(circuit, 0), together[run.name].wires)
    return fullest
