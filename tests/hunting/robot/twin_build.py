"""The robot's copper, joints, contacts and loads as links, dead and alive; and what its faults change in them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from loomwright.model.device import Device
from loomwright.plan.result import PlannedCircuit, PlannedWire
from loomwright.rulebook.lookup import outlet_of, slot_of, source_of
from loomwright.sizing import wire_ohm_per_m
from loomwright.units.gauge import Gauge
from tests.hunting.robot.twin_faults import Hurt
from tests.hunting.robot.twin_net import Given, Link, Node
from tests.hunting.robot.twin_robot import CABLE, FED, MINUS, PAIR, PLUS, Anatomy, Supply, has_lead

JOINT_OHM, CONTACT_OHM = 2e-4, 1e-3
TERMINATOR_OHM, RECEIVER_OHM = 120.0, 30e3
REST_V, SUPPLY_V = 12.8, 12.0
FRAME: Node = ("frame",)
# Typical: two of a network cable's pairs bring power, each conductor 24 AWG; a source's own output is not quite stiff.
_CABLE_OHM_PER_M, _OUTPUT_OHM = 0.042, 0.01
_UNKNOWN_INPUT_OHM, _UNKNOWN_WIRE_OHM, _UNKNOWN_BATTERY_OHM = 100e3, 0.02, 0.015
# A device without a draw of its own takes so much of its peak as a rule.
_OF_PEAK = 0.5
# A breaker on studs drops some 60 mV at its rating (assumed).
_BREAKER_V, _BREAKER_A = 0.06, 120.0


@dataclass(frozen=True, slots=True)
class Harm:
    """What faults change: ohms added to ends and wires, shorts, and what gives nothing."""

    added: Mapping[str, float] = field(default_factory=dict)
    shorts: Mapping[str, float] = field(default_factory=dict)
    frames: Mapping[str, float] = field(default_factory=dict)
    wet: Mapping[str, float] = field(default_factory=dict)
    reversed: frozenset[str] = frozenset()
    unfed: frozenset[str] = frozenset()
    silent: frozenset[str] = frozenset()
    main_off: bool = False
    rest_v: float = REST_V
    battery_ohm: float | None = None
    missing: Mapping[str, float] = field(default_factory=dict)
    extra: Mapping[str, float] = field(default_factory=dict)

    def opened(self, *seats: str) -> Harm:
        """Return the same with some ends or wires open."""
        return replace(self, added={**self.added, **dict.fromkeys(seats, math.inf)})


def harm_of(hurts: tuple[Hurt, ...]) -> Harm:
    """Put faults together; what is well at rest (shaky) changes nothing here."""

    def sizes(*kinds: str) -> dict[str, float]:
        return {h.trouble.seat: h.size for h in hurts if h.trouble.kind in kinds}

    def seats(*kinds: str) -> frozenset[str]:
        return frozenset(sizes(*kinds))

    def coins(kind: str) -> dict[str, float]:
        return {h.trouble.seat.removeprefix("chain "): h.coin for h in hurts if h.trouble.kind == kind}

    bare = {h.trouble.seat for h in hurts if h.trouble.kind == "wrong slot" and h.coin < 0.5}
    out = {seat.removeprefix("protection of ") for seat in seats("out")}
    ends = [h for h in hurts if h.trouble.kind in ("open", "poor", "loose", "broken")]
    added: dict[str, float] = {}
    for one in ends:
        added[one.trouble.seat] = added.get(one.trouble.seat, 0.0) + one.size
    return Harm(
        added=added,
        shorts=sizes("pair short"),
        frames=sizes("frame short"),
        wet=sizes("wet"),
        reversed=seats("reversed"),
        unfed=frozenset(bare | out),
        silent=seats("dead", "outputs off"),
        main_off=bool(seats("off")),
        rest_v=min([REST_V, *sizes("flat").values()]),
        battery_ohm=next(iter(sizes("weak").values()), None),
        missing=coins("terminator missing"),
        extra=coins("terminator extra"),
    )


class Frame:
    """All links of a healthy robot by name, for both states; each is made once for a robot."""

    def __init__(self, anatomy: Anatomy) -> None:
        self.anatomy = anatomy

    @cached_property
    def battery_ohm(self) -> float:
        """The battery's own resistance [ohm]."""
        return self.anatomy.battery.part.number("internal resistance") or _UNKNOWN_BATTERY_OHM

    @cached_property
    def fixed(self) -> dict[str, Link]:
        """What is the same dead and alive: wires, leads, contacts, chains, windings."""
        parts = (self._wires(), self._leads(), self._main(), self._slots(), self._chains(), self._windings())
        return {name: link for part in parts for name, link in part}

    @cached_property
    def idle(self) -> dict[str, Link]:
        """What devices take at idle."""
        return {f"load {s.device.id} {s.socket.name}": (s.plus, s.minus, idle_ohm(s)) for s in self._inputs()}

    @cached_property
    def cold(self) -> dict[str, Link]:
        """What an ohmmeter finds in the inputs of devices."""
        return {f"load {s.device.id} {s.socket.name}": (s.plus, s.minus, cold_ohm(s)[1]) for s in self._inputs()}

    @cached_property
    def least(self) -> dict[str, Link]:
        """The same with the least that healthy inputs have."""
        return {f"load {s.device.id} {s.socket.name}": (s.plus, s.minus, cold_ohm(s)[0]) for s in self._inputs()}

    @cached_property
    def givens(self) -> dict[str, tuple[str, Given]]:
        """The devices' own voltages by circuit: who gives, and what."""
        return dict(self._givens())

    def inside(self, circuit: PlannedCircuit) -> Node | None:
        """Return the node in the source that a circuit's outlet takes from."""
        supply = self.anatomy.supply(source_of(circuit)) if source_of(circuit) in self.anatomy.devices else None
        outlet = outlet_of(self.anatomy.plan, circuit)
        if supply is None or outlet is None:
            return None
        if outlet.volts is None:
            return supply.plus
        shared = "" if supply.device.kind == "block" else outlet.name
        return (supply.device.id, "gives", f"{outlet.volts:g} V {shared}")

    def _inputs(self) -> Iterator[Supply]:
        for supplies in self.anatomy.supplies.values():
            yield from (s for s in supplies if s.device.part.word("plus to minus") != "nothing")

    def _wires(self) -> Iterator[tuple[str, Link]]:
        for wire in self.anatomy.plan.wires:
            if wire.a.polarity is not CABLE:
                a, b = (self.anatomy.probe(wire, end) for end in (wire.a, wire.b))
                yield wire.id, (a, b, copper_ohm(wire) + 2 * JOINT_OHM)
            elif wire.kind in FED:
                for polarity in (PLUS, MINUS):
                    a, b = (self.anatomy.port(end.device, end.socket, polarity) for end in (wire.a, wire.b))
                    yield f"{wire.id} {polarity}", (a, b, copper_ohm(wire) + 2 * JOINT_OHM)

    def _leads(self) -> Iterator[tuple[str, Link]]:
        for key, (wire, end) in self.anatomy.ends.items():
            if has_lead(wire, end) and end.port is not None:
                ohm = _metres_ohm(end.port.lead_gauge, end.port.lead_length_m)
                yield f"lead {key}", (self.anatomy.probe(wire, end), self.anatomy.inside(wire, end), ohm)

    def _main(self) -> Iterator[tuple[str, Link]]:
        if breaker := self.anatomy.breaker:
            sides = [(breaker.id, s.name, str(PLUS)) for s in breaker.part.sockets]
            yield "main breaker", (sides[0], sides[1], _BREAKER_V / (breaker.part.number("rating") or _BREAKER_A))
        if plug := self.anatomy.plug:
            for polarity in (PLUS, MINUS):
                near, far = ((plug.id, s.name, str(polarity)) for s in plug.part.sockets)
                yield f"plug {polarity}", (near, far, JOINT_OHM)

    def _slots(self) -> Iterator[tuple[str, Link]]:
        for circuit in self.anatomy.plan.circuits:
            inside = self.inside(circuit) if circuit.circuit.kind in FED else None
            if inside is not None and self.anatomy.gives(circuit) != "off":
                outlet = self.anatomy.port(source_of(circuit), slot_of(circuit), PLUS)
                yield f"slot {circuit.id}", (inside, outlet, CONTACT_OHM)

    def _chains(self) -> Iterator[tuple[str, Link]]:
        for chain in self.anatomy.chains:
            for device in chain.devices:
                high, low = ((device.id, chain.path, str(line)) for line in PAIR)
                if device.id in chain.ends:
                    yield f"terminator {chain.name} {device.id}", (high, low, TERMINATOR_OHM)
                if device.kind != "terminator":
                    yield f"receiver {chain.name} {device.id}", (high, low, RECEIVER_OHM)

    def _windings(self) -> Iterator[tuple[str, Link]]:
        for motor in self.anatomy.motors.values():
            for wire in motor.leads.wires if motor.leads else ():
                ohm = winding_ohm(self.anatomy.devices[motor.id])
                yield f"winding {wire.id}", (self.anatomy.inside(wire, wire.b), (motor.id, "star"), ohm)

    def _givens(self) -> Iterator[tuple[str, tuple[str, Given]]]:
        for circuit in self.anatomy.plan.circuits:
            outlet = outlet_of(self.anatomy.plan, circuit) if circuit.circuit.kind in FED else None
            inside, supply = (self.inside(circuit), self.anatomy.supply(source_of(circuit))) if outlet else (None, None)
            if outlet and outlet.volts is not None and inside and supply:
                yield (
                    circuit.id,
                    (supply.device.id, Given(supply.plus, inside, supply.minus, outlet.volts, _OUTPUT_OHM)),
                )


