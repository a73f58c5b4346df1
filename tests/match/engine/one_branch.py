"""One branch asked by itself: the kernel's currents at a bus voltage and a state that is given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.bus import currents
from loomwright.match.engine.layout import LANES
from loomwright.match.engine.motion import torque


@dataclass(frozen=True)
class State:
    """A motor branch: duty, what turning gives back [V], ohms of winding and line, limits [A]."""

    u: float
    back_v: float
    ohm: float
    line_ohm: float
    supply_a: float = 1e6
    most_a: float = 1e6
    least_a: float = -1e6


def plainly(compiled: object) -> Callable[..., Any]:
    """Return the Python that a compiled function was made of; it need not be compiled for a single call."""
    made: Callable[..., Any] = vars(compiled)["py_func"]
    return made


def motor_currents(state: State, volt: float) -> tuple[float, float, float]:
    """Return what the kernel has the controller take, its slope, and the current in the motor [A, A/V, A]."""
    motors = np.zeros((1, at.M_COLUMNS))
    motors[0, at.M_MOTOR], motors[0, at.M_LEAST], motors[0, at.M_SUPPLY] = state.most_a, state.least_a, state.supply_a
    s, x, t = np.zeros((1, r.BRANCH_ROWS * LANES)), np.zeros(r.MECH_ROWS * LANES), np.zeros(r.MATCH_ROWS * LANES)
    s[0, r.UA], s[0, r.E], s[0, r.A], s[0, r.RL] = state.u, state.back_v, state.ohm, state.line_ohm
    s[0, r.INV] = 1 / (state.ohm + state.u**2 * state.line_ohm)
    t[r.V] = volt
    plainly(currents)(s, t, motors, np.zeros((0, at.L_COLUMNS)), 1)
    plainly(torque)(s[0], x, t, 1.0, state.most_a, state.least_a, state.supply_a, 1)
    return float(s[0, r.I]), float(s[0, r.G]), float(x[r.TORQUE])


def load_current(volt: float, power_w: float, works_v: float, line_ohm: float) -> tuple[float, float]:
    """Return what the kernel has a load of constant power take, and its slope [A, A/V]."""
    loads = np.zeros((1, at.L_COLUMNS))
    loads[0, at.L_POWER], loads[0, at.L_WORKS] = power_w, works_v
    s, t = np.zeros((1, r.BRANCH_ROWS * LANES)), np.zeros(r.MATCH_ROWS * LANES)
    s[0, r.ON], s[0, r.RL], t[r.V] = 1.0, line_ohm, volt
    plainly(currents)(s, t, np.zeros((0, at.M_COLUMNS)), loads, 1)
    return float(s[0, r.I]), float(s[0, r.G])
