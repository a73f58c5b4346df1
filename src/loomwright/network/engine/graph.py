"""A network made ready: joined nodes as one place, conductances between places, and what hangs together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.network.elements import Draw, Network, Node, Resistor, Source, ends, is_joint, is_open
from loomwright.network.engine.joints import Joints

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Graph:
    """Places by number, each a group of nodes at fixed voltages from each other.

    `place` gives a node's place, `over_v` its voltage over it [V]. `conductance_s` [S] is by place and neighbour;
    `driven_a` [A] what sources push into each place. `island` numbers what hangs together; `live` are the islands with
    a voltage source.
    """

    place: dict[Node, int]
    over_v: dict[Node, float]
    conductance_s: tuple[dict[int, float], ...]
    driven_a: tuple[float, ...]
    island: tuple[int, ...]
    live: frozenset[int]

    @classmethod
    def of(cls, network: Network) -> Graph:
        """Make a network ready.

        The places are numbered by the nodes' names and parallel conductances added up in order of size, so that the
        order of elements changes no digit.

        Raises
        ------
        NetworkError
            Where ideal sources and joints contradict each other.
        """
        nodes = sorted(network.nodes, key=_words)
        joints = Joints(nodes)
        for element in sorted(network.elements, key=lambda element: _words(element.name)):
            if not isinstance(element, Draw) and is_joint(element):
                voltage_v = 0.0 if isinstance(element, Resistor) else element.voltage_v
                joints.join(element.name, *ends(element), voltage_v)
        found = {node: joints.find(node) for node in nodes}
        number = {first: count for count, first in enumerate(dict.fromkeys(first for first, _ in found.values()))}
        place = {node: number[first] for node, (first, _) in found.items()}
        over_v = {node: above_v for node, (_, above_v) in found.items()}
        conductance_s, driven_a = _stamped(network, place, over_v, len(number))
        island = _islands(conductance_s)
        sources = [e for e in network.elements if isinstance(e, Source) and e.voltage_v and not is_open(e)]
        live = frozenset(island[place[source.plus]] for source in sources)
        return cls(place, over_v, conductance_s, driven_a, island, live)


def _words(name: Node) -> tuple[str, ...]:
    return (name,) if isinstance(name, str) else name


def _stamped(
    network: Network, place: dict[Node, int], over_v: dict[Node, float], count: int
) -> tuple[tuple[dict[int, float], ...], tuple[float, ...]]:
    """Return conductances and driven currents; a real source is a conductance and a current side by side."""
    between: dict[tuple[int, int], list[float]] = {}
    into: tuple[list[float], ...] = tuple([] for _ in range(count))
    for element in network.elements:
        if isinstance(element, Draw) or is_joint(element) or is_open(element):
            continue
        (a, b), siemens = ends(element), 1 / element.resistance_ohm
        one, other = place[a], place[b]
        if one == other:
            continue
        between.setdefault((min(one, other), max(one, other)), []).append(siemens)
        own_v = 0.0 if isinstance(element, Resistor) else element.voltage_v
        pushed_a = siemens * (own_v - (over_v[a] - over_v[b]))
        into[one].append(pushed_a)
        into[other].append(-pushed_a)
    conductance_s: tuple[dict[int, float], ...] = tuple({} for _ in range(count))
    for (one, other), parallel in sorted(between.items()):
        conductance_s[one][other] = conductance_s[other][one] = math.fsum(parallel)
    return conductance_s, tuple(math.fsum(pushed) for pushed in into)


def _islands(conductance_s: tuple[dict[int, float], ...]) -> tuple[int, ...]:
    island = [-1] * len(conductance_s)
    for start in range(len(island)):
        if island[start] < 0:
            for place in reached(conductance_s, [start]):
                island[place] = start
    return tuple(island)


def reached(conductance_s: tuple[dict[int, float], ...], start: Iterable[int]) -> list[int]:
    """Return every place that hangs together with these, in ascending order."""
    seen = set(start)
    waiting = list(seen)
    while waiting:
        for neighbour in conductance_s[waiting.pop()]:
            if neighbour not in seen:
                seen.add(neighbour)
                waiting.append(neighbour)
    return sorted(seen)
