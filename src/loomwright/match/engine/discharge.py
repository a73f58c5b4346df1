"""The battery as it is emptied, and what low voltage switches off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


@compiled
def discharge(
    t: Floats, whole: Floats, tau1: float, tau2: float, lag: float, h: float, now: float, lanes: int
) -> tuple[bool, bool]:
    """Move the battery on by the current that flowed, note the lowest voltage, and switch outputs off and on.

    Return whether a match has a new lowest voltage, and whether one switched.
    """
    a1, a2, ax = 0.5 * h / tau1, 0.5 * h / tau2, 0.5 * h / lag
    to1, to2 = 2.0 * a1 * whole[at.B_R1] / (1.0 + a1), 2.0 * a2 * whole[at.B_R2] / (1.0 + a2)
    keep1, keep2, keepx = (1.0 - a1) / (1.0 + a1), (1.0 - a2) / (1.0 + a2), (1.0 - ax) / (1.0 + ax)
    tox = 2.0 * ax / (1.0 + ax)
    for lane in range(lanes):
        i, v = t[r.SUM + lane], t[r.V + lane]
        r0 = t[r.R0 + lane]
        t[r.BEFORE + lane] = t[r.TOTAL + lane]
        t[r.TOTAL + lane] = i
        t[r.V1 + lane] = t[r.V1 + lane] * keep1 + to1 * r0 * i
        t[r.V2 + lane] = t[r.V2 + lane] * keep2 + to2 * r0 * i
        t[r.ACT + lane] = t[r.ACT + lane] * keepx + tox * t[r.TARGET + lane]
        t[r.Z + lane] -= i * h / t[r.COULOMB + lane]
        t[r.AH + lane] += i * h
        t[r.JOULE + lane] += i * v * h
        t[r.V_SUM + lane] += v
        t[r.V_LOW + lane] = v if v < t[r.V_LOW + lane] else t[r.V_LOW + lane]
        lower = (v < t[r.LOWEST + lane]) & (t[r.DEAD + lane] > now)
        t[r.NEW + lane] = 1.0 if lower else 0.0
        t[r.LOWEST + lane] = v if lower else t[r.LOWEST + lane]
        t[r.LOWEST_AT + lane] = now if lower else t[r.LOWEST_AT + lane]
    new = False
    for lane in range(lanes):
        new = new | (t[r.NEW + lane] > 0.0)
    return new, _outputs(
        t,
        whole[at.B_OFF],
        whole[at.B_ON],
        whole[at.B_HOLD],
        whole[at.B_STOP],
        whole[at.B_START],
        whole[at.B_RECOVER],
        h,
        now,
        lanes,
    )


@compiled
def _outputs(
    t: Floats,
    off: float,
    on: float,
    hold: float,
    stop: float,
    start: float,
    recover: float,
    h: float,
    now: float,
    lanes: int,
) -> bool:
    """Switch outputs off below one voltage, on above another for a while, and restart below a third."""
    for lane in range(lanes):
        v, ready, until = t[r.V + lane], t[r.ENABLED + lane] > 0.0, t[r.UNTIL + lane]
        out = (v < stop) & (until <= now)
        # Who starts gets nowhere while the voltage is too low for that.
        waits = (until > now) & (v < start)
        until = now + recover if out else (until + h if waits else until)
        up = until <= now
        above = t[r.ABOVE_S + lane] + h if v > on else 0.0
        go = ready & (v >= off) & up
        back = (not ready) & up & (above >= hold) & (v > on)
        falls = ready & (v < off)
        able = 1.0 if go | back else 0.0
        t[r.RESTARTS + lane] += 1.0 if out else 0.0
        t[r.UNTIL + lane] = until
        t[r.ABOVE_S + lane] = above
        t[r.OFF_N + lane] += 1.0 if falls else 0.0
        t[r.CHANGED + lane] = abs(able - t[r.ENABLED + lane])
        t[r.ENABLED + lane] = able
        t[r.OFF_S + lane] += h * (1.0 - able)
    changed = False
    for lane in range(lanes):
        changed = changed | (t[r.CHANGED + lane] > 0.0)
    return changed


@compiled
def open_volts(t: Floats, rest: Floats, lanes: int) -> None:
    """Look up the open-circuit voltages of the charges."""
    n = rest.shape[0]
    for lane in range(lanes):
        z = t[r.Z + lane]
        k = 1
        while k < n - 1 and z > rest[k, 0]:
            k += 1
        part = (z - rest[k - 1, 0]) / (rest[k, 0] - rest[k - 1, 0])
        t[r.OCV + lane] = rest[k - 1, 1] + part * (rest[k, 1] - rest[k - 1, 1])


@compiled
def keep_dips(s: Floats, t: Floats, n: int, lanes: int) -> None:
    """Keep the currents of those matches that have a new lowest voltage."""
    for b in range(n):
        branch = s[b]
        for lane in range(lanes):
            branch[r.DIP + lane] = branch[r.I + lane] if t[r.NEW + lane] > 0.0 else branch[r.DIP + lane]
