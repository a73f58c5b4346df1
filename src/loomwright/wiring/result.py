"""What the parts imply: circuits, wires and ends, before anything is decided."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.mark import Mark
    from loomwright.model.part import Polarity


class CircuitKind(StrEnum):
    """What a circuit is for."""

    MAIN = "main"
    FEEDER = "feeder"
    BRANCH = "branch"
    OUTPUT = "output"
    MOTOR = "motor"
    BUS = "bus"
    NETWORK = "network"
    SIGNAL = "signal"

    @property
    def carries_power(self) -> bool:
        """Tell whether the wires of this circuit are sized by current."""
        return self in (CircuitKind.MAIN, CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT, CircuitKind.MOTOR)


@dataclass(frozen=True, slots=True)
class EndAt:
    """Where a wire end goes: a device, a socket there ("" while the slot is undecided), a conductor."""

    device: str
    socket: str
    polarity: Polarity


@dataclass(frozen=True, slots=True)
class Wire:
    """One conductor or cable between two ends; `a` is nearer to the battery or the sender.

    `role` says which of the circuit's wires it is ("plus", "battery lead plus"); circuit and role
    together are the key that keeps a wire's id through every change. A `captive` wire is a lead that a
    part brings along: nothing is cut, and an end is made only where the lead is held.
    """

    circuit: str
    role: str
    kind: CircuitKind
    a: EndAt
    b: EndAt
    twisted_with: str = ""
    captive: bool = False

    @property
    def key(self) -> tuple[str, str]:
        """The circuit and the role, which never change while the wire means the same."""
        return (self.circuit, self.role)


@dataclass(frozen=True, slots=True)
class Circuit:
    """Wires that carry one load's current, or one signal.

    `sources` are the devices that could feed it, one where the file or the parts leave no choice.
    `slot` is what the file pins; `group` the kind of outlet it belongs on; `wanted_a` the protection
    ratings that suit it, best first (empty where the source's own limit protects). `upstream` is
    the circuit whose protection guards this one (a motor's wires behind its branch).
    """

    id: str
    kind: CircuitKind
    load: str
    load_socket: str
    sources: tuple[str, ...]
    wires: tuple[Wire, ...]
    mark: Mark
    path: str
    slot: Fact[str] = field(default_factory=Fact)
    group: str = ""
    wanted_a: tuple[float, ...] = ()
    wanted_source: str = ""
    exact_protection: bool = False
    upstream: str = ""


@dataclass(frozen=True, slots=True)
class Wiring:
    """Every circuit of the robot, in a stable order, and what could not be derived and must be asked."""

    circuits: tuple[Circuit, ...]
    questions: tuple[Finding, ...] = ()

    def circuit(self, name: str) -> Circuit | None:
        """Return the circuit of this id, or None."""
        return next((circuit for circuit in self.circuits if circuit.id == name), None)

    @property
    def wires(self) -> tuple[Wire, ...]:
        """All wires, circuit by circuit."""
        return tuple(wire for circuit in self.circuits for wire in circuit.wires)
