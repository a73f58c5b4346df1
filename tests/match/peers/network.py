"""A network without events, for the kernel and two independent solvers: 14 motors on 8 mechanisms, a radio, a pump.

Duties are sines from rest, so that supply-side limits (of the drive), motor-side limits (of drive and roller, in both
directions), reversals and braking are met, all of them smoothly. There is viscous friction and steady
gravity, but no Coulomb friction, no slip, no stop, no brown-out and no breaker: the answer is as smooth as solvers
need. Copper stays as warm as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.match.driver import Driver, Phase
from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.arrays import Front
from loomwright.match.engine.bus import fold, solve
from loomwright.match.engine.discharge import discharge, open_volts
from loomwright.match.engine.hot import kept
from loomwright.match.engine.kernel import begin
from loomwright.match.engine.motion import act, set_up
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.pack import packed
from loomwright.match.machine import (
    Battery,
    Control,
    Gravity,
    LoadBranch,
    LoadKind,
    Machine,
    Mechanism,
    MotorBranch,
    Thresholds,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.match.engine.arrays import LotArrays, MachineArrays
    from loomwright.match.engine.hot import Floats

#: How long it takes [s].
LASTS_S: Final = 4.0
_AIR_C: Final = 20.0


@dataclass(frozen=True, slots=True)
class Turning:
    """A mechanism of the network: its duty is `share` sin(2 pi t / `period_s`)."""

    name: str
    motors: int
    inertia: float
    viscous: float
    gravity_nm: float
    share: float
    period_s: float
    supply_a: float
    motor_a: float


#: Inertias make time constants of 40 ms to 0.4 s.
TURNING: Final = (
    Turning("left", 3, 4.0e-3, 1e-4, 0.0, 1.0, 2.6, 40.0, 80.0),
    Turning("right", 3, 4.0e-3, 1e-4, 0.0, 0.95, 2.2, 40.0, 80.0),
    Turning("lift", 2, 3.0e-4, 1e-4, 0.25, 0.9, 3.4, inf, inf),
    Turning("arm", 2, 4.0e-4, 2e-4, 0.15, 0.7, 3.0, inf, inf),
    Turning("roller", 1, 5.0e-4, 3e-4, 0.0, 1.0, 1.9, inf, 36.0),
    Turning("feeder", 1, 8.0e-5, 2e-4, 0.0, 0.8, 1.4, inf, inf),
    Turning("flywheel", 1, 9.0e-4, 1e-4, 0.0, 0.9, 7.0, 60.0, inf),
    Turning("climber", 1, 2.0e-4, 2e-4, 0.1, 0.6, 4.4, inf, inf),
)
OHM: Final = 12.0 / 170.0
CONSTANT: Final = 12.0 / 630.0
#: Copper and contacts of each motor's branch, one after the other, in their order [ohm].
LINES: Final = tuple(0.010 + 0.0007 * n for n in range(14))
RADIO_W: Final = 22.0
RADIO_OHM: Final = 0.05
PUMP_A: Final = 9.0
MAIN_OHM: Final = 0.003
BATTERY: Final = Battery(
    label="a made-up one",
    capacity_ah=17.0,
    rest=((0.0, 11.6), (0.5, 12.3), (1.0, 12.9)),
    ohm=0.009,
    pairs=((0.003, 0.4), (0.005, 30.0)),
    activation_v=0.06,
    activation_a=3.0,
    activation_lag_s=0.1,
)
FULL: Final = 0.95


def owners() -> list[Turning]:
    """Return the mechanism of each motor."""
    return [one for one in TURNING for _ in range(one.motors)]


def network_machine() -> Machine:
    """Return the network as a match is played with it."""
    motors, of = [], owners()
    for n, one in enumerate(of):
        name = f"{one.name} {n}"
        motors.append(
            MotorBranch(name, name, TURNING.index(one), OHM, CONSTANT, LINES[n], 0, one.supply_a, one.motor_a)
        )
    mechanisms = tuple(
        Mechanism(
            one.name,
            "other",
            Control.DUTY,
            one.motors,
            one.inertia,
            viscous=one.viscous,
            gravity=Gravity.STEADY if one.gravity_nm else Gravity.NONE,
            gravity_nm=one.gravity_nm,
            way=inf,
            ramp_s=0.0,
        )
        for one in TURNING
    )
    loads = (
        LoadBranch("radio", "radio", LoadKind.POWER, RADIO_OHM, 0, power_w=RADIO_W),
        LoadBranch("pump", "pump", LoadKind.PUMP, 0.02, 0, current_a=PUMP_A, start_a=PUMP_A),
    )
    low = Thresholds("none", 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    return Machine("network", BATTERY, MAIN_OHM, 0, tuple(motors), loads, mechanisms, low, ambient_c=_AIR_C)


@dataclass(frozen=True, slots=True)
class Course:
    """What a solver found at `time_s`: bus voltage [V] and speeds (mechanisms, times) [rad/s]."""

    time_s: NDArray[np.float64]
    bus_v: NDArray[np.float64]
    speed: NDArray[np.float64]


def middles(step_s: float) -> NDArray[np.float64]:
    """Return the middle of each step [s]."""
    return np.asarray((np.arange(round(LASTS_S / step_s)) + 0.5) * step_s, dtype=np.float64)


def by_kernel(step_s: float) -> Course:
    """Solve it by the kernel's own functions, step by step; voltages are those of the middle of each step."""
    arrays = packed(network_machine(), (Driver("nobody", "", 1.0, (Phase("all", 0.0, LASTS_S),), ()),), step_s)
    drawn = np.zeros((1, at.D_COLUMNS))
    drawn[0, at.D_OHM] = drawn[0, at.D_AH] = 1.0
    drawn[0, at.D_CHARGE], drawn[0, at.D_WARMTH] = FULL, _AIR_C
    lot = Outcomes.empty(drawn, np.zeros((1, len(arrays.machine.heat))), 0, 0).arrays
    steps = round(LASTS_S / step_s)
    ends = middles(step_s) + 0.5 * step_s
    duties = np.array([one.share * np.sin(2.0 * pi / one.period_s * ends) for one in TURNING])
    bus, speed = np.zeros(steps), np.zeros((len(TURNING), steps))
    _loop(arrays.machine, lot, duties, step_s, bus, speed, PUMP_A + RADIO_W / 12.5, at.LANES)
    return Course(middles(step_s), bus, speed)


