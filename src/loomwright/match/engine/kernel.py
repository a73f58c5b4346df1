"""The kernel: matches side by side, step by step (equations and steps: docs/match.md).

A fast step solves bus and motors by implicit midpoint; every 20 ms follow commands, heat, breakers, and what changes
slowly. Inner loops run over the lanes alone, write to one array, and choose by values instead of branches: only such
loops become the processor's wide instructions. Their length, `lanes`, is told at run time, since a loop of a length
that is known before is unrolled, and then not worked on side by side.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.alone import MOST_MOTORS, ROWS, side_by_side
from loomwright.match.engine.arrays import DriverArrays, Front, LotArrays, MachineArrays
from loomwright.match.engine.bus import fold, solve
from loomwright.match.engine.discharge import discharge, keep_dips, open_volts
from loomwright.match.engine.hot import ALPHA, HIGHEST_V, NEVER, SLOW_S, compiled, kept, making
from loomwright.match.engine.layout import LANES
from loomwright.match.engine.motion import act, set_up
from loomwright.match.engine.motors import line_up, tell_currents, tell_sums, wire_up
from loomwright.match.engine.orders import command, next_step, pump
from loomwright.match.engine.warmth import switch, warm_up

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


#: Steps of 20 ms in a second and in ten.
TICKS_1_S: Final = 50
TICKS_10_S: Final = 500.0
#: Steps that a driver may begin at one moment; more are a fault of the driver.
MOST_STEPS: Final = 100


@compiled
def begin(front: Front, machine: MachineArrays, lot: LotArrays, lanes: int) -> None:
    """Set matches to their beginning: charged, rested, at rest, everything at the warmth of the air."""
    s, x, t, rows = front.s, front.x, front.t, front.rows
    motors, loads, mechs, heat, whole = machine.motors, machine.loads, machine.mechs, machine.heat, machine.whole
    drawn, joints = lot.drawn, lot.joints
    n_motors, n_all = len(motors), len(motors) + len(loads)
    s[:], x[:], t[:], front.ring[:] = 0.0, 0.0, 0.0, 0.0
    for lane in range(lanes):
        d = drawn[rows[lane]]
        t[r.Z + lane], t[r.COULOMB + lane], t[r.R0 + lane] = (
            d[at.D_CHARGE],
            3600.0 * whole[at.B_AH] * d[at.D_AH],
            d[at.D_OHM],
        )
        t[r.ENABLED + lane], t[r.DEAD + lane], t[r.LOWEST + lane], t[r.V_LOW + lane] = 1.0, NEVER, HIGHEST_V, HIGHEST_V
        t[r.PRESSURE + lane], t[r.STEP + lane], t[r.AIR_C + lane] = 1.0, -1.0, d[at.D_WARMTH]
        for b in range(n_all + 1):
            low, high = heat[b, at.H_LOW], heat[b, at.H_HIGH]
            tau = heat[b, at.H_TAU] * low * (high / low) ** d[at.D_TRIP]
            s[b, r.DECAY + lane] = math.exp(-SLOW_S / tau)
            s[b, r.WARM + lane] = s[b, r.WARMEST + lane] = d[at.D_WARMTH]
            s[b, r.JOINTS + lane], s[b, r.ON + lane], s[b, r.CLOSED + lane] = joints[rows[lane], b], 1.0, 1.0
            s[b, r.OHM + lane] = (
                motors[b, at.M_COPPER]
                if b < n_motors
                else (loads[b - n_motors, at.L_COPPER] if b < n_all else whole[at.B_MAIN])
            )
            s[b, r.RL + lane] = s[b, r.OHM + lane] * (1.0 + ALPHA * (d[at.D_WARMTH] - 20.0)) + joints[rows[lane], b]
        t[r.MAIN + lane] = s[n_all, r.RL + lane]
        for m in range(len(mechs)):
            x[m, r.PULL + lane] = mechs[m, at.Q_PULL]


@compiled
def _sample(kept: Floats, front: Front, now: float, sub: int, lane: int) -> None:
    """Keep the means of 20 ms of one match."""
    s, t, per_step = front.s, front.t, 1.0 / sub
    n_all = len(s) - 1
    kept[at.T_TIME] = now
    kept[at.T_BUS], kept[at.T_LOW] = t[r.V_SUM + lane] * per_step, t[r.V_LOW + lane]
    kept[at.T_TOTAL] = s[n_all, r.SUM_I + lane] * per_step
    off = 2.0 if t[r.UNTIL + lane] > now else 1.0 - t[r.ENABLED + lane]
    kept[at.T_ON] = 3.0 if t[r.DEAD + lane] <= now else off
    kept[at.T_STEP] = t[r.STEP + lane]
    for b in range(n_all):
        kept[at.T_ROWS + b] = s[b, r.SUM_I + lane] * per_step


@compiled
def _tell(lot: LotArrays, row: int, front: Front, mechs: Floats, lane: int, slow: int, h: float) -> None:
    """Write down how one match went."""
    s, x, t = front.s, front.x, front.t
    match, branches, ways = lot.matches[row], lot.branches[row], lot.ways[row]
    match[at.O_LOWEST], match[at.O_LOWEST_AT] = t[r.LOWEST + lane], t[r.LOWEST_AT + lane]
    match[at.O_OFF], match[at.O_OFF_S] = t[r.OFF_N + lane], t[r.OFF_S + lane]
    match[at.O_RESTARTS], match[at.O_DEAD_AT] = t[r.RESTARTS + lane], t[r.DEAD + lane]
    match[at.O_AH], match[at.O_JOULE] = t[r.AH + lane] / 3600.0, t[r.JOULE + lane]
    match[at.O_CHARGE], match[at.O_PUMP_S] = t[r.Z + lane], t[r.PUMP_S + lane]
    match[at.O_STEPS] = t[r.COUNT + lane]
    match[at.O_METRES] = 0.0
    for m in range(len(mechs)):
        drives = mechs[m, at.Q_MOVED] > 0.0
        match[at.O_METRES] += x[m, r.METRES + lane] * mechs[m, at.Q_METRES] if drives else 0.0
        ways[m, at.Y_WAY], ways[m, at.Y_LATE] = x[m, r.WAY + lane], x[m, r.LATE + lane]
        ways[m, at.Y_MOVES] = x[m, r.MOVES + lane]
    for b in range(len(s)):
        told = branches[b]
        told[at.R_PEAK], told[at.R_SQUARES] = s[b, r.PEAK + lane], s[b, r.ALL_II + lane] / slow
        told[at.R_WORST], told[at.R_WARM] = s[b, r.WORST + lane] / TICKS_10_S, s[b, r.WARM + lane]
        told[at.R_OPENED], told[at.R_OPENED_AT] = s[b, r.OPENED + lane], s[b, r.OPENED_AT + lane]
        told[at.R_DIP], told[at.R_AH] = s[b, r.DIP + lane], s[b, r.ALL_I + lane] * h / 3600.0
        told[at.R_WARMEST] = s[b, r.WARMEST + lane]


@kept
def play(
    seed: int,
    first: int,
    machine: MachineArrays,
    drivers: DriverArrays,
    lot: LotArrays,
    h: float,
    lasts: float,
    traced: int,
    samples: Floats,
    lanes: int,
) -> int:
    """Play matches `first` and on, as many as were drawn, by steps of `h` for as long as one `lasts` [s]; fill `lot`.

    `traced` is the row of the match whose course is kept in `samples` (20 ms, columns as in `layout`), -1 for none.
    Returns how many times the branches were worked out, for the benchmark.
    """
    n_all, n_mechs, n_motors = len(machine.heat), len(machine.mechs), len(machine.motors)
    s, x = aligned(n_all, r.BRANCH_ROWS * LANES), aligned(n_mechs, r.MECH_ROWS * LANES)
    t, ring = aligned(1, r.MATCH_ROWS * LANES)[0], np.zeros((n_all, 10, LANES))
    rows = np.zeros(lanes, dtype=np.int64)
    # Told as a number and not as a variable, one lane leaves no loop over lanes.
    if lanes == 1 and n_motors <= MOST_MOTORS:
        abreast = aligned(1, ROWS * MOST_MOTORS)[0]
        side_by_side(abreast, machine.motors)
        alone = Front(s, x, t, ring, rows, abreast)
        return _in_lots(seed, first, machine, drivers, lot, h, lasts, traced, samples, alone, 1)
    front = Front(s, x, t, ring, rows, None)
    return _in_lots(seed, first, machine, drivers, lot, h, lasts, traced, samples, front, lanes)


@making
def aligned(rows: int, length: int) -> Floats:
    """Return zeros that begin where a line of the cache begins: what lies across two lines is read twice."""
    room = np.zeros(rows * length + 8)
    first = (-room.ctypes.data // 8) % 8
    return room[first : first + rows * length].reshape((rows, length))


@compiled
def _in_lots(
    seed: int,
    first: int,
    machine: MachineArrays,
    drivers: DriverArrays,
    lot: LotArrays,
    h: float,
    lasts: float,
    traced: int,
    samples: Floats,
    front: Front,
    lanes: int,
) -> int:
    """Play lots of as many matches as there are lanes, in the room that was made."""
    s, x, t, abreast = front.s, front.x, front.t, front.abreast
    motors, loads, mechs, whole = machine.motors, machine.loads, machine.mechs, machine.whole
    n, n_motors = len(lot.drawn), len(motors)
    n_all = n_motors + len(loads)
    sub = round(SLOW_S / h)
    slow = round(lasts / SLOW_S)
    tau1, tau2, lag = whole[at.B_TAU1], whole[at.B_TAU2], whole[at.B_LAG]
    worked = 0
    for group in range((n + LANES - 1) // LANES):
        for lane in range(lanes):
            front.rows[lane] = min(group * LANES + lane, n - 1)
        begin(front, machine, lot, lanes)
        open_volts(t, machine.rest, lanes)
        for lane in range(lanes):
            t[r.V + lane] = t[r.VP + lane] = t[r.OCV + lane]
        watched = traced - group * LANES if group * LANES <= traced < (group + 1) * LANES else -1
        for tick in range(slow):
            now = tick * SLOW_S
            _drive(seed, first, drivers, lot, front, mechs, whole[at.B_AIR_STROKE], now, lanes)
            open_volts(t, machine.rest, lanes)
            command(x, t, mechs, now, lanes)
            pump(s, x, t, loads, mechs, whole, n_motors, now, lanes)
            switch(s, t, now, n_motors, lanes)
            for b in range(n_motors, n_all):
                for lane in range(lanes):
                    s[b, r.ON + lane] = s[b, r.CLOSED + lane] if t[r.DEAD + lane] > now else 0.0
            wire_up(abreast, front, motors)
            for lane in range(lanes):
                t[r.V_SUM + lane], t[r.V_LOW + lane] = 0.0, HIGHEST_V
            for k in range(sub):
                here = now + k * h
                set_up(x, mechs, lanes)
                line_up(abreast, front, motors)
                fold(t, whole, tau1, tau2, lag, h, lanes)
                worked += solve(front, machine, lanes)
                act(front, machine, h, lanes)
                new, changed = discharge(t, whole, tau1, tau2, lag, h, here + 0.5 * h, lanes)
                if new:
                    tell_currents(abreast, front, motors)
                    keep_dips(s, t, n_all, lanes)
                if changed:
                    switch(s, t, here, n_motors, lanes)
                    wire_up(abreast, front, motors)
                main = s[n_all]
                for lane in range(lanes):
                    i = t[r.TOTAL + lane]
                    main[r.SUM_I + lane] += i
                    main[r.SUM_II + lane] += i * i
            tell_sums(abreast, front, motors)
            if watched >= 0:
                _sample(samples[tick], front, now, sub, watched)
            second = tick % TICKS_1_S == TICKS_1_S - 1
            warm_up(s, t, machine.heat, n_all, sub, (tick + 1) * SLOW_S, second, front.ring, tick // TICKS_1_S, lanes)
        for lane in range(min(lanes, n - group * LANES)):
            _tell(lot, group * LANES + lane, front, mechs, lane, slow, h)
    return worked


@compiled
def _drive(
    seed: int,
    first: int,
    drivers: DriverArrays,
    lot: LotArrays,
    front: Front,
    mechs: Floats,
    air_stroke: float,
    now: float,
    lanes: int,
) -> None:
    """Let drivers begin the steps that are due."""
    x, t = front.x, front.t
    due = False
    for lane in range(lanes):
        due = due or t[r.NEXT_AT + lane] <= now + 1e-9
    if not due:
        return
    for lane in range(lanes):
        match, driver, turns = first + front.rows[lane], int(lot.drawn[front.rows[lane], at.D_DRIVER]), 0
        while t[r.NEXT_AT + lane] <= now + 1e-9 and turns < MOST_STEPS:
            turns += 1
            next_step(x, t, lane, now, seed, match, driver, mechs, drivers, air_stroke)
