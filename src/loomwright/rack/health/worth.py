"""What a battery is worth beside a new one of its class, and as a match study takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rack.health.capacity import scale
from loomwright.rack.health.practice import practice
from loomwright.rack.health.result import ForMatch

if TYPE_CHECKING:
    from loomwright.rack.battery import BatteryClass, RackBattery
    from loomwright.rack.health.result import Estimate, Health


def worth(health: Health, of: BatteryClass) -> float:
    """Return what a full charge is worth beside a new battery's, from 0 to 1: its charge times its voltage.

    The voltage is what is left above the point where outputs go off, while a robot hurries (180 A of the 18 Ah class).
    """
    current_a = practice("planning current") * scale(of)
    spare_v = practice("planning voltage") - practice("outputs off")
    left_v = spare_v - health.resistance_ohm.middle * current_a
    new_v = spare_v - of.ohm * current_a
    if new_v <= 0:
        return 0.0
    return _share(left_v / new_v) * _share(health.capacity_ah.middle / of.capacity_ah)


def for_match(health: Health, battery: RackBattery, now_day: float) -> ForMatch:
    """Return the battery as a match study takes it: factors on its class, its charge, and the air around it."""
    return ForMatch(
        ohm=_over(health.resistance_ohm, battery.of.ohm),
        capacity=_over(health.capacity_ah, battery.of.capacity_ah),
        charge=(health.charge.low, health.charge.high),
        air_c=_air(battery, now_day),
    )


def _air(battery: RackBattery, now_day: float) -> tuple[float, float]:
    """Return the air: around a temperature that was told within a day, otherwise that of a usual event."""
    every = (*battery.readings, *battery.charges)
    told = [(one.day, one.key, warm) for one in every if (warm := one.said("temperature_c")) is not None]
    recent = [one for one in told if 0 <= now_day - one[0] <= 1]
    if not recent:
        return practice("air low"), practice("air high")
    warm, doubt = max(recent)[2], practice("air told doubt")
    return warm - doubt, warm + doubt


def _over(estimate: Estimate, by: float) -> tuple[float, float]:
    return estimate.low / by, estimate.high / by


def _share(value: float) -> float:
    return min(max(value, 0.0), 1.0)
