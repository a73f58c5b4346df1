"""Bundles: which wires lie together where, how thick they are, how they are held, and what asks for a look."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.catalogue.bundle_practice import practice
from loomwright.layout.bundle_findings import bundle_findings
from loomwright.layout.checker.packing import check_packing, could_be_bundle
from loomwright.layout.grommets import grommets_of
from loomwright.layout.result import Course, Section
from loomwright.layout.ties import tie_places
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence

    from loomwright.findings import Finding
    from loomwright.layout.result import Edge, Grommet, Point, Route, Run
    from loomwright.model.robot import Robot

_MM = 1000.0
_CHAIN = 2
#: A diameter in metres is told to 0.01 mm.
_PLACES = 5


@dataclass(frozen=True, slots=True)
class Company:
    """The fullest place on a run's way: how many current-carrying wires lie there, its own included, and whose."""

    wires: int
    runs: tuple[str, ...]
    section: str = ""


def bundles(
    robot: Robot,
    edges: Iterable[Edge],
    runs: Iterable[Run],
    routes: Iterable[Route],
    known_m: Mapping[str, float] = MappingProxyType({}),
) -> tuple[tuple[Section, ...], tuple[Grommet, ...], tuple[Finding, ...]]:
    """Return the bundles of routed runs, where they need a grommet, and what asks for a look.

    `edges` hold every edge that a route takes. The runs of a section come in the order of their names; `weave` puts
    them from left to right. `known_m` holds the diameters of bundles that were packed before, by their names.
    """
    edges, runs, routes = tuple(edges), tuple(runs), tuple(routes)
    sections = sections_of(edges, runs, routes, known_m)
    taken = {name for route in routes for name in route.edges}
    used = sorted((edge for edge in edges if edge.name in taken), key=lambda edge: natural(edge.name))
    findings = bundle_findings(robot, strands_of(used), sections, runs)
    return sections, grommets_of(robot, used, sections), findings


def sections_of(
    edges: Iterable[Edge],
    runs: Iterable[Run],
    routes: Iterable[Route],
    known_m: Mapping[str, float] = MappingProxyType({}),
) -> tuple[Section, ...]:
    """Return the stretches of trunk along which the same runs lie together, split where one joins or leaves."""
    by_name = {run.name: run for run in runs}
    passing: dict[str, list[str]] = {}
    wires_mm: dict[str, tuple[float, ...]] = {}
    for route in routes:
        wires_mm[route.run] = by_name[route.run].options[route.option].wire_mm
        for edge in route.edges:
            passing.setdefault(edge, []).append(route.run)
    together = {edge: tuple(sorted(names, key=natural)) for edge, names in passing.items()}
    shared = [edge for edge in edges if edge.shared and edge.name in together]
    chains = _chains(shared, lambda edge: (edge.trunk, together[edge.name], edge.capacity_m, edge.moving))
    parts = Counter(chain[0][0].trunk for chain in chains)
    number: Counter[str] = Counter()
    found: list[Section] = []
    for chain in chains:
        trunk = chain[0][0].trunk
        number[trunk] += 1
        name = trunk if parts[trunk] == 1 else f"{trunk} part {number[trunk]}"
        here = [by_name[run] for run in together[chain[0][0].name]]
        thick_mm = [d for run in here for d in wires_mm[run.name]]
        found.append(_section(name, chain, here, thick_mm, _diameter_m(thick_mm, known_m.get(name))))
    return tuple(found)


def strands_of(edges: Iterable[Edge]) -> tuple[tuple[str, tuple[Edge, ...], tuple[Point, ...]], ...]:
    """Return the trunks as far as wires use them, whoever they are: name, edges, path."""
    chains = _chains([edge for edge in edges if edge.shared], lambda edge: edge.trunk)
    return tuple((chain[0][0].trunk, tuple(edge for edge, _ in chain), _path(chain)) for chain in chains)


def company(sections: Iterable[Section], runs: Iterable[Run]) -> dict[str, Company]:
    """Return for every run where on its way most current-carrying wires lie together, as sizing needs it.

    A run that lies in no section has its own wires for company.
    """
    carrying = {run.name: len(run.wires) if run.power else 0 for run in runs}
    found = {name: Company(wires, (name,)) for name, wires in carrying.items()}
    for section in sorted(sections, key=lambda section: natural(section.name)):
        wires = sum(carrying[name] for name in section.order)
        names = tuple(sorted((name for name in section.order if carrying[name]), key=natural))
        for name in section.order:
            if wires > found[name].wires or (wires == found[name].wires and not found[name].section):
                found[name] = Company(wires, names, section.name)
    return found


