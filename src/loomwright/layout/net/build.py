"""Build the whole net: trunks, links, drops, and what is wrong with what was drawn."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.layout.net.bodies import bodies_of
from loomwright.layout.net.crossings import crossings_of
from loomwright.layout.net.drops import drops_of
from loomwright.layout.net.faults import net_findings
from loomwright.layout.net.ground import ground_of
from loomwright.layout.net.links import with_links
from loomwright.layout.net.mesh import Mesh
from loomwright.layout.net.proposal import proposed_lines
from loomwright.layout.net.region import box_of, hub_of
from loomwright.layout.net.trunks import trunk_lines
from loomwright.layout.places import terminal_at
from loomwright.layout.result import Course, Edge, Net, Node
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.layout.net.drops import Drop
    from loomwright.layout.result import Terminal
    from loomwright.model.robot import Robot


def build(robot: Robot, terminals: Iterable[Terminal]) -> Net:
    """Build the net of a robot for some terminals; see `loomwright.layout.net.build_net`."""
    asked = sorted(set(terminals), key=lambda t: (natural(t[0]), t[0], natural(t[1]), t[1]))
    places = {terminal: place for terminal in asked if (place := terminal_at(robot, *terminal)) is not None}
    box = box_of(robot)
    if not places or box is None:
        return Net(findings=net_findings(robot, places, [], proposed=False))
    ground, bodies = ground_of(robot.plates), bodies_of(robot)
    lines = trunk_lines(robot, ground)
    proposed = not any(not (line.moving or line.behind or line.signal_only) for line in lines)
    if proposed:
        lines = [*lines, *proposed_lines(robot, ground, bodies, box, places)]
    lines = with_links(lines, ground, bodies, box)
    drops = drops_of(robot, ground, lines, places, hub_of(robot, box))
    mesh = Mesh(lines, [drop.cut for drop in drops])
    names = {terminal: f"{terminal[0]}: {terminal[1]}" for terminal in places}
    nodes = [Node(names[terminal], place.at) for terminal, place in places.items()]
    return Net(
        nodes=(*mesh.nodes, *nodes),
        edges=(*mesh.edges, *_drop_edges(drops, mesh, names)),
        terminals=MappingProxyType(names),
        proposed=proposed,
        findings=net_findings(robot, places, drops, proposed=proposed),
    )


def _drop_edges(drops: list[Drop], mesh: Mesh, names: dict[Terminal, str]) -> list[Edge]:
    """Make the edges of drops; of two that end at one node, where trunks meet, the shorter."""
    edges: dict[tuple[str, str], Edge] = {}
    for drop in drops:
        start, end = names[drop.terminal], mesh.node_at(drop.cut)
        path = drop.path if len(drop.path) == 1 else (*drop.path[:-1], end.at)
        length_m = sum(math.dist(a, b) for a, b in pairwise(path))
        edge = Edge(f"{start} > {end.name}", start, end.name, path, length_m, Course.DROP)
        known = edges.get((start, end.name))
        if known is None or edge.length_m < known.length_m:
            edges[start, end.name] = edge
    crossings = crossings_of([edge.path for edge in edges.values()], mesh.edges)
    return [replace(edge, over=over) for edge, over in zip(edges.values(), crossings, strict=True)]
