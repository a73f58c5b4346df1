"""Every check that the twin can answer on a robot, with its outcomes from the best to the worst."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.plan.result import PlannedCircuit, PlannedEnd
from loomwright.rulebook.lookup import fed_from_slot
from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_build import Frame
from tests.hunting.robot.twin_faults import can_cross, slots_beside
from tests.hunting.robot.twin_robot import CABLE, FED, PLUS, Anatomy

OUTCOMES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "look": ("lit", "odd", "flickers", "dark"),
        "lights": ("all lit", "some not"),
        "list": ("all seen", "some missing", "none seen"),
        "mechanism": ("as ever", "not as ever"),
        "pull": ("all hold", "one gives"),
        "shake": ("steady", "changes"),
        "phases": ("alike", "one differs"),
        "run": ("runs", "weak", "backward", "always", "dead"),
        "direct": ("runs", "does not"),
        "drove": ("as ever", "weak", "backward", "always", "dead"),
        "seen": ("seen", "comes and goes", "missing"),
        "halt": ("none", "short", "computer", "long", "rest"),
        "brown-out": ("no", "yes"),
        "since hit": ("no", "yes"),
        "since battery": ("no", "yes"),
        "since work": ("no", "yes"),
        "program": ("nothing", "found it"),
        "smell": ("none", "burnt"),
        "breaker": ("cold", "warm", "open"),
        "fuse": ("good", "blown"),
        "slot": ("as planned", "another"),
        "volts": ("as expected", "low", "none", "reversed"),
        "plus": ("as expected", "low", "none"),
        "drop": ("little", "some", "much"),
        "amps": ("as expected", "little", "none"),
        "ohms": ("as expected", "high", "open"),
        "across": ("as expected", "low", "short"),
        "rail": ("as expected", "low", "short"),
        "frame": ("open", "leak", "joined"),
        "bus": ("two terminators", "three terminators", "one terminator", "open", "shorted"),
        "end": ("as planned", "one less", "one more"),
        "id": ("as planned", "factory", "another's"),
        "colours": ("as planned", "crossed"),
        "tug": ("holds", "moves", "comes off"),
        "wiggle": ("steady", "changes"),
        "flex": ("steady", "changes"),
        "warm": ("cold", "warm"),
        "rest": ("charged", "low", "flat"),
        "load": ("as expected", "weak"),
        "clean": ("clean", "wet or swarf"),
    }
)
# Below this a winding can't be told from a short with an ohmmeter.
_LEAST_WINDING_OHM = 20.0
_ENDS_TOLD = 2
_PHASES = 3


@dataclass(frozen=True, slots=True)
class Ask:
    """One check: its kind, what it is about, and at which end."""

    kind: str
    about: str = ""
    letter: str = ""

    @property
    def key(self) -> str:
        """The check's key as in the document."""
        return " ".join(word for word in (self.kind, self.about, self.letter) if word)

    @property
    def outcomes(self) -> tuple[str, ...]:
        """Its outcomes, the healthy one first."""
        return OUTCOMES[self.kind]


def every_ask(frame: Frame) -> Iterator[Ask]:
    """Give every check of a robot."""
    anatomy = frame.anatomy
    yield from (Ask(kind) for kind in ("since hit", "since battery", "since work", "program", "halt", "rest", "load"))
    if anatomy.computer is not None:
        yield Ask("brown-out")
    yield from _of_devices(anatomy)
    for circuit in anatomy.plan.circuits:
        yield from _of_circuit(frame, circuit)
    for wire, _ in anatomy.ends.values():
        if opens(wire.a) and opens(wire.b) and wire.a.polarity is not CABLE:
            yield Ask("ohms", wire.id)
    yield from (Ask("drop", wire) for wire in driven_wires(anatomy))
    yield from _of_ends(anatomy)
    found = dict(_groups(frame))
    yield from found
    yield from (Ask("flex", trunk) for trunk in dict.fromkeys(t for along in anatomy.moving.values() for t in along))


def groups(frame: Frame) -> dict[Ask, tuple[Ask, ...]]:
    """Return the checks that take in at least three others (two motors of a mechanism), with those."""
    return dict(_groups(frame))


