"""A fault as the cases that it may be: how bad, what it changes in the plan's network, what it does besides."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from loomwright.electrical.network_of import FRAME, end_node, wire_name, wire_ohm
from loomwright.electrical.parts import fed_sockets, minus_node, passes_plus, plus_node
from loomwright.electrical.power import ON_COMMAND, has_wires
from loomwright.hunting.robot.faults import FaultKind, RobotFault
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.software import software_ways
from loomwright.model.part import Polarity
from loomwright.network.variants import Bridge, Other
from loomwright.rulebook.lookup import outlet_of
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.network import Node
    from loomwright.network.variants import Change
    from loomwright.plan.result import Plan, PlannedCircuit, PlannedWire

    Floats: TypeAlias = npt.NDArray[np.float64]

#: A range of resistances is stood for by so many, evenly by their logarithms.
_GRADES: Final = 4
_OPEN: Final = (FaultKind.OPEN, FaultKind.BROKEN)
_HALF: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One way that a fault may be, with its share of all ways; fault 0 is no fault at all.

    `alive` changes the network with the battery in, `dead` the one without, `chain` that of the data chains.
    `series_ohm` lies in line with `wire`.
    `rest_v` is the battery's voltage where it is another one. `software` is what a program does, and to what.
    """

    number: int
    fault: RobotFault | None
    share: float = 1.0
    alive: Change = None
    dead: Change = None
    chain: Change = None
    wire: str = ""
    series_ohm: float = 0.0
    rest_v: float | None = None
    software: tuple[str, str] = ("", "")


def cases_of(plan: Plan, faults: tuple[RobotFault, ...]) -> tuple[Case, ...]:
    """Return the cases of every fault, numbered from 1 as they stand; case 0 is a healthy robot."""
    by_id = {wire.id: wire for wire in plan.wires}
    found = [Case(number=0, fault=None)]
    for number, fault in enumerate(faults, start=1):
        found += _cases(plan, by_id, number, fault)
    return tuple(found)


class CaseTable:
    """The cases by what they are of, so that a check can say what each of them does."""

    def __init__(self, cases: tuple[Case, ...]) -> None:
        self.cases = cases
        self._places: dict[tuple[FaultKind, str], list[int]] = {}
        for place, case in enumerate(cases):
            if case.fault is not None:
                self._places.setdefault((case.fault.kind, case.fault.seat), []).append(place)
        self._software = {case.software: place for place, case in enumerate(cases) if case.software[0]}

    def flat(self, value: float = 0.0) -> Floats:
        """Return one number for every case."""
        return np.full(len(self.cases), value)

    def of(self, kind: FaultKind, *seats: str) -> list[int]:
        """Return the places of the cases of one kind at any of these seats."""
        return [place for seat in seats for place in self._places.get((kind, seat), ())]

    def software(self, what: str, about: str) -> list[int]:
        """Return the place where a program does this to a motor, a device or a halt."""
        return [self._software[what, about]] if (what, about) in self._software else []

    def at_ends(self, kind: FaultKind, *wires: str) -> list[int]:
        """Return the places of the cases of one kind at both ends of these wires."""
        return self.of(kind, *(f"{wire} {letter}" for wire in wires for letter in "AB"))

    def broken(self, *wires: str) -> list[int]:
        """Return the places where one of these wires lets nothing through."""
        return [*self.at_ends(FaultKind.OPEN, *wires), *self.of(FaultKind.BROKEN, *wires)]

    def shaky(self, *wires: str) -> list[int]:
        """Return the places where one of these wires opens when it is shaken."""
        return [*self.at_ends(FaultKind.SHAKY, *wires), *self.of(FaultKind.SHAKY_WIRE, *wires)]


def grades(name: str) -> tuple[float, ...]:
    """Return what stands for a range of resistances: "poor", "loose", "wet", "weak"."""
    least, most = math.log(practice(f"{name} least")), math.log(practice(f"{name} most"))
    return tuple(math.exp(least + (most - least) * (place + _HALF) / _GRADES) for place in range(_GRADES))


def breaks_itself(wire: PlannedWire) -> bool:
    """Tell whether a wire stands in the network of power; data and motor wires stand apart."""
    return wire.kind not in (CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.MOTOR)


def opened(plan: Plan, circuit: PlannedCircuit) -> tuple[Change, Change]:
    """Return what stops a circuit, alive and dead: its breaker, its fuse, its source's own limit, the main breaker.

    What a program switches on is in no network.
    """
    if circuit.circuit.kind is CircuitKind.MAIN:
        breaker = next((device.id for device in plan.robot if device.kind == "breaker"), "")
        return (Other(name=("breaker", breaker), resistance_ohm=math.inf) if breaker else None), None
    outlet, source = outlet_of(plan, circuit), plan.robot.device(circuit.source)
    if outlet is None or source is None:
        return None, None
    if passes_plus(source.part, outlet):
        change = Other(name=("slot", source.id, outlet.name), resistance_ohm=math.inf)
        return change, change
    is_on = outlet.use not in ON_COMMAND and has_wires(outlet)
    return (Other(name=("outlet", source.id, outlet.name), resistance_ohm=math.inf) if is_on else None), None


