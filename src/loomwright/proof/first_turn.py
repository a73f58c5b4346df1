"""A motor's first turn: in which order motors come, what limits them, and two that work on one mechanism."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.electrical.practice import practice
from loomwright.rulebook.lookup import buses_of, called, drives
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedCircuit

#: What spins freely comes first, drives next, what nobody told after them, what can fall last.
_ORDER: Final = (("roller", "flywheel"), ("drive", "drive side", "steered module", "steering"))
_FALLS: Final = ("lift", "arm", "climber")
#: Motors of one mechanism of these kinds are joined by a shaft, a chain or a cable.
_JOINED: Final = ("drive side", "roller", "flywheel", *_FALLS)
_SPEED: Final = "a tenth of full speed for one second (output 0.1), then stop"
_AGAINST: Final = "Where a shaft, belt or chain joins them, two that push against each other burn."
_CLEAR: Final = "Wheels up, nothing in its way, blocks under what can fall, hands clear, one person at the breaker."
_PULSE_SPEED: Final = "a tenth of full speed for one second (output 0.1, which is a pulse of 1.55 ms), then stop"


def turn_rank(plan: Plan, load: Device) -> tuple[int, object, bool, object]:
    """Return what puts drives in the order of their first turn; who leads comes before who follows."""
    kind = _kind(plan, load)
    place = next((n for n, kinds in enumerate(_ORDER) if kind in kinds), len(_ORDER) + (kind in _FALLS))
    follows = any(device.follows.value for device in _both(plan, load))
    return (place, natural(load.mechanism), follows, natural(load.id))


def joined_with(plan: Plan, load: Device) -> tuple[Device, ...]:
    """Return the other drives whose motors work on the same mechanism, by what the file says."""
    own = _both(plan, load)
    found = []
    for other in sorted((d for d in plan.robot if drives(d) and d is not load), key=lambda d: natural(d.id)):
        pairs = [(one, two) for one in own for two in _both(plan, other)]
        same = bool(load.mechanism) and load.mechanism == other.mechanism and _kind(plan, load) in _JOINED
        if same or any(one.follows.value == two.called or two.follows.value == one.called for one, two in pairs):
            found.append(other)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class FirstTurn:
    """The first turn of a drive: steps, what is seen, when to switch off."""

    do: tuple[str, ...]
    expect: tuple[str, ...]
    stop: tuple[str, ...]


def first_turn(plan: Plan, load: Device, circuit: PlannedCircuit, before: Sequence[PlannedCircuit]) -> FirstTurn:
    """Return the first turn of a drive on its circuit; `before` are the circuits that have power by then."""
    partners = joined_with(plan, load)
    waiting = [partner for partner in partners if partner.id not in {each.circuit.load for each in before}]
    earlier = [each for each in before if each.circuit.load in {partner.id for partner in partners}]
    pulses = any(c.circuit.kind is CircuitKind.SIGNAL and c.circuit.load == load.id for c in plan.circuits)
    enable = f"Enable it from a test program that does nothing else: {_PULSE_SPEED if pulses else _SPEED}."
    do = [_limit(plan, load, circuit, pulses=pulses), _CLEAR, enable]
    expect = [*_listed(plan, load), "It turns one way, smoothly, and stops when told. Write down which way."]
    stop = ["It jerks, grinds, turns by itself or does not stop: main breaker off."]
    if earlier:
        names = listed([called(plan, each.circuit.load) for each in earlier], "and")
        slots = listed([f"{each.source} {each.slot.value}" for each in earlier], "and")
        do = [
            f"It works on one mechanism with {names}{_reversed(plan, load)}. {_AGAINST}",
            f"So alone first: main breaker off, take out the protection of {names} again ({slots}), main breaker on.",
            *do,
            f"Did the mechanism go the way it went with {names}? If not, stop: put that right, and try alone again.",
            f"Main breaker off, protection of {names} in again, main breaker on. Then together, as slowly.",
        ]
        expect.append("Together it is as quiet as alone, and each takes no more current.")
        stop.append("Together it hums, stands still or gets warm: main breaker off. One turns the wrong way.")
    elif waiting:
        names = listed([called(plan, partner.id) for partner in waiting], "and")
        do.insert(0, f"It works on one mechanism with {names}, without power yet. Now it turns alone.")
    return FirstTurn(tuple(do), tuple(expect), tuple(stop))


def _listed(plan: Plan, load: Device) -> Iterator[str]:
    for bus in buses_of(plan, load):
        said = [d.key.number for d in _both(plan, load) if d.key.number.said]
        number = f", number {said[0].describe()}" if said else ""
        yield f"{called(plan, load.id)} is on the program's list of {bus}{number}. Missing: its joint, high and low."


def _limit(plan: Plan, load: Device, circuit: PlannedCircuit, *, pulses: bool) -> str:
    """Say how its current is limited: by a setting where it can have one, else by what stands before it."""
    most_a = practice("first current")
    said = load.limits.supply.value
    first = show(min(most_a, said.hold_a) if said is not None else most_a, Dimension.CURRENT)
    if buses_of(plan, load):
        return f"In its maker's tool or in the program: set its supply-side current limit to {first}, and read it back."
    rating_a = circuit.protection_a.value
    before = f"its {show(rating_a, Dimension.CURRENT)} protection" if rating_a is not None else "its protection"
    why = "It takes pulses, which set no limit" if pulses else "No data chain leads to it to set a limit"
    knob = f"Has it a setting of its own (a dial, a button, a plug; see its manual): {first}"
    return f"{why}. {knob}. If not, {before} and the low speed are the limit."


def _reversed(plan: Plan, load: Device) -> str:
    return ", and is reversed in the program" if any(d.reversed.value for d in _both(plan, load)) else ""


def _both(plan: Plan, load: Device) -> tuple[Device, ...]:
    return (load, *(motor for motor in _motors(plan, load) if motor is not load))


def _motors(plan: Plan, load: Device) -> tuple[Device, ...]:
    """Return the motors that a drive turns: itself, where the motor has it built in."""
    apart = [motor for motor in plan.robot.of_kind("motor") if motor.driven_by == load.id]
    return tuple(apart) or ((load,) if load.kind == "motor" else ())


def _kind(plan: Plan, load: Device) -> str:
    return next((m.kind.value or "" for m in plan.robot.mechanisms if m.name == load.mechanism), "")
