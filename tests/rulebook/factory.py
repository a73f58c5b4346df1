"""Small plans made by hand: a sound robot, and ways to change one thing of it."""

# ruff: noqa: ANN401  a factory passes on whatever a test changes

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from loomwright.findings import Finding, Severity
from loomwright.model.device import BusKey, Device, Feed, Limit, Limits, Wishes
from loomwright.model.fact import Claim, Fact, Saying, State
from loomwright.model.mark import Mark
from loomwright.model.part import Part, Polarity, Port, PortKind, Role, Socket, TripPoint, Valued
from loomwright.model.reason import Origin, Reasoned
from loomwright.model.robot import Bus, House, Plate, Robot
from loomwright.model.rules import RuleBook
from loomwright.model.stock import Stock
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.rulebook import judge
from loomwright.units import Gauge
from loomwright.wiring.result import Circuit, CircuitKind, Wiring

CURVE = (TripPoint(1.25, 60.0, 3600.0), TripPoint(2.0, 5.0, 40.0), TripPoint(4.0, 0.8, 5.0))


def mark(line: int, file: str = "robot.yaml") -> Mark:
    """Make a place in the robot file."""
    return Mark(file, line, 7)


def said(value: Any, line: int = 90, state: State = State.PLANNED) -> Fact[Any]:
    """Make a fact that one value is so."""
    return Fact.of(value, mark(line), state)


def unknown(line: int = 90) -> Fact[Any]:
    """Make a fact that nobody knows."""
    return Fact(Saying.UNKNOWN, (), mark(line))


def claims(*told: tuple[Any, str] | tuple[Any, str, str], line: int = 90) -> Fact[Any]:
    """Make a fact that several sources state, each as (value, source) or (value, source, as written)."""
    held = tuple(Claim(value, source=source, written="".join(words) or str(value)) for value, source, *words in told)
    return Fact(Saying.CLAIMS, held, mark(line))


# ---------------------------------------------------------------- parts
def port(polarity: Polarity, kind: PortKind = PortKind.LEVER, **more: Any) -> Port:
    """Make a port."""
    return Port(str(polarity), kind, polarity, **more)


def pair(kind: PortKind = PortKind.LEVER, **more: Any) -> tuple[Port, Port]:
    """Make a plus and a minus port."""
    return port(Polarity.PLUS, kind, **more), port(Polarity.MINUS, kind, **more)


def bus_pair(name: str, role: Role, terminator: str = "") -> Socket:
    """Make one side of a data bus."""
    ports = (port(Polarity.BUS_HIGH, PortKind.CONTACT), port(Polarity.BUS_LOW, PortKind.CONTACT))
    return Socket(name, role, ports, terminator=terminator)


def outlet(name: str, ratings_a: tuple[float, ...], group: str, protection: str) -> Socket:
    """Make a slot."""
    return Socket(name, Role.OUTLET, pair(), group=group, ratings_a=ratings_a, protection=protection)


