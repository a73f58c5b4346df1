"""The net of trunks that wires may run along: as drawn, joined by links, or proposed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from loomwright.layout.result import Edge, Net, Terminal
    from loomwright.model.robot import Robot

__all__ = ["as_trunk_lines", "build_net", "loose_edge"]


def build_net(robot: Robot, terminals: Iterable[Terminal]) -> Net:
    """Return the net of a robot: its trunks, links between them, a drop from each terminal to the trunks around it.

    Trunks are cut at their corners, where they meet, and where drops reach them, on a grid of about 50 mm. Trunks that
    do not meet are joined by links; where no trunk is drawn, a net is proposed. A moving trunk is entered at its fixed
    end and left at its far end, and carries its slack on its first edge. Terminals without a place have no node.
    What is wrong with what was drawn is in the net's findings.
    """
    from loomwright.layout.net.build import build  # noqa: PLC0415  geometry is heavy, and a plan may be current

    return build(robot, terminals)


def loose_edge(robot: Robot, net: Net, a_terminal: Terminal, b_terminal: Terminal) -> Edge | None:
    """Return the private way from one terminal to another, off every trunk, round keep-outs and both devices.

    None where a terminal has no place or no way leads there, and from something that moves to something that does not:
    such wires need the slack of a moving trunk.
    """
    from loomwright.layout.net.loose import loose  # noqa: PLC0415  geometry is heavy, and a plan may be current

    return loose(robot, net, a_terminal, b_terminal)


def as_trunk_lines(net: Net, used: Collection[str] | None = None) -> str:
    """Return the proposed trunks and links of a net as lines of a robot file's plate; "" where it proposes none.

    With `used`, the names of the edges that some run takes, only those that a run takes somewhere, each as a whole.
    """
    from loomwright.layout.net.paste import trunk_text  # noqa: PLC0415  only who asks for it

    return trunk_text(net, used)
