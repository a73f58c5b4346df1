"""The bus: the voltage at which battery and branches agree."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.branches import feed
from loomwright.match.engine.hot import HIGHEST_V, compiled
from loomwright.match.engine.motors import again, meet

if TYPE_CHECKING:
    from loomwright.match.engine.arrays import Front, MachineArrays
    from loomwright.match.engine.hot import Floats


#: A voltage is taken once the battery would have no more than this above or below it [V]. Currents stay those of the
#: voltage that was tried, and the bus has what the battery then has. Where no limit begins to speak in a step, one of
#: Newton's steps leaves less than 1e-6 V.
NEAR_V: Final = 1e-4
MOST_ITERATIONS: Final = 60
BISECT_FROM: Final = 6
#: With power loads the sum's slope can vanish; steps are not longer than with this one.
LEAST_SLOPE: Final = 0.05


@compiled
def solve(front: Front, machine: MachineArrays, lanes: int) -> int:
    """Find the bus voltages: Newton's steps between brackets, from where the last two steps point to.

    The guess is never taken: most steps need one of Newton's, and all are tried at the voltage that it leads to.
    Constant powers can have two voltages; a guess below the upper one's reach begins again from the battery's own.
    A match that is near enough stays where it is while others go on, so that none depends on what is played beside it.
    """
    t = front.t
    for lane in range(lanes):
        v = t[r.V + lane]
        guess = 2.0 * v - t[r.VP + lane]
        t[r.VP + lane] = v
        t[r.V + lane] = guess if (guess > 0.0) & (guess < HIGHEST_V) else v
        t[r.LOW_V + lane] = 0.0
        t[r.HIGH_V + lane] = HIGHEST_V
    rounds = 0
    for turn in range(MOST_ITERATIONS):
        rounds += 1
        early, tried = turn < BISECT_FROM, turn > 0
        for lane in range(lanes):
            t[r.SUM + lane] = 0.0
            t[r.SLOPE + lane] = 0.0
        if tried:
            again(front.abreast, front, machine.motors, lanes)
        else:
            meet(front.abreast, front, machine.motors, lanes)
        feed(front.s, t, machine.loads, len(machine.motors), lanes)
        for lane in range(lanes):
            v, rs = t[r.V + lane], t[r.RS + lane]
            f = v - t[r.EMF + lane] + rs * t[r.SUM + lane]
            slope = 1.0 + rs * t[r.SLOPE + lane]
            below = (f > 0.0) & (slope < 0.0) & early
            lo = t[r.LOW_V + lane] if f > 0.0 else v
            hi = t[r.HIGH_V + lane] if (f <= 0.0) | below else v
            step = f / (slope if slope > LEAST_SLOPE else LEAST_SLOPE)
            near = tried & (abs(f) < NEAR_V) & (not below)
            new = v - step
            inside = (new >= lo) & (new <= hi) & early
            new = new if inside else 0.5 * (lo + hi)
            new = t[r.EMF + lane] if below else new
            t[r.LOW_V + lane] = t[r.LOW_V + lane] if near else lo
            t[r.HIGH_V + lane] = t[r.HIGH_V + lane] if near else hi
            t[r.REST_V + lane] = f if near else 0.0
            t[r.V + lane] = v if near else new
            t[r.FAR + lane] = 0.0 if near else 1.0
        far = False
        for lane in range(lanes):
            far = far | (t[r.FAR + lane] > 0.0)
        if not far:
            break
    for lane in range(lanes):
        t[r.V + lane] -= t[r.REST_V + lane]
    return rounds


@compiled
def fold(t: Floats, whole: Floats, tau1: float, tau2: float, lag: float, h: float, lanes: int) -> None:
    """Fold what the battery's states do in this step into one voltage and one resistance.

    The activation follows asinh of the current that the last two steps point to. It is worked out by square roots and
    a short series, since only those are done side by side; it is right to 1e-12.
    """
    a1, a2, ax = 0.5 * h / tau1, 0.5 * h / tau2, 0.5 * h / lag
    ohm = whole[at.B_OHM] + whole[at.B_R1] * a1 / (1.0 + a1) + whole[at.B_R2] * a2 / (1.0 + a2)
    less1, less2, lessx = 1.0 / (1.0 + a1), 1.0 / (1.0 + a2), 1.0 / (1.0 + ax)
    act_v, per_a = whole[at.B_ACT_V], 1.0 / whole[at.B_ACT_A]
    for lane in range(lanes):
        y = (2.0 * t[r.TOTAL + lane] - t[r.BEFORE + lane]) * per_a
        size = y if y > 0.0 else -y
        root = math.sqrt(math.sqrt(math.sqrt(size + math.sqrt(size * size + 1.0))))
        z = (root - 1.0) / (root + 1.0)
        zz = z * z
        series = 1.0 + zz * (
            1 / 3 + zz * (1 / 5 + zz * (1 / 7 + zz * (1 / 9 + zz * (1 / 11 + zz * (1 / 13 + zz / 15)))))
        )
        target = t[r.R0 + lane] * act_v * 16.0 * z * series
        target = target if y > 0.0 else -target
        act = (t[r.ACT + lane] + ax * target) * lessx
        t[r.TARGET + lane] = target
        t[r.EMF + lane] = t[r.OCV + lane] - t[r.V1 + lane] * less1 - t[r.V2 + lane] * less2 - act
        t[r.RS + lane] = t[r.R0 + lane] * ohm + t[r.MAIN + lane]
