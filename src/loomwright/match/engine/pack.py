"""A machine and its drivers as the kernel's arrays."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine.arrays import DriverArrays, MachineArrays
from loomwright.match.engine.hot import NO_END, SLOW_S
from loomwright.match.engine.motion import KINETIC
from loomwright.match.machine import Control, Gravity, LoadKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.match.driver import Driver, Step, Wish
    from loomwright.match.engine.hot import Floats
    from loomwright.match.machine import LoadBranch, Machine, Mechanism, MotorBranch, Trip, WireHeat

#: A place is asked for with full voltage until it is this share of the way off, or what is run while it slows.
_SLOWS_AT: Final = 0.15
#: A speed is corrected with full voltage when it is this share of full speed off.
_SPEED_OFF: Final = 0.25
_NOMINAL_V: Final = 12.0
#: What stands for a limit that is not set [A].
_NO_LIMIT_A: Final = 1e6
_NO_LOAD_OHM: Final = 1e12


@dataclass(frozen=True)
class Packed:
    """What `kernel.play` is told of a machine and its drivers."""

    machine: MachineArrays
    drivers: DriverArrays
    step_s: float
    lasts_s: float
    step_names: tuple[str, ...]


def packed(machine: Machine, drivers: Sequence[Driver], step_s: float) -> Packed:
    """Return the arrays of a machine with its drivers at a fast step [s]."""
    told = _Drivers(machine.mechanisms)
    for driver in drivers:
        told.add(driver)
    return Packed(
        machine=MachineArrays(
            motors=np.array([_motor(machine, motor) for motor in machine.motors], dtype=float),
            loads=np.array([_load(load) for load in machine.loads], dtype=float).reshape(-1, at.L_COLUMNS),
            mechs=np.array([_mechanism(machine, i, step_s) for i in range(len(machine.mechanisms))], dtype=float),
            heat=_heat(machine),
            whole=_whole(machine),
            rest=np.array(machine.battery.rest, dtype=float),
        ),
        drivers=told.arrays(),
        step_s=step_s,
        lasts_s=max(driver.lasts_s for driver in drivers),
        step_names=tuple(told.names),
    )


def _motor(machine: Machine, motor: MotorBranch) -> list[float]:
    most = min(motor.motor_limit_a, _NO_LIMIT_A)
    least = -most if machine.mechanisms[motor.mechanism].brakes else 0.0
    supply = min(motor.supply_limit_a, _NO_LIMIT_A)
    return [motor.mechanism, motor.constant, motor.winding_ohm, motor.line_ohm, supply, most, least]


def _load(load: LoadBranch) -> list[float]:
    pump = load.kind is LoadKind.PUMP
    start = max(load.start_a, load.current_a)
    works_v, power_w = load.works_from_v, load.power_w
    as_ohm = works_v**2 / power_w if power_w > 0.0 else _NO_LOAD_OHM
    return [float(pump), power_w, works_v, as_ohm, load.line_ohm, load.current_a, start]


def _mechanism(machine: Machine, i: int, step_s: float) -> list[float]:
    one = machine.mechanisms[i]
    motor = next(motor for motor in machine.motors if motor.mechanism == i)
    gain, hold = 0.0, 0.0
    free, own_s = _NOMINAL_V / motor.constant, motor.winding_ohm * one.inertia / (one.motors * motor.constant**2)
    if one.control is Control.PLACE:
        # Half the ramp, the motors' own time and one command: with less, a short way would be swung about for ever.
        gain = 1.0 / max(_SLOWS_AT * one.way, free * (0.5 * one.ramp_s + own_s + SLOW_S))
        hold = motor.winding_ohm / (one.motors * motor.constant * _NOMINAL_V)
    elif one.control is Control.SPEED:
        # What a light one gains between two commands: with less, it would swing about its speed.
        gain = 1.0 / max(_SPEED_OFF * one.full_speed, free * SLOW_S / own_s)
        hold = motor.constant / _NOMINAL_V
    row = np.zeros(at.Q_COLUMNS)
    row[at.Q_CONTROL], row[at.Q_MOTORS] = float(one.control), one.motors
    row[at.Q_INERTIA], row[at.Q_MOVED], row[at.Q_GRIP] = one.inertia, one.moved, min(one.grip_nm, _NO_LIMIT_A)
    row[at.Q_FRICTION], row[at.Q_VISCOUS], row[at.Q_WORK] = one.friction_nm, one.viscous, one.work_nm
    row[at.Q_GRAVITY] = float(one.gravity)
    row[at.Q_PULL] = 0.0 if one.gravity is Gravity.NONE else one.gravity_nm
    row[at.Q_ANGLE], row[at.Q_TURN], row[at.Q_WAY] = one.start_angle, one.angle_per_rad, min(one.way, NO_END)
    row[at.Q_FULL], row[at.Q_METRES], row[at.Q_SHOT] = one.full_speed, one.metres_per_rad, one.shot_share
    row[at.Q_GAIN], row[at.Q_HOLD] = gain, hold
    row[at.Q_RAMP] = 2.0 if one.ramp_s <= 0.0 else step_s / one.ramp_s
    half_s = 0.5 * step_s
    row[at.Q_GRIPS] = half_s / (one.inertia + one.moved + half_s * one.viscous)
    row[at.Q_SLIPS] = half_s / (one.inertia + half_s * one.viscous)
    row[at.Q_PUSHED] = KINETIC * row[at.Q_GRIP] * step_s / one.moved if one.moved > 0.0 else 0.0
    row[at.Q_PER_ALL] = 1.0 / (one.inertia + one.moved)
    return list(row)


def _heat(machine: Machine) -> Floats:
    held = [(motor.trip, motor.wire) for motor in machine.motors] + [(load.trip, load.wire) for load in machine.loads]
    held.append((machine.main_trip, machine.main_wire))
    return np.array([_of_heat(trip, wire) for trip, wire in held], dtype=float)


def _of_heat(trip: Trip | None, wire: WireHeat | None) -> list[float]:
    per_hold = trip.hold_a**-2 if trip and trip.hold_a > 0.0 else 0.0
    per_joule = SLOW_S / wire.joule_per_k_m if wire and wire.joule_per_k_m > 0.0 else 0.0
    known = [per_hold, trip.tau_s, *trip.band, float(trip.resets)] if trip else [0.0, 1.0, 1.0, 1.0, 0.0]
    warm = [wire.ohm_per_m, wire.watt_per_k_m] if wire else [0.0, 0.0]
    return [*known, *warm, per_joule]


def _whole(machine: Machine) -> Floats:
    battery, low, air = machine.battery, machine.thresholds, machine.air
    (r1, tau1), (r2, tau2) = battery.pairs
    whole = np.zeros(at.B_PLACES)
    whole[at.B_AH], whole[at.B_OHM] = battery.capacity_ah, battery.ohm
    whole[at.B_R1], whole[at.B_TAU1], whole[at.B_R2], whole[at.B_TAU2] = r1, tau1, r2, tau2
    whole[at.B_ACT_V], whole[at.B_ACT_A] = battery.activation_v, battery.activation_a
    whole[at.B_LAG], whole[at.B_MAIN] = battery.activation_lag_s, machine.main_ohm
    whole[at.B_OFF], whole[at.B_ON], whole[at.B_HOLD] = low.off_v, low.on_v, low.hold_s
    whole[at.B_STOP], whole[at.B_START], whole[at.B_RECOVER] = low.stop_v, low.start_v, low.recovery_s
    whole[at.B_AIR_ON], whole[at.B_AIR_FILL], whole[at.B_AIR_STROKE] = 1.0, inf, 0.0
    if air is not None:
        whole[at.B_AIR_ON], whole[at.B_AIR_FILL] = air.on_share, air.fill_s
        whole[at.B_AIR_STROKE], whole[at.B_AIR_WAITS] = air.stroke_share, float(air.waits)
    return whole


class _Drivers:
    """The tables of drivers, one after the other."""

    def __init__(self, mechanisms: Sequence[Mechanism]) -> None:
        self.mechanisms = mechanisms
        self.sides = _sides(mechanisms)
        self.offsets: list[tuple[int, int]] = []
        self.phases: list[list[float]] = []
        self.choices: list[list[float]] = []
        self.steps: list[list[float]] = []
        self.wishes: list[Floats] = []
        self.names: list[str] = []

    def add(self, driver: Driver) -> None:
        spans: dict[str, tuple[int, int]] = {}
        for cycle in driver.cycles:
            first = len(self.steps)
            for place, step in enumerate(cycle.steps):
                self._step(step, place if step.key < 0 else step.key)
            spans[cycle.name] = (first, len(self.steps))
        start = len(self.phases)
        for phase in driver.phases:
            first, total, up_to = len(self.choices), sum(weight for _, weight in phase.cycles), 0.0
            for name, weight in phase.cycles:
                up_to += weight / total
                self.choices.append([up_to, *spans[name]])
            self.phases.append([phase.start_s, phase.end_s, first, len(self.choices)])
        self.offsets.append((start, len(self.phases)))

    def arrays(self) -> DriverArrays:
        return DriverArrays(
            offsets=np.array(self.offsets, dtype=float),
            phases=np.array(self.phases, dtype=float),
            choices=np.array(self.choices, dtype=float).reshape(-1, 3),
            steps=np.array(self.steps, dtype=float).reshape(-1, at.S_COLUMNS),
            wishes=np.array(self.wishes, dtype=float).reshape(-1, len(self.mechanisms), at.W_COLUMNS),
        )

    def _step(self, step: Step, key: int) -> None:
        self.names.append(step.name)
        self.steps.append([*step.lasts_s, step.shots, step.strokes, key])
        row = np.zeros((len(self.mechanisms), at.W_COLUMNS))
        for draw, wish in enumerate(step.wishes):
            for m, mechanism in enumerate(self.mechanisms):
                if wish.whom in (mechanism.name, mechanism.kind):
                    row[m] = self._wish(wish, draw, self.sides[m])
        self.wishes.append(row)

    @staticmethod
    def _wish(wish: Wish, draw: int, side: float) -> list[float]:
        turn = [side * wish.turn[0], side * wish.turn[1]]
        return [1.0, *wish.goal, *wish.load, *turn, draw]


def _sides(mechanisms: Sequence[Mechanism]) -> list[float]:
    """Return +1 for a drive's left side, -1 for its right one, by name or else by order; 0 for all else."""
    drives = [m for m, mechanism in enumerate(mechanisms) if mechanism.kind == "drive"]
    if len(drives) != 2:  # noqa: PLR2004  a drive in two sides has two
        return [0.0] * len(mechanisms)
    first = 1 if "right" in mechanisms[drives[0]].name or "left" in mechanisms[drives[1]].name else 0
    return [0.0 if m not in drives else 1.0 if m == drives[first] else -1.0 for m in range(len(mechanisms))]