def at_load(circuit: PlannedCircuit) -> tuple[Node | None, Node | None]:
    """Return the nodes of a circuit's two conductors at its load, plus (or high) first; None where it has none."""
    found = {wire.b.polarity: end_node(wire, wire.b) for wire in circuit.wires}
    one = found.get(Polarity.PLUS, found.get(Polarity.BUS_HIGH))
    other = found.get(Polarity.MINUS, found.get(Polarity.BUS_LOW))
    return one, other


def at_feed(circuit: PlannedCircuit) -> tuple[Node | None, Node | None]:
    """Return the nodes of a circuit's plus and minus where it begins."""
    found = {wire.a.polarity: end_node(wire, wire.a) for wire in reversed(circuit.wires)}
    return found.get(Polarity.PLUS), found.get(Polarity.MINUS)


def _cases(plan: Plan, by_id: dict[str, PlannedWire], number: int, fault: RobotFault) -> Iterator[Case]:
    if fault.kind is FaultKind.SOFTWARE:
        for way in software_ways(plan):
            yield Case(
                number=number, fault=fault, share=way.per_match / fault.per_match, software=(way.what, way.about)
            )
        return
    if fault.wire:
        yield from _of_wire(by_id[fault.wire], number, fault)
    elif fault.circuit:
        circuit = plan.circuit(fault.circuit)
        if circuit is not None:
            yield from _of_circuit(plan, circuit, number, fault)
    elif fault.device:
        yield from _of_device(plan, number, fault)
    else:
        yield Case(number=number, fault=fault)


def _of_wire(wire: PlannedWire, number: int, fault: RobotFault) -> Iterator[Case]:
    series: tuple[float, ...] = (0.0,)
    if fault.kind in _OPEN:
        series = (math.inf,)
    elif fault.kind in (FaultKind.POOR, FaultKind.LOOSE):
        series = grades(fault.kind)
    for ohm in series:
        share, change = 1 / len(series), _in_line(wire, ohm)
        chained = change if wire.kind is CircuitKind.BUS else None
        power = change if breaks_itself(wire) else None
        yield Case(
            number=number,
            fault=fault,
            share=share,
            alive=power,
            dead=power,
            chain=chained,
            wire=fault.wire,
            series_ohm=ohm,
        )


def _in_line(wire: PlannedWire, ohm: float) -> Change:
    return Other(name=wire_name(wire), resistance_ohm=wire_ohm(wire)[0] + ohm) if ohm else None


def _of_circuit(plan: Plan, circuit: PlannedCircuit, number: int, fault: RobotFault) -> Iterator[Case]:
    alive, dead = opened(plan, circuit)
    plus, minus = at_load(circuit)
    if fault.kind is FaultKind.PAIR_SHORT and plus is not None and minus is not None:
        short = Bridge(a=plus, b=minus, resistance_ohm=practice("pair short"))
        if circuit.circuit.kind is CircuitKind.BUS:
            yield Case(number=number, fault=fault, chain=short)
        elif circuit.circuit.kind is CircuitKind.MOTOR:
            yield Case(number=number, fault=fault)
        else:
            yield Case(number=number, fault=fault, alive=alive, dead=short)
    elif fault.kind is FaultKind.FRAME_SHORT and plus is not None and circuit.circuit.kind is not CircuitKind.MOTOR:
        joint = Bridge(a=plus, b=FRAME, resistance_ohm=practice("frame short"))
        yield Case(number=number, fault=fault, dead=joint)
    elif fault.kind is FaultKind.OUT:
        yield Case(number=number, fault=fault, alive=alive, dead=dead)
    elif fault.kind is FaultKind.WRONG_SLOT:
        yield Case(number=number, fault=fault, share=_HALF, alive=alive, dead=dead)
        yield Case(number=number, fault=fault, share=_HALF)
    else:
        yield Case(number=number, fault=fault)


def _of_device(plan: Plan, number: int, fault: RobotFault) -> Iterator[Case]:
    device = plan.robot.device(fault.device)
    if device is None:
        return
    if fault.kind is FaultKind.OFF:
        off = Other(name=("breaker", device.id), resistance_ohm=math.inf)
        yield Case(number=number, fault=fault, alive=off)
    elif fault.kind is FaultKind.FLAT:
        least, most = practice("flat least"), practice("flat most")
        for place in range(_GRADES):
            rest_v = least + (most - least) * (place + _HALF) / _GRADES
            inside = Other(name=("battery",), resistance_ohm=practice("flat inside"))
            yield Case(number=number, fault=fault, share=1 / _GRADES, alive=inside, rest_v=rest_v)
    elif fault.kind is FaultKind.WEAK:
        for ohm in grades("weak"):
            inside = Other(name=("battery",), resistance_ohm=ohm)
            yield Case(number=number, fault=fault, share=1 / _GRADES, alive=inside)
    elif fault.kind is FaultKind.WET and (supplies := fed_sockets(plan, device)):
        plus, minus = plus_node(device, supplies[0]), minus_node(device, supplies[0])
        for ohm in grades("wet"):
            change = Bridge(a=plus, b=minus, resistance_ohm=ohm)
            yield Case(number=number, fault=fault, share=1 / _GRADES, alive=change, dead=change)
    else:
        yield Case(number=number, fault=fault)
