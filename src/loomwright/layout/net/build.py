"""Build the whole net: trunks, links, drops, and what is wrong with what was drawn."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

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
    ground = ground_of(robot.plates)
    lines = trunk_lines(robot, ground)
    proposed = not any(not line.moving and not line.behind for line in lines)
    if proposed:
        lines = [*lines, *proposed_lines(robot, ground, box, places)]
    lines = with_links(lines, ground, box)
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
    found: list[Edge] = []
    crossings = crossings_of([drop.path for drop in drops], mesh.edges)
    for drop, crosses in zip(drops, crossings, strict=True):
        start, end = names[drop.terminal], mesh.node_at(drop.cut)
        edge = Edge(f"{start} > {end.name}", start, end.name, drop.path, drop.length_m, Course.DROP, crosses=crosses)
        found.append(replace(edge, path=(*drop.path[:-1], end.at)) if drop.path[-1] != end.at else edge)
    return found
