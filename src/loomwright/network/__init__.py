"""A direct-current network of resistors, sources and loads: what a meter reads between two of its nodes."""

from __future__ import annotations

from loomwright.network.elements import Draw, Element, Network, NetworkError, Node, Resistor, Source
from loomwright.network.meter import Meter, ohms, solve, volts
from loomwright.network.result import Ohms, Solution, Volts

__all__ = [
    "Draw",
    "Element",
    "Meter",
    "Network",
    "NetworkError",
    "Node",
    "Ohms",
    "Resistor",
    "Solution",
    "Source",
    "Volts",
    "ohms",
    "solve",
    "volts",
]
