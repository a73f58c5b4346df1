"""How mechanisms move: what each step begins with, and what currents do to speed and place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import NO_END, compiled
from loomwright.match.engine.motors import push

if TYPE_CHECKING:
    from loomwright.match.engine.arrays import Front, MachineArrays
    from loomwright.match.engine.hot import Floats


#: Wheels that slip hold on with this share of their grip (common practice).
KINETIC: Final = 0.9


@compiled
def set_up(x: Floats, mechs: Floats, lanes: int) -> None:
    """Ramp the duties, and set up each mechanism for this step, with the duty that its middle has."""
    for m in range(len(mechs)):
        mech = x[m]
        ramp, viscous, n = mechs[m, at.Q_RAMP], mechs[m, at.Q_VISCOUS], mechs[m, at.Q_MOTORS]
        grips, slips = mechs[m, at.Q_GRIPS], mechs[m, at.Q_SLIPS]
        drag = KINETIC * mechs[m, at.Q_GRIP] if mechs[m, at.Q_MOVED] > 0.0 else 0.0
        for lane in range(lanes):
            d = mech[r.ASKED + lane] - mech[r.DUTY + lane]
            d = ramp if d > ramp else d
            d = -ramp if d < -ramp else d
            u = mech[r.DUTY + lane] + 0.5 * d
            mech[r.DUTY + lane] += d
            slip, w = mech[r.SLIP + lane], mech[r.W + lane]
            tl = mech[r.PULL + lane] + viscous * w + slip * drag
            hj = slips if slip != 0.0 else grips
            # Without a duty, forward is the way it turns: or a motor that coasts would brake one way.
            sign = 1.0 if (u > 0.0) | ((u == 0.0) & (w >= 0.0)) else -1.0
            mech[r.LOAD_NM + lane] = tl
            mech[r.STEP_J + lane] = 2.0 * hj
            mech[r.SIGN + lane] = sign
            mech[r.SIZE + lane] = u * sign
            mech[r.W_MID + lane] = sign * (w - hj * tl)
            mech[r.HALF_H_J + lane] = hj * n
            mech[r.TORQUE + lane] = 0.0


@compiled
def act(front: Front, machine: MachineArrays, h: float, lanes: int) -> None:
    """Let currents act: charge and heat of each branch, torque, speed and place of each mechanism."""
    s, x, mechs, n_motors, n_loads = front.s, front.x, machine.mechs, len(machine.motors), len(machine.loads)
    push(front.abreast, front, machine.motors, lanes)
    for b in range(n_motors, n_motors + n_loads):
        branch = s[b]
        for lane in range(lanes):
            i = branch[r.I + lane]
            branch[r.SUM_I + lane] += i
            branch[r.SUM_II + lane] += i * i
    for m in range(len(mechs)):
        mech = x[m]
        _turn(mech, mechs[m, at.Q_FRICTION], mechs[m, at.Q_WORK], mechs[m, at.Q_WAY], h, lanes)
        if mechs[m, at.Q_MOVED] > 0.0:
            _grip(mech, mechs[m], h, lanes)
        for lane in range(lanes):
            new = mech[r.NEW_W + lane]
            mech[r.WAY + lane] += abs(new) * h
            mech[r.W + lane] = new


@compiled
def _turn(mech: Floats, friction: float, work: float, way: float, h: float, lanes: int) -> None:
    """Let a mechanism turn by its torque, held by friction, up to its stops."""
    least = 0.0 if way < NO_END else -way
    for lane in range(lanes):
        w, sj = mech[r.W + lane], mech[r.STEP_J + lane]
        free = w + sj * (mech[r.SIGN + lane] * mech[r.TORQUE + lane] - mech[r.LOAD_NM + lane])
        f = sj * (friction + work * mech[r.LOAD + lane])
        cut = f if free > f else free
        cut = -f if cut < -f else cut
        new = free - cut
        place = mech[r.PLACE + lane] + 0.5 * h * (w + new)
        low, high = place < least, place > way
        new = 0.0 if (low & (new < 0.0)) | (high & (new > 0.0)) else new
        place = least if low else place
        mech[r.PLACE + lane] = way if high else place
        mech[r.NEW_W + lane] = new


@compiled
def _grip(mech: Floats, has: Floats, h: float, lanes: int) -> None:
    """Let wheels slip, hold on with less while they do, and catch again with the momentum that there is."""
    inertia, moved, most = has[at.Q_INERTIA], has[at.Q_MOVED], has[at.Q_GRIP] * h
    pushed, per_all = has[at.Q_PUSHED], has[at.Q_PER_ALL]
    for lane in range(lanes):
        w, new, slip = mech[r.W + lane], mech[r.NEW_W + lane], mech[r.SLIP + lane]
        slips = slip != 0.0
        ground = mech[r.GROUND + lane] + slip * pushed if slips else new
        caught = slips & ((new - ground) * slip <= 0.0)
        both = (inertia * new + moved * ground) * per_all
        pull = moved * (new - w)
        begins = 1.0 if pull > most else (-1.0 if pull < -most else 0.0)
        stays = slip if slips else begins
        ground = both if caught else ground
        mech[r.SLIP + lane] = 0.0 if caught else stays
        mech[r.METRES + lane] += abs(ground) * h
        mech[r.GROUND + lane] = ground
        mech[r.NEW_W + lane] = both if caught else new
