"""What a driver asks: the next step, goals turned into duties, air."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.chance import share
from loomwright.match.engine.hot import NEVER, SLOW_S, compiled

if TYPE_CHECKING:
    from loomwright.match.engine.arrays import DriverArrays
    from loomwright.match.engine.hot import Floats


#: A pump's first current falls with this time constant [s].
START_TAU_S: Final = 0.15
#: A mechanism is there within this share of its way or speed.
THERE: Final = 0.05
#: Steps that a cycle may have: a key for what is drawn counts cycles in whole lots of it.
KEYS: Final = 256
#: A drive asks for this share of full voltage when it sprints.
SPRINT: Final = 0.5
#: As `machine.Control` and `machine.Gravity` count.
PLACE: Final = 1.0
SPEED: Final = 2.0
TURNING: Final = 2.0


@compiled
def cosine(angle: float) -> float:
    """Return the cosine of an angle [rad], right to 1e-12 up to a thousand turns.

    It is worked out from the sine of half the angle by that one's series, since only sums and products are done side by
    side.
    """
    turns = angle * (0.5 / math.pi)
    whole: float = np.floor(turns + 0.5)
    half = math.pi * (turns - whole)
    z = half * half
    series = 1.0 - z * (1 / 6) * (
        1.0 - z * (1 / 20) * (1.0 - z * (1 / 42) * (1.0 - z * (1 / 72) * (1.0 - z * (1 / 110) * (1.0 - z * (1 / 156)
        * (1.0 - z * (1 / 210) * (1.0 - z * (1 / 272)))))))
    )  # fmt: skip
    sine = half * series
    return 1.0 - 2.0 * sine * sine


@compiled
def command(x: Floats, t: Floats, mechs: Floats, now: float, lanes: int) -> None:
    """Turn goals into duties, let gravity pull where things are, and count how late they are."""
    for m in range(len(mechs)):
        mech = x[m]
        control, way, gain, hold = mechs[m, at.Q_CONTROL], mechs[m, at.Q_WAY], mechs[m, at.Q_GAIN], mechs[m, at.Q_HOLD]
        full = mechs[m, at.Q_FULL]
        if mechs[m, at.Q_GRAVITY] == TURNING:
            pull, angle, turn = mechs[m, at.Q_PULL], mechs[m, at.Q_ANGLE], mechs[m, at.Q_TURN]
            for lane in range(lanes):
                mech[r.PULL + lane] = pull * cosine(angle + turn * mech[r.PLACE + lane])
        if control == PLACE:
            for lane in range(lanes):
                away = mech[r.GOAL + lane] * way - mech[r.PLACE + lane]
                u = gain * away + hold * mech[r.PULL + lane]
                u = 1.0 if u > 1.0 else u
                mech[r.ASKED + lane] = -1.0 if u < -1.0 else u
                late = abs(away) > THERE * way
                mech[r.LATE + lane] += SLOW_S if late else 0.0
        elif control == SPEED:
            for lane in range(lanes):
                goal = mech[r.GOAL + lane] * full
                u = hold * goal + gain * (goal - mech[r.W + lane])
                u = 1.0 if u > 1.0 else u
                u = u if u > 0.0 else 0.0
                mech[r.ASKED + lane] = u if goal > 0.0 else 0.0
                mech[r.LATE + lane] += SLOW_S if mech[r.W + lane] < (1.0 - THERE) * goal else 0.0
        else:
            for lane in range(lanes):
                mech[r.ASKED + lane] = mech[r.GOAL + lane]
    for lane in range(lanes):
        if t[r.SHOTS + lane] > 0.0 and now >= t[r.SHOT_AT + lane]:
            t[r.SHOTS + lane] -= 1.0
            t[r.SHOT_AT + lane] += t[r.SHOT_EVERY + lane]
            for m in range(len(mechs)):
                x[m, r.W + lane] *= 1.0 - mechs[m, at.Q_SHOT]


@compiled
def pump(
    s: Floats, x: Floats, t: Floats, loads: Floats, mechs: Floats, whole: Floats, n_motors: int, now: float, lanes: int
) -> None:
    """Fill the tank, and let its switch start and stop the pump; it may have to wait while a drive sprints."""
    for lane in range(lanes):
        t[r.WAITS + lane] = 0.0
    for m in range(len(mechs)):
        if whole[at.B_AIR_WAITS] > 0.0 and mechs[m, at.Q_MOVED] > 0.0:
            for lane in range(lanes):
                t[r.WAITS + lane] = 1.0 if abs(x[m, r.ASKED + lane]) > SPRINT else t[r.WAITS + lane]
    for b in range(len(loads)):
        if loads[b, at.L_PUMP] == 0.0:
            continue
        branch = s[n_motors + b]
        run, start = loads[b, at.L_RUN], loads[b, at.L_START]
        for lane in range(lanes):
            t[r.PRESSURE + lane] += t[r.PUMPS + lane] * SLOW_S / whole[at.B_AIR_FILL]
            on = t[r.PRESSURE + lane] < (1.0 if t[r.PUMPS + lane] > 0.0 else whole[at.B_AIR_ON])
            allowed = (
                t[r.ENABLED + lane] > 0.0
                and t[r.WAITS + lane] == 0.0
                and branch[r.CLOSED + lane] > 0.0
                and t[r.DEAD + lane] > now
            )
            pumping = 1.0 if on and allowed else 0.0
            t[r.PUMPING_S + lane] = t[r.PUMPING_S + lane] + SLOW_S if pumping > 0.0 and t[r.PUMPS + lane] > 0.0 else 0.0
            t[r.PUMPS + lane] = pumping
            t[r.PUMP_S + lane] += SLOW_S * pumping
            branch[r.PUMP_A + lane] = 0.0
            if pumping > 0.0:
                branch[r.PUMP_A + lane] = run + (start - run) * math.exp(-t[r.PUMPING_S + lane] / START_TAU_S)


@compiled
def next_step(
    x: Floats,
    t: Floats,
    lane: int,
    now: float,
    seed: int,
    match: int,
    driver: int,
    mechs: Floats,
    drivers: DriverArrays,
    air_stroke: float,
) -> None:
    """Let one driver begin the next step; the numbers drawn depend on seed, match and how many steps went before."""
    phases, choices, steps, wishes = drivers.phases, drivers.choices, drivers.steps, drivers.wishes
    first, last = int(drivers.offsets[driver, 0]), int(drivers.offsets[driver, 1])
    p = first
    while p < last - 1 and now >= phases[p, at.P_TO] - 1e-9:
        p += 1
    start, end = phases[p, at.P_FROM], phases[p, at.P_TO]
    idle = phases[p, at.P_FIRST] == phases[p, at.P_LAST] or now >= end - 1e-9 or now < start - 1e-9
    if idle:
        t[r.STEP + lane] = -1.0
        t[r.NEXT_AT + lane] = start if now < start - 1e-9 else (end if now < end - 1e-9 else NEVER)
        for m in range(len(mechs)):
            x[m, r.GOAL + lane] = 0.0 if mechs[m, at.Q_CONTROL] == 0.0 else x[m, r.GOAL + lane]
            x[m, r.LOAD + lane] = 0.0
        return
    step = int(t[r.STEP + lane])
    if step < 0 or step + 1 >= int(t[r.LAST + lane]):
        t[r.COUNT + lane] += 1.0
        pick = share(seed, match, 1000 + KEYS * int(t[r.COUNT + lane]), 0)
        c = int(phases[p, at.P_FIRST])
        while c < int(phases[p, at.P_LAST]) - 1 and pick >= choices[c, at.C_UP_TO]:
            c += 1
        step = int(choices[c, at.C_FIRST])
        t[r.LAST + lane] = choices[c, at.C_LAST]
    else:
        step += 1
    t[r.STEP + lane] = step
    key = 1000 + KEYS * int(t[r.COUNT + lane]) + 1 + int(steps[step, at.S_KEY])
    lasts = steps[step, at.S_LOW] + (steps[step, at.S_HIGH] - steps[step, at.S_LOW]) * share(seed, match, key, 1)
    t[r.NEXT_AT + lane] = now + lasts if now + lasts < end else end
    if t[r.NEXT_AT + lane] >= end - 1e-9:
        t[r.LAST + lane] = step  # the next phase begins with a cycle of its own
    t[r.SHOTS + lane] = steps[step, at.S_SHOTS]
    t[r.SHOT_EVERY + lane] = lasts / (steps[step, at.S_SHOTS] + 1.0)
    t[r.SHOT_AT + lane] = now + t[r.SHOT_EVERY + lane]
    t[r.PRESSURE + lane] -= steps[step, at.S_STROKES] * air_stroke
    t[r.PRESSURE + lane] = t[r.PRESSURE + lane] if t[r.PRESSURE + lane] > 0.0 else 0.0
    for m in range(len(mechs)):
        wish = wishes[step, m]
        if wish[at.W_SAID] == 0.0:
            x[m, r.GOAL + lane] = 0.0 if mechs[m, at.Q_CONTROL] == 0.0 else x[m, r.GOAL + lane]
            x[m, r.LOAD + lane] = 0.0
            continue
        draw = 3 * int(wish[at.W_DRAW]) + 2
        goal = wish[at.W_LOW] + (wish[at.W_HIGH] - wish[at.W_LOW]) * share(seed, match, key, draw)
        turn = wish[at.W_TURN_LOW] + (wish[at.W_TURN_HIGH] - wish[at.W_TURN_LOW]) * share(seed, match, key, draw + 1)
        load = wish[at.W_LOAD_LOW] + (wish[at.W_LOAD_HIGH] - wish[at.W_LOAD_LOW]) * share(seed, match, key, draw + 2)
        goal += turn
        goal = 1.0 if goal > 1.0 else goal
        goal = -1.0 if goal < -1.0 else goal
        x[m, r.MOVES + lane] += 1.0 if goal != x[m, r.GOAL + lane] else 0.0
        x[m, r.GOAL + lane] = goal
        x[m, r.LOAD + lane] = load
