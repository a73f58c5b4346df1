"""The plan: what was decided for each circuit, wire and end, each with its reason."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.model.reason import Origin, Reasoned
from loomwright.sizing.result import ConstraintName

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.cutting.result import CutPlan
    from loomwright.findings import Finding
    from loomwright.layout.result import Layout
    from loomwright.layout.slot_problem import SlotAnswer
    from loomwright.model.part import Polarity, Port, TripPoint
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.search import Certificate
    from loomwright.sizing.result import Sizing
    from loomwright.units.gauge import Gauge
    from loomwright.wiring.result import Circuit, CircuitKind, Wiring
    from loomwright.wiring.treatment import Treatment

__all__ = ["Origin", "Plan", "PlannedCircuit", "PlannedEnd", "PlannedWire", "Reasoned"]

_OWN_COLOURS = Reasoned("", "its parts bring their own colours", Origin.CATALOGUE)


@dataclass(frozen=True, slots=True)
class PlannedEnd:
    """One end: letter A or B, where it goes, and what is done to it.

    `where` is the place in words ("block H3 plus"); `treatment` is None for ends that nobody makes
    (a moulded network plug).
    """

    letter: str
    device: str
    socket: str
    polarity: Polarity
    port: Port | None
    where: str
    treatment: Treatment | None


@dataclass(frozen=True, slots=True)
class PlannedWire:
    """One wire: its id for life, its copper and colour, its length [m] (None: not known), its two ends.

    `length_m` is what is cut; `path` names the trunks that it runs along, in order from end A.
    """

    id: str
    circuit: str
    role: str
    kind: CircuitKind
    gauge: Gauge | None
    colour: str
    length_m: float | None
    a: PlannedEnd
    b: PlannedEnd
    twisted_with: str = ""
    captive: bool = False
    path: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[str, str]:
        """Circuit and role."""
        return (self.circuit, self.role)


@dataclass(frozen=True, slots=True)
class PlannedCircuit:
    """What was decided for one circuit.

    `source` and `slot` are empty where nothing feeds it from a slot or none could be found.
    `protection_a` is None where the source's own limit protects (`protection` then says so in words).
    `current` [A] is the one the drop is judged at, `sustained` [A] the one that heats the wire.
    `length` [m] is one way, None where unknown. `colours` are the codes of its wires, with the reason of each.
    `sizing` is None for data and signal wires.
    """

    circuit: Circuit
    source: str
    slot: Reasoned[str]
    protection_a: Reasoned[float | None]
    protection: str
    trip_curve: tuple[TripPoint, ...]
    curve_assumed: bool
    current: Reasoned[float | None]
    sustained: Reasoned[float | None]
    length: Reasoned[float | None]
    gauge: Reasoned[Gauge | None]
    sizing: Sizing | None
    wires: tuple[PlannedWire, ...]
    colours: Reasoned[str] = _OWN_COLOURS

    @property
    def id(self) -> str:
        """The circuit's id."""
        return self.circuit.id

    @property
    def tightest(self) -> tuple[str, float] | None:
        """Return the name and ratio of the physical limit with the least margin, or None without numbers.

        A rule book's least gauge is a line to stand on, not a margin, so it does not count.
        """
        if self.sizing is None:
            return None
        judged = [c for c in self.sizing.constraints if c.name is not ConstraintName.RULE_BOOK]
        numbers = [(str(c.name), c.margin) for c in judged if c.margin is not None]
        return min(numbers, key=lambda pair: pair[1], default=None)


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that was decided. `revision` is the hash of the decisions alone, `inputs` of all inputs.

    `layout`, `slots` and `cut` hold the routes, the slots and the cut list with how good each is proved to be; None
    where nothing of the kind was there to decide. `chains` tells how good the order of each data chain is that the
    tool chose, by the name of the bus. `made` are the wires, by circuit and role, that were taken for made.
    """

    robot: Robot
    rules: RuleBook
    wiring: Wiring
    circuits: tuple[PlannedCircuit, ...]
    findings: tuple[Finding, ...]
    next_wire: int
    revision: str
    inputs: str
    layout: Layout | None = None
    slots: SlotAnswer | None = None
    cut: CutPlan | None = None
    chains: Mapping[str, Certificate] = field(default_factory=lambda: MappingProxyType({}))
    made: frozenset[tuple[str, str]] = frozenset()

    def circuit(self, name: str) -> PlannedCircuit | None:
        """Return the planned circuit of this id, or None."""
        return next((circuit for circuit in self.circuits if circuit.id == name), None)

    @property
    def wires(self) -> tuple[PlannedWire, ...]:
        """All wires, circuit by circuit."""
        return tuple(wire for circuit in self.circuits for wire in circuit.wires)

    def on_slot(self, device: str, slot: str) -> tuple[PlannedCircuit, ...]:
        """Return the circuits that stand on one slot of one device."""
        return tuple(c for c in self.circuits if c.source == device and c.slot.value == slot)
