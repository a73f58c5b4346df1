"""What currents do: charge and heat of each branch, torque, speed and place of each mechanism."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.bus import KINETIC
from loomwright.match.engine.hot import NO_END, compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


@compiled
def torque(branch: Floats, mech: Floats, t: Floats, k: float, up: float, down: float, most: float, lanes: int) -> None:
    """Add the torque of one motor, by its own current at the bus voltage that was found."""
    limited = 0
    for lane in range(lanes):
        limited += 1 if branch[r.I + lane] >= most else 0
    if limited == 0:
        for lane in range(lanes):
            im = (branch[r.UA + lane] * t[r.V + lane] - branch[r.E + lane]) * branch[r.INV + lane]
            im = up if im > up else im
            im = down if im < down else im
            mech[r.TORQUE + lane] += k * im
        return
    for lane in range(lanes):
        im = (branch[r.UA + lane] * t[r.V + lane] - branch[r.E + lane]) * branch[r.INV + lane]
        im = up if im > up else im
        im = down if im < down else im
        e, a = branch[r.E + lane], branch[r.A + lane]
        q = e * e + 4.0 * a * most * (t[r.V + lane] - branch[r.RL + lane] * most)
        held = (math.sqrt(q if q > 0.0 else 0.0) - e) / (2.0 * a)
        mech[r.TORQUE + lane] += k * (held if (branch[r.I + lane] >= most) & (held < im) else im)


@compiled
def act(s: Floats, x: Floats, t: Floats, motors: Floats, mechs: Floats, n_loads: int, h: float, lanes: int) -> None:
    """Let currents act: charge and heat of each branch, torque, speed and place of each mechanism."""
    n_motors = len(motors)
    for b in range(n_motors):
        k, up, down, most = motors[b, at.M_K], motors[b, at.M_MOTOR], motors[b, at.M_LEAST], motors[b, at.M_SUPPLY]
        torque(s[b], x[int(motors[b, at.M_MECH])], t, k, up, down, most, lanes)
    for b in range(n_motors + n_loads):
        branch = s[b]
        for lane in range(lanes):
            i = branch[r.I + lane] + branch[r.G + lane] * t[r.STEP_V + lane]
            branch[r.I + lane] = i
            branch[r.SUM_I + lane] += i
            branch[r.SUM_II + lane] += i * i
    for m in range(len(mechs)):
        mech = x[m]
        friction, work, grip = mechs[m, at.Q_FRICTION], mechs[m, at.Q_WORK], mechs[m, at.Q_GRIP]
        inertia, moved, way = mechs[m, at.Q_INERTIA], mechs[m, at.Q_MOVED], mechs[m, at.Q_WAY]
        per_moved = 1.0 / moved if moved > 0.0 else 0.0
        all_of_it = 1.0 / (inertia + moved)
        most = grip * h
        pushed = KINETIC * most * per_moved
        least = 0.0 if way < NO_END else -way
        for lane in range(lanes):
            w, sj, slip, vg = mech[r.W + lane], mech[r.STEP_J + lane], mech[r.SLIP + lane], mech[r.GROUND + lane]
            free = w + sj * (mech[r.SIGN + lane] * mech[r.TORQUE + lane] - mech[r.LOAD_NM + lane])
            f = sj * (friction + work * mech[r.LOAD + lane])
            cut = f if free > f else free
            cut = -f if cut < -f else cut
            new = free - cut
            place = mech[r.PLACE + lane] + 0.5 * h * (w + new)
            low, high = place < least, place > way
            new = 0.0 if (low & (new < 0.0)) | (high & (new > 0.0)) else new
            place = least if low else place
            place = way if high else place
            slips = slip != 0.0
            ground = vg + slip * pushed if slips else new
            caught = slips & ((new - ground) * slip <= 0.0)
            both = (inertia * new + moved * ground) * all_of_it
            new = both if caught else new
            ground = both if caught else ground
            pull = moved * (new - w)
            begins = 1.0 if pull > most else (-1.0 if pull < -most else 0.0)
            stays = slip if slips else begins
            mech[r.SLIP + lane] = 0.0 if caught else stays
            mech[r.WAY + lane] += abs(new) * h
            mech[r.METRES + lane] += abs(ground) * h
            mech[r.PLACE + lane] = place
            mech[r.W + lane] = new
            mech[r.GROUND + lane] = ground
