"""One match alone: its motors lie side by side, where else other matches would.

A what-if plays one match again, and loops over lanes of which one is taken have nothing to work on side by side. The
equations and the order of all sums are those of `branches`: the match is bitwise the same as among others.

A row of `abreast` holds one number of each motor. Loops go on to a whole eight of them, the width of the widest
registers: behind the last motor stand some that take nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.branches import begun, hold, limit, speaks, taken
from loomwright.match.engine.hot import compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats

#: Motors that have room in a row; a match with more is played with lanes.
MOST_MOTORS: Final = 64
_WIDE: Final = 8
# What holds for all of the match comes first, then what mechanisms and wires have in a step, then what follows of it.
(
    K,
    OHM,
    UP,
    DOWN,
    MOST,
    SIZE,
    W_MID,
    HALF_H_J,
    ON,
    RL,
    UA,
    E,
    A,
    INV,
    FREE,
    HELD,
    I,  # noqa: E741  a current
    G,
    SUM_I,
    SUM_II,
) = range(0, 20 * MOST_MOTORS, MOST_MOTORS)
ROWS: Final = 20


@compiled
def side_by_side(abreast: Floats, motors: Floats) -> None:
    """Lay down what holds for all of the match; what is no motor has 1 ohm, may have 1 A and never takes any."""
    abreast[OHM : OHM + MOST_MOTORS], abreast[MOST : MOST + MOST_MOTORS] = 1.0, 1.0
    for b in range(len(motors)):
        abreast[K + b], abreast[OHM + b] = motors[b, at.M_K], motors[b, at.M_OHM]
        abreast[UP + b], abreast[DOWN + b], abreast[MOST + b] = (
            motors[b, at.M_MOTOR],
            motors[b, at.M_LEAST],
            motors[b, at.M_SUPPLY],
        )


@compiled
def wire_up(abreast: Floats, s: Floats, motors: Floats) -> None:
    """Bring what breakers and wires have, as long as nothing switches and nothing gets warmer."""
    for b in range(len(motors)):
        abreast[ON + b], abreast[RL + b] = s[b, r.ON], s[b, r.RL]


@compiled
def line_up(abreast: Floats, x: Floats, motors: Floats) -> None:
    """Bring what mechanisms have in this step."""
    for b in range(len(motors)):
        mech = x[int(motors[b, at.M_MECH])]
        abreast[SIZE + b], abreast[W_MID + b], abreast[HALF_H_J + b] = mech[r.SIZE], mech[r.W_MID], mech[r.HALF_H_J]


@compiled
def meet(abreast: Floats, s: Floats, t: Floats, motors: Floats) -> None:
    """Do as `branches.meet`."""
    n, v, limited = len(motors), t[r.V], False
    for b in range((n + _WIDE - 1) // _WIDE * _WIDE):
        size, w_mid, half = abreast[SIZE + b], abreast[W_MID + b], abreast[HALF_H_J + b]
        ua, e, a, inv = begun(abreast[K + b], abreast[OHM + b], size, w_mid, half, abreast[ON + b], abreast[RL + b])
        abreast[UA + b] = ua
        abreast[E + b] = e
        abreast[A + b] = a
        abreast[INV + b] = inv
        free, held, i, g = taken(v, ua, e, inv, abreast[UP + b], abreast[DOWN + b], abreast[MOST + b])
        abreast[FREE + b] = free
        abreast[HELD + b] = held
        abreast[I + b] = i
        abreast[G + b] = g
        limited = limited | speaks(free, held)
    total, slope = t[r.SUM], t[r.SLOPE]
    for b in range(n):
        total += abreast[I + b]
        slope += abreast[G + b]
        if limited and speaks(abreast[FREE + b], abreast[HELD + b]):
            t[r.SUM], t[r.SLOPE] = total, slope
            _write_down(abreast, s[b], b)
            limit(s[b], t, abreast[UP + b], abreast[DOWN + b], abreast[MOST + b], 1)
            total, slope = t[r.SUM], t[r.SLOPE]
    t[r.SUM], t[r.SLOPE] = total, slope


@compiled
def again(abreast: Floats, s: Floats, t: Floats, motors: Floats) -> None:
    """Do as `branches.again`."""
    n, v, any_speaks = len(motors), t[r.V], False
    for b in range((n + _WIDE - 1) // _WIDE * _WIDE):
        ua, e, inv = abreast[UA + b], abreast[E + b], abreast[INV + b]
        free, held, i, g = taken(v, ua, e, inv, abreast[UP + b], abreast[DOWN + b], abreast[MOST + b])
        abreast[FREE + b] = free
        abreast[HELD + b] = held
        abreast[I + b] = i
        abreast[G + b] = g
        any_speaks = any_speaks | speaks(free, held) | (i >= abreast[MOST + b])
    total, slope = t[r.SUM], t[r.SLOPE]
    for b in range(n):
        i = abreast[I + b]
        total += i
        slope += abreast[G + b]
        if any_speaks:
            branch, held, most = s[b], abreast[HELD + b], abreast[MOST + b]
            limited, full = speaks(abreast[FREE + b], held), i >= most
            if limited | full:
                _write_down(abreast, branch, b)
                branch[r.I], branch[r.MOTOR] = i, held
                if limited:
                    t[r.SUM], t[r.SLOPE] = total, slope
                    full = limit(branch, t, abreast[UP + b], abreast[DOWN + b], most, 1) | full
                    total, slope = t[r.SUM], t[r.SLOPE]
                if full:
                    hold(branch, t, most, 1)
                abreast[I + b], abreast[HELD + b] = branch[r.I], branch[r.MOTOR]
    t[r.SUM], t[r.SLOPE] = total, slope


@compiled
def push(abreast: Floats, x: Floats, motors: Floats) -> None:
    """Do as `branches.push`; the torque of a mechanism is not written down between two of its motors."""
    n = len(motors)
    for b in range((n + _WIDE - 1) // _WIDE * _WIDE):
        i = abreast[I + b]
        abreast[SUM_I + b] += i
        abreast[SUM_II + b] += i * i
    m, torque = 0, 0.0
    for b in range(n):
        its = int(motors[b, at.M_MECH])
        if its != m:
            x[m, r.TORQUE] = torque
            m, torque = its, x[its, r.TORQUE]
        torque += abreast[K + b] * abreast[HELD + b]
    if n > 0:
        x[m, r.TORQUE] = torque


@compiled
def tell_currents(abreast: Floats, s: Floats, motors: Floats) -> None:
    """Let the branches have what they take."""
    for b in range(len(motors)):
        s[b, r.I] = abreast[I + b]


@compiled
def tell_sums(abreast: Floats, s: Floats, motors: Floats) -> None:
    """Let the branches have what was gathered in 20 ms, and begin anew."""
    for b in range(len(motors)):
        s[b, r.SUM_I], s[b, r.SUM_II] = abreast[SUM_I + b], abreast[SUM_II + b]
        abreast[SUM_I + b], abreast[SUM_II + b] = 0.0, 0.0


@compiled
def _write_down(abreast: Floats, branch: Floats, b: int) -> None:
    """Let a branch have what its limits ask for."""
    branch[r.UA], branch[r.E], branch[r.A], branch[r.INV] = (
        abreast[UA + b],
        abreast[E + b],
        abreast[A + b],
        abreast[INV + b],
    )
