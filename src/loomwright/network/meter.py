"""Put a meter to a network: ohms between two nodes, volts between two nodes, or everything at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.network.engine.graph import Graph
from loomwright.network.engine.nodal import between_ohm, solution
from loomwright.network.result import Ohms, refuse_unknown

if TYPE_CHECKING:
    from loomwright.network.elements import Network, Node
    from loomwright.network.result import Solution, Volts


class Meter:
    """An ohmmeter at one network that is asked many questions: the network is made ready once.

    Raises
    ------
    NetworkError
        Where ideal sources and joints contradict each other: one of them is shorted, or two disagree.
    """

    def __init__(self, network: Network) -> None:
        self._graph = Graph.of(network)

    def ohms(self, *, red: Node, black: Node, leads_ohm: float = 0.0) -> Ohms:
        """Return what an ohmmeter reads between two nodes [ohm], with its own leads in line [ohm].

        Draws count for nothing: an ohmmeter wakes no load.

        Raises
        ------
        NetworkError
            For an unknown node, and where a source with a voltage reaches a probe: an ohms range is never put across
            a live supply.
        """
        refuse_unknown((red, black), self._graph.place)
        return Ohms(between_ohm(self._graph, red, black) + leads_ohm)

    def joined(self, one: Node, other: Node) -> bool:
        """Tell whether any path leads from one node to the other; raise NetworkError for an unknown node."""
        refuse_unknown((one, other), self._graph.place)
        place, island = self._graph.place, self._graph.island
        return island[place[one]] == island[place[other]]


def ohms(network: Network, *, red: Node, black: Node, leads_ohm: float = 0.0) -> Ohms:
    """Return what an ohmmeter reads between two nodes [ohm]; raises as `Meter.ohms` does."""
    return Meter(network).ohms(red=red, black=black, leads_ohm=leads_ohm)


def volts(network: Network, *, red: Node, black: Node) -> Volts:
    """Return what a voltmeter reads from black to red [V].

    Raises
    ------
    NetworkError
        For an unknown node, and where `solve` would.
    """
    return solution(network, Graph.of(network), currents=False).volts(red=red, black=black)


def solve(network: Network) -> Solution:
    """Return all voltages [V] and currents [A] of a network by nodal analysis.

    Nodes that nothing ties to a source are told as floating; draws that nothing feeds as starved.

    Raises
    ------
    NetworkError
        Where ideal sources and joints contradict each other: one of them is shorted, or two disagree.
    """
    return solution(network, Graph.of(network))
