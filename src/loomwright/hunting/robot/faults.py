"""What may be wrong on one robot: every kind of fault at every place where it can be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from loomwright.electrical.bus import Chain, chains
from loomwright.hunting.robot.practice import rate
from loomwright.hunting.robot.software import software_ways
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.rulebook.lookup import fed_from_slot, is_fed, outlet_of
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire


class FaultKind(StrEnum):
    """What is wrong, see docs/hunting-model.md."""

    OPEN = "open"
    POOR = "poor"
    LOOSE = "loose"
    SHAKY = "shaky"
    BROKEN = "broken"
    SHAKY_WIRE = "shaky wire"
    PAIR_SHORT = "pair short"
    FRAME_SHORT = "frame short"
    REVERSED = "reversed"
    WRONG_SLOT = "wrong slot"
    OUT = "out"
    OFF = "off"
    FLAT = "flat"
    WEAK = "weak"
    DEAD = "dead"
    OUTPUTS_OFF = "outputs off"
    WET = "wet"
    FACTORY_ID = "factory id"
    DOUBLE_ID = "double id"
    TERMINATOR_MISSING = "terminator missing"
    TERMINATOR_EXTRA = "terminator extra"
    SOFTWARE = "software"


#: These have no number on a chain.
_UNNUMBERED: Final = ("computer", "terminator")
_AT_ENDS: Final = (FaultKind.OPEN, FaultKind.POOR, FaultKind.LOOSE, FaultKind.SHAKY)
_NO_OHMS: Final = (FaultKind.POOR, FaultKind.LOOSE)
_DATA: Final = (CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.SIGNAL)
_SLOTS_TO_MISS: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class RobotFault:
    """One thing that may be wrong: its kind, its seat (what would be mended), and how often it happens in one match.

    `wire` and `end` are set for a wire and its end, `circuit` for what belongs to one, `device` and `chain` likewise.
    """

    kind: FaultKind
    seat: str
    per_match: float
    wire: str = ""
    end: str = ""
    circuit: str = ""
    device: str = ""
    chain: str = ""

    @property
    def key(self) -> str:
        """The fault's name: its kind and its seat."""
        return f"{self.kind} {self.seat}".strip()


def faults_of(plan: Plan) -> tuple[RobotFault, ...]:
    """Return everything that may be wrong on this robot; what a kind of place never shows is left out.

    What is no fault of the wiring, a setting or the program, is the last one, and sits nowhere.
    """
    often = sum(way.per_match for way in software_ways(plan))
    software = RobotFault(kind=FaultKind.SOFTWARE, seat="", per_match=often)
    found = (*_of_wires(plan), *_of_circuits(plan), *_of_devices(plan), *_of_chains(plan), software)
    return tuple(fault for fault in found if fault.per_match > 0)


def is_pair(circuit: PlannedCircuit) -> bool:
    """Tell whether a circuit is one plus and one minus."""
    return [wire.role for wire in circuit.wires] == ["plus", "minus"]


def is_brushless(circuit: PlannedCircuit) -> bool:
    """Tell whether a circuit is the three phases of a motor; a brushed motor takes two of a controller's outputs."""
    return any(wire.a.polarity is Polarity.PHASE_B for wire in circuit.wires)


def has_protection(circuit: PlannedCircuit) -> bool:
    """Tell whether a breaker or fuse of its own stands in a circuit's slot."""
    return fed_from_slot(circuit) and circuit.protection_a.value is not None


def is_fuse(plan: Plan, circuit: PlannedCircuit) -> bool:
    """Tell whether a fuse protects a circuit; else it is a breaker."""
    outlet = outlet_of(plan, circuit)
    return outlet is not None and outlet.protection.startswith("fuse")


def moving_trunks(plan: Plan, wire: PlannedWire) -> tuple[str, ...]:
    """Return the moving joints that a wire runs through."""
    return tuple(trunk.name for trunk in plan.robot.trunks if trunk.moving and trunk.name in wire.path)


def same_type(chain: Chain, device: Device) -> list[Device]:
    """Return the devices whose number a device could have by mistake: of its type and maker, on its chain."""
    kind, maker = device.part.word("bus type"), device.key.maker.value
    return [
        one
        for one in chain.devices
        if one.id != device.id
        and one.kind not in ("computer", "terminator")
        and (one.part.word("bus type"), one.key.maker.value) == (kind, maker)
    ]


def _of_wires(plan: Plan) -> Iterator[RobotFault]:
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            yield from _of_end(wire, end)
        if moving_trunks(plan, wire):
            for kind in (FaultKind.BROKEN, FaultKind.SHAKY_WIRE):
                yield RobotFault(kind=kind, seat=wire.id, per_match=rate(kind, "moving"), wire=wire.id)


