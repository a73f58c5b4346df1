"""Heat of wires and breakers, every 20 ms."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.hot import ALPHA, compiled

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats


#: A breaker that resets closes again at this heat (source: common practice).
CLOSES_AT: Final = 0.6


@compiled
def switch(s: Floats, t: Floats, now: float, n_motors: int, lanes: int) -> None:
    """Set which motor branches may carry current: breaker closed, outputs on, the robot alive."""
    for b in range(n_motors):
        branch = s[b]
        for lane in range(lanes):
            alive = 1.0 if t[r.DEAD + lane] > now else 0.0
            branch[r.ON + lane] = branch[r.CLOSED + lane] * t[r.ENABLED + lane] * alive


@compiled
def warm_up(
    s: Floats,
    t: Floats,
    heat: Floats,
    n_all: int,
    sub: int,
    now: float,
    second: bool,  # noqa: FBT001  compiled code has no keywords
    ring: Floats,
    tick: int,
    lanes: int,
) -> None:
    """Move breakers' and wires' heat on by 20 ms, and gather what a duty table needs."""
    per_step = 1.0 / sub
    for b in range(n_all + 1):
        branch = s[b]
        per_hold, again = heat[b, at.H_PER_HOLD], heat[b, at.H_RESETS] > 0.0
        known = per_hold > 0.0
        ohm, watt, per_joule = heat[b, at.H_OHM], heat[b, at.H_WATT], heat[b, at.H_PER_JOULE]
        turns = False
        for lane in range(lanes):
            square, mean = branch[r.SUM_II + lane] * per_step, branch[r.SUM_I + lane] * per_step
            branch[r.PEAK + lane] = mean if mean > branch[r.PEAK + lane] else branch[r.PEAK + lane]
            branch[r.ALL_II + lane] += square
            branch[r.SECOND + lane] += square
            branch[r.ALL_I + lane] += branch[r.SUM_I + lane]
            warm = branch[r.WARM + lane]
            gain = square * ohm * (1.0 + ALPHA * (warm - 20.0)) - watt * (warm - t[r.AIR_C + lane])
            warm += per_joule * gain
            branch[r.WARM + lane] = warm
            branch[r.WARMEST + lane] = warm if warm > branch[r.WARMEST + lane] else branch[r.WARMEST + lane]
            end = square * per_hold
            hot = end + (branch[r.HEAT + lane] - end) * branch[r.DECAY + lane]
            branch[r.HEAT + lane] = hot
            branch[r.RL + lane] = branch[r.OHM + lane] * (1.0 + ALPHA * (warm - 20.0)) + branch[r.JOINTS + lane]
            branch[r.SUM_II + lane] = 0.0
            branch[r.SUM_I + lane] = 0.0
            # r.CLOSED is 1 while the breaker is closed.
            turns = turns | ((hot >= 1.0) & known) | (branch[r.CLOSED + lane] == 0.0)
        if turns:
            _switch_breakers(branch, known, again, now, lanes)
        if second:
            kept = ring[b]
            place = tick % 10
            for lane in range(lanes):
                kept[place, lane] = branch[r.SECOND + lane]
                branch[r.SECOND + lane] = 0.0
            for lane in range(lanes):
                total = 0.0
                for k in range(10):
                    total += kept[k, lane]
                branch[r.WORST + lane] = total if total > branch[r.WORST + lane] else branch[r.WORST + lane]
    main = s[n_all]
    for lane in range(lanes):
        t[r.DEAD + lane] = now if main[r.CLOSED + lane] == 0.0 and t[r.DEAD + lane] > now else t[r.DEAD + lane]
        t[r.MAIN + lane] = main[r.RL + lane]


@compiled
def _switch_breakers(branch: Floats, known: bool, again: bool, now: float, lanes: int) -> None:  # noqa: FBT001
    """Open breakers that are hot, and close those that have cooled and reset by themselves."""
    for lane in range(lanes):
        opens = (branch[r.CLOSED + lane] > 0.0) & (branch[r.HEAT + lane] >= 1.0) & known
        closes = (branch[r.CLOSED + lane] == 0.0) & again & (branch[r.HEAT + lane] < CLOSES_AT)
        branch[r.OPENED_AT + lane] = now if opens & (branch[r.OPENED + lane] == 0.0) else branch[r.OPENED_AT + lane]
        branch[r.OPENED + lane] += 1.0 if opens else 0.0
        branch[r.CLOSED + lane] = 0.0 if opens else (1.0 if closes else branch[r.CLOSED + lane])
