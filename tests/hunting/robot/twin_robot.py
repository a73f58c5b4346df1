"""What the twin knows of a robot: its ports as nodes, its circuits' ends, its chains, its motors."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.model.device import Device
from loomwright.model.part import Polarity, PortKind, Role, Socket
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire
from loomwright.rulebook.lookup import BUS_ROLES, guard_of, members, on_bus, outlet_of, source_of
from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_net import Node

PLUS, MINUS, CABLE = Polarity.PLUS, Polarity.MINUS, Polarity.CABLE
PAIR = (Polarity.BUS_HIGH, Polarity.BUS_LOW)
FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_NO_COMMON = ("battery", "plug", "breaker", "valve", "compressor")
_OFF_WHILE_DISABLED = ("valve", "compressor")


@dataclass(frozen=True, slots=True)
class Supply:
    """One input of a device that is wired: its socket and its two nodes."""

    device: Device
    socket: Socket
    plus: Node
    minus: Node


@dataclass(frozen=True, slots=True)
class Chain:
    """A data chain: its name, the path of its hops, its devices in order, who has a terminator on."""

    name: str
    path: str
    devices: tuple[Device, ...]
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Motor:
    """A motor, what drives it, its leads, the circuit that feeds what drives it, and the lead that commands it."""

    id: str
    driver: Device
    leads: PlannedCircuit | None
    feed: PlannedCircuit | None
    pulse: PlannedCircuit | None
    brushless: bool


class Anatomy:
    """A plan, as the twin needs it."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.devices = {device.id: device for device in plan.robot}
        self.circuits = {circuit.id: circuit for circuit in plan.circuits}
        self.wires = {wire.id: wire for wire in plan.wires}
        self.paths = {wire.id: circuit.circuit.path for circuit in plan.circuits for wire in circuit.wires}
        self.ends = {f"{w.id} {e.letter}": (w, e) for w in plan.wires for e in (w.a, w.b)}
        self.main = next(c for c in plan.circuits if c.circuit.kind is CircuitKind.MAIN)
        self.block = self.main.circuit.load
        self.battery = next(d for d in plan.robot if d.kind == "battery")
        self.breaker = next((d for d in plan.robot if d.kind == "breaker"), None)
        self.plug = next((d for d in plan.robot if d.kind == "plug"), None)
        self.computer = next((d for d in plan.robot if d.part.number("outputs off below") is not None), None)

    def port(self, device: str, socket: str, polarity: Polarity, path: str = "") -> Node:
        """Return the node of a port: what a device joins inside is one node, both sides of a chain too."""
        if polarity in PAIR:
            return (device, path, str(polarity))
        found = self.devices[device].part.socket(socket)
        driving = found is not None and found.role in (Role.MOTOR_IN, Role.MOTOR_OUT)
        if polarity is MINUS and not driving and self.devices[device].kind not in _NO_COMMON:
            return (device, "minus")
        return (device, socket, str(polarity))

    def inside(self, wire: PlannedWire, end: PlannedEnd) -> Node:
        """Return the node of the port that a wire's end goes to."""
        return self.port(end.device, end.socket, end.polarity, self.paths[wire.id])

    def probe(self, wire: PlannedWire, end: PlannedEnd) -> Node:
        """Return where a probe reaches the joint of a wire's end: at a captive lead that is where the lead begins."""
        return (wire.id, end.letter) if has_lead(wire, end) else self.inside(wire, end)

    def wire_at(self, circuit: PlannedCircuit, letter: str, polarity: Polarity) -> PlannedWire | None:
        """Return the wire of a conductor at the feeding end A or the load's end B of a circuit."""
        if letter == "A":
            starts = (w for w in circuit.wires if w.a.polarity is polarity and w.a.device == source_of(circuit))
            return next(starts, None)
        ends = (w for w in circuit.wires if w.b.polarity is polarity and w.b.device == circuit.circuit.load)
        return next(ends, None)

    def at(self, circuit: PlannedCircuit, letter: str, polarity: Polarity) -> Node | None:
        """Return where a probe finds a conductor of a circuit at one of its ends."""
        wire = self.wire_at(circuit, letter, polarity)
        return None if wire is None else self.probe(wire, wire.a if letter == "A" else wire.b)

    def has_pair(self, circuit: PlannedCircuit) -> bool:
        """Tell whether a circuit has a plus and a minus that a probe reaches at both ends."""
        return all(self.at(circuit, letter, polarity) for letter in "AB" for polarity in (PLUS, MINUS))

    def guard(self, circuit: PlannedCircuit) -> str:
        """Return the circuit in whose slot the breaker or fuse of this one is, empty where there is none."""
        above = guard_of(self.plan, circuit)
        return "" if above is None else above.id

    def gives(self, circuit: PlannedCircuit) -> str:
        """Tell how an outlet gives: "contact" always, "switched" or "volts" while its device is lit, or "off"."""
        outlet, device = outlet_of(self.plan, circuit), self.devices.get(source_of(circuit))
        if outlet is None or device is None:
            return "contact"
        if outlet.use in _OFF_WHILE_DISABLED:
            return "off"
        if outlet.volts is not None:
            return "volts"
        return "contact" if device.kind == "block" else "switched"

    @cached_property
    def supplies(self) -> dict[str, tuple[Supply, ...]]:
        """The wired inputs of every device."""
        return {device.id: tuple(self._supplies(device)) for device in self.devices.values()}

    def supply(self, device: str) -> Supply | None:
        """Return a device's first wired input, or None."""
        return next(iter(self.supplies[device]), None)

    @cached_property
    def electronics(self) -> tuple[Device, ...]:
        """The devices that take power and do something of their own."""
        idle = (*_NO_COMMON, "terminator")
        fed = (d for d in self.devices.values() if self.supplies[d.id] and d.kind not in idle)
        return tuple(d for d in fed if d.part.word("plus to minus") != "nothing")

    @cached_property
    def regulators(self) -> tuple[Device, ...]:
        """The devices that give a voltage of their own."""
        return tuple(d for d in self.electronics if any(s.volts is not None for s in d.part.with_role(Role.OUTLET)))

    @cached_property
    def chains(self) -> tuple[Chain, ...]:
        """The data chains."""
        return tuple(self._chain_of(bus.name) for bus in self.plan.robot.buses if bus.kind == "bus")

    @cached_property
    def motors(self) -> dict[str, Motor]:
        """The motors that something drives, by id."""
        found = (self._motor(device) for device in self.plan.robot if device.kind == "motor")
        return {motor.id: motor for motor in found if motor}

    @cached_property
    def numbered(self) -> dict[str, Chain]:
        """The devices on a chain that have a number there."""
        return {d.id: c for c in self.chains for d in c.devices if d.key.number.value is not None}

    @cached_property
    def moving(self) -> dict[str, tuple[str, ...]]:
        """The moving trunks that each wire runs along, wires without one left out."""
        bends = {trunk.name for trunk in self.plan.robot.trunks if trunk.moving}
        along = {wire.id: tuple(name for name in wire.path if name in bends) for wire in self.plan.wires}
        return {wire: trunks for wire, trunks in along.items() if trunks}

    def _supplies(self, device: Device) -> Iterator[Supply]:
        used = {w.b.socket for w in self.plan.wires if w.b.device == device.id and w.kind.carries_power}
        for socket in device.part.with_role(Role.SUPPLY):
            if socket.name in used and device.kind not in ("plug", "breaker"):
                plus, minus = (self.port(device.id, socket.name, polarity) for polarity in (PLUS, MINUS))
                yield Supply(device, socket, plus, minus)

    def _chain_of(self, name: str) -> Chain:
        bus = next(bus for bus in self.plan.robot.buses if bus.name == name)
        devices = tuple(found for member in members(bus) if (found := on_bus(self.plan, member)) is not None)
        told = [found.id for one in bus.terminators.value or () if (found := on_bus(self.plan, one)) is not None]
        hops = [c for c in self.plan.circuits if c.circuit.path == bus.path and c.circuit.kind is CircuitKind.BUS]
        used = {(e.device, e.socket) for c in hops for w in c.wires for e in (w.a, w.b)}
        for device in devices:
            sockets = (s for s in device.part.sockets if s.role in BUS_ROLES and (device.id, s.name) in used)
            if any(socket.terminator == "built in" for socket in sockets):
                told.append(device.id)
        return Chain(name, bus.path, devices, tuple(dict.fromkeys(told)))

    def _motor(self, device: Device) -> Motor | None:
        driver = device if self.supply(device.id) else self.devices.get(device.driven_by)
        if driver is None:
            return None
        leads = self._circuit(lambda c: c.circuit.kind is CircuitKind.MOTOR and c.circuit.load == device.id)
        feed = self._circuit(lambda c: c.circuit.kind in FED and c.circuit.load == driver.id)
        pulse = self._circuit(lambda c: c.circuit.kind is CircuitKind.SIGNAL and _commands(c, driver))
        return Motor(device.id, driver, leads, feed, pulse, device.part.word("commutation") != "brushed")

    def _circuit(self, fits: Callable[[PlannedCircuit], bool]) -> PlannedCircuit | None:
        return next((circuit for circuit in self.plan.circuits if fits(circuit)), None)


def has_lead(wire: PlannedWire, end: PlannedEnd) -> bool:
    """Tell whether a wire's end is joined to a lead that the device brings along."""
    return not wire.captive and end.port is not None and end.port.kind is PortKind.LEAD


def _commands(circuit: PlannedCircuit, driver: Device) -> bool:
    socket = driver.part.socket(circuit.circuit.load_socket) if circuit.circuit.load == driver.id else None
    return socket is not None and socket.use == "pulse"
