"""What each branch takes at a bus voltage: motors by their duty and limits, electronics, a pump."""

# ruff: noqa: FURB136  a choice by value is one wide instruction; min() and max() have rules for NaN and are not

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


#: Where a line can't carry a power, its discriminant is held at this [V2].
LEAST_VV: Final = 1e-3
PUMP_LEAST_V: Final = 4.0


@compiled
def meet(s: Floats, x: Floats, t: Floats, motors: Floats, lanes: int) -> None:
    """Set up each motor branch for this step, and add up what all take at the voltages that are guessed.

    The only division of every branch in every step is here: it waits for the divider while the rest goes on.
    """
    for b in range(len(motors)):
        branch, mech = s[b], x[int(motors[b, at.M_MECH])]
        k, ohm = motors[b, at.M_K], motors[b, at.M_OHM]
        up, down, most = motors[b, at.M_MOTOR], motors[b, at.M_LEAST], motors[b, at.M_SUPPLY]
        limited = False
        for lane in range(lanes):
            size, w_mid, half = mech[r.SIZE + lane], mech[r.W_MID + lane], mech[r.HALF_H_J + lane]
            ua, e, a, inv = begun(k, ohm, size, w_mid, half, branch[r.ON + lane], branch[r.RL + lane])
            branch[r.UA + lane] = ua
            branch[r.E + lane] = e
            branch[r.A + lane] = a
            branch[r.INV + lane] = inv
            free, held, i, g = taken(t[r.V + lane], ua, e, inv, up, down, most)
            t[r.SUM + lane] += i
            t[r.SLOPE + lane] += g
            limited = limited | speaks(free, held)
        if limited:
            limit(branch, t, up, down, most, lanes)


@compiled
def again(s: Floats, t: Floats, motors: Floats, lanes: int) -> None:
    """Work out what every motor branch takes and what is in its motor, and add up what all take."""
    for b in range(len(motors)):
        branch = s[b]
        up, down, most = motors[b, at.M_MOTOR], motors[b, at.M_LEAST], motors[b, at.M_SUPPLY]
        limited, full = False, False
        for lane in range(lanes):
            ua, e, inv = branch[r.UA + lane], branch[r.E + lane], branch[r.INV + lane]
            free, held, i, g = taken(t[r.V + lane], ua, e, inv, up, down, most)
            branch[r.I + lane] = i
            branch[r.MOTOR + lane] = held
            t[r.SUM + lane] += i
            t[r.SLOPE + lane] += g
            limited = limited | speaks(free, held)
            full = full | (i >= most)
        # Only limits ask for roots; in most steps no lane meets one.
        if limited:
            full = full | limit(branch, t, up, down, most, lanes)
        if full:
            hold(branch, t, most, lanes)


@compiled
def push(s: Floats, x: Floats, motors: Floats, lanes: int) -> None:
    """Gather charge and heat of each motor branch, and torque of each mechanism."""
    for b in range(len(motors)):
        branch, mech, k = s[b], x[int(motors[b, at.M_MECH])], motors[b, at.M_K]
        for lane in range(lanes):
            i = branch[r.I + lane]
            branch[r.SUM_I + lane] += i
            branch[r.SUM_II + lane] += i * i
            mech[r.TORQUE + lane] += k * branch[r.MOTOR + lane]


@compiled
def feed(s: Floats, t: Floats, loads: Floats, n_motors: int, lanes: int) -> None:
    """Work out what the loads take, and add it up."""
    for b in range(len(loads)):
        branch = s[n_motors + b]
        if loads[b, at.L_PUMP] > 0.0:
            for lane in range(lanes):
                v, i = t[r.V + lane], branch[r.PUMP_A + lane]
                low = v < PUMP_LEAST_V
                branch[r.I + lane] = i * v / PUMP_LEAST_V if low else i
                branch[r.G + lane] = i / PUMP_LEAST_V if low else 0.0
        else:
            works, power, as_ohm = loads[b, at.L_WORKS], loads[b, at.L_POWER], loads[b, at.L_AS_OHM]
            low = False
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
                low = low | (v - line * i < works)
            if low:
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
def begun(
    k: float, ohm: float, size: float, w_mid: float, half: float, on: float, rl: float
) -> tuple[float, float, float, float]:
    """Return what a motor branch has in this step: duty, back EMF, its own resistance, and 1 over that of all."""
    ua, e = size * on, k * w_mid * on
    a = ohm + k * k * half
    return ua, e, a, 1.0 / (a + ua * ua * rl)


@compiled
def speaks(free: float, held: float) -> bool:
    """Tell whether a motor-side limit speaks; one of no current asks for no root."""
    return (held != free) & (held != 0.0)


@compiled
def taken(
    v: float, ua: float, e: float, inv: float, up: float, down: float, most: float
) -> tuple[float, float, float, float]:
    """Return a motor's current by its duty alone and within its own limits, what is taken, and the slope of that."""
    free = (ua * v - e) * inv
    held = up if free > up else free
    held = down if held < down else held
    i = ua * held
    supply = i > most
    return free, held, (most if supply else i), (0.0 if supply | (held != free) else ua * ua * inv)


@compiled
def limit(branch: Floats, t: Floats, up: float, down: float, most: float, lanes: int) -> bool:
    """Let a branch take the power that its motor has at the motor-side limit, where that speaks.

    Return whether one of these meets the supply-side limit as well. To the sums of lanes in which no limit speaks an
    exact zero is added: no match depends on what is played beside it.
    """
    full = False
    for lane in range(lanes):
        v, e, rl = t[r.V + lane], branch[r.E + lane], branch[r.RL + lane]
        free, held, i, g = taken(v, branch[r.UA + lane], e, branch[r.INV + lane], up, down, most)
        cut = speaks(free, held)
        p = held * (branch[r.A + lane] * held + e)
        q = v * v - 4.0 * rl * p
        q = q if q > LEAST_VV else LEAST_VV
        d = math.sqrt(q)
        per = 1.0 / ((v + d) * d)
        ip = 2.0 * p * d * per
        gp = -ip * (v + d) * per
        supply = ip > most
        ip = most if supply else ip
        gp = 0.0 if supply else gp
        t[r.SUM + lane] += ip - i if cut else 0.0
        t[r.SLOPE + lane] += gp - g if cut else 0.0
        branch[r.I + lane] = ip if cut else i
        full = full | (cut & supply)
    return full


@compiled
def hold(branch: Floats, t: Floats, most: float, lanes: int) -> None:
    """Let less current into a motor where the supply-side limit speaks, by the power that it leaves."""
    for lane in range(lanes):
        e, a, im = branch[r.E + lane], branch[r.A + lane], branch[r.MOTOR + lane]
        q = e * e + 4.0 * a * most * (t[r.V + lane] - branch[r.RL + lane] * most)
        held = (math.sqrt(q if q > 0.0 else 0.0) - e) / (2.0 * a)
        branch[r.MOTOR + lane] = held if (branch[r.I + lane] >= most) & (held < im) else im
