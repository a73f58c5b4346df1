"""What a battery is held against, in its class's own terms: limits told for one class, scaled to the others."""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING

from loomwright.rack.health.capacity import least_share, scale
from loomwright.rack.health.practice import limit
from loomwright.rack.health.resistance import class_share

if TYPE_CHECKING:
    from loomwright.rack.battery import BatteryClass


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits of one class, resistances [ohm] at its own test currents, charged and at 25 C.

    `least_share` is what is left of the rating, in the sheet's terms, where it gives what is asked at the test current.
    `scaled` tells that the limits were told for another capacity.
    """

    good_ohm: float
    match_ohm: float
    retire_ohm: float
    least_ah: float
    least_share: float
    load_a: float
    scaled: bool

    @property
    def log_least(self) -> float:
        """The logarithm of `least_share`."""
        return log(self.least_share)

    def log_shares(self, of: BatteryClass) -> tuple[float, float]:
        """Return the logarithms of the two limits that decide, not for matches and to retire, over the class's own."""
        return log(self.match_ohm / of.ohm), log(self.retire_ohm / of.ohm)


def limits_of(of: BatteryClass) -> Limits:
    """Return the limits of a class: resistances in inverse proportion to its capacity, currents and charge with it."""
    times = scale(of)
    ohm = class_share(of) / times
    return Limits(
        good_ohm=limit("good ohm") * ohm,
        match_ohm=limit("match ohm") * ohm,
        retire_ohm=limit("retire ohm") * ohm,
        least_ah=limit("least capacity") * times,
        least_share=least_share(of),
        load_a=limit("load current") * times,
        scaled=times != 1.0,
    )
