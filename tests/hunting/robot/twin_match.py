"""What a match does to the twin: brown-outs, halts, and joints that get warm."""

from __future__ import annotations

import math
from collections.abc import Iterable

from tests.hunting.robot.twin_body import DARK, LIT, Body

_MOMENT_A, _LONG_A = 150.0, 60.0
# What stops a robot when it starts again; a camera or a sensor does not.
_STOPS = ("computer", "radio", "network", "regulator")
_HALTS = ((10.0, "short"), (40.0, "computer"), (60.0, "long"))
_NO_HALT_S = 0.0
_WARM_W, _RATED_V, _LOAD_OHM = 5.0, 12.0, 0.2


def brown_out(body: Body) -> bool:
    """Tell whether the block falls below what the robot controller's outputs need, for moments of a match."""
    computer, volts = body.anatomy.computer, lowest_v(body)
    if computer is None:
        return False
    said = computer.settings.get("outputs off below")
    limit = said.value if said is not None and said.value is not None else computer.part.number("outputs off below")
    return limit is not None and _NO_HALT_S < volts < limit


def lowest_v(body: Body) -> float:
    """Return the block's lowest voltage in a match [V]: 150 A, less where the plan expects less."""
    block = body.anatomy.supply(body.anatomy.block)
    if block is None:
        return 0.0
    rest = body.alive.volts(block.plus, block.minus)
    if rest <= 1.0:
        return 0.0
    most = min(_MOMENT_A, body.anatomy.main.current.value or _MOMENT_A)
    moved = body.alive.moved(body.alive.taking(block.plus, block.minus), block.plus, block.minus)
    return max(rest + most * moved, 0.1)


def halt(body: Body, gaps: Iterable[Body], *, still: bool) -> str:
    """Return how long the robot stood still: the longest start of what lost its power, for good if that is out."""
    stoppers = [d for d in body.anatomy.electronics if d.kind in _STOPS and d.part.number("recovery time")]
    out = [d for d in stoppers if d.kind != "computer" or d is body.anatomy.computer]
    if still or any(body.light(d.id) == DARK or d.id in body.harm.silent for d in out):
        return "rest"
    lost = [d.part.number("recovery time") or 0.0 for g in gaps for d in stoppers if g.light(d.id) != LIT]
    longest = max(lost, default=_NO_HALT_S)
    if brown_out(body):
        longest = max(longest, 1.0)
    return "none" if longest == _NO_HALT_S else next((word for most_s, word in _HALTS if longest <= most_s), "rest")


def warm(body: Body, seat: str) -> bool:
    """Tell whether a joint of the battery's path made more heat in a match than its lug sheds [W]."""
    ohm = body.harm.added.get(seat, 0.0)
    if math.isinf(ohm):
        return False
    amps = min(_LONG_A, body.anatomy.main.sustained.value or _LONG_A, _RATED_V / (ohm + _LOAD_OHM))
    return amps * amps * ohm > _WARM_W
