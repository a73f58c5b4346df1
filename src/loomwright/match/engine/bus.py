"""The bus: every branch's current at a voltage, and the voltage at which battery and branches agree."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import HIGHEST_V, compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


#: Wheels that slip hold on with this share of their grip (common practice).
KINETIC: Final = 0.9
#: A voltage is taken once Newton's step is this small [V]; currents follow along their slopes. What is left is of
#: second order: mostly below 1e-6 V, and up to 1e-4 V in a step in which a motor meets a limit.
NEAR_V: Final = 0.02
#: Where a line can't carry a power, its discriminant is held at this [V2].
LEAST_VV: Final = 1e-3
MOST_ITERATIONS: Final = 60
BISECT_FROM: Final = 6
#: With power loads the sum's slope can vanish; steps are not longer than with this one.
LEAST_SLOPE: Final = 0.05
PUMP_LEAST_V: Final = 4.0


@compiled
def set_up(s: Floats, x: Floats, motors: Floats, mechs: Floats, h: float, lanes: int) -> None:
    """Ramp the duties, and set up each motor branch for this step, with the duty that its middle has."""
    for m in range(len(mechs)):
        mech = x[m]
        ramp = mechs[m, at.Q_RAMP]
        for lane in range(lanes):
            d = mech[r.ASKED + lane] - mech[r.DUTY + lane]
            d = ramp if d > ramp else d
            d = -ramp if d < -ramp else d
            mech[r.SIZE + lane] = mech[r.DUTY + lane] + 0.5 * d
            mech[r.DUTY + lane] += d
        inertia, moved, viscous = mechs[m, at.Q_INERTIA], mechs[m, at.Q_MOVED], mechs[m, at.Q_VISCOUS]
        drag, n = KINETIC * mechs[m, at.Q_GRIP], mechs[m, at.Q_MOTORS]
        drag = drag if moved > 0.0 else 0.0
        grips, slips = 0.5 * h / (inertia + moved + 0.5 * h * viscous), 0.5 * h / (inertia + 0.5 * h * viscous)
        for lane in range(lanes):
            slip, w = mech[r.SLIP + lane], mech[r.W + lane]
            tl = mech[r.PULL + lane] + viscous * w + slip * drag
            hj = grips if slip == 0.0 else slips
            mech[r.LOAD_NM + lane] = tl
            mech[r.STEP_J + lane] = 2.0 * hj
            u = mech[r.SIZE + lane]
            # Without a duty, forward is the way it turns: or a motor that coasts would brake one way.
            sign = 1.0 if (u > 0.0) | ((u == 0.0) & (w >= 0.0)) else -1.0
            mech[r.SIGN + lane] = sign
            mech[r.SIZE + lane] = u * sign
            mech[r.W_MID + lane] = sign * (w - hj * tl)
            mech[r.HALF_H_J + lane] = hj * n
            mech[r.TORQUE + lane] = 0.0
    for b in range(len(motors)):
        branch, mech = s[b], x[int(motors[b, at.M_MECH])]
        k, ohm = motors[b, at.M_K], motors[b, at.M_OHM]
        kk = k * k
        for lane in range(lanes):
            on = branch[r.ON + lane]
            ua = mech[r.SIZE + lane] * on
            a = ohm + kk * mech[r.HALF_H_J + lane]
            branch[r.UA + lane] = ua
            branch[r.E + lane] = k * mech[r.W_MID + lane] * on
            branch[r.A + lane] = a
            branch[r.INV + lane] = 1.0 / (a + ua * ua * branch[r.RL + lane])


@compiled
def currents(s: Floats, t: Floats, motors: Floats, loads: Floats, lanes: int) -> None:
    """Work out every branch's current and slope at the bus voltages, and their sums."""
    for lane in range(lanes):
        t[r.SUM + lane] = 0.0
        t[r.SLOPE + lane] = 0.0
    n_motors = len(motors)
    for b in range(n_motors):
        branch = s[b]
        up, down, most = motors[b, at.M_MOTOR], motors[b, at.M_LEAST], motors[b, at.M_SUPPLY]
        for lane in range(lanes):
            v, ua, inv = t[r.V + lane], branch[r.UA + lane], branch[r.INV + lane]
            im = (ua * v - branch[r.E + lane]) * inv
            held = up if im > up else im
            held = down if held < down else held
            i = ua * held
            supply = i > most
            branch[r.HELD + lane] = 0.0 if held == im else held
            branch[r.I + lane] = most if supply else i
            branch[r.G + lane] = 0.0 if supply | (held != im) else ua * ua * inv
        # Only a motor-side limit that lets a current flow asks for roots; in most steps no lane meets one.
        limited = 0
        for lane in range(lanes):
            limited += 1 if branch[r.HELD + lane] != 0.0 else 0
        if limited > 0:
            for lane in range(lanes):
                v, held, rl = t[r.V + lane], branch[r.HELD + lane], branch[r.RL + lane]
                p = held * (branch[r.A + lane] * held + branch[r.E + lane])
                q = v * v - 4.0 * rl * p
                q = q if q > LEAST_VV else LEAST_VV
                d = math.sqrt(q)
                per = 1.0 / ((v + d) * d)
                ip = 2.0 * p * d * per
                gp = -ip * (v + d) * per
                supply = ip > most
                ip = most if supply else ip
                branch[r.I + lane] = branch[r.I + lane] if held == 0.0 else ip
                gp = 0.0 if supply else gp
                branch[r.G + lane] = branch[r.G + lane] if held == 0.0 else gp
        for lane in range(lanes):
            t[r.SUM + lane] += branch[r.I + lane]
            t[r.SLOPE + lane] += branch[r.G + lane]
    for b in range(len(loads)):
        branch = s[n_motors + b]
        if loads[b, at.L_PUMP] > 0.0:
            for lane in range(lanes):
                v, i = t[r.V + lane], branch[r.PUMP_A + lane]
                low = v < PUMP_LEAST_V
                branch[r.I + lane] = i * v / PUMP_LEAST_V if low else i
                branch[r.G + lane] = i / PUMP_LEAST_V if low else 0.0
        else:
            works, power = loads[b, at.L_WORKS], loads[b, at.L_POWER]
            as_ohm = works * works / power if power > 0.0 else 1e12
            low = 0
            for lane in range(lanes):
                v, line = t[r.V + lane], branch[r.RL + lane]
                p = power * branch[r.ON + lane]
                q = v * v - 4.0 * line * p
                q = q if q > LEAST_VV else LEAST_VV
                d = math.sqrt(q)
                g = -2.0 * p / ((v + d) * d)
                i = -g * d
                branch[r.I + lane] = i
                branch[r.G + lane] = g
                low += 1 if v - line * i < works else 0
            if low > 0:
                for lane in range(lanes):
                    v, line, i = t[r.V + lane], branch[r.RL + lane], branch[r.I + lane]
                    g = branch[r.ON + lane] / (line + as_ohm)
                    enough = v - line * i >= works
                    branch[r.I + lane] = i if enough else v * g
                    branch[r.G + lane] = branch[r.G + lane] if enough else g
        for lane in range(lanes):
            t[r.SUM + lane] += branch[r.I + lane]
            t[r.SLOPE + lane] += branch[r.G + lane]


