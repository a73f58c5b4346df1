"""Which devices have power, work and show it, in every case: from the battery outwards."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.parts import fed_sockets, minus_node, passes_plus, plus_node
from loomwright.electrical.power import ON_COMMAND
from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.practice import practice
from loomwright.model.part import Polarity, Role
from loomwright.rulebook.lookup import feeds, outlet_of, power_path

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.hunting.robot.cases import CaseTable
    from loomwright.hunting.robot.measured import Seen
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit

    Floats: TypeAlias = npt.NDArray[np.float64]

_HALF = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Powered:
    """What the power of one device is like: its volts [V], and the chances that it has enough, or that it flickers.

    `works` is the chance that it does what it is there for, and feeds what hangs on it.
    """

    volts: Floats
    has: Floats
    flickers: Floats
    works: Floats


@dataclass(slots=True)
class Lit:
    """Every device's power, worked out once for each when it is asked for."""

    plan: Plan
    table: CaseTable
    alive: Seen
    _known: dict[str, Powered] = field(default_factory=dict)

    def of(self, device: Device) -> Powered:
        """Return the power of a device."""
        if device.id not in self._known:
            self._known[device.id] = self._of(device)
        return self._known[device.id]

    def fed(self, circuit: PlannedCircuit) -> Floats:
        """Return the chance that what feeds a circuit gives power, where electronics do; 1 where it is plain copper.

        What a program switches on gives none while the robot is disabled.
        """
        outlet, source = outlet_of(self.plan, circuit), self.plan.robot.device(circuit.source)
        if outlet is not None and outlet.use in ON_COMMAND:
            return self.table.flat(0.0)
        if source is None or outlet is None or passes_plus(source.part, outlet):
            return self.table.flat(1.0)
        power = self.of(source)
        if outlet.volts is None:
            return power.works
        # Below the voltage of its output a regulator may hold it or not: few parts say which.
        falls = power.volts < outlet.volts - practice("low volts")
        return np.asarray(power.works * np.where(falls, practice("holds below"), 1.0), dtype=np.float64)

    def _of(self, device: Device) -> Powered:
        table = self.table
        self._known[device.id] = Powered(table.flat(12.0), table.flat(1.0), table.flat(), table.flat(1.0))
        volts, given = self._volts(device), table.flat(1.0)
        for circuit in feeds(self.plan, device.id):
            given = given * self.fed(circuit)
            volts[table.of(FaultKind.REVERSED, circuit.id)] *= -1.0
        volts[table.of(FaultKind.REVERSED, "main")] *= -1.0
        works_from_v = works_from(device)
        dim = min(practice("flickers below"), works_from_v / 4)
        has = np.clip((volts - works_from_v + dim * _HALF) / dim, 0.0, 1.0)
        dark = np.clip((works_from_v - dim * _HALF - volts) / dim, 0.0, 1.0)
        has, flickers = has * given, (1 - has - dark) * given
        flickers[table.shaky(*self._wires(device))] = practice("shaky flickers")
        has = np.minimum(has, 1 - flickers)
        works = has + _HALF * flickers
        works[table.of(FaultKind.DEAD, device.id)] = 0.0
        works[table.of(FaultKind.OUTPUTS_OFF, device.id)] = 0.0
        works[table.of(FaultKind.WET, device.id)] *= 1 - _HALF * practice("wet is odd")
        return Powered(volts, has, flickers, works)

    def _volts(self, device: Device) -> Floats:
        sockets = fed_sockets(self.plan, device)
        if sockets:
            return self.alive.volts(plus_node(device, sockets[0]), minus_node(device, sockets[0]))
        volts = self.table.flat(12.0)
        for circuit in feeds(self.plan, device.id):
            cables = [wire.id for wire in circuit.wires if wire.a.polarity is Polarity.CABLE]
            volts[self.table.broken(*cables)] = 0.0
        return volts

    def _wires(self, device: Device) -> list[str]:
        return feed_wires(self.plan, device)


def feed_wires(plan: Plan, device: Device) -> list[str]:
    """Return the ids of all wires between the battery and a device."""
    path = list(power_path(plan, device.id))
    sources = {device.id, *(circuit.source for circuit in path)}
    main = [c for c in plan.circuits if c.circuit.kind == "main" and (c.id == "main" or c.circuit.load in sources)]
    return [wire.id for circuit in (*path, *main) for wire in circuit.wires]


def works_from(device: Device) -> float:
    """Return the least voltage that a device works from [V]."""
    part = device.part
    needs = next((socket.volts for socket in part.with_role(Role.SUPPLY) if socket.volts is not None), None)
    if needs is not None:
        return needs * practice("works from share")
    said = part.number("works from") or part.number("stops below")
    return practice("works from") if said is None else said
