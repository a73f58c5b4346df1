"""Whether a battery holds what it was charged with, by its rest voltages hours after a finished charge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rack.health.practice import limit

if TYPE_CHECKING:
    from loomwright.rack.health.timeline import Moment

_DAY_H = 24.0


def lows_with(lows: tuple[Moment, ...], now: Moment) -> tuple[Moment, ...]:
    """Return the last flat rest voltage of each charge that was not held, one more moment taken in.

    A flat one counts at once. It is a second charge's only if that charge ended after the first was read, and one that
    shows that a charge is held takes one back.
    """
    if _is_flat(now):
        return (*lows, now) if not lows or _charged_day(now) > lows[-1].reading.day else (*lows[:-1], now)
    return lows[:-1] if _holds(now) else lows


def like_a_shorted_cell(low: Moment) -> bool:
    """Tell whether a rest voltage is that of five charged cells: the sixth may be shorted."""
    return limit("five cells low") <= (low.rest_v or 0.0) <= limit("five cells high")


def _is_flat(now: Moment) -> bool:
    """Tell whether it is flat without a load or a long stand that would have emptied it."""
    hours, unloaded = now.since_charge_h, now.since_load_h
    if now.rest_v is None or hours is None or (unloaded is not None and unloaded < hours):
        return False
    return limit("held from") <= hours <= limit("held to") and now.rest_v <= limit("flat rest")


def _holds(now: Moment) -> bool:
    """Tell whether it is far from flat, and not by what a charger leaves on the surface."""
    hours = now.since_charge_h
    return now.rest_v is not None and hours is not None and hours >= limit("held from") and now.rest_v >= limit("held")


def _charged_day(now: Moment) -> float:
    return now.reading.day - (now.since_charge_h or 0.0) / _DAY_H
