"""Capacity tests made alike: the share of its rating that a battery holds, by the sheet and at 25 C."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, log
from typing import TYPE_CHECKING

from loomwright.rack.health.discharge import delivered_share, warmth_factor
from loomwright.rack.health.practice import limit, practice

if TYPE_CHECKING:
    from loomwright.rack.battery import BatteryClass
    from loomwright.rack.health.charge import Held
    from loomwright.rack.health.timeline import Moment

#: Where the sheet's discharges end [V]; a test that is stopped within this of it counts.
_CUTOFF_V = 10.5
_CUTOFF_NEAR_V = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Discharged:
    """A capacity test: what was delivered [Ah], and the logarithm of the share of the rating that this speaks of.

    `doubt` is one standard deviation of the logarithm. `charged` tells whether it surely began charged.
    """

    moment: Moment
    delivered_ah: float
    log_share: float
    doubt: float
    charged: bool


def tested(moment: Moment, of: BatteryClass, held: Held) -> Discharged | str:
    """Return what a capacity test speaks of, or why it tells nothing.

    What it delivers is divided by what the sheet lets a new battery deliver at that current, and by what warmth makes
    of it. Far from the usual test current the sheet is less sure: its battery is another. `held` is what the battery
    held before: what it was not charged with, a test does not find.
    """
    reading = moment.reading
    load_a, cutoff_v, hours = reading.conditions["load_a"], reading.conditions["cutoff_v"], reading.value or 0.0
    delivered_ah = load_a * hours
    if delivered_ah > limit("most delivered") * of.capacity_ah:
        rated = f"more than {limit('most delivered'):g} times the {of.capacity_ah:g} Ah it is rated"
        return f"{delivered_ah:.1f} Ah are {rated}: no battery gives that. Read hours and amps again."
    if not _CUTOFF_V - _CUTOFF_NEAR_V <= cutoff_v <= _CUTOFF_V + _CUTOFF_NEAR_V:
        return f"It was stopped at {cutoff_v:g} V; the sheet it is held against ends at {_CUTOFF_V:g} V."
    warm = reading.said("temperature_c")
    warmth = 1.0 if warm is None else warmth_factor(warm, hours * 60)
    share = delivered_share(load_a, of.capacity_ah)
    far = log(share / delivered_share(usual_current_a(of), of.capacity_ah))
    doubts = (
        practice("capacity noise"),
        practice("sheet doubt") * far,
        practice("untold warmth doubt") if warm is None else practice("climate doubt") * log(warmth),
        held.doubt / held.middle,
    )
    log_share = log(delivered_ah / of.capacity_ah / share / warmth / held.middle)
    return Discharged(
        moment=moment,
        delivered_ah=delivered_ah,
        log_share=log_share,
        doubt=hypot(*doubts),
        charged=held.enough >= practice("surely charged"),
    )


def usual_current_a(of: BatteryClass) -> float:
    """Return the usual test current of a class [A], scaled with its capacity."""
    return limit("test current") * scale(of)


def at_usual_current_ah(share: float, of: BatteryClass) -> float:
    """Return what a battery with a share of its rating delivers at the usual test current [Ah]."""
    return share * of.capacity_ah * delivered_share(usual_current_a(of), of.capacity_ah)


def least_share(of: BatteryClass) -> float:
    """Return the share of its rating that a match battery has to hold, in the sheet's terms."""
    return limit("least capacity") * scale(of) / at_usual_current_ah(1.0, of)


def scale(of: BatteryClass) -> float:
    """Return how many times the class it is that the limits are told for; a class of 17 Ah is the same one."""
    ratio = of.capacity_ah / limit("class capacity")
    return 1.0 if abs(log(ratio)) < log(limit("class capacity") / 17) + 1e-9 else ratio