def _of_end(wire: PlannedWire, end: PlannedEnd) -> Iterator[RobotFault]:
    if end.port is None:
        return
    port = PortKind.SOCKET if end.polarity is Polarity.CABLE else end.port.kind
    for kind in _AT_ENDS:
        if kind not in _NO_OHMS or wire.kind not in _DATA or (wire.kind is CircuitKind.BUS and kind is FaultKind.POOR):
            seat = f"{wire.id} {end.letter}"
            yield RobotFault(kind=kind, seat=seat, per_match=rate(kind, port), wire=wire.id, end=end.letter)


def _of_circuits(plan: Plan) -> Iterator[RobotFault]:
    for circuit in plan.circuits:
        kind = circuit.circuit.kind
        wrong: list[FaultKind] = []
        if ((is_fed(circuit) or kind is CircuitKind.MOTOR) and is_pair(circuit)) or kind is CircuitKind.MAIN:
            wrong += [FaultKind.PAIR_SHORT, FaultKind.FRAME_SHORT, FaultKind.REVERSED]
        elif kind is CircuitKind.BUS:
            # A terminator is a resistor: it does not mind which line is which.
            ends = plan.robot.device(circuit.circuit.load)
            crossed = ends is None or ends.kind != "terminator"
            wrong += [FaultKind.PAIR_SHORT, *[FaultKind.REVERSED] * crossed]
        elif kind is CircuitKind.MOTOR:
            wrong.append(FaultKind.REVERSED)
        if has_protection(circuit) and _slots_beside(plan, circuit) >= _SLOTS_TO_MISS:
            wrong.append(FaultKind.WRONG_SLOT)
        for what in wrong:
            of = "motor" if what is FaultKind.REVERSED and kind is CircuitKind.MOTOR else "circuit"
            yield RobotFault(kind=what, seat=circuit.id, per_match=rate(what, of), circuit=circuit.id)
        if has_protection(circuit):
            often = rate(FaultKind.OUT, "fuse" if is_fuse(plan, circuit) else "breaker")
            yield RobotFault(
                kind=FaultKind.OUT, seat=f"protection of {circuit.id}", per_match=often, circuit=circuit.id
            )


def _slots_beside(plan: Plan, circuit: PlannedCircuit) -> int:
    source = plan.robot.device(circuit.source)
    return 0 if source is None else sum(1 for socket in source.part.sockets if socket.ratings_a)


def _of_devices(plan: Plan) -> Iterator[RobotFault]:
    numbered = {device.id for chain in chains(plan) for device in chain.devices}
    doubles = {device.id for chain in chains(plan) for device in chain.devices if same_type(chain, device)}
    for device in plan.robot:
        wrong: list[tuple[FaultKind, str]] = []
        if device.kind == "battery":
            wrong += [(FaultKind.FLAT, "battery"), (FaultKind.WEAK, "battery")]
        elif device.kind == "breaker":
            wrong.append((FaultKind.OFF, "main breaker"))
        elif device.kind == "motor" and device.part.word("plus to minus") != "electronics":
            wrong.append((FaultKind.DEAD, "motor"))
        elif device.part.word("plus to minus") == "electronics" or device.kind in ("light", "sensor"):
            wrong += [(FaultKind.DEAD, "electronics"), (FaultKind.WET, "electronics")]
        if device.kind == "regulator" or (device.kind == "block" and _regulates(device)):
            wrong.append((FaultKind.OUTPUTS_OFF, "regulator"))
        if device.id in numbered and device.kind not in _UNNUMBERED:
            wrong += [(FaultKind.FACTORY_ID, "numbered")]
            wrong += [(FaultKind.DOUBLE_ID, "numbered")] if device.id in doubles else []
        for kind, of in wrong:
            if kind is not FaultKind.WET or device.part.word("plus to minus") == "electronics":
                yield RobotFault(kind=kind, seat=device.id, per_match=rate(kind, of), device=device.id)


def _regulates(device: Device) -> bool:
    return any(socket.volts is not None for socket in device.part.with_role(Role.OUTLET))


def _of_chains(plan: Plan) -> Iterator[RobotFault]:
    for chain in chains(plan):
        for kind in (FaultKind.TERMINATOR_MISSING, FaultKind.TERMINATOR_EXTRA):
            if chain.terminated:
                name = chain.bus.name
                yield RobotFault(kind=kind, seat=f"chain {name}", per_match=rate(kind, "chain"), chain=name)
