"""Robots for tests of the net, read from short texts, and what tests ask of a net."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import shapely

from loomwright.layout.places import outline_of, place_of, terminal_at
from loomwright.layout.result import Course, Edge, Net, Terminal
from loomwright.model.part import Role
from loomwright.model.robot import KeepOut, Plate, Robot, Trunk
from loomwright.robotfile.parts.library import Library
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.stockfile import read_stock
from loomwright.wiring import derive

LIBRARY = Library()
SQUARE = "[[0, 0], [600 mm, 0], [600 mm, 600 mm], [0, 600 mm]]"


def robot_of(plate: str = "", *, things: str = "", outline: str = SQUARE) -> Robot:
    """Read a robot with a block in the middle, some more things, and this on its plate."""
    lines = [
        "robot: T",
        "battery: {part: battery/agm-12v-18ah}",
        "main breaker: {part: breaker/main-120a}",
        "blocks: {block: {part: block/sub-6-light, at: [300 mm, 300 mm]}}",
        "mechanisms: {lift: {motor: motor/brushless-500w, controller: controller/inline-40a}}",
        f"electronics:\n{things}" if things else "",
        "plate:",
        f"  outline: {outline}" if outline else "  note: no outline",
        *(f"  {line}" for line in plate.splitlines()),
    ]
    return read_robot("\n".join(lines).encode(), library=LIBRARY, stock=read_stock(None))


def read(text: str) -> Robot:
    """Read a robot from the text of its file."""
    return read_robot(text.encode(), library=LIBRARY, stock=read_stock(None))


def things(*places: tuple[float, float], high: float = 0.0, more: str = "") -> str:
    """Write vision computers "a", "b", ... at these places [mm], as lines of a robot file."""
    said = f", height: {high:g} mm" if high else ""
    return "\n".join(
        f"  {'abcdefghijkl'[i]}: {{part: computer/vision-12v, at: [{x:g} mm, {y:g} mm]{said}{more}}}"
        for i, (x, y) in enumerate(places)
    )


def terminals_of(robot: Robot) -> list[Terminal]:
    """Return every terminal that the wiring speaks of, and all outlets of the blocks."""
    found = {(end.device, end.socket) for wire in derive(robot).wires for end in (wire.a, wire.b) if end.socket}
    blocks = [device for device in robot if device.kind == "block"]
    found |= {(block.id, socket.name) for block in blocks for socket in block.part.with_role(Role.OUTLET)}
    return sorted(found)


def with_plate(robot: Robot, *, trunks: tuple[Trunk, ...] = (), keep_outs: tuple[KeepOut, ...] = ()) -> Robot:
    """Give a robot's base plate more trunks and keep-outs."""
    plate = robot.plate
    return replace(
        robot, plate=replace(plate, trunks=(*plate.trunks, *trunks), keep_outs=(*plate.keep_outs, *keep_outs))
    )


def with_deck(robot: Robot, deck: Plate) -> Robot:
    """Put a plate above the others."""
    return replace(robot, upper_plates=(*robot.upper_plates, deck))


def trunk(robot: Robot, name: str, *points: tuple[float, ...], flags: tuple[str, ...] = ()) -> Trunk:
    """Make a trunk through places in millimetres."""
    metres = tuple((p[0] / 1000, p[1] / 1000, p[2] / 1000 if p[2:] else 0.0) for p in points)
    return Trunk(name, metres, flags, robot.devices[0].mark)


def graph_of(net: Net, *, without: tuple[str, ...] = ()) -> nx.MultiGraph[str]:
    """Return the net as a graph whose weights are metres of wire; `without` are courses left out."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(node.name for node in net.nodes)
    for edge in net.edges:
        if edge.course not in without:
            graph.add_edge(edge.a, edge.b, weight=edge.wire_m, name=edge.name)
    return graph


def distances(net: Net, *, without: tuple[str, ...] = ()) -> dict[tuple[Terminal, Terminal], float]:
    """Return the metres of wire between every two terminals; nobody passes through a third."""
    graph = graph_of(net, without=without)
    ends = set(net.terminals.values())
    found: dict[tuple[Terminal, Terminal], float] = {}
    for one, start in net.terminals.items():
        lengths = nx.single_source_dijkstra_path_length(graph.subgraph(set(graph) - ends | {start}), start)
        for other, end in net.terminals.items():
            steps = [
                lengths[near] + min(data["weight"] for data in graph[end][near].values())
                for near in graph[end]
                if near in lengths
            ]
            if steps and one < other:
                found[one, other] = min(steps)
    return found


def shared(net: Net) -> list[Edge]:
    """Return the edges that all wires share."""
    return [edge for edge in net.edges if edge.shared]


def drops_from(net: Net, device: str, socket: str) -> list[Edge]:
    """Return the drops of a terminal, the shortest first."""
    name = net.terminals[device, socket]
    return sorted((edge for edge in net.edges if edge.a == name), key=lambda edge: edge.length_m)


def through_bodies(robot: Robot, net: Net, *, air_m: float = -0.001) -> list[tuple[Edge, str]]:
    """Return the level proposed stretches that come nearer than this to a device at about their height."""
    bodies = [
        (device.id, place[2], shapely.Polygon(corners).buffer(air_m, join_style="mitre"))
        for device in robot
        if (corners := outline_of(robot, device)) is not None and (place := place_of(robot, device)) is not None
    ]
    return [
        (edge, name)
        for edge in net.edges
        if edge.course is Course.LINK and edge.path[0][2] == edge.path[-1][2]
        for name, height_m, body in bodies
        if abs(height_m - edge.path[0][2]) < 0.05 and body.intersects(shapely.LineString([p[:2] for p in edge.path]))
    ]


def placed(robot: Robot) -> set[Terminal]:
    """Return the terminals that have a place."""
    return {terminal for terminal in terminals_of(robot) if terminal_at(robot, *terminal) is not None}
