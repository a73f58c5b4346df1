"""Small plans made by hand, so that the writers are tested without the recipe that plans a robot."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from loomwright.findings import Finding, Place, Severity
from loomwright.model.device import Device, Feed, Wishes
from loomwright.model.fact import Fact, State
from loomwright.model.mark import Mark
from loomwright.model.part import Part, Polarity, Port, PortKind, TripPoint, Valued
from loomwright.model.reason import Origin, Reasoned
from loomwright.model.robot import House, Plate, Robot
from loomwright.model.rules import Rule, RuleBook
from loomwright.model.stock import Stock
from loomwright.plan.result import Plan, PlannedCircuit, PlannedEnd, PlannedWire
from loomwright.plan.revision import revision_of
from loomwright.sizing.result import Constraint, ConstraintName, Exclusion, Reach, Sizing
from loomwright.units import Gauge
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire, Wiring
from loomwright.wiring.treatment import Treatment

MARK = Mark("robot.yaml", 12, 5)

LENGTH_UNKNOWN = Finding(
    "length-unknown",
    Severity.SHOULD,
    Place("robot.yaml", 30, 7, "mechanisms.intake.motors.intake motor"),
    "The intake motor has no place and no length, so its wire can't be cut to size.",
    "Give `at:` a place, or write `length: 85 cm`.",
    asks=True,
)
TOO_HOT = Finding(
    "hold-heat",
    Severity.MUST,
    Place("robot.yaml", 12, 5, "mechanisms.left drive.motors.left front"),
    "The wire of left front gets too hot.",
    "Choose 10 AWG.",
    "hold-heat-rule",
    ("the breaker's curve is assumed",),
)
WHERE_IS_IT = Finding(
    "no-source",
    Severity.SHOULD,
    Place(thing="electronics.beacon"),
    "What feeds the beacon?",
    "Name it with `from:`.",
    asks=True,
)

CLAMP = Treatment(
    terminal="bare end",
    strip_m=0.012,
    strip_source="common practice",
    folded=False,
    tool="wire stripper",
    insulation="none",
    good="no strand stands out",
    pull_standard="ul-486e",
    pull_n=18 * 4.4482216152605,
    friction_only=False,
    hand_pull=True,
    source="common practice",
)
FOLDED = replace(CLAMP, strip_m=0.0127, folded=True, pull_n=None, pull_standard="")
FITTED = replace(
    CLAMP,
    terminal="plug fitted by the maker",
    strip_m=None,
    tool="none",
    pull_standard="",
    pull_n=None,
    hand_pull=False,
)


def device(name: str, part: Part, **said: Any) -> Device:  # noqa: ANN401  any field of a device
    """Make a device that the file calls by its own id."""
    return Device(id=name, part=part, part_said=Fact.of(part.id, MARK), mark=MARK, path=name, called=name, **said)


def reasoned(value: Any, reason: str = "", source: str = "", origin: Origin = Origin.COMPUTED) -> Reasoned[Any]:  # noqa: ANN401
    """Make a value with its reason."""
    return Reasoned(value, reason, origin, source)


def end(letter: str, on: str, polarity: Polarity, *, socket: str = "", done: Treatment | None = CLAMP) -> PlannedEnd:
    """Make one end at a lever clamp."""
    port = Port(f"{socket} {polarity}".strip(), PortKind.LEVER, polarity)
    where = " ".join(word for word in (on, socket, str(polarity)) if word)
    return PlannedEnd(letter, on, socket, polarity, port, where, done)


def wire(wire_id: str, circuit: str, role: str, **said: Any) -> PlannedWire:  # noqa: ANN401  any field of a wire
    """Make a 12 AWG wire of 85.3 cm from the block to a controller; `role` is its polarity unless one is given."""
    polarity = said.pop("polarity", None) or Polarity(role)
    plain: dict[str, Any] = {
        "kind": CircuitKind.BRANCH,
        "gauge": Gauge(12),
        "colour": "BK" if polarity is Polarity.MINUS else "RD",
        "length_m": 0.853,
        "a": end("A", "block", polarity, socket="H3"),
        "b": end("B", f"{circuit} controller", polarity, done=FOLDED),
    }
    return PlannedWire(id=wire_id, circuit=circuit, role=role, **(plain | said))


def derived(name: str, kind: CircuitKind, load: str = "", **said: Any) -> Circuit:  # noqa: ANN401  any field of a circuit
    """Make what the wiring knows of a circuit."""
    one = Wire(name, "plus", kind, EndAt("block", "", Polarity.PLUS), EndAt(load, "", Polarity.PLUS))
    return Circuit(name, kind, load or name, "supply", ("block",), (one,), MARK, name, **said)


def sizing(**said: Any) -> Sizing:  # noqa: ANN401  any field of a sizing
    """Make a sizing at 12 AWG, with the drop as its tightest limit."""
    drop = Constraint(
        name=ConstraintName.DROP,
        ok=True,
        needs="no more than 0.6 V lost",
        margin=1.259999,
        limit=0.6,
        actual=0.476,
        unit="V",
        source="cm-10.75",
        rests_on=("the length is guessed",),
        smallest=Gauge(14),
    )
    ampacity = replace(drop, name=ConstraintName.AMPACITY, margin=1.4, unit="A", source="cfr-183.425")
    plain: dict[str, Any] = {
        "gauge": Gauge(12),
        "shown_for": Gauge(12),
        "decided_by": ("rule book", "drop"),
        "constraints": (ampacity, drop),
        "exclusions": (Exclusion(Gauge(14), ("rule book",)),),
        "reach": (Reach(Gauge(12), 1.40012345678),),
        "area_mm2": 3.309,
        "resistance_ohm": 0.0119,
        "drop_v": 0.4764,
        "drop_pct": 3.97,
        "ampacity_a": 45.04,
        "conductor_temperature_c": 61.26,
        "drop_basis": "cm-10.75",
        "ampacity_basis": "cfr-183.425",
        "assumptions": ("8 wires lie together",),
        "sources": ("cm-k-practice", "cfr-183.425-table-5"),
    }
    return Sizing(**(plain | said))


def circuit(of: Circuit, wires: tuple[PlannedWire, ...], **said: Any) -> PlannedCircuit:  # noqa: ANN401  any field
    """Make a planned circuit on slot H3 behind 40 A."""
    plain: dict[str, Any] = {
        "source": "block",
        "slot": reasoned("H3", "the first heavy slot that is free"),
        "protection_a": reasoned(40.0, "the largest that suits", "common practice", Origin.CATALOGUE),
        "protection": "breaker/snap-action",
        "trip_curve": (TripPoint(2.0, 5.0, None),),
        "curve_assumed": True,
        "current": reasoned(40.0, "the supply limit", "robot.yaml:12:40", Origin.GIVEN),
        "sustained": reasoned(25.0, "a motor at work", "", Origin.ASSUMED),
        "length": reasoned(0.853, "along the trunk"),
        "gauge": reasoned(Gauge(12), "the rule book wants it", "gauge-40a"),
        "sizing": sizing(),
    }
    return PlannedCircuit(circuit=of, wires=wires, **(plain | said))


def branch(name: str, first: int, **said: Any) -> PlannedCircuit:  # noqa: ANN401  any field of a planned circuit
    """Make a branch with its pair of wires."""
    pair = (wire(f"W{first}", name, "plus"), wire(f"W{first + 1}", name, "minus"))
    of = derived(name, CircuitKind.BRANCH, f"{name} controller")
    return circuit(of, said.pop("wires", pair), **said)


def nowhere(name: str) -> PlannedCircuit:
    """Make a branch that found no slot and has no length."""
    lost = tuple(
        replace(
            one,
            gauge=None,
            length_m=None,
            a=replace(one.a, port=None, treatment=None),
            b=replace(one.b, treatment=None),
        )
        for one in (wire("W7", name, "plus"), wire("W8", name, "minus"))
    )
    return branch(
        name,
        7,
        wires=lost,
        source="",
        slot=reasoned("", "no heavy slot is free"),
        protection="",
        protection_a=reasoned(None, "no slot, no protection"),
        length=reasoned(None, "neither a place nor a length", origin=Origin.UNKNOWN),
        gauge=reasoned(None, "no length"),
        sizing=sizing(gauge=None, drop_v=None, drop_pct=None, resistance_ohm=None, ampacity_a=None),
    )


def chain() -> PlannedCircuit:
    """Make a data bus with one twisted wire."""
    high = wire(
        "W5",
        "main chain",
        "left front to lift high",
        polarity=Polarity.BUS_HIGH,
        kind=CircuitKind.BUS,
        colour="YE",
        gauge=Gauge(22),
        twisted_with="W6",
        captive=True,
        b=end("B", "lift", Polarity.BUS_HIGH, done=None),
    )
    nothing = reasoned(None)
    return circuit(
        derived("main chain", CircuitKind.BUS),
        (high,),
        source="",
        slot=reasoned(""),
        protection="",
        protection_a=nothing,
        current=nothing,
        sustained=nothing,
        gauge=reasoned(Gauge(22), "data"),
        trip_curve=(),
        curve_assumed=False,
        sizing=None,
    )


BLOCK = Part("block/6-heavy", "block with six heavy slots")
CONTROLLER = Part(
    "controller/inline-40a",
    "controller",
    values={
        "peak current": Valued(60.0, "current", "from memory", assumed=True),
        "commutation": Valued("brushed", "word", "common practice", note="two leads"),
    },
    trip_curve=(TripPoint(2.0, 5.0, None),),
    curve_assumed=True,
    curve_source="common practice",
)


def robot(**said: Any) -> Robot:  # noqa: ANN401  any field of a robot
    """Make a robot with a block, whose H3 has a label, and two controllers."""
    devices = (
        device("block", BLOCK, labels={"H3": Fact.of("L front?", MARK)}),
        device("left front controller", CONTROLLER, mechanism="left drive"),
        device(
            "intake controller",
            CONTROLLER,
            mechanism="intake",
            feed=Feed(slot=Fact.of("H4", MARK)),
            wishes=Wishes(length=Fact.of(1.1, MARK, State.GUESSED)),
        ),
    )
    plain: dict[str, Any] = {
        "name": "Tidepool",
        "rules": "common-practice",
        "build": "practice",
        "builds": ("practice",),
        "asks": False,
        "devices": devices,
        "mechanisms": (),
        "buses": (),
        "plate": Plate(),
        "house": House(),
        "stock": Stock(()),
    }
    return Robot(**(plain | said))


CAUTIONS = ("Unplug the battery.", "Vent all stored air.", "The season's rule book comes first.")


def rules() -> RuleBook:
    """Make a rule book with one rule and three cautions, of which the last is written first."""
    rule = Rule("gauge-40a", "gauge", "A 40 A circuit has 12 AWG or thicker.", Severity.MUST, "common practice")
    told = [
        Rule(f"caution-{n}", "caution", words, Severity.MUST, "common practice") for n, words in enumerate(CAUTIONS)
    ]
    last = replace(told.pop(), parameters={"place": "last"})
    return RuleBook("common practice", "2024-01-01", (rule, last, *told))


def plan(circuits: tuple[PlannedCircuit, ...] | None = None, **said: Any) -> Plan:  # noqa: ANN401  any field of a plan
    """Make a whole plan: a bus, two branches that stand, and one that found no slot."""
    held = circuits or (
        chain(),
        branch("left front", 1),
        nowhere("intake"),
        branch("right front", 3, slot=reasoned("H10")),
    )
    plain: dict[str, Any] = {
        "robot": robot(),
        "rules": rules(),
        "wiring": Wiring(tuple(one.circuit for one in held), (WHERE_IS_IT,)),
        "findings": (LENGTH_UNKNOWN, TOO_HOT, WHERE_IS_IT),
        "next_wire": 9,
        "revision": revision_of(held),
        "inputs": "sha256 of the inputs",
    }
    return Plan(circuits=held, **(plain | said))
