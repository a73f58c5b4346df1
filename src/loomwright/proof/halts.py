"""What a halt of so many seconds tells, on this robot: who takes that long to come back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.catalogue.tables import number, table
from loomwright.proof.whereabouts import whereabouts
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.plan.result import Plan


@dataclass(frozen=True, slots=True)
class Returning:
    """A device that restarts when its power is gone: back after [s], works on without power for [s], and its feed.

    `hold_up_s` is None where its part does not state it.
    """

    device: str
    back_after_s: float
    hold_up_s: float | None
    fed_by: str


@dataclass(frozen=True, slots=True)
class Halt:
    """Halts of one length, from so many seconds up to so many (None: to the end of the match).

    `devices` are those of this robot that take that long to come back.
    """

    from_s: float
    to_s: float | None
    means: str
    look_at: str
    devices: tuple[Returning, ...]
    source: str


def halts(plan: Plan) -> tuple[Halt, ...]:
    """Return what a halt tells, the shortest first."""
    back = _returning(plan)
    found = []
    for row in table("halt"):
        from_s, to_s = float(row["from_s"]), number(row, "to_s")
        here = tuple(one for one in back if from_s <= one.back_after_s and (to_s is None or one.back_after_s < to_s))
        found.append(Halt(from_s, to_s, row["means"], row["look_at"], here, row["source"]))
    return tuple(found)


def _returning(plan: Plan) -> tuple[Returning, ...]:
    """Return everything on the robot that states how long it takes to come back, the quickest first."""
    found = [
        Returning(device.id, back_after_s, device.part.number("hold-up time"), whereabouts(plan, device).slot)
        for device in plan.robot
        if (back_after_s := device.part.number("recovery time")) is not None
    ]
    return tuple(sorted(found, key=lambda one: (one.back_after_s, natural(one.device), one.device)))
