"""One branch asked by itself: the kernel's currents at a bus voltage and a state that is given."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from loomwright.match.engine import branches
from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import Floats
from loomwright.match.engine.layout import LANES
from tests.match.engine.uncompiled import uncompiled


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


@dataclass(frozen=True, slots=True)
class Taken:
    """What the kernel adds up for a branch and how that goes with voltage, at a guess or a try [A, A/V]."""

    current: float
    slope: float


def motor_currents(state: State, volt: float) -> tuple[float, float, float]:
    """Return what the kernel has the controller take, its slope, and the current in the motor [A, A/V, A]."""
    _, (s, t) = _guessed(state, volt)
    assert t[r.SUM] == pytest.approx(s[0, r.I], rel=1e-9, abs=1e-9)
    return float(s[0, r.I]), float(t[r.SLOPE]), float(s[0, r.MOTOR])


def guessed_and_tried(state: State, volt: float) -> tuple[Taken, Taken]:
    """Return what the kernel adds up for a motor at a guess, which sets the branch up, and at a try."""
    guessed, (_, t) = _guessed(state, volt)
    return guessed, Taken(float(t[r.SUM]), float(t[r.SLOPE]))


def load_current(volt: float, power_w: float, works_v: float, line_ohm: float) -> tuple[float, float]:
    """Return what the kernel has a load of constant power take, and its slope [A, A/V]."""
    loads = np.zeros((1, at.L_COLUMNS))
    loads[0, at.L_POWER], loads[0, at.L_WORKS], loads[0, at.L_AS_OHM] = power_w, works_v, works_v**2 / power_w
    s, t = np.zeros((1, r.BRANCH_ROWS * LANES)), np.zeros(r.MATCH_ROWS * LANES)
    s[0, r.ON], s[0, r.RL], t[r.V] = 1.0, line_ohm, volt
    with uncompiled():
        branches.feed(s, t, loads, 0, 1)
    return float(s[0, r.I]), float(s[0, r.G])


def _guessed(state: State, volt: float) -> tuple[Taken, tuple[Floats, Floats]]:
    """Work a motor out at a guess and at a try; return the sums of the guess, and rows of branch and match after."""
    motors = np.zeros((1, at.M_COLUMNS))
    motors[0, at.M_K], motors[0, at.M_OHM] = 1.0, state.ohm
    motors[0, at.M_MOTOR], motors[0, at.M_LEAST], motors[0, at.M_SUPPLY] = state.most_a, state.least_a, state.supply_a
    s, x, t = np.zeros((1, r.BRANCH_ROWS * LANES)), np.zeros((1, r.MECH_ROWS * LANES)), np.zeros(r.MATCH_ROWS * LANES)
    s[0, r.ON], s[0, r.RL], x[0, r.SIZE], x[0, r.W_MID] = 1.0, state.line_ohm, state.u, state.back_v
    t[r.V] = volt
    with uncompiled():
        branches.meet(s, x, t, motors, 1)
        guessed = Taken(float(t[r.SUM]), float(t[r.SLOPE]))
        t[r.SUM] = t[r.SLOPE] = 0.0
        branches.again(s, t, motors, 1)
    return guessed, (s, t)
