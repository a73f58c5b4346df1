"""What if: single values of a study, typed as `lift.supply_limit=30A`."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.match.of_battery import measured_ohm
from loomwright.units import Dimension, QuantityError, read, show
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.match.machine import Machine, MotorBranch, Thresholds
    from loomwright.match.study import Study

_MAIN: Final = "main leads"
_BATTERY: Final = "battery"


def what_if(study: Study, sets: tuple[str, ...]) -> Study:
    """Return a study with values set, in their order.

    `THING.supply_limit` and `THING.motor_limit` [A], `THING.ramp` [s] of a mechanism or a motor (or `drive` for both of
    its sides); `main leads.resistance` (with the main breaker's), `battery.resistance` (as a tester reads it) [ohm];
    `battery.capacity` [Ah]; `outputs off below` [V].

    Raises
    ------
    UnreadableInputError
        For each that names nothing, or whose value can't be read; all of them together.
    """
    faults: list[Finding] = []
    for said in sets:
        try:
            study = _with(study, *_parted(said))
        except _RefusedError as error:
            faults.append(Finding("what-if", Severity.MUST, Place(thing=said), error.what, error.fix))
    if faults:
        raise UnreadableInputError(faults)
    return study


class _RefusedError(ValueError):
    def __init__(self, what: str, fix: str) -> None:
        super().__init__(what)
        self.what, self.fix = what, fix


def _parted(said: str) -> tuple[str, str]:
    name, equals, value = said.partition("=")
    if not equals:
        raise _RefusedError("Nothing is set to anything.", "Write it as in: --set lift.supply_limit=30A")
    return name.strip(), value.strip()


def _with(study: Study, name: str, value: str) -> Study:
    machine = study.machine
    thing, _, key = name.rpartition(".")
    key = key.strip().replace("_", " ")
    if name.replace("_", " ") == "outputs off below":
        return replace(study, machine=replace(machine, thresholds=_with_outputs_off(machine.thresholds, value)))
    if (thing.replace("_", " "), key) == (_MAIN, "resistance"):
        return replace(study, machine=replace(machine, main_ohm=_amount(value, Dimension.RESISTANCE)))
    if thing == _BATTERY and key in ("resistance", "capacity"):
        return replace(study, machine=_with_battery(machine, key, value))
    setters: dict[str, tuple[Dimension, Callable[[MotorBranch, float], MotorBranch]]] = {
        "supply limit": (Dimension.CURRENT, lambda motor, amount: replace(motor, supply_limit_a=amount)),
        "motor limit": (Dimension.CURRENT, lambda motor, amount: replace(motor, motor_limit_a=amount)),
    }
    if key not in setters and key != "ramp":
        raise _RefusedError(
            f"{quoted(name)} can't be set in a match.",
            "What can: THING.supply_limit, THING.motor_limit, THING.ramp, main leads.resistance, battery.resistance, "
            "battery.capacity, outputs off below.",
        )
    called = _called(machine, thing)
    if key in setters:
        dimension, change = setters[key]
        amount = _amount(value, dimension)
        motors = tuple(change(motor, amount) if motor.name in called else motor for motor in machine.motors)
        return replace(study, machine=replace(machine, motors=motors))
    amount = _amount(value, Dimension.TIME)
    moved = {machine.mechanisms[motor.mechanism].name for motor in machine.motors if motor.name in called}
    mechanisms = tuple(replace(one, ramp_s=amount) if one.name in moved else one for one in machine.mechanisms)
    return replace(study, machine=replace(machine, mechanisms=mechanisms))


def _with_outputs_off(low: Thresholds, value: str) -> Thresholds:
    off_v = _amount(value, Dimension.VOLTAGE)
    if off_v >= low.on_v:
        raise _RefusedError(
            f"Outputs can't go off below {show(off_v, Dimension.VOLTAGE)}: they come on again above "
            f"{show(low.on_v, Dimension.VOLTAGE)}.",
            f"Write less than {show(low.on_v, Dimension.VOLTAGE)}.",
        )
    return replace(low, off_v=off_v)


def _with_battery(machine: Machine, key: str, value: str) -> Machine:
    battery = machine.battery
    if key == "capacity":
        return replace(machine, battery=replace(battery, capacity_ah=_amount(value, Dimension.CHARGE)))
    share = _amount(value, Dimension.RESISTANCE) / measured_ohm(battery)
    first, second = battery.pairs
    scaled = replace(
        battery,
        ohm=battery.ohm * share,
        pairs=((first[0] * share, first[1]), (second[0] * share, second[1])),
        activation_v=battery.activation_v * share,
    )
    return replace(machine, battery=scaled)


def _called(machine: Machine, thing: str) -> set[str]:
    """Return the motors that a word of the robot file means: a motor, a mechanism, a kind of mechanism."""
    found = {
        motor.name
        for motor in machine.motors
        for mechanism in (machine.mechanisms[motor.mechanism],)
        if {thing, thing.replace("_", " ")} & {motor.name, mechanism.name, mechanism.kind}
    }
    if not found:
        known = [motor.name for motor in machine.motors] + [one.name for one in machine.mechanisms]
        close = nearest(thing, known)
        fix = f"Did you mean {listed(close)}?" if close else f"Take one of: {', '.join(dict.fromkeys(known))}."
        raise _RefusedError(f"Nothing that is played is called {quoted(thing)}.", fix)
    return found


def _amount(value: str, dimension: Dimension) -> float:
    try:
        amount = read(value, dimension)
    except QuantityError as error:
        raise _RefusedError(
            str(error), "Write a number with its unit, such as 30 A, 0.2 s, 12 mohm or 16 Ah."
        ) from error
    if not 0 < amount < 1e9:  # noqa: PLR2004  anything that a robot could have
        raise _RefusedError(f"{quoted(value)} is not above zero.", "Write an amount above zero.")
    return amount
