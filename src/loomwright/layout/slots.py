"""Give every circuit a slot that suits it: a valid assignment, found by augmenting paths.

Pins come first, then circuits in the order of their protection (largest first), of what bears on their
copper, and of their names: the order of the robot file decides nothing, and a name costs nothing. A circuit
moves another one on only when it has no slot else.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.wiring.feeds import fits
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit, Wiring

_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
Spot = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Choice:
    """Where a circuit stands: device and slot, the protection there [A] (None: the output's own limit).

    `how` is "pinned", "kept" (from the last plan), "only" or "chosen"; `open_because` says in words why
    nothing was chosen, and then device and slot are empty.
    """

    device: str = ""
    slot: str = ""
    protection_a: float | None = None
    how: str = ""
    group: str = ""
    open_because: str = ""


@dataclass(frozen=True, slots=True)
class _Option:
    spot: Spot
    rating: float | None
    group: str


def assign_slots(robot: Robot, wiring: Wiring, remembered: Mapping[str, Spot] | None = None) -> dict[str, Choice]:
    """Choose a slot for every circuit that is fed from one; keys are circuit ids.

    `remembered` holds the device and slot of each circuit in the last plan; a circuit stays there where
    it still may.
    """
    kept = remembered or {}
    circuits = sorted((c for c in wiring.circuits if c.kind in _FED), key=partial(_weight, robot))
    chosen = {c.id: choice for c in circuits if (choice := _settled(robot, c)) is not None}
    taken: dict[Spot, str] = {}
    for name, choice in chosen.items():
        if choice.slot:
            taken.setdefault((choice.device, choice.slot), name)
    fixed = set(taken) | _reserved(robot)
    open_circuits = [c for c in circuits if c.id not in chosen]
    options = {c.id: _options(robot, c, fixed, kept.get(c.id)) for c in open_circuits}
    held: dict[Spot, str] = {}
    for circuit in open_circuits:
        _augment(circuit.id, options, held, set())
    placed = {name: spot for spot, name in held.items()}
    for circuit in open_circuits:
        chosen[circuit.id] = _chosen(circuit, options[circuit.id], placed.get(circuit.id), kept.get(circuit.id))
    return chosen


def _weight(robot: Robot, circuit: Circuit) -> tuple[float, str, object]:
    """Sort circuits by their largest protection, then by all that bears on copper, and by name only among equals."""
    return (-max(circuit.wanted_a, default=0.0), _alike(robot, circuit), natural(circuit.id))


def _alike(robot: Robot, circuit: Circuit) -> str:
    """Write down what makes two circuits cost the same wherever they stand, so that a name never decides."""
    told: list[object] = [circuit.wanted_a, circuit.group, circuit.load_socket]
    for device in robot:
        if circuit.load in (device.id, device.driven_by):
            told += [device.part.id, device.spot.at.values, device.spot.height.values, device.draw.values]
            told += [device.wishes.length.values, device.wishes.gauge.values, device.limits.supply.values]
    return repr(told)


def _settled(robot: Robot, circuit: Circuit) -> Choice | None:
    """Return what needs no choice: a pin, or a question that keeps the tool from choosing."""
    slot = circuit.slot
    if slot.asks:
        return Choice(open_because=f"its slot is {slot.describe()}")
    if not circuit.sources:
        return Choice(open_because="nothing that could feed it is known")
    if slot.value is not None:
        for name in circuit.sources:
            device = robot.device(name)
            socket = device.part.socket(slot.value) if device else None
            if device is not None and socket is not None:
                return Choice(device.id, socket.name, _rating(circuit, socket), "pinned", socket.group)
        return Choice(open_because=f"{' or '.join(circuit.sources)} has no slot {slot.value}")
    if robot.asks and not slot.said:
        return Choice(open_because="the file does not say its slot, and what is unsaid is asked")
    return None


def _reserved(robot: Robot) -> set[Spot]:
    return {(device.id, slot) for device in robot for slot in device.reserved}


def _options(robot: Robot, circuit: Circuit, fixed: set[Spot], kept: Spot | None) -> list[_Option]:
    """List the slots that suit a circuit, best first: the last plan's, then its own group, smallest that does."""
    found: list[tuple[tuple[object, ...], _Option]] = []
    supply = _supply(robot, circuit)
    pinned = circuit.slot.values
    for order, name in enumerate(circuit.sources):
        device = robot.device(name)
        if device is None or supply is None:
            continue
        for place, outlet in enumerate(device.part.with_role(Role.OUTLET)):
            spot = (device.id, outlet.name)
            if not fits(outlet, supply) or spot in fixed or (pinned and outlet.name not in pinned):
                continue
            rating = _rating(circuit, outlet)
            if outlet.ratings_a and rating is None:
                continue
            away = bool(circuit.group) and not _belongs(circuit, outlet)
            least = max(outlet.ratings_a, default=0.0)
            found.append(((spot != kept, away, order, least, place), _Option(spot, rating, outlet.group)))
    said_group = _said_group(robot, circuit)
    options = [option for _, option in sorted(found, key=lambda pair: pair[0])]
    return [o for o in options if o.group == said_group] if said_group else options


def _belongs(circuit: Circuit, outlet: Socket) -> bool:
    """Tell whether an outlet is of a circuit's group; with a smaller protection written, a light slot does for a heavy.

    A large clamp would ask for thicker wire than the protection does, and heavy slots are few.
    """
    lighter = circuit.exact_protection and (circuit.group, outlet.group) == ("heavy", "light")
    return outlet.group == circuit.group or lighter


def _supply(robot: Robot, circuit: Circuit) -> Socket | None:
    load = robot.device(circuit.load)
    return load.part.socket(circuit.load_socket) if load else None


def _said_group(robot: Robot, circuit: Circuit) -> str:
    load = robot.device(circuit.load)
    return (load.feed.group.value or "") if load else ""


def _rating(circuit: Circuit, outlet: Socket) -> float | None:
    """Return the protection to put there: the first wanted rating that the slot takes, else None.

    A circuit that wants nothing in particular gets the slot's smallest rating; a pinned slot that takes
    none of the wanted ratings keeps the wish, so that the rule book can speak of it.
    """
    if not outlet.ratings_a:
        return None
    for rating in circuit.wanted_a:
        if rating in outlet.ratings_a:
            return rating
    if not circuit.wanted_a:
        return min(outlet.ratings_a)
    return circuit.wanted_a[0] if circuit.slot.said else None


def _augment(name: str, options: dict[str, list[_Option]], held: dict[Spot, str], tried: set[Spot]) -> bool:
    """Find a slot for a circuit, moving others on where they have another one."""
    for option in options[name]:
        if option.spot not in held and option.spot not in tried:
            held[option.spot] = name
            return True
    for option in options[name]:
        if option.spot in tried:
            continue
        tried.add(option.spot)
        if _augment(held[option.spot], options, held, tried):
            held[option.spot] = name
            return True
    return False


def _chosen(circuit: Circuit, options: list[_Option], spot: Spot | None, kept: Spot | None) -> Choice:
    if spot is None:
        return Choice(open_because=_why_none(circuit, options))
    option = next(o for o in options if o.spot == spot)
    how = "only" if len(options) == 1 else "kept" if spot == kept else "chosen"
    return Choice(spot[0], spot[1], option.rating, how, option.group)


def _why_none(circuit: Circuit, options: list[_Option]) -> str:
    wanted = " or ".join(f"{rating:g} A" for rating in circuit.wanted_a)
    kind = f"slot for {wanted}" if wanted and circuit.kind is not CircuitKind.OUTPUT else "output"
    where = " or ".join(circuit.sources)
    if not options:
        return f"{where} has no free {kind} that suits it"
    return f"every {kind} on {where} that suits it is taken"


def outlet_of(devices: Iterable[Device], choice: Choice) -> Socket | None:
    """Return the socket that a choice stands for, or None."""
    device = next((d for d in devices if d.id == choice.device), None)
    return device.part.socket(choice.slot) if device else None