BATTERY = Part("battery/plain", "Battery", (Socket("posts", Role.OUTLET, pair(PortKind.POST)),))
PLUG = Part(
    "plug/plain", "Plug", (Socket("in", Role.SUPPLY, pair(PortKind.CONTACT)), Socket("out", Role.OUTLET, pair()))
)
BREAKER = Part(
    "breaker/main-plain",
    "Main breaker",
    (
        Socket("battery side", Role.SUPPLY, (port(Polarity.PLUS, PortKind.STUD),)),
        Socket("load side", Role.OUTLET, (port(Polarity.PLUS, PortKind.STUD),)),
    ),
)
BLOCK = Part(
    "block/plain",
    "Block",
    (
        Socket("feed", Role.SUPPLY, pair(PortKind.STUD)),
        *(outlet(f"H{n}", (20.0, 30.0, 40.0), "heavy", "breaker/snap-action") for n in range(1, 5)),
        outlet("F1", (10.0,), "fused", "fuse/blade"),
        outlet("F2", (10.0, 20.0), "fused", "fuse/blade"),
        bus_pair("bus", Role.BUS_IN, "switch"),
    ),
)
SUB_BLOCK = Part(
    "block/sub",
    "Sub-block",
    (
        Socket("feed", Role.SUPPLY, pair()),
        outlet("S1", (10.0,), "fused", "fuse/blade"),
        outlet("S2", (10.0,), "fused", "fuse/blade"),
        outlet("S3", (10.0,), "fused", "fuse/blade"),
    ),
)
CONTROLLER = Part(
    "controller/plain-40a",
    "Controller",
    (
        Socket("supply", Role.SUPPLY, pair()),
        Socket("motor", Role.MOTOR_OUT, pair()),
        bus_pair("bus in", Role.BUS_IN),
        bus_pair("bus out", Role.BUS_OUT),
    ),
    wants_protection_a=(40.0, 30.0, 20.0),
)
OTHER_CONTROLLER = replace(CONTROLLER, id="controller/other-40a", title="Other controller")
MOTOR = Part("motor/plain", "Motor", (Socket("leads", Role.MOTOR_IN, pair(PortKind.LEAD)),))
COMPUTER = Part(
    "computer/robot-controller",
    "Robot controller",
    (
        Socket("supply", Role.SUPPLY, pair(PortKind.PUSH)),
        Socket("light out", Role.OUTLET, pair(PortKind.PUSH), use="signal light"),
        bus_pair("bus", Role.BUS_OUT, "built in"),
    ),
    values={"recovery time": Valued(48.0, "time", "common practice")},
    wants_protection_a=(10.0,),
    required_protection=True,
    wants_group="fused",
)
REGULATOR = Part(
    "regulator/plain",
    "Regulator",
    (Socket("supply", Role.SUPPLY, pair()), Socket("5 V", Role.OUTLET, pair(), limit_a=3.0, volts=5.0)),
    wants_protection_a=(20.0,),
    required_protection=True,
)
RADIO = Part(
    "radio/plain",
    "Radio",
    (Socket("supply", Role.SUPPLY, pair(PortKind.SCREW)),),
    values={"recovery time": Valued(45.0, "time", "common practice")},
)
LIGHT = Part(
    "light/signal",
    "Signal light",
    (
        Socket("supply", Role.SUPPLY, pair(PortKind.SCREW), use="signal light"),
        Socket("left", Role.JUMPER, (port(Polarity.SIGNAL, PortKind.SCREW),)),
        Socket("middle", Role.JUMPER, (port(Polarity.SIGNAL, PortKind.SCREW),)),
        Socket("right", Role.JUMPER, (port(Polarity.SIGNAL, PortKind.SCREW),)),
    ),
    jumper=("middle", "right"),
)
COMPRESSOR = Part("compressor/plain", "Compressor", (Socket("supply", Role.SUPPLY, pair(PortKind.LEAD)),))
SENSOR = Part("sensor/heading", "Heading sensor", (bus_pair("bus in", Role.BUS_IN), bus_pair("bus out", Role.BUS_OUT)))


# ---------------------------------------------------------------- devices, circuits
def device(name: str, part: Part, line: int, **more: Any) -> Device:
    """Make a device that the file calls by its own id, unless told otherwise."""
    more.setdefault("called", name)
    return Device(name, part, said(part.id, line), mark(line), f"things.{more['called']}", **more)


def end(letter: str, device_: Device, socket: str, polarity: Polarity) -> PlannedEnd:
    """Make a wire's end at a device's socket."""
    held = device_.part.socket(socket)
    there = held.port(polarity) if held else None
    return PlannedEnd(letter, device_.id, socket, polarity, there, f"{device_.id} {socket} {polarity}", None)


def wire(
    circuit: str, kind: CircuitKind, role: str, a: PlannedEnd, b: PlannedEnd, gauge: int | None, **more: Any
) -> PlannedWire:
    """Make one wire in the usual colour."""
    usual = {Polarity.PLUS: "RD", Polarity.MINUS: "BK"}.get(a.polarity, "")
    colour = more.pop("colour", usual)
    held = None if gauge is None else Gauge(gauge)
    return PlannedWire(f"W-{circuit}-{role}", circuit, role, kind, held, colour, None, a, b, **more)


def planned(
    name: str,
    kind: CircuitKind,
    load: Device,
    wires: tuple[PlannedWire, ...],
    *,
    source: str = "",
    slot: str = "",
    pinned: Fact[str] | None = None,
    protection_a: float | None = None,
    current_a: float | None = None,
    curve: tuple[TripPoint, ...] = (),
    curve_assumed: bool = False,
    upstream: str = "",
    origin: Origin = Origin.CATALOGUE,
) -> PlannedCircuit:
    """Make one planned circuit."""
    supply = load.part.first(Role.SUPPLY) or load.part.first(Role.MOTOR_IN)
    circuit = Circuit(
        id=name,
        kind=kind,
        load=load.id,
        load_socket=supply.name if supply else "",
        sources=(source,) if source else (),
        wires=(),
        mark=load.mark,
        path=load.path,
        slot=pinned or Fact(),
        upstream=upstream,
    )
    return PlannedCircuit(
        circuit=circuit,
        source=source,
        slot=Reasoned(slot, "", Origin.COMPUTED),
        protection_a=Reasoned(protection_a, "", Origin.CATALOGUE),
        protection="",
        trip_curve=curve,
        curve_assumed=curve_assumed,
        current=Reasoned(current_a, "", origin),
        sustained=Reasoned(current_a, "", origin),
        length=Reasoned(None, "", Origin.UNKNOWN),
        gauge=Reasoned(None, "", Origin.COMPUTED),
        sizing=None,
        wires=wires,
    )


