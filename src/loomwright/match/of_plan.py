"""From a plan to what a match is played with: every number from a part, the file, the plan, or a table that says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.match.machine import Machine
from loomwright.match.of_air import air_store
from loomwright.match.of_battery import BatteryState, battery_of, battery_states
from loomwright.match.of_breakers import trip_of
from loomwright.match.of_copper import main_breaker_ohm, main_path
from loomwright.match.of_doubts import air_of, doubts_of
from loomwright.match.of_groups import groups_of
from loomwright.match.of_loads import compressors_of, loads_of
from loomwright.match.of_mechanisms import mechanism_of
from loomwright.match.of_motors import motor_branch, motor_of
from loomwright.match.of_notes import Notes
from loomwright.match.of_thresholds import thresholds_of
from loomwright.match.of_wire_heat import wire_heat
from loomwright.wiring.battery_path import MAIN

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.findings import Finding
    from loomwright.match.machine import Doubt, Mechanism, MotorBranch
    from loomwright.model.part import Part
    from loomwright.plan.result import Plan

    FindPart = Callable[[str], Part | None] | None


@dataclass(frozen=True, slots=True)
class MachineOf:
    """A machine with what is in doubt, what has to be asked and what it rests on; None where nothing can be played."""

    machine: Machine | None
    doubts: tuple[Doubt, ...]
    findings: tuple[Finding, ...]
    rests_on: tuple[str, ...]


def machine_of(plan: Plan, *, battery_state: str | BatteryState = "fresh", find_part: FindPart = None) -> MachineOf:
    """Return the machine of a plan with its battery in one of `battery_states()`, or in one that was measured.

    `find_part` looks up breakers and fuses by their id, as for a plan; without it those in slots close by themselves.
    A mechanism that says too little is left out and asked for; the others go on.

    Raises
    ------
    KeyError
        For a state of the battery that there is not.
    """
    state = battery_states()[battery_state] if isinstance(battery_state, str) else battery_state
    notes = Notes()
    battery = plan.robot.device("battery")
    mechanisms, motors = _moving(plan, find_part, notes)
    if battery is None or battery.absent or not motors:
        if not motors:
            _ask_motion(notes)
        if battery is None or battery.absent:
            notes.ask(
                "no-battery",
                None,
                "battery",
                "The file names no battery, so no match can be played.",
                "Write `battery: {part: battery/agm-12v-18ah, leads: 6 AWG}`.",
            )
        return MachineOf(None, (), notes.findings, notes.rests_on)
    main, path = plan.circuit(MAIN), main_path(plan, notes)
    breaker = plan.robot.device("main breaker")
    air_c = air_of(plan.robot, state)
    machine = Machine(
        name=plan.robot.name,
        battery=battery_of(battery, state, notes),
        main_ohm=path.ohm,
        main_joints=path.joints,
        motors=motors,
        loads=loads_of(plan, find_part, notes),
        mechanisms=mechanisms,
        thresholds=thresholds_of(plan.robot, notes),
        main_trip=trip_of(main, breaker.part if breaker else None, notes) if main else None,
        main_wire=wire_heat(plan, main, notes) if main else None,
        air=air_store(plan.robot, compressors_of(plan), notes),
        ambient_c=sum(air_c) / 2,
        main_fixed_ohm=main_breaker_ohm(plan),
    )
    return MachineOf(machine, doubts_of(state, air_c), notes.findings, notes.rests_on)


def _moving(plan: Plan, find_part: FindPart, notes: Notes) -> tuple[tuple[Mechanism, ...], tuple[MotorBranch, ...]]:
    mechanisms: list[Mechanism] = []
    branches: list[MotorBranch] = []
    for group in groups_of(plan.robot, notes):
        motors = [motor for device in group.motors if (motor := motor_of(plan, device, notes)) is not None]
        mechanism = mechanism_of(group, motors, notes)
        if mechanism is not None:
            branches += [motor_branch(plan, motor, len(mechanisms), find_part, notes) for motor in motors]
            mechanisms.append(mechanism)
    return tuple(mechanisms), tuple(branches)


def _ask_motion(notes: Notes) -> None:
    notes.ask(
        "nothing-moves",
        None,
        "mechanisms",
        "No mechanism of the file says enough to be played.",
        "Write what at least one of them does: `does: {kind: drive side, mass: 54 kg, wheel: 15 cm, gearing: 8.5}`.",
    )