@kept
def _loop(
    machine: MachineArrays,
    lot: LotArrays,
    duties: Floats,
    h: float,
    bus: Floats,
    speed: Floats,
    standing_a: float,
    lanes: int,
) -> None:
    loads, mechs, whole, rest = machine.loads, machine.mechs, machine.whole, machine.rest
    n_all = len(machine.motors) + len(loads)
    s = np.zeros((n_all + 1, r.BRANCH_ROWS * lanes))
    x = np.zeros((len(mechs), r.MECH_ROWS * lanes))
    t = np.zeros(r.MATCH_ROWS * lanes)
    front = Front(s, x, t, np.zeros((n_all + 1, 10, lanes)), np.zeros(lanes, dtype=np.int64), None)
    begin(front, machine, lot, lanes)
    open_volts(t, rest, lanes)
    for lane in range(lanes):
        t[r.V + lane] = t[r.VP + lane] = t[r.OCV + lane]
        s[n_all - 1, r.PUMP_A + lane] = loads[len(loads) - 1, at.L_RUN]
        t[r.TOTAL + lane] = t[r.BEFORE + lane] = standing_a
    tau1, tau2, lag = whole[at.B_TAU1], whole[at.B_TAU2], whole[at.B_LAG]
    for k in range(len(bus)):
        for m in range(len(mechs)):
            for lane in range(lanes):
                x[m, r.ASKED + lane] = duties[m, k]
        open_volts(t, rest, lanes)
        set_up(x, mechs, lanes)
        fold(t, whole, tau1, tau2, lag, h, lanes)
        solve(front, machine, lanes)
        act(front, machine, h, lanes)
        discharge(t, whole, tau1, tau2, lag, h, (k + 0.5) * h, lanes)
        bus[k] = t[r.V]
        for m in range(len(mechs)):
            speed[m, k] = x[m, r.W]
