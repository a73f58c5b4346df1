"""What might be brought along: one more battery or charger like those that are there."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from loomwright.rack.day.problem import Day, DayBattery, DayCharger


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """How many more batteries like `battery`, or chargers like `charger`, would do; None: not even `tried` of them.

    `proved` says that fewer are proved not to do. `charger` is None where there is none to be like.
    """

    battery: DayBattery
    batteries: int | None
    charger: DayCharger | None
    chargers: int | None
    tried: int
    proved: bool


def like_best(day: Day) -> DayBattery:
    """Return a battery like the best of a day, full and cool: the one whose full charge is worth most."""
    best = max(day.batteries, key=lambda battery: (battery.health, battery.capacity_ah, battery.label))
    return replace(best, label="one more", charge=1.0, free_min=day.begins_min, ready_min=0, on=None)


def like_most(day: Day) -> DayCharger | None:
    """Return a charger like most of a day's; of several, the faster kind; None where the day has no charger."""
    kinds = Counter((charger.fast_a or charger.gentle_a, charger.gentle_a, charger.fast_a) for charger in day.chargers)
    if not kinds:
        return None
    _, gentle_a, fast_a = max(kinds, key=lambda kind: (kinds[kind], kind[0], kind[1]))
    return DayCharger(label="one more", gentle_a=gentle_a, fast_a=fast_a)


def with_batteries(day: Day, battery: DayBattery, count: int) -> Day:
    """Return the day with so many more batteries."""
    names = _fresh([one.label for one in day.batteries], battery.label, count)
    return replace(day, batteries=(*day.batteries, *(replace(battery, label=name) for name in names)))


def with_chargers(day: Day, charger: DayCharger, count: int) -> Day:
    """Return the day with so many more chargers."""
    names = _fresh([one.label for one in day.chargers], charger.label, count)
    return replace(day, chargers=(*day.chargers, *(replace(charger, label=name) for name in names)))


def _fresh(taken: list[str], name: str, count: int) -> list[str]:
    names = (f"{name} {number}" for number in range(1, len(taken) + count + 1))
    return [fresh for fresh in names if fresh not in taken][:count]
