"""Charge a battery minute by minute, for the checker."""

from __future__ import annotations

from loomwright.rack.day.problem import DayPractice
from loomwright.rack.day.result import Stint


def charged_mah(practice: DayPractice, full_mah: int, charge_mah: int, stint: Stint) -> int:
    """Return the charge after a stint [mAh, rounded down at its end only].

    Each minute brings its share; from the bend on, what comes is `taper_slow` times less. Counted in parts of a mAh,
    so many to one that the taper's share is whole.
    """
    parts = practice.taper_slow
    minute_mah = max(1, int(round(stint.amps * practice.efficiency * 1000 / 60, 6)))
    bend = parts * max(0, full_mah - minute_mah * practice.taper_min)
    held = parts * charge_mah
    for _ in range(stint.from_min, stint.to_min):
        steady = min(parts * minute_mah, max(0, bend - held))
        # What the minute has left after the bend is reached comes as one part for each mAh, the mAh rounded up never.
        held = min(parts * full_mah, held + steady + (parts * minute_mah - steady) // parts)
    return held // parts
