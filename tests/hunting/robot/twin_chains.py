"""Who is seen on a chain: lit, and both lines whole from the robot controller through every hop."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_body import DARK, FLICKERS, Body
from tests.hunting.robot.twin_net import Node, Solved
from tests.hunting.robot.twin_robot import PAIR, Chain

# A line still carries data through what a bad contact has, and none through what a receiver has.
_CARRIES_OHM = 1e3
_FIRST_ENDS = 2


class Chains:
    """The chains of one body, by their lines alone."""

    def __init__(self, body: Body) -> None:
        self.body = body
        self.anatomy = body.anatomy
        self._lines = {chain.name: self._hops(chain) for chain in self.anatomy.chains}

    def outcome(self, chain: Chain, device: str) -> str:
        """Tell how a device is seen by power and lines alone: seen, comes and goes, missing."""
        head = chain.devices[0].id
        lights = self.body.light(device), self.body.light(head)
        silent = {device, head} & self.body.harm.silent
        if DARK in lights or silent or self.shorted(chain) or not self._reached(chain, device):
            return "missing"
        return "comes and goes" if FLICKERS in lights else "seen"

    def shorted(self, chain: Chain) -> bool:
        """Tell whether the pair is shorted somewhere that the robot controller reaches."""
        hops = [c for c in self.body.harm.shorts if self.anatomy.circuits[c].circuit.path == chain.path]
        nodes = [self.anatomy.at(self.anatomy.circuits[c], "B", line) for c in hops for line in PAIR]
        lines, head = self._lines[chain.name], self._pair(chain, chain.devices[0].id)
        return any(node and any(lines.joined(node, own) for own in head) for node in nodes)

    def ends(self, chain: Chain) -> int:
        """Return how many terminators the robot controller reaches."""
        there = {d for d in chain.ends if self._reached(chain, d)}
        if chain.name in self.body.harm.missing:
            there.discard(chain.ends[int(self.body.harm.missing[chain.name] * len(chain.ends))])
        return len(there) + (chain.name in self.body.harm.extra)

    def unsteady(self, chain: Chain) -> bool:
        """Tell whether the chain lacks a terminator that it was planned to have."""
        return self.ends(chain) < min(len(chain.ends), _FIRST_ENDS)

    def _reached(self, chain: Chain, device: str) -> bool:
        there = zip(self._pair(chain, chain.devices[0].id), self._pair(chain, device), strict=True)
        return all(a == b or self._lines[chain.name].joined(a, b) for a, b in there)

    def _pair(self, chain: Chain, device: str) -> Iterator[Node]:
        return ((device, chain.path, str(line)) for line in PAIR)

    def _hops(self, chain: Chain) -> Solved:
        circuits = [c for c in self.anatomy.plan.circuits if c.circuit.kind is CircuitKind.BUS]
        wires = [w for c in circuits if c.circuit.path == chain.path for w in c.wires]
        names = [w.id for w in wires] + [f"lead {w.id} {e.letter}" for w in wires for e in (w.a, w.b)]
        links = self.body.dead.links
        return Solved({n: links[n] for n in names if n in links and links[n][2] < _CARRIES_OHM})
