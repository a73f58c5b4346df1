"""The symptoms that a robot may show, as observations; one that goes for many devices is told of one for all."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.electrical.bus import chains
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.faults import FaultKind, has_protection, moving_trunks
from loomwright.hunting.robot.match_cost import drive_motors
from loomwright.hunting.robot.practice import check_kinds, halt_of
from loomwright.hunting.robot.shows import motors
from loomwright.rulebook.lookup import feeds, power_path
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from loomwright.electrical.bus import Chain
    from loomwright.hunting.robot.faults import RobotFault
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Shown
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedWire

#: Checks that ask people for what they remember: on the sheet they are symptoms.
_ASKED: Final = ("since hit", "since battery", "since work", "smell", "drove", "halt", "brown-out", "mechanism")
#: Checks that go end by end, and the one that goes over all ends at a device instead.
_GROUPS: Final = {"tug": "pull", "wiggle": "shake"}
#: Checks of what all of the robot hangs on: they go with every symptom.
_OF_ALL: Final = ("rest", "load")
_OF_DEVICES: Final = ("look", "run", "seen", "id", "clean")
_BATTERY_PATH: Final = "the battery path"
#: Circuits whose short takes its current through the main breaker.
_FROM_BLOCK: Final = (CircuitKind.MAIN, CircuitKind.FEEDER, CircuitKind.BRANCH)
_UNPOWERED: Final = ("any", "dead")
_LEAST_CHAIN: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """What a symptom of one device for all is about, with the words that stand for the names of this one.

    `circuits` and `devices` are told by these words; `spots` are the beginnings of places where probes go.
    """

    circuits: Mapping[str, str]
    devices: Mapping[str, str]
    wires: Mapping[str, str]
    spots: Mapping[str, str] = field(default_factory=dict)

    def name(self, kind: str, about: str) -> str | None:
        """Return the words for what a check of a kind is about; None where it is about something else."""
        if kind in _OF_DEVICES:
            return self.devices.get(about)
        names = {**self.devices, **self.circuits, **self.wires}
        plain = about.removesuffix(" A").removesuffix(" B")
        if plain not in names:
            return None
        return names[plain] if plain == about else f"{about[-1]} of {names[plain]}"

    def spot(self, words: str) -> str:
        """Return the place of a probe without the names of this one device."""
        start = max((one for one in self.spots if words.startswith(f"{one} ")), key=len, default="")
        return f"{self.spots[start]}{words.removeprefix(start)}" if start else words


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom:
    """A symptom: its words, what is seen then, and, where one device stands for all, what is its own.

    Checks of the kinds `without`, and those that are `grouped`, do not stand under it. `by_wire` says that it is not
    settled before one wire is found. `causes` are the faults that may have made it, where that is the question, and
    `nothing` says what else did; nobody puts the battery in before it is answered.
    """

    words: str
    seen: tuple[Observation, ...]
    own: Own | None = None
    without: tuple[str, ...] = ("slot",)
    by_wire: bool = False
    grouped: frozenset[str] = frozenset()
    causes: frozenset[str] = frozenset()
    nothing: str = ""

    def allows(self, robot: RobotHunt, key: str) -> bool:
        """Tell whether a check may stand on the sheet under this symptom."""
        shown = robot.checks[key]
        if shown.kind in (*_ASKED, *self.without) or key in self.grouped:
            return False
        if self.causes and check_kinds()[shown.kind].state not in _UNPOWERED:
            return False
        return self.own is None or shown.kind in _OF_ALL or self.own.name(shown.kind, shown.about) is not None

    def counts(self, fault: RobotFault) -> bool:
        """Tell whether a fault may have made it."""
        return not self.causes or fault.key in self.causes

    def as_told(self, shown: Shown) -> Shown:
        """Return a check with the words that stand for this one device."""
        if self.own is None:
            return shown
        place = "the motor" if shown.kind == "phases" else self.own.name(shown.kind, shown.about) or shown.place
        return replace(shown, place=place, red=self.own.spot(shown.red), black=self.own.spot(shown.black))

    def seat(self, plan: Plan, fault: RobotFault, circuit: str) -> str:
        """Return what a fault is in, in words; `circuit` is that of its wire, "" without one."""
        name = circuit or fault.circuit or fault.device or fault.chain
        if self.own is not None:
            own = self.own.devices if fault.device else self.own.circuits
            name = own.get(name, name)
        held = plan.circuit(circuit) if circuit else None
        return _BATTERY_PATH if held is not None and held.circuit.kind is CircuitKind.MAIN else name


def symptoms(robot: RobotHunt) -> tuple[Symptom, ...]:
    """Return the symptoms of the table that this robot can have, in its order."""
    makers, grouped = _makers(), _grouped(robot)
    found = (makers[row["symptom"]](robot, row["words"]) for row in table("hunt_symptom"))
    return tuple(replace(symptom, grouped=grouped) for symptom in found if symptom is not None)


def _grouped(robot: RobotHunt) -> frozenset[str]:
    """Return the checks of single ends that are gone over together with the others at their device."""
    found = set()
    for wire in robot.plan.wires:
        for end in (wire.a, wire.b):
            for one, group in _GROUPS.items():
                if f"{group} {end.device}" in robot.checks:
                    found.add(f"{one} {wire.id} {end.letter}")
    return frozenset(found)


def _makers() -> dict[str, Callable[[RobotHunt, str], Symptom | None]]:
    return {
        "all dark": lambda robot, words: _of_all(robot, words, _looks(robot, "dark")),
        "breaker open": _breaker_open,
        "one dark": _one_dark,
        "radio dark": _radio_dark,
        "halt long": lambda robot, words: _halted(robot, words, "long"),
        "halt computer": lambda robot, words: _halted(robot, words, "computer"),
        "one dead": lambda robot, words: _motor(robot, words, "run", "dead"),
        "one weak": lambda robot, words: _motor(robot, words, "drove", "weak"),
        "one backward": lambda robot, words: _motor(robot, words, "run", "backward"),
        "chain from one on": _chain_from_one_on,
        "one missing": _one_missing,
        "brown-out": lambda robot, words: _of_all(robot, words, _seen(robot, "brown-out", "yes")),
        "all weak": lambda robot, words: _of_all(robot, words, _all_weak(robot)),
    }


def _of_all(robot: RobotHunt, words: str, seen: Iterator[Observation]) -> Symptom | None:
    """Return a symptom of all of the robot: what is checked lies between its battery and its block."""
    found = tuple(seen)
    return Symptom(words=words, seen=found, own=_battery_path(robot.plan), by_wire=True) if found else None


def _battery_path(plan: Plan) -> Own:
    main = [circuit for circuit in plan.circuits if circuit.circuit.kind is CircuitKind.MAIN]
    wires = {wire.id: _named(wire) for circuit in main for wire in circuit.wires}
    ends = {end.device: end.device for circuit in main for wire in circuit.wires for end in (wire.a, wire.b)}
    # A check of the circuit itself is one of its breaker; a fault of it lies anywhere on its way.
    breakers = {circuit.id: "the main breaker" for circuit in main}
    return Own(circuits={c.id: _BATTERY_PATH for c in main}, wires=wires | breakers, devices=ends)


def _seen(robot: RobotHunt, check: str, outcome: str) -> Iterator[Observation]:
    if check in robot.checks:
        yield Observation(check=check, outcome=outcome)


def _looks(robot: RobotHunt, outcome: str, but: str = "") -> Iterator[Observation]:
    for key, shown in sorted(robot.checks.items()):
        if shown.kind == "look" and shown.about != but:
            yield Observation(check=key, outcome=outcome)


def _all_weak(robot: RobotHunt) -> Iterator[Observation]:
    for key, shown in sorted(robot.checks.items()):
        if shown.kind == "drove":
            yield Observation(check=key, outcome="weak")


def _breaker_open(robot: RobotHunt, words: str) -> Symptom | None:
    """Return what may have opened the main breaker: it is known to be open, so that no answer is needed for that."""
    if not any(device.kind == "breaker" for device in robot.plan.robot):
        return None
    own = _battery_path(robot.plan)
    shorted = {c.id for c in robot.plan.circuits if c.circuit.kind in _FROM_BLOCK}
    causes = frozenset(
        key
        for key, fault in robot.faults.items()
        if (fault.kind is FaultKind.LOOSE and fault.wire in own.wires)
        or (fault.kind is FaultKind.PAIR_SHORT and fault.circuit in shorted)
    )
    nothing = "a hit on its button, or too much current"
    without = ("slot", "breaker")
    return Symptom(words=words, seen=(), own=own, causes=causes, nothing=nothing, by_wire=True, without=without)


def _radio_dark(robot: RobotHunt, words: str) -> Symptom | None:
    radio = min((device.id for device in robot.plan.robot if device.kind == "radio"), default="")
    dark = tuple(_seen(robot, f"look {radio}", "dark"))
    seen = (*dark, *_looks(robot, "lit", but=radio))
    return Symptom(words=words, seen=seen, own=_way_to(robot.plan, (radio,))) if dark else None


def _halted(robot: RobotHunt, words: str, length: str) -> Symptom | None:
    """Return a halt of a length that something on this robot takes to come back."""
    back = [
        d.id
        for d in sorted(robot.plan.robot, key=lambda d: natural(d.id))
        if (back_s := d.part.number("recovery time")) is not None and halt_of(back_s) == length
    ]
    if not back or "halt" not in robot.checks:
        return None
    seen = (*_seen(robot, "halt", length), *_looks(robot, "lit"))
    return Symptom(words=f"{words} ({', '.join(back)})", seen=seen, own=_way_to(robot.plan, tuple(back)))


def _way_to(plan: Plan, names: tuple[str, ...]) -> Own:
    """Return what lies on the way of the power to some devices, all by its own name."""
    path = [circuit for name in names for circuit in power_path(plan, name)]
    circuits = {circuit.id: circuit.id for circuit in path}
    devices = {name: name for circuit in path for name in (circuit.circuit.load, circuit.source)}
    return Own(circuits=circuits, devices=devices, wires={w.id: _named(w) for circuit in path for w in circuit.wires})


def _named(wire: PlannedWire) -> str:
    return f"{wire.id} ({wire.circuit} {wire.role})" if wire.circuit != "main" else f"{wire.id} ({wire.role})"


def _one_dark(robot: RobotHunt, words: str) -> Symptom | None:
    pair = _usual_motor(robot)
    if pair is None or f"look {pair[1].id}" not in robot.checks:
        return None
    driver = pair[1].id
    seen = (*_seen(robot, f"look {driver}", "dark"), *_looks(robot, "lit", but=driver))
    return Symptom(words=words, seen=seen, own=_own(robot.plan, *pair), without=())


def _motor(robot: RobotHunt, words: str, check: str, outcome: str) -> Symptom | None:
    pair = _usual_motor(robot)
    if pair is None:
        return None
    seen = (*_seen(robot, f"{check} {pair[0].id}", outcome), *_looks(robot, "lit"))
    return Symptom(words=words, seen=seen, own=_own(robot.plan, *pair))


def _usual_motor(robot: RobotHunt) -> tuple[Device, Device] | None:
    """Return a motor and its controller that stand for all: with a controller of its own where any has one.

    One that drives, if there is one, and none whose wires run through a moving joint, if there is another.
    """
    plan, drive = robot.plan, drive_motors(robot.plan)
    moved = {wire.b.device for wire in plan.wires if moving_trunks(plan, wire)}
    found = [
        (motor, driver)
        for motor, driver in sorted(
            motors(plan),
            key=lambda pair: (pair[0].id not in drive, bool(moved & {d.id for d in pair}), natural(pair[0].id)),
        )
        if any(has_protection(circuit) for circuit in feeds(plan, driver.id))
    ]
    return next((pair for pair in found if pair[0] is not pair[1]), next(iter(found), None))


def _own(plan: Plan, motor: Device, driver: Device) -> Own:
    circuits: dict[str, str] = {}
    wires: dict[str, str] = {}
    spots = {driver.id: "the controller,", motor.id: "the motor,"}
    for circuit in plan.circuits:
        kind, load = circuit.circuit.kind, circuit.circuit.load
        words = {CircuitKind.MOTOR: "its motor leads", CircuitKind.SIGNAL: "its signal lead"}.get(kind, "its feed")
        if load not in (driver.id, motor.id) or kind in (CircuitKind.BUS, CircuitKind.NETWORK):
            continue
        circuits[circuit.id] = words
        wires |= {
            wire.id: f"its {wire.role} {'lead' if words == 'its motor leads' else 'wire'}" for wire in circuit.wires
        }
        if circuit.slot.value and words == "its feed":
            spots[f"{circuit.source} {circuit.slot.value}"] = "its slot,"
    return Own(
        circuits=circuits, wires=wires, devices={driver.id: "the controller", motor.id: "the motor"}, spots=spots
    )


def _longest(robot: RobotHunt) -> Chain | None:
    held = [chain for chain in chains(robot.plan) if len(chain.devices) > _LEAST_CHAIN]
    return max(held, key=lambda chain: len(chain.devices), default=None)


def _chain_from_one_on(robot: RobotHunt, words: str) -> Symptom | None:
    """Return a chain that is seen as far as its middle; the joint there stands for any."""
    chain = _longest(robot)
    listed = [d.id for d in chain.devices if f"seen {d.id}" in robot.checks] if chain is not None else []
    if chain is None or len(listed) < _LEAST_CHAIN:
        return None
    last, first = listed[len(listed) // 2 - 1], listed[len(listed) // 2]
    missing = listed[len(listed) // 2 :]
    seen = [one for d in listed for one in _seen(robot, f"seen {d}", "missing" if d in missing else "seen")]
    hops = [hop for hop in chain.hops if {e.device for w in hop.wires for e in (w.a, w.b)} == {last, first}]
    joint = "the joint before the first missing"
    names = {last: "the last seen", first: "the first missing"}
    spots = {name: f"{words}," for name, words in names.items()}
    own = Own(
        circuits={hop.id: joint for hop in hops},
        wires={w.id: f"the {w.role.removeprefix('bus ')} line of {joint}" for hop in hops for w in hop.wires},
        devices={**names, chain.bus.name: "the chain", f"chain {chain.bus.name}": "the chain"},
        spots=spots,
    )
    return Symptom(words=words, seen=(*seen, *_looks(robot, "lit")), own=own)


def _one_missing(robot: RobotHunt, words: str) -> Symptom | None:
    chain = _longest(robot)
    listed = [d for d in chain.devices if f"seen {d.id}" in robot.checks] if chain is not None else []
    drivers = {driver.id: motor for motor, driver in motors(robot.plan)}
    inner = [device for device in listed[1:-1] if device.id in drivers]
    if not inner:
        return None
    device = inner[len(inner) // 2]
    seen = [one for d in listed for one in _seen(robot, f"seen {d.id}", "missing" if d is device else "seen")]
    own = _own(robot.plan, drivers[device.id], device)
    return Symptom(
        words=words, seen=(*seen, *_looks(robot, "lit")), own=replace(own, devices={device.id: "the device"})
    )
