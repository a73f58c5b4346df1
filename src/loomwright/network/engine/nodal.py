"""Nodal analysis of a network that is made ready: a resistance between two nodes, or all voltages and currents."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.network.elements import Draw, NetworkError, Resistor, ends, is_joint, is_open, said
from loomwright.network.engine.eliminate import potentials
from loomwright.network.engine.graph import reached
from loomwright.network.result import Solution

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.network.elements import Element, Network, Node
    from loomwright.network.engine.graph import Graph


def between_ohm(graph: Graph, red: Node, black: Node) -> float:
    """Return the resistance between two nodes [ohm]: the voltage that 1 A from red to black would make."""
    for probe in (red, black):
        if graph.island[graph.place[probe]] in graph.live:
            raise NetworkError(
                f"A source reaches {said(probe)}, and an ohms range is never put across a live supply.",
                "Take the battery out, or measure volts.",
            )
    one, other = graph.place[red], graph.place[black]
    if one == other:
        return 0.0
    if graph.island[one] != graph.island[other]:
        return math.inf
    places = reached(graph.conductance_s, [one])
    return potentials(graph.conductance_s, places, other, {one: 1.0})[one]


def solution(network: Network, graph: Graph, *, currents: bool = True) -> Solution:
    """Return all voltages, and the currents where they are asked for; each island's first node is its zero."""
    draws = [element for element in network.elements if isinstance(element, Draw)]
    starved = tuple(draw.name for draw in draws if not _is_fed(graph, draw))
    into_a = _driven(graph, [draw for draw in draws if _is_fed(graph, draw)])
    potential_v = _potentials(graph, into_a)
    groups: dict[int, list[Node]] = {}
    for node, place in graph.place.items():
        groups.setdefault(graph.island[place], []).append(node)
    return Solution(
        potential_v=potential_v,
        islands=tuple(tuple(group) for group in groups.values()),
        floating=tuple(node for island, group in groups.items() if island not in graph.live for node in group),
        starved=starved,
        current_a=_currents(network, potential_v, frozenset(starved)) if currents else {},
    )


def _potentials(graph: Graph, into_a: Mapping[int, float]) -> dict[Node, float]:
    """Return the voltage of every node; an island that nothing drives needs no equations."""
    islands: dict[int, list[int]] = {}
    for place, island in enumerate(graph.island):
        islands.setdefault(island, []).append(place)
    place_v = dict.fromkeys(range(len(graph.island)), 0.0)
    for ground, places in islands.items():
        if any(into_a[place] for place in places):
            place_v |= potentials(graph.conductance_s, places, ground, into_a)
    return {node: place_v[place] + graph.over_v[node] for node, place in graph.place.items()}


def _is_fed(graph: Graph, draw: Draw) -> bool:
    plus, minus = (graph.island[graph.place[node]] for node in ends(draw))
    return plus == minus and plus in graph.live


def _driven(graph: Graph, draws: list[Draw]) -> dict[int, float]:
    """Return what sources and draws drive into each place [A]."""
    into: dict[int, list[float]] = {place: [pushed_a] for place, pushed_a in enumerate(graph.driven_a)}
    for draw in draws:
        into[graph.place[draw.plus]].append(-draw.current_a)
        into[graph.place[draw.minus]].append(draw.current_a)
    return {place: math.fsum(pushed) for place, pushed in into.items()}


def _currents(network: Network, potential_v: Mapping[Node, float], starved: frozenset[Node]) -> dict[Node, float]:
    """Return the current of each element [A] where it can be told."""
    known: dict[Node, float] = {}
    joints: list[Element] = []
    for element in network.elements:
        current_a = _own_current_a(element, potential_v, starved)
        if current_a is None:
            joints.append(element)
        else:
            known[element.name] = current_a
    return known | _through_joints(network, known, joints)


def _own_current_a(element: Element, potential_v: Mapping[Node, float], starved: frozenset[Node]) -> float | None:
    """Return the current that follows from the voltages [A]; None for a joint or an ideal source."""
    if isinstance(element, Draw):
        return 0.0 if element.name in starved else element.current_a
    if is_open(element):
        return 0.0
    if is_joint(element):
        return None
    one, other = ends(element)
    across_v = potential_v[one] - potential_v[other]
    return (across_v if isinstance(element, Resistor) else element.voltage_v - across_v) / element.resistance_ohm


def _through_joints(network: Network, known: Mapping[Node, float], joints: list[Element]) -> dict[Node, float]:
    """Follow the currents into joints and ideal sources, from the nodes where only one of them is left."""
    leaving: dict[Node, list[float]] = {node: [] for node in network.nodes}
    left: dict[Node, list[Element]] = {node: [] for node in network.nodes}
    for element in network.elements:
        if element.name in known:
            _leave(leaving, element, known[element.name])
    for element in joints:
        one, other = ends(element)
        if one != other:
            left[one].append(element)
            left[other].append(element)
    found: dict[Node, float] = {}
    waiting = [node for node, at in left.items() if len(at) == 1]
    while waiting:
        node = waiting.pop()
        if len(left[node]) != 1:
            continue
        [element] = left[node]
        one, other = ends(element)
        # What leaves the node by all others comes in by this one; a source counts what its plus gives.
        comes_in_a = math.fsum(leaving[node])
        forward = (node == other) == isinstance(element, Resistor)
        found[element.name] = comes_in_a if forward else -comes_in_a
        _leave(leaving, element, found[element.name])
        for end in (one, other):
            left[end].remove(element)
            if len(left[end]) == 1:
                waiting.append(end)
    return found


def _leave(leaving: dict[Node, list[float]], element: Element, current_a: float) -> None:
    """Count a current at both ends: it leaves a resistor's a and a draw's plus node, and comes to a source's plus."""
    one, other = ends(element)
    from_a = current_a if isinstance(element, (Resistor, Draw)) else -current_a
    leaving[one].append(from_a)
    leaving[other].append(-from_a)
