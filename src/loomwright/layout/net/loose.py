"""The private way from terminal to terminal, off every trunk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.layout.net.crossings import crossings_of
from loomwright.layout.net.ground import ground_of
from loomwright.layout.net.trunks import joints_of, trunk_lines
from loomwright.layout.places import outline_of, terminal_at
from loomwright.layout.result import Course, Edge

if TYPE_CHECKING:
    from loomwright.layout.result import Net, Terminal
    from loomwright.model.robot import Robot


def loose(robot: Robot, net: Net, a_terminal: Terminal, b_terminal: Terminal) -> Edge | None:
    """Return the private way between two terminals; see `loomwright.layout.net.loose_edge`."""
    start, end = terminal_at(robot, *a_terminal), terminal_at(robot, *b_terminal)
    one, other = robot.device(a_terminal[0]), robot.device(b_terminal[0])
    names = [net.terminals.get(terminal) for terminal in (a_terminal, b_terminal)]
    if start is None or end is None or one is None or other is None or None in names:
        return None
    ground = ground_of(robot.plates)
    rides = one.spot.rides_on.value is not None or other.spot.rides_on.value is not None
    if rides and any(trunk.moving for trunk in robot.trunks):
        lines = trunk_lines(robot, ground)
        if joints_of(robot, one, lines) != joints_of(robot, other, lines):
            return None
    bodies = {
        corners
        for device, place in ((one, start), (other, end))
        if place.outward is not None and (corners := outline_of(robot, device)) is not None
    }
    way = ground.way(start.at, end.at, sorted(bodies))
    if way is None:
        return None
    a, b = net.terminals[a_terminal], net.terminals[b_terminal]
    turns = [(x, y, start.at[2]) for x, y in way.turns[1:]]
    path = tuple(dict.fromkeys([start.at, *turns, end.at]))
    length_m = way.length_m + abs(end.at[2] - start.at[2])
    over = crossings_of([path], net.edges)[0]
    return Edge(f"{a} to {b}", a, b, path, length_m, Course.LOOSE, over=over)
