"""From when a battery may go on a charger, and from when into the robot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.rack.practice import rack_practice
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.day.problem import DayPractice

MINUTE: Final = 1 / 1440
"""One minute [days]."""


@dataclass(frozen=True, slots=True)
class Cool:
    """From which day [since 1970] a battery may be charged, and from which it may be used; `hot` as it was last read.

    A day that is past says that it may now.
    """

    charge_from: float
    use_from: float
    hot: bool


def cool_of(battery: RackBattery, practice: DayPractice, now: float) -> Cool:
    """Tell when a battery is cool, from its last match, its last fast charge, and where it was put.

    A battery that came out of the robot cools before it is charged; one that was charged fast cools before it is used.
    """
    matches = [one.day + practice.back_min * MINUTE for one in battery.matches[-1:]]
    put_aside = [battery.there_since] if battery.place == "cooling" and battery.there_since is not None else []
    fast = [one.day for one in battery.charges[-1:] if practice.is_fast(one.said("amps") or 0.0)]
    hot = _hot(battery, now)
    charge_from = max([*matches, *put_aside, *fast], default=float("-inf")) + practice.cool_before_min * MINUTE
    use_from = max([*fast, *put_aside], default=float("-inf")) + practice.cool_after_fast_min * MINUTE
    return Cool(charge_from, use_from, hot)


def _hot(battery: RackBattery, now: float) -> bool:
    """Tell whether the last temperature that somebody read, not long ago, is too high."""
    read = [one for one in battery.readings if one.kind is Kind.WARMTH and not one.rejected and one.day <= now]
    holds = rack_practice("warm reading holds") * MINUTE
    return bool(read) and now - read[-1].day <= holds and (read[-1].value or 0.0) >= rack_practice("hot")
