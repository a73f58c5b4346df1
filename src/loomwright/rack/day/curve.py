"""How a battery takes charge: steady up to a bend, then slower up to full; whole milliampere-hours and minutes."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.rack.day.problem import DayPractice

_MIN_PER_H = 60
_MAH_PER_AH = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The charge of one battery at one current: `pace_mah` a minute up to `bend_mah`, then `slow` times slower.

    Two straight pieces stand for a steady current and one that dies away: with the time constant τ of the second, full
    is τ at the steady current away at the bend, and about 3 τ later it is there.
    """

    full_mah: int
    bend_mah: int
    pace_mah: int
    slow: int

    def after(self, from_mah: int, minutes: int) -> int:
        """Return the charge after so many minutes [mAh, rounded down]."""
        steady_mah = self._steady(from_mah) + self.pace_mah * minutes
        bent_mah = self.bend_mah + (steady_mah - self.bend_mah) // self.slow
        return min(self.full_mah, steady_mah if steady_mah <= self.bend_mah else bent_mah)

    def minutes_to_full(self, from_mah: int) -> int:
        """Return the minutes that it takes to be full."""
        return -(-(self._steady(self.full_mah) - self._steady(from_mah)) // self.pace_mah)

    def _steady(self, charge_mah: int) -> int:
        """Return the charge that the same minutes would have given without a taper [mAh]."""
        return max(charge_mah, self.bend_mah + self.slow * (charge_mah - self.bend_mah))


def curve_of(practice: DayPractice, full_mah: int, amps: float) -> Curve:
    """Return the curve of a battery at a current; a pace below 1 mAh a minute counts as that."""
    # Rounded down, so that no plan promises more than comes; first to a millionth, so that 30 stays 30.
    pace_mah = max(1, int(round(amps * practice.efficiency * _MAH_PER_AH / _MIN_PER_H, 6)))
    bend_mah = max(0, full_mah - pace_mah * practice.taper_min)
    return Curve(full_mah=full_mah, bend_mah=bend_mah, pace_mah=pace_mah, slow=practice.taper_slow)