def copper_ohm(wire: PlannedWire) -> float:
    """Return the resistance of a wire's copper, captive leads whole [ohm]."""
    if wire.a.polarity is CABLE:
        return _CABLE_OHM_PER_M * (wire.length_m or 1.0)
    return _metres_ohm(wire.gauge, wire.length_m)


def draw_a(device: Device) -> float | None:
    """Return what a device takes at idle [A], None where nobody says."""
    return device.draw.value if device.draw.value is not None else device.part.number("draw")


def usual_a(device: Device) -> float | None:
    """Return what a device takes as a rule [A]: its draw, else half of its peak; None where nobody says."""
    said, peak_a = draw_a(device), device.part.number("peak draw")
    return said if said is not None or peak_a is None else _OF_PEAK * peak_a


def idle_ohm(supply: Supply) -> float:
    """Return what a device is at idle [ohm]: its rated voltage over its draw, its input where no draw is known."""
    draw = usual_a(supply.device)
    return (supply.socket.volts or SUPPLY_V) / draw if draw else cold_ohm(supply)[1]


def cold_ohm(supply: Supply) -> tuple[float, float]:
    """Return the least and the middle that an ohmmeter finds in a healthy input [ohm]."""
    part, draw = supply.device.part, draw_a(supply.device)
    low, high = part.number("input resistance from"), part.number("input resistance to")
    if low and high:
        return low, math.sqrt(low * high)
    if part.word("plus to minus") == "winding" and draw:
        return SUPPLY_V / draw, SUPPLY_V / draw
    return _UNKNOWN_INPUT_OHM, _UNKNOWN_INPUT_OHM


def winding_ohm(device: Device) -> float:
    """Return half of what a motor has between two of its leads [ohm]: its rated voltage over its stall current."""
    volts, amps = device.part.number("rated voltage"), device.part.number("stall current")
    return 0.5 * (volts or SUPPLY_V) / (amps or 100.0)


def _metres_ohm(gauge: Gauge | None, length_m: float | None) -> float:
    each = None if gauge is None else wire_ohm_per_m("copper", gauge)
    return _UNKNOWN_WIRE_OHM if each is None or length_m is None else each * length_m