def feed(
    load: Device,
    source: Device,
    slot: str,
    *,
    protection_a: float | None,
    gauge: int,
    kind: CircuitKind = CircuitKind.BRANCH,
    **more: Any,
) -> PlannedCircuit:
    """Make a circuit from an outlet to a load's supply."""
    name = load.called
    supply = load.part.first(Role.SUPPLY)
    there = supply.name if supply else ""
    wires = tuple(
        wire(name, kind, str(p), end("A", source, slot, p), end("B", load, there, p), gauge)
        for p in (Polarity.PLUS, Polarity.MINUS)
    )
    return planned(name, kind, load, wires, source=source.id, slot=slot, protection_a=protection_a, **more)


def drive(name: str, number: int, slot: str, line: int, block: Device) -> tuple[list[Device], list[PlannedCircuit]]:
    """Make a motor with its controller, their branch and the motor side."""
    controller = device(
        f"{name} controller",
        CONTROLLER,
        line,
        called=name,
        mechanism=name,
        limits=Limits(said(Limit(40.0), line), said(Limit(80.0), line)),
        key=BusKey(number=said(number, line)),
        feed=Feed(slot=said(slot, line)),
    )
    motor = device(name, MOTOR, line, mechanism=name, driven_by=controller.id)
    branch = feed(
        controller, block, slot, protection_a=40.0, gauge=12, current_a=30.0, curve=CURVE, pinned=controller.feed.slot
    )
    side = f"{name} motor side"
    wires = tuple(
        wire(
            side,
            CircuitKind.MOTOR,
            str(p),
            end("A", controller, "motor", p),
            end("B", motor, "leads", p),
            12,
            colour="",
        )
        for p in (Polarity.PLUS, Polarity.MINUS)
    )
    moved = planned(side, CircuitKind.MOTOR, motor, wires, source=controller.id, upstream=name)
    return [controller, motor], [branch, moved]


def main_circuit(battery: Device, plug: Device, breaker: Device, block: Device) -> PlannedCircuit:
    """Make the battery path: plus through plug and breaker, minus straight on."""
    plus = [
        (battery, "posts", plug, "in"),
        (plug, "out", breaker, "battery side"),
        (breaker, "load side", block, "feed"),
    ]
    minus = [(battery, "posts", plug, "in"), (plug, "out", block, "feed")]
    wires = tuple(
        wire("main", CircuitKind.MAIN, f"{a.id} to {b.id}, {p}", end("A", a, out, p), end("B", b, inlet, p), 6)
        for p, path in ((Polarity.PLUS, plus), (Polarity.MINUS, minus))
        for a, out, b, inlet in path
    )
    return planned("main", CircuitKind.MAIN, block, wires, source=battery.id, protection_a=120.0)


@lru_cache(maxsize=1)
def common_practice() -> RuleBook:
    """Read the shipped rule book once."""
    return read_rules(None)


def yes(*names: str) -> dict[str, Fact[bool]]:
    """Answer yes to what people look at."""
    return {name: said(value=True) for name in names}


@lru_cache(maxsize=1)
def sound_plan() -> Plan:
    """Make a robot in which everything is known and right."""
    leads = Wishes(gauge=said(Gauge(6), 2), length=said(0.3, 2))
    battery = device("battery", BATTERY, 2, checks=yes("strapped", "posts insulated", "lock nuts"), wishes=leads)
    plug = device("battery plug", PLUG, 3)
    breaker = device("main breaker", BREAKER, 4, checks=yes("reachable", "guarded", "nuts visible"))
    block = device("block", BLOCK, 5, checks=yes("wires tied"))
    left, left_circuits = drive("left drive", 1, "H1", 10, block)
    right, right_circuits = drive("right drive", 2, "H2", 11, block)
    computer = device("robot controller", COMPUTER, 20, checks=yes("shock mounted"))
    regulator = device("regulator", REGULATOR, 21)
    radio = device("radio", RADIO, 22, checks=yes("shock mounted"))
    light = device("beacon", LIGHT, 23, checks=yes("jumper"))
    jumper = wire(
        "beacon jumper",
        CircuitKind.SIGNAL,
        "jumper",
        end("A", light, "middle", Polarity.SIGNAL),
        end("B", light, "right", Polarity.SIGNAL),
        22,
    )
    circuits = [
        main_circuit(battery, plug, breaker, block),
        *left_circuits,
        *right_circuits,
        feed(computer, block, "F1", protection_a=10.0, gauge=18, current_a=1.0),
        feed(regulator, block, "F2", protection_a=20.0, gauge=18, current_a=2.0),
        feed(radio, regulator, "5 V", protection_a=None, gauge=22, kind=CircuitKind.OUTPUT, current_a=2.0),
        feed(light, computer, "light out", protection_a=None, gauge=22, kind=CircuitKind.OUTPUT, current_a=0.1),
        planned("beacon jumper", CircuitKind.SIGNAL, light, (jumper,), source=light.id),
    ]
    order = ("robot controller", "left drive controller", "right drive controller", "block")
    chain = Bus("main chain", "bus", order, said(order, 30), said(("block",), 31), (), mark(30), "data.main chain")
    robot = Robot(
        name="Tidepool",
        rules="common-practice",
        build="",
        builds=(),
        asks=False,
        devices=(battery, plug, breaker, block, *left, *right, computer, regulator, radio, light),
        mechanisms=(),
        buses=(chain,),
        plate=Plate(),
        house=House(),
        stock=Stock(()),
    )
    return Plan(robot, common_practice(), Wiring(()), tuple(circuits), (), 1, "", "")