def _groups(frame: Frame) -> Iterator[tuple[Ask, tuple[Ask, ...]]]:
    anatomy = frame.anatomy
    fed: dict[str, list[str]] = {}
    for circuit in anatomy.plan.circuits:
        if circuit.circuit.kind in FED and circuit.source and circuit.circuit.load not in fed.get(circuit.source, []):
            fed.setdefault(circuit.source, []).append(circuit.circuit.load)
    lit = {device.id for device in anatomy.electronics}
    yield from _at_least(3, "lights", {k: [Ask("look", one) for one in v if one in lit] for k, v in fed.items()})
    for chain in anatomy.chains:
        others = [device for device in chain.devices[1:] if device.kind != "terminator"]
        yield from _at_least(3, "list", {chain.name: [Ask("seen", device.id) for device in others]})
    moved: dict[str, list[Ask]] = {}
    for motor in anatomy.motors:
        moved.setdefault(anatomy.devices[motor].mechanism, []).append(Ask("drove", motor))
    yield from _at_least(2, "mechanism", {k: v for k, v in moved.items() if k})
    there: dict[str, list[tuple[str, str]]] = {}
    for wire, end in anatomy.ends.values():
        if opens(end):
            there.setdefault(end.device, []).append((wire.id, end.letter))
    for kind, single in (("pull", "tug"), ("shake", "wiggle")):
        yield from _at_least(3, kind, {k: [Ask(single, w, x) for w, x in v] for k, v in there.items()})


def _at_least(fewest: int, kind: str, held: dict[str, list[Ask]]) -> Iterator[tuple[Ask, tuple[Ask, ...]]]:
    yield from ((Ask(kind, about), tuple(asks)) for about, asks in held.items() if len(asks) >= fewest)


def opens(end: PlannedEnd) -> bool:
    """Tell whether people can get at an end."""
    return end.treatment is not None


def driven_wires(anatomy: Anatomy) -> dict[str, str]:
    """Return the wires along which a motor's current can be measured as a steady drop, each with its motor."""
    found: dict[str, str] = {}
    for motor in anatomy.motors.values():
        leads = motor.leads.wires if motor.leads and not motor.brushless else ()
        for wire in [*anatomy.main.wires, *(motor.feed.wires if motor.feed else ()), *leads]:
            if opens(wire.a) and opens(wire.b):
                found.setdefault(wire.id, motor.id)
    return found


def _of_devices(anatomy: Anatomy) -> Iterator[Ask]:
    for device in anatomy.electronics:
        yield from (Ask("look", device.id), Ask("clean", device.id))
    for one in dict.fromkeys([*(d.id for d in anatomy.electronics), *anatomy.motors]):
        yield Ask("smell", one)
    for motor in anatomy.motors:
        yield from (Ask("run", motor), Ask("direct", motor), Ask("drove", motor))
    for chain in anatomy.chains:
        others = (d for d in chain.devices[1:] if d.kind != "terminator")
        yield from (Ask("seen", device.id) for device in others)
        if len(chain.ends) == _ENDS_TOLD:
            yield from (Ask("bus", chain.name), Ask("end", chain.name))
    yield from (Ask("id", one) for one in anatomy.numbered)
    for device in anatomy.plan.robot.of_kind("block"):
        if anatomy.supplies[device.id]:
            yield Ask("rail", device.id)


def _of_circuit(frame: Frame, circuit: PlannedCircuit) -> Iterator[Ask]:
    anatomy, kind = frame.anatomy, circuit.circuit.kind
    if circuit.protection_a.value is not None and (fed_from_slot(circuit) or kind is CircuitKind.MAIN):
        yield Ask("fuse" if circuit.protection.startswith("fuse") else "breaker", circuit.id)
    if kind in FED and slots_beside(anatomy, circuit):
        yield Ask("slot", circuit.id)
    if kind is CircuitKind.MOTOR and len(circuit.wires) == _PHASES:
        yield Ask("phases", circuit.id)
    if can_cross(anatomy, circuit):
        yield Ask("colours", circuit.id)
    if any(motor.feed is circuit for motor in anatomy.motors.values()):
        yield Ask("amps", circuit.id)
    last = anatomy.wire_at(circuit, "B", PLUS)
    if last is not None and opens(last.b) and kind in (*FED, CircuitKind.MAIN, CircuitKind.MOTOR):
        yield Ask("frame", circuit.id)
    if not anatomy.has_pair(circuit):
        return
    if kind in (*FED, CircuitKind.MAIN) and anatomy.gives(circuit) != "off":
        yield from (Ask("volts", circuit.id, "A"), Ask("volts", circuit.id, "B"), Ask("plus", circuit.id))
    if kind in FED and all(frame.least[name][2] > _LEAST_WINDING_OHM for name in loads_of(frame, circuit)):
        yield Ask("across", circuit.id)


def loads_of(frame: Frame, circuit: PlannedCircuit) -> tuple[str, ...]:
    """Return the names of the loads at the end of a circuit."""
    name = f"load {circuit.circuit.load} {circuit.circuit.load_socket}"
    return (name,) if name in frame.least else ()


def _of_ends(anatomy: Anatomy) -> Iterator[Ask]:
    for wire, end in anatomy.ends.values():
        if not opens(end):
            continue
        # On a board nobody pulls, but a look is a check as well.
        yield Ask("tug", wire.id, end.letter)
        yield Ask("wiggle", wire.id, end.letter)
        if wire.circuit == anatomy.main.id:
            yield Ask("warm", wire.id, end.letter)