def bundle_mm(diameters_mm: Sequence[float]) -> float:
    """Return the diameter of a packed bundle of wires [mm], rounded up to 0.01 mm; 0 for no wire.

    Raises
    ------
    ValueError
        The packing does not hold: a fault of this program.
    """
    from loomwright.layout.engine.packing import pack  # noqa: PLC0415  numpy, for real bundles only

    if not diameters_mm:
        return 0.0
    packed = pack(diameters_mm)
    check_packing(diameters_mm, diameter_mm=packed.diameter_mm, centres=packed.centres)
    return math.ceil(packed.diameter_mm * 100 - 1e-6) / 100


Link = tuple["Edge", bool]
"""An edge of a chain, and whether the chain runs along its path."""


def _diameter_m(wires_mm: Sequence[float], known_m: float | None) -> float:
    """Return how thick a bundle is [m]: as it was packed before, where that can be, else packed now."""
    if known_m is not None and could_be_bundle(wires_mm, diameter_mm=known_m * _MM):
        return known_m
    return round(bundle_mm(wires_mm) / _MM, _PLACES)


def _section(
    name: str, chain: Sequence[Link], runs: Sequence[Run], wires_mm: Sequence[float], diameter_m: float
) -> Section:
    edges = [edge for edge, _ in chain]
    path = _path(chain)
    bend_m = round(practice("bend over thickest wire") * max(wires_mm, default=0.0) / _MM, 6)
    capacity_m = edges[0].capacity_m
    return Section(
        name=name,
        trunk=edges[0].trunk,
        edges=tuple(edge.name for edge in edges),
        path=path,
        order=tuple(run.name for run in runs),
        wires=sum(len(run.wires) for run in runs),
        diameter_m=diameter_m,
        bend_m=bend_m,
        length_m=sum(edge.length_m for edge in edges),
        ties=tie_places(path, radius_m=bend_m + diameter_m / 2, moving=edges[0].moving),
        fill=None if capacity_m is None else diameter_m / capacity_m,
        proposed=edges[0].course is Course.LINK,
        moving=edges[0].moving,
    )


def _chains(edges: Sequence[Edge], kind: Callable[[Edge], Hashable]) -> list[list[Link]]:
    """Join edges of one kind that follow one another; at a node where three of a kind meet, chains end."""
    ordered = sorted(edges, key=lambda edge: (natural(edge.trunk), natural(edge.name)))
    at_node: dict[tuple[str, Hashable], list[Edge]] = {}
    for edge in ordered:
        for node in (edge.a, edge.b):
            at_node.setdefault((node, kind(edge)), []).append(edge)
    left = {edge.name: edge for edge in ordered}
    chains: list[list[Link]] = []
    for edge in ordered:
        if left.pop(edge.name, None) is None:
            continue
        ahead = _onward(edge, edge.b, kind, at_node, left)
        behind = _onward(edge, edge.a, kind, at_node, left)
        chain = [(other, not along) for other, along in reversed(behind)] + [(edge, True)] + ahead
        against = sum(not along for _, along in chain)
        chains.append([(other, not along) for other, along in reversed(chain)] if 2 * against > len(chain) else chain)
    return chains


def _onward(
    edge: Edge,
    node: str,
    kind: Callable[[Edge], Hashable],
    at_node: Mapping[tuple[str, Hashable], Sequence[Edge]],
    left: dict[str, Edge],
) -> list[Link]:
    """Follow edges of one kind on from a node, taking each from what is left."""
    found: list[Link] = []
    while True:
        here = at_node[node, kind(edge)]
        following = next((other for other in here if other.name != edge.name), None)
        if len(here) != _CHAIN or following is None or left.pop(following.name, None) is None:
            return found
        found.append((following, following.a == node))
        edge, node = following, following.other(node)


def _path(chain: Sequence[Link]) -> tuple[Point, ...]:
    points: list[Point] = []
    for edge, along in chain:
        part = edge.path if along else edge.path[::-1]
        points += part if not points else part[1:]
    return tuple(points)
