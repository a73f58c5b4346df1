"""Which devices a program sees in every case: on data chains, over network cables, by signal leads."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.bus import Chain, chains
from loomwright.hunting.robot.faults import FaultKind, same_type
from loomwright.hunting.robot.practice import practice
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.cases import CaseTable
    from loomwright.hunting.robot.lit import Lit
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

    Floats: TypeAlias = npt.NDArray[np.float64]

_HALF, _MOSTLY = 0.5, 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Listed:
    """What a program's list shows of one device: the chances that it is there, and that it comes and goes."""

    there: Floats
    unsteady: Floats


@dataclass(slots=True)
class Programs:
    """What the robot controller's program sees, worked out once for each device."""

    plan: Plan
    table: CaseTable
    lit: Lit
    _known: dict[str, Listed] = field(default_factory=dict)

    def listed(self, device: Device) -> Listed | None:
        """Return what the program's list shows of a device; None for one that no list has."""
        if not self._known:
            self._known = dict(self._all())
        return self._known.get(device.id)

    def data_wires(self, device: Device) -> list[str]:
        """Return the ids of the wires between the robot controller and a device on its chains."""
        host = self.host
        held = [chain for chain in chains(self.plan) if device in chain.devices and host in chain.devices]
        return [] if host is None else [wire for chain in held for wire in hop_wires(chain, host, device)]

    @property
    def host(self) -> Device | None:
        """The robot controller: the first computer on a chain, else the first with outputs of its own."""
        on_chain = [device for chain in chains(self.plan) for device in chain.devices if device.kind == "computer"]
        computers = [d for d in self.plan.robot if d.kind == "computer" and d.part.number("outputs off below")]
        return next(iter([*on_chain, *computers]), None)

    def _all(self) -> Iterator[tuple[str, Listed]]:
        host = self.host
        if host is None:
            return
        for chain in chains(self.plan):
            for device in chain.devices:
                if device.id != host.id and device.kind != "terminator" and host in chain.devices:
                    yield device.id, self._on_chain(chain, host, device)
        for name, cables, through in self._over_cables(host):
            yield name, self._over(host, name, cables, through)
        for name, leads in self._by_leads(host):
            yield name, self._led(host, name, leads)

    def _on_chain(self, chain: Chain, host: Device, device: Device) -> Listed:
        table = self.table
        there = self._works(host) * self._works(device)
        wires = hop_wires(chain, host, device)
        there[table.broken(*wires)] = 0.0
        there[table.at_ends(FaultKind.POOR, *wires)] *= 1 - practice("poor line breaks")
        hops = {hop.id: hop for hop in chain.hops}
        crossed = [name for name, hop in hops.items() if any(wire.id in wires for wire in hop.wires)]
        there[table.of(FaultKind.REVERSED, *crossed)] = 0.0
        there[table.of(FaultKind.PAIR_SHORT, *hops)] = 0.0
        there[table.of(FaultKind.FACTORY_ID, device.id)] = 0.0
        unsteady = table.flat()
        unsteady[table.shaky(*wires)] = practice("shaky flickers")
        for other in same_type(chain, device):
            unsteady[table.of(FaultKind.DOUBLE_ID, other.id)] = 1 / len(same_type(chain, other))
        doubled = table.of(FaultKind.DOUBLE_ID, device.id)
        unsteady[doubled] = _MOSTLY
        there[doubled] = _HALF
        name = f"chain {chain.bus.name}"
        unsteady[table.of(FaultKind.TERMINATOR_MISSING, name)] = practice("one terminator upsets")
        unsteady[table.of(FaultKind.TERMINATOR_EXTRA, name)] = practice("extra terminator upsets")
        cut = [w for w in chain_wires(chain) if w not in wires]
        unsteady[table.broken(*cut)] = practice("one terminator upsets")
        unsteady[table.of(FaultKind.REVERSED, *(set(hops) - set(crossed)))] = practice("one terminator upsets")
        unsteady[table.of(FaultKind.WET, device.id)] = practice("wet is odd") * _HALF
        unsteady += self.lit.of(device).flickers
        return _listed(there, unsteady)

    def _over_cables(self, host: Device) -> Iterator[tuple[str, list[str], list[str]]]:
        """Give each device on the network with the cables to it and the devices between, by the shortest way."""
        cables = [c for c in self.plan.circuits if c.circuit.kind is CircuitKind.NETWORK]
        ways: dict[str, tuple[list[str], list[str]]] = {host.id: ([], [])}
        waiting = [host.id]
        while waiting:
            here = waiting.pop(0)
            for circuit in cables:
                for wire in circuit.wires:
                    ends = (wire.a.device, wire.b.device)
                    there = ends[1] if ends[0] == here else ends[0] if ends[1] == here else ""
                    if there and there not in ways:
                        wires, through = ways[here]
                        ways[there] = ([*wires, wire.id], [*through, here] if here != host.id else through)
                        waiting.append(there)
        yield from ((name, wires, through) for name, (wires, through) in ways.items() if wires)

    def _over(self, host: Device, name: str, cables: list[str], through: list[str]) -> Listed:
        there = self._works(host)
        unsteady = self.table.flat()
        for device in [name, *through]:
            found = self.plan.robot.device(device)
            if found is not None and found.kind != "regulator":
                there = there * self._works(found)
                unsteady += self.lit.of(found).flickers
        there[self.table.broken(*cables)] = 0.0
        unsteady[self.table.shaky(*cables)] = practice("shaky flickers")
        return _listed(there, unsteady)

    def _by_leads(self, host: Device) -> Iterator[tuple[str, list[str]]]:
        """Give each sensor that hangs on the robot controller by signal leads."""
        for circuit in self.plan.circuits:
            load = self.plan.robot.device(circuit.circuit.load)
            if circuit.circuit.kind is CircuitKind.SIGNAL and load is not None and load.kind == "sensor":
                ends = {end.device for wire in circuit.wires for end in (wire.a, wire.b)}
                if host.id in ends:
                    yield load.id, [wire.id for wire in circuit.wires]

    def _led(self, host: Device, name: str, leads: list[str]) -> Listed:
        there, unsteady = self._works(host), self.table.flat()
        found = self.plan.robot.device(name)
        if found is not None:
            there = there * self._works(found)
        there[self.table.broken(*leads)] = 0.0
        unsteady[self.table.shaky(*leads)] = practice("shaky flickers")
        return _listed(there, unsteady)

    def _works(self, device: Device) -> Floats:
        return self.lit.of(device).works.copy()


def hop_wires(chain: Chain, one: Device, other: Device) -> list[str]:
    """Return the ids of the wires of every hop between two devices of a chain."""
    order = [device.id for device in chain.devices]
    first, last = sorted((order.index(one.id), order.index(other.id)))
    between = set(order[first : last + 1])
    return [
        wire.id for hop in chain.hops for wire in hop.wires if wire.a.device in between and wire.b.device in between
    ]


def chain_wires(chain: Chain) -> list[str]:
    """Return the ids of all wires of a chain."""
    return [wire.id for hop in chain.hops for wire in hop.wires]


def _listed(there: Floats, unsteady: Floats) -> Listed:
    unsteady = np.clip(unsteady, 0.0, 1.0)
    return Listed(np.clip(there, 0.0, 1.0) * (1 - unsteady), unsteady)