@compiled
def solve(s: Floats, t: Floats, motors: Floats, loads: Floats, lanes: int) -> int:
    """Find the bus voltages: Newton's steps between brackets, from where the last two steps point to.

    Constant powers can have two voltages; a guess below the upper one's reach begins again from the battery's own.
    A match that is near enough stays where it is while others go on, so that none depends on what is played beside it.
    """
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
        early = turn < BISECT_FROM
        currents(s, t, motors, loads, lanes)
        for lane in range(lanes):
            v, rs = t[r.V + lane], t[r.RS + lane]
            f = v - t[r.EMF + lane] + rs * t[r.SUM + lane]
            slope = 1.0 + rs * t[r.SLOPE + lane]
            below = (f > 0.0) & (slope < 0.0) & early
            lo = t[r.LOW_V + lane] if f > 0.0 else v
            hi = t[r.HIGH_V + lane] if (f <= 0.0) | below else v
            step = f / (slope if slope > LEAST_SLOPE else LEAST_SLOPE)
            near = (abs(step) < NEAR_V) & (not below)
            new = v - step
            inside = (new > lo) & (new < hi) & early
            new = new if inside | near else 0.5 * (lo + hi)
            new = t[r.EMF + lane] if below else new
            t[r.LOW_V + lane] = t[r.LOW_V + lane] if near else lo
            t[r.HIGH_V + lane] = t[r.HIGH_V + lane] if near else hi
            t[r.STEP_V + lane] = -step if near else 0.0
            t[r.V + lane] = v if near else new
            t[r.FAR + lane] = 0.0 if near else 1.0
        far = 0
        for lane in range(lanes):
            far += 1 if t[r.FAR + lane] > 0.0 else 0
        if far == 0:
            break
    for lane in range(lanes):
        t[r.V + lane] += t[r.STEP_V + lane]
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
