"""Put together what is asked of one circuit's wires: load, length, surroundings, protection, ports, rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.catalogue.protection_curve import TripCurve
from loomwright.jobs.leads import lead_gauge, path_gauge
from loomwright.model.fact import Fact
from loomwright.model.part import Polarity
from loomwright.rulebook import battery_path_minimum, minimum_gauge
from loomwright.sizing import PortLimit, Request, RuleMinimum
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.part import Part, Port
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, EndAt

#: What holds for every wire where the robot file says nothing; all common practice.
SUPPLY_V = 12.0
DROP_RATIO = 0.05
#: From the battery to the load, with the leads that it shares with others; ABYC E-11's column for what is not critical.
PATH_DROP_RATIO = 0.10
AMBIENT_C = 30.0
INSULATION_C = 105.0
CONDUCTOR_C = 20.0
BUNDLE_WIRES = 2
LOADING_RATIO = 1.0
_THIN_WIRES = "mil-w-5088"
_CHARGED_V = 12.8


@dataclass(frozen=True, slots=True)
class Guard:
    """What protects a circuit: its rating [A], the part in words, its curve, and the part where there is one."""

    rating_a: float | None
    words: str
    part: Part | None = None

    @property
    def curve(self) -> TripCurve | None:
        """The opening times over multiples of the rating, None where the part carries no curve."""
        if self.part is None or not self.part.trip_curve:
            return None
        named = ", ".join(self.part.title.split(", ")[:2])  # what it is, and its rating
        rests = (f"the curve is assumed: {named}",) if self.part.curve_assumed else ()
        return TripCurve(self.part.id, self.part.trip_curve, self.part.curve_source, rests)

    @property
    def hold_a(self) -> float | None:
        """The current that it carries for ever [A]: by its curve, else its rating."""
        curve = self.curve
        multiple = curve.surely_holds if curve is not None else None
        return None if self.rating_a is None else self.rating_a * (multiple or 1.0)


def sizing_request(
    robot: Robot,
    rules: RuleBook,
    circuit: Circuit,
    *,
    source: str,
    slot: str,
    guard: Guard,
    current_a: float,
    sustained_a: float,
    one_way_m: float | None,
    given: Gauge | None = None,
    leads_ohm: float = 0.0,
    before_v: float | None = None,
    bundle_wires: int | None = None,
) -> Request:
    """Return the sizing request of one power circuit; `given` is the gauge that is written, which is judged alone.

    Lengths in m, one way; currents in A. `leads_ohm` is what parts' own leads add out and back; `before_v` what is
    lost before it, None where it does not begin at the battery; `bundle_wires` the loaded wires that lie together as
    laid out, None where nothing is laid out; what the file says of the bundle goes before that. The drop is a share
    of the voltage that the circuit gets: 12 V from the battery, and less from an output that gives less.
    """
    load = robot.device(circuit.load)
    wishes = load.wishes if load is not None else None
    house = robot.house
    supply_v = steady_v(robot, source, slot) or _or(house.supply, SUPPLY_V, least=True)
    drop = (wishes.drop.value if wishes else None) or _or(house.drop, DROP_RATIO, least=True)
    path_drop_v = None if before_v is None else _or(house.path_drop, PATH_DROP_RATIO, least=True) * supply_v
    said = (wishes.bundle.value if wishes else None) or max(house.bundle.values, default=None)
    bundle = said or max(bundle_wires or 0, BUNDLE_WIRES)
    return Request(
        current_a=current_a,
        sustained_a=sustained_a,
        one_way_m=one_way_m,
        supply_v=supply_v,
        allowed_drop_v=drop * supply_v,
        drop_basis="copper",
        leads_ohm=leads_ohm,
        before_v=before_v or 0.0,
        path_drop_v=path_drop_v,
        conductor_c=conductor_c(robot),
        thin_wire_basis=_THIN_WIRES,
        insulation_c=_or(house.insulation, INSULATION_C, least=True),
        ambient_c=_or(house.ambient, AMBIENT_C),
        bundle_wires=int(bundle),
        loading_pct=100 * _or(house.loading, LOADING_RATIO),
        protection_a=guard.rating_a,
        hold_a=guard.hold_a,
        trip_curve=guard.curve,
        fault_current_a=_fault_current_a(robot) if guard.curve is not None else None,
        rule_minimum=_rule_minimum(rules, circuit, guard),
        ports=tuple(_port_limits(robot, circuit, source, slot, given)),
        stock=(given,) if given is not None else robot.stock.gauges,
    )


def _or(fact: Fact[float] | Fact[int], default: float, *, least: bool = False) -> float:
    """Return what is said, of several claims the one that asks for more copper: the largest, or the least."""
    values = [float(value) for value in fact.values]
    worst = min if least else max
    return worst(values) if values else default


def conductor_c(robot: Robot) -> float:
    """Return the copper's temperature that drops are judged at [C]."""
    return _or(robot.house.conductor_temperature, CONDUCTOR_C)


def steady_v(robot: Robot, source: str, slot: str) -> float | None:
    """Return the voltage [V] that an output states, None for the battery's."""
    device = robot.device(source)
    socket = device.part.socket(slot) if device is not None else None
    return socket.volts if socket is not None else None


def given_gauge(robot: Robot, circuit: Circuit) -> Fact[Gauge]:
    """Return what the team wrote as the gauge of a circuit; absent where the tool chooses.

    On the battery's path it is the thinnest lead that is written.
    """
    if circuit.kind is CircuitKind.MAIN:
        return path_gauge(robot, circuit)
    load = robot.device(circuit.load)
    said = load.wishes.gauge if load is not None else Fact()
    return said if said.value is not None else Fact()


def _fault_current_a(robot: Robot) -> float | None:
    """Return the current of a dead short at the block [A]: a charged battery over its own resistance.

    Leads and joints are left out, so the short is never taken for less than it is.
    """
    battery = robot.device("battery")
    ohm = battery.part.number("internal resistance") if battery is not None else None
    return _CHARGED_V / ohm if ohm else None


def _rule_minimum(rules: RuleBook, circuit: Circuit, guard: Guard) -> RuleMinimum | None:
    if circuit.kind is CircuitKind.MAIN:
        found = battery_path_minimum(rules)
    elif guard.rating_a is None:
        return None
    else:
        # An output that limits its own current is judged as a fuse of that rating would be.
        found = minimum_gauge(rules, guard.rating_a, guard.part.id if guard.part is not None else "fuse")
    return RuleMinimum(*found) if found else None


def _port_limits(robot: Robot, circuit: Circuit, source: str, slot: str, given: Gauge | None) -> Iterator[PortLimit]:
    """Give what the ends of the wires take; on the battery's path, of those leads that have the given gauge."""
    for wire in circuit.wires:
        if wire.captive or wire.a.polarity is Polarity.CABLE:
            continue
        if circuit.kind is CircuitKind.MAIN and lead_gauge(robot, wire).value != given:
            continue
        for end in (wire.a, wire.b):
            port = port_at(robot, end, source, slot)
            if port is not None and (port.thinnest or port.thickest):
                device = end.device or source
                where = " ".join(word for word in (device, end.socket or slot, str(end.polarity)) if word)
                yield PortLimit(where, port.thinnest, port.thickest)


def port_at(robot: Robot, end: EndAt, source: str, slot: str) -> Port | None:
    """Return the port that an end goes to, with the decided slot filled in."""
    device = robot.device(end.device or source)
    socket = device.part.socket(end.socket or slot) if device is not None else None
    return socket.port(end.polarity) if socket is not None else None
