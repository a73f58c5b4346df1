"""Decks for ngspice, written from a plan without the program's own networks: printed copper, parts, wires."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from loomwright.model.device import Device
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.plan.result import Plan, PlannedEnd, PlannedWire
from tests.network.spice import operating_point
from tests.reference.published import rows

Where = tuple[str, str, str]
_PRINTED = {
    row["gauge_awg"]: float(row["resistance_ohm_per_kft"]) / 304.8
    for row in rows("awg_20c")
    if row["resistance_ohm_per_kft"]
}
_JOINED_OHM = 1e-6
_COPY = 10_000
_UNKNOWN_WIRE_OHM = 1.0


class Deck:
    """One state of a robot as lines of a deck; `low` takes the least of every range, `into` names the circuits in."""

    def __init__(self, plan: Plan, *, low: bool, into: frozenset[str] = frozenset(), swapped: bool = False) -> None:
        self.plan = plan
        self.low = low
        self.swapped = swapped
        self.number: dict[Where, int] = {}
        self.parts: list[tuple[int, int, float]] = []
        for wire in plan.wires:
            self._wire(wire)
        for device in plan.robot:
            self._minus(device)
            self._slots(device, into)
            self._input(device)
        self._chains()

    def at(self, where: Where) -> int:
        """Return the number of a node."""
        return self.number.setdefault(where, len(self.number) + 1)

    def ohms(self, program: Path, pairs: Sequence[tuple[Where, Where]]) -> list[float]:
        """Return what ngspice finds between ports, pair by pair: each has its own copy of what hangs on its probe."""
        lines: list[str] = []
        asked: list[int] = []
        for copy, pair in enumerate(pairs, 1):
            one, other = (self.at(where) + copy * _COPY for where in pair)
            lines += [*self._island(self.at(pair[0]), copy), f"VZ{copy} {other} 0 DC 0", f"IM{copy} {other} {one} DC 1"]
            asked.append(one)
        found = operating_point(program, lines, asked)
        return [found[number] for number in asked]

    def _island(self, start: int, copy: int) -> Iterator[str]:
        island = {start}
        while more := {end for a, b, _ in self.parts if {a, b} & island for end in (a, b)} - island:
            island |= more
        for n, (a, b, ohm) in enumerate(self.parts):
            if a in island:
                yield f"R{copy}x{n} {a + copy * _COPY} {b + copy * _COPY} {ohm:.12g}"

    def resistor(self, one: Where, other: Where, ohm: float) -> None:
        """Put a resistance between two ports."""
        if not math.isinf(ohm) and one != other:
            self.parts.append((self.at(one), self.at(other), max(ohm, _JOINED_OHM)))

    def _wire(self, wire: PlannedWire) -> None:
        known = wire.gauge is not None and wire.length_m is not None
        own = _PRINTED[wire.gauge.label] * wire.length_m if wire.gauge and wire.length_m is not None else 0.0
        unknown = 0.0 if self.low else _UNKNOWN_WIRE_OHM
        self.resistor(self._end(wire, wire.a), self._end(wire, wire.b), own if known else unknown)

    def _end(self, wire: PlannedWire, end: PlannedEnd) -> Where:
        there = (end.device, end.socket, str(end.polarity))
        port = end.port
        if wire.captive or port is None or port.kind is not PortKind.LEAD:
            return there
        joint = (wire.id, end.letter, "joint")
        assert port.lead_gauge is not None
        assert port.lead_length_m is not None
        self.resistor(joint, there, _PRINTED[port.lead_gauge.label] * port.lead_length_m)
        return joint

    def _minus(self, device: Device) -> None:
        if device.kind in ("battery", "plug", "breaker", "valve", "compressor"):
            return
        for socket in device.part.sockets:
            if socket.role not in (Role.MOTOR_IN, Role.MOTOR_OUT) and socket.port(Polarity.MINUS):
                self.resistor((device.id, "", "minus"), (device.id, socket.name, "minus"), 0.0)

    def _slots(self, device: Device, into: frozenset[str]) -> None:
        supply = device.part.first(Role.SUPPLY)
        for circuit in self.plan.circuits:
            there = circuit.source == device.id and device.kind == "block" and circuit.id in into
            socket = device.part.socket(circuit.slot.value or "")
            if there and supply and socket and socket.volts is None:
                self.resistor((device.id, supply.name, "plus"), (device.id, socket.name, "plus"), 0.0)

    def _input(self, device: Device) -> None:
        word = "reversed input" if self.swapped else "input resistance"
        ohm = device.part.number(f"{word} {'from' if self.low else 'to'}")
        used = {w.b.socket for w in self.plan.wires if w.b.device == device.id}
        for socket in device.part.with_role(Role.SUPPLY):
            if ohm and socket.name in used and socket.port(Polarity.MINUS):
                self.resistor((device.id, socket.name, "plus"), (device.id, socket.name, "minus"), ohm)

    def _chains(self) -> None:
        for bus in self.plan.robot.buses:
            wires = [w for c in self.plan.circuits if c.circuit.path == bus.path and bus.kind == "bus" for w in c.wires]
            ends = {(e.device, e.socket, str(e.polarity)) for w in wires for e in (w.a, w.b)}
            for device, socket, line in sorted(ends):
                self.resistor((device, bus.name, line), (device, socket, line), 0.0)
            for device in sorted({end[0] for end in ends}):
                self._across(bus.name, device, bus.terminators.value or ())

    def _across(self, bus: str, device: str, told: tuple[str, ...]) -> None:
        found = self.plan.robot.device(device)
        assert found is not None
        pair = [(device, bus, line) for line in ("bus high", "bus low")]
        if found.id in told or found.called in told:
            self.resistor(pair[0], pair[1], 120 * (0.95 if self.low else 1.05))
        if found.kind != "terminator":
            self.resistor(pair[0], pair[1], 10e3 if self.low else 100e3)


def both(plan: Plan, into: frozenset[str] = frozenset(), *, swapped: bool = False) -> Iterator[Deck]:
    """Give the deck of least and the deck of most."""
    for low in (True, False):
        yield Deck(plan, low=low, into=into, swapped=swapped)
