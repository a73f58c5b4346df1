"""Which motors make one mechanism: sides share one robot, modules share one drive, steering is its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Mechanism, Robot

_UNITS = {"travel": " m", "speed": " rad/s"}
_SIDE, _MODULE = "drive side", "steered module"
_STEERS = ("steer", "azimuth", "swivel", "turn", "angle")


@dataclass(frozen=True, slots=True)
class Group:
    """Motors that turn together; `kind` is a word of the match tables, `shares` counts the sides of one robot."""

    name: str
    kind: str
    does: Mapping[str, Fact[float]]
    motors: tuple[Device, ...]
    mark: Mark
    path: str
    shares: int = 1

    def need(self, key: str, example: str, notes: Notes) -> float | None:
        """Return what the mechanism has to say, or None where it does not or says nothing above 0, which is asked."""
        value = self.said(key, notes)
        if value is None or value <= 0:
            zero = value is not None
            notes.ask(
                "mechanism-says-zero" if zero else "mechanism-says-too-little",
                self.does[key].mark or self.mark if key in self.does else self.mark,
                f"{self.path}.does.{key}",
                f"The {key} of {self.name} is {value:g}, and nothing moves with that."
                if zero
                else f"The file does not say the {key} of {self.name}, so the study leaves {self.name} out.",
                f"Write `does: {{{key}: {example}}}` for {self.name}.",
            )
            return None
        return value

    def take(self, key: str, default: str, notes: Notes) -> float:
        """Return what the mechanism says, or a usual value by its name in the table, which is noted."""
        value = self.said(key, notes)
        if value is not None and value > 0:
            return value
        usual = practice(default)
        notes.assume(f"a {key} of {usual:g}{_UNITS.get(key, '')} is taken where the file says none", self.name)
        return usual

    def said(self, key: str, notes: Notes) -> float | None:
        """Return the value that is said, of several the largest, which is noted; None where there is none."""
        values = self.does[key].values if key in self.does else ()
        if len(values) > 1:
            notes.assume(f"of what is said of their {key} the largest is taken", self.name)
        return max(values, default=None)


def groups_of(robot: Robot, notes: Notes) -> tuple[Group, ...]:
    """Return the groups in the order of the file."""
    return tuple(group for mechanism in robot.mechanisms for group in _groups(robot, mechanism, notes))


def _groups(robot: Robot, mechanism: Mechanism, notes: Notes) -> Iterator[Group]:
    motors = _motors(robot, mechanism)
    modules = [m for m in robot.mechanisms if m.part_of == mechanism.name and m.kind.value == _MODULE]
    if modules:
        yield from _modules(robot, mechanism, motors, modules, notes)
    elif mechanism.kind.value == _MODULE:
        alone = [m for m in robot.mechanisms if m.kind.value == _MODULE and not m.part_of]
        if not mechanism.part_of and mechanism is alone[0]:
            yield from _modules(robot, mechanism, (), alone, notes)
    elif motors:
        kind = mechanism.kind.value
        if kind is None:
            _ask_kind(mechanism, notes)
            return
        shares = sum(m.kind.value == _SIDE and bool(_motors(robot, m)) for m in robot.mechanisms)
        if kind == _SIDE:
            notes.assume(f"the robot's mass is shared evenly by {shares} drive sides")
        yield Group(
            mechanism.name,
            "drive" if kind == _SIDE else kind,
            _does(robot, mechanism),
            motors,
            mechanism.mark,
            mechanism.path,
            shares if kind == _SIDE else 1,
        )


def _modules(
    robot: Robot, base: Mechanism, own: tuple[Device, ...], modules: list[Mechanism], notes: Notes
) -> Iterator[Group]:
    """Give the drive that all modules make together, and their steering."""
    drives, steers = list(own), []
    for module in modules:
        motors = _motors(robot, module)
        named = [motor for motor in motors if any(word in motor.called.casefold() for word in _STEERS)]
        if not named and len(motors) > 1:
            named = sorted(motors, key=_power)[:1]
            notes.assume("of a module's motors the weaker one is taken to steer", module.name)
        steers += named
        drives += [motor for motor in motors if motor not in named]
    modules_say = {key: fact for module in modules for key, fact in module.does.items() if fact.said}
    does = {**modules_say, **_does(robot, base)}
    if drives:
        yield Group(base.name, "drive", does, tuple(drives), base.mark, base.path)
    if steers:
        # What is said of the gearing is said of the wheels.
        steering = {key: fact for key, fact in does.items() if key != "gearing"}
        yield Group(f"{base.name} steering", "steering", steering, tuple(steers), base.mark, base.path)


def _motors(robot: Robot, mechanism: Mechanism) -> tuple[Device, ...]:
    return tuple(device for device in robot if device.kind == "motor" and device.mechanism == mechanism.name)


def _does(robot: Robot, mechanism: Mechanism) -> dict[str, Fact[float]]:
    """Return what a mechanism says, and beneath it what the mechanism says that it is a part of."""
    whole = next((m for m in robot.mechanisms if m.name == mechanism.part_of), None)
    above = dict(whole.does) if whole is not None else {}
    return above | {key: fact for key, fact in mechanism.does.items() if fact.said}


def _power(motor: Device) -> float:
    return (motor.part.number("stall torque") or 0.0) * (motor.part.number("free speed") or 0.0)


def _ask_kind(mechanism: Mechanism, notes: Notes) -> None:
    notes.ask(
        "mechanism-kind-unknown",
        mechanism.kind.mark or mechanism.mark,
        f"{mechanism.path}.does.kind",
        f"The file does not say what {mechanism.name} does, so the study leaves it out.",
        f"Write what {mechanism.name} does: `does: {{kind: drive side, mass: 54 kg, wheel: 15 cm, gearing: 8.5}}`, "
        "`{kind: lift, carries: 6 kg, travel: 90 cm, drum: 4 cm, gearing: 12}`, `{kind: roller, gearing: 4}` ...",
    )
