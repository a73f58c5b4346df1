"""What a meter shows, and what is so everywhere in a network."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.network.elements import NetworkError, Node, said
from loomwright.wording import nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True)
class Ohms:
    """What an ohmmeter reads between two nodes [ohm]: infinity where no path leads from one to the other."""

    resistance_ohm: float

    @property
    def open(self) -> bool:
        """Whether no path leads from one probe to the other."""
        return math.isinf(self.resistance_ohm)


@dataclass(frozen=True, slots=True)
class Volts:
    """What a voltmeter reads from its black probe to its red one [V]: None where nothing ties the two together."""

    voltage_v: float | None

    @property
    def floating(self) -> bool:
        """Whether nothing ties one probe's node to the other's, so that any reading is chance."""
        return self.voltage_v is None


@dataclass(frozen=True, slots=True)
class Solution:
    """Voltages and currents of a network.

    `islands` groups the nodes that hang together; between two islands no voltage is known. `floating` are the nodes
    of islands without any voltage source: they sit at one another's potential and at nobody's else. `starved` names
    the draws that take nothing, as no source reaches both of their ends. `current_a` [A] is by element, from a to b
    of a resistor, out of a source's plus, and into a draw's plus; an element is not in it where the current can't be
    told, since joints without any resistance lie side by side.
    """

    potential_v: Mapping[Node, float]
    islands: tuple[tuple[Node, ...], ...]
    floating: tuple[Node, ...] = ()
    starved: tuple[Node, ...] = ()
    current_a: Mapping[Node, float] = field(default_factory=lambda: MappingProxyType({}))

    def volts(self, *, red: Node, black: Node) -> Volts:
        """Return what a voltmeter reads; raise NetworkError for a node that the network does not have."""
        refuse_unknown((red, black), self.potential_v)
        for island in self.islands:
            if red in island or black in island:
                both = red in island and black in island
                return Volts(self.potential_v[red] - self.potential_v[black] if both else None)
        return Volts(None)  # pragma: no cover  every node is on an island


def refuse_unknown(probes: Iterable[Node], known: Mapping[Node, object]) -> None:
    """Raise NetworkError for a probe on a node that is not there, with the names that come near."""
    for probe in probes:
        if probe not in known:
            close = nearest(said(probe), sorted(said(node) for node in known), limit=3)
            hint = f"Did you mean {' or '.join(close)}?" if close else "Put the probe on one of its nodes."
            raise NetworkError(f"The network has no node {said(probe)}.", hint)
