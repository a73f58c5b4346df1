"""Motors: resistance and constant from the data sheet's four numbers, limits from the code, copper from the plan."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from loomwright.match.machine import MotorBranch
from loomwright.match.of_breakers import trip_of
from loomwright.match.of_copper import feed_path, wire_copper
from loomwright.match.of_practice import practice
from loomwright.match.of_wire_heat import wire_heat
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device
    from loomwright.model.part import Part
    from loomwright.plan.result import Plan, PlannedCircuit

_NEEDED = ("rated voltage", "free speed", "stall torque", "stall current", "free current")
_FEEDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)


@dataclass(frozen=True, slots=True)
class Motor:
    """A motor with what it hangs on: its winding [ohm], constant [V s/rad], own friction, stall torque, rotor.

    `driver` is the device that its supply goes to: its controller, or itself.
    """

    device: Device
    driver: Device
    circuit: PlannedCircuit
    winding_ohm: float
    constant: float
    friction_nm: float
    stall_nm: float
    free_rad_s: float
    rotor_kg_m2: float


def motor_of(plan: Plan, device: Device, notes: Notes) -> Motor | None:
    """Return a motor by the linear model, or None where its part or its feed is not known, which is asked.

    R = V/I_stall, K = (V - I_free R)/w_free, friction = K I_free. Its torque at standstill gives a second K; where the
    two are far apart the data sheet's numbers do not belong together, and that is told. Its rotor is taken from a
    usual R J/K^2, which no gearbox in the motor changes.
    """
    driver = plan.robot.device(device.driven_by) if device.driven_by else device
    feeds = [c for c in plan.circuits if driver and c.circuit.load == driver.id and c.circuit.kind in _FEEDS]
    if driver is None or not feeds:
        _ask_feed(device, notes)
        return None
    said = {name: value for name in _NEEDED if (value := device.part.number(name))}
    missing = [name for name in _NEEDED if name not in said]
    if missing:
        _ask_values(device, missing[0], notes)
        return None
    volts, free_rad_s, stall_nm, stall_a, free_a = (said[name] for name in _NEEDED)
    ohm = volts / stall_a
    constant = (volts - free_a * ohm) / free_rad_s
    torque_constant = stall_nm / (stall_a - free_a) if stall_a > free_a else inf
    if constant <= 0 or not abs(torque_constant / constant - 1) <= practice("motor mismatch"):
        _ask_sheet(device, constant, torque_constant, notes)
    if constant <= 0:
        return None
    rotor = practice("rotor time") * constant**2 / ohm
    notes.assume("rotors are taken from a usual R J/K2 of 15 ms")
    return Motor(device, driver, feeds[0], ohm, constant, constant * free_a, stall_nm, free_rad_s, rotor)


def motor_branch(
    plan: Plan, motor: Motor, mechanism: int, find_part: Callable[[str], Part | None] | None, notes: Notes
) -> MotorBranch:
    """Return the branch of a motor; the leads between controller and motor count into its winding.

    Of the phases two carry the current at a time, as do the two leads of a motor with brushes.
    """
    side = next(
        (c for c in plan.circuits if c.circuit.kind is CircuitKind.MOTOR and c.circuit.load == motor.device.id), None
    )
    leads = [wire_copper(wire, notes).with_usual_joints_ohm for wire in side.wires] if side is not None else []
    there_and_back_ohm = 2 * sum(leads) / len(leads) if leads else 0.0
    line = feed_path(plan, motor.circuit, notes)
    part = find_part(motor.circuit.protection) if find_part is not None else None
    return MotorBranch(
        name=motor.device.called,
        circuit=motor.circuit.id,
        mechanism=mechanism,
        winding_ohm=motor.winding_ohm + there_and_back_ohm,
        constant=motor.constant,
        line_ohm=line.ohm,
        joints=line.joints,
        supply_limit_a=_limit_a(motor.driver, "supply", notes),
        motor_limit_a=_limit_a(motor.driver, "motor", notes),
        trip=trip_of(motor.circuit, part, notes),
        wire=wire_heat(plan, motor.circuit, notes),
    )


def _limit_a(driver: Device, which: str, notes: Notes) -> float:
    """Return what a limit holds [A], infinite where none is set; of a hold and a peak the hold is played."""
    fact = driver.limits.supply if which == "supply" else driver.limits.motor
    name = driver.called
    if driver.limits.enabled.value is False:
        notes.assume("their current limits are switched off, so none is played", name)
        return inf
    if not fact.said:
        notes.assume(f"no {which}-side limit is known, so none is played", name)
        return inf
    limit = max(fact.values, key=lambda value: value.hold_a)
    if len(fact.said) > 1:
        notes.assume(f"of the {which}-side limits that are said the largest is played", name)
    if limit.hold_a <= 0:
        notes.ask(
            "limit-of-nothing",
            fact.mark or driver.mark,
            f"{driver.path}.limit",
            f"The {which}-side limit of {name} is 0 A, with which it could not move. The study plays it without.",
            f"Write what the code sets, such as `limit: {{{which}: 40 A}}`.",
        )
        return inf
    if limit.peak_a is not None:
        peak = show(limit.peak_a, Dimension.CURRENT)
        notes.assume(f"the {which}-side peak of {peak} is not played, its hold is", name)
    return limit.hold_a


def _ask_feed(device: Device, notes: Notes) -> None:
    notes.ask(
        "motor-without-feed",
        device.mark,
        device.path,
        f"What drives {device.called} is not known, so the study leaves it out.",
        "Name its controller, such as `controller: controller/inline-40a`.",
    )


def _ask_values(device: Device, name: str, notes: Notes) -> None:
    notes.ask(
        "motor-values-unknown",
        device.mark,
        device.path,
        f"{device.part.id} does not say its {name}, so the study leaves {device.called} out.",
        "Name the motor's class, such as `motor: motor/brushless-500w`, or give your own part the values "
        f"{', '.join(_NEEDED)}.",
    )


def _ask_sheet(device: Device, constant: float, torque_constant: float, notes: Notes) -> None:
    notes.ask(
        "motor-values-disagree",
        device.part.mark or device.mark,
        device.path,
        f"The values of {device.part.id} do not belong together: {constant:.3g} V s/rad by its speed, "
        f"{torque_constant:.3g} N m/A by its torque. The study takes the first.",
        "Read the four values again; all of them hold at one voltage.",
    )