# ---------------------------------------------------------------- changing one thing
def with_robot(plan: Plan, **changes: Any) -> Plan:
    """Change the robot itself."""
    return replace(plan, robot=replace(plan.robot, **changes))


def with_device(plan: Plan, name: str, **changes: Any) -> Plan:
    """Change one device."""
    devices = tuple(replace(d, **changes) if d.id == name else d for d in plan.robot.devices)
    assert any(d.id == name for d in devices)
    return with_robot(plan, devices=devices)


def without(plan: Plan, name: str) -> Plan:
    """Take a device and the circuits that feed it out."""
    devices = tuple(d for d in plan.robot.devices if d.id != name)
    circuits = tuple(c for c in plan.circuits if c.circuit.load != name)
    return replace(with_robot(plan, devices=devices), circuits=circuits)


def with_circuit(plan: Plan, name: str, **changes: Any) -> Plan:
    """Change one planned circuit; `slot` and `protection_a` may be given bare, `pinned` as a fact."""
    assert plan.circuit(name) is not None
    return replace(plan, circuits=tuple(_changed(c, changes) if c.id == name else c for c in plan.circuits))


def _changed(circuit: PlannedCircuit, changes: dict[str, Any]) -> PlannedCircuit:
    plain = {"slot", "protection_a", "current"}
    kept = {name: value for name, value in changes.items() if name != "pinned"}
    ready: dict[str, Any] = {k: Reasoned(v, "", Origin.GIVEN) if k in plain else v for k, v in kept.items()}
    if "current" in ready:
        ready["sustained"] = ready["current"]
    inner = replace(circuit.circuit, slot=changes["pinned"]) if "pinned" in changes else circuit.circuit
    return replace(circuit, circuit=inner, **ready)


def with_wires(plan: Plan, name: str, **changes: Any) -> Plan:
    """Change every wire of one circuit."""
    held = plan.circuit(name)
    assert held is not None
    return with_circuit(plan, name, wires=tuple(replace(w, **changes) for w in held.wires))


def adding(plan: Plan, added: Device, *circuits: PlannedCircuit) -> Plan:
    """Add a device with its circuits."""
    return replace(with_robot(plan, devices=(*plan.robot.devices, added)), circuits=(*plan.circuits, *circuits))


# ---------------------------------------------------------------- asking the rule book
def judged(check: str, plan: Plan) -> list[Finding]:
    """Return what the rules of one check find."""
    rules = {rule.id for rule in plan.rules.of(check)}
    assert rules, f"no rule asks {check!r}"
    return [finding for finding in judge(plan) if finding.source in rules]


def finds(check: str, plan: Plan, code: str, severity: str = "must") -> Finding:
    """Demand exactly one finding of a check, with this code and severity; it must point into a file."""
    found = judged(check, plan)
    assert [(f.code, str(f.severity)) for f in found] == [(code, severity)], [f.as_text() for f in found]
    assert found[0].place.line > 0 or found[0].place.thing
    assert found[0].what.endswith((".", "?"))
    assert found[0].fix.endswith((".", "?"))
    return found[0]


def silent(check: str, plan: Plan) -> None:
    """Demand that a check finds nothing."""
    assert [f.as_text() for f in judged(check, plan)] == []


def alarms(plan: Plan) -> list[str]:
    """Return everything that is more than a piece of advice."""
    return [f.as_text() for f in judge(plan) if f.severity is not Severity.CONSIDER]
