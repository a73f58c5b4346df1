"""From the records to the team's batteries and chargers, as the rack reckons with them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from loomwright.rack.battery import BatteryClass, RackBattery
from loomwright.rack.physics import rejected
from loomwright.rack.readings import day_of, readings_of
from loomwright.records.live import heads
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.rack.readings import Reading
    from loomwright.records.batteries import BatteryRecord
    from loomwright.records.event import Event
    from loomwright.records.fold import State

ClassFor = Callable[[str, float | None], BatteryClass]
"""The class of a part by its id ("" for the robot's own), of a battery with a stated capacity [Ah] or None."""

#: The middle of a year, for a battery of which only the year is known.
_MIDDLE: Final = 7
_EPOCH: Final = date(1970, 1, 1).toordinal()


@dataclass(frozen=True, slots=True, kw_only=True)
class RackCharger:
    """One charger: its currents [A] where somebody said them, and the charges that ended on it."""

    label: str
    gentle_a: float | None = None
    fast_a: float | None = None
    charges: tuple[Reading, ...] = ()


def batteries_of(state: State, class_for: ClassFor) -> tuple[RackBattery, ...]:
    """Return every battery that the records tell of, in the order of their labels as people count."""
    found = [_battery(record, class_for) for record in state.batteries.values()]
    return tuple(sorted(found, key=lambda one: natural(one.label)))


def chargers_of(state: State) -> tuple[RackCharger, ...]:
    """Return every charger that the records tell of, in the order of their labels as people count."""
    found = []
    for record in state.chargers.values():
        told = standing(record.described)
        said = told.conditions if told is not None else {}
        gentle, fast = said.get("gentle_a"), said.get("fast_a")
        charges = readings_of(record.charges)
        found.append(RackCharger(label=record.label, gentle_a=gentle, fast_a=fast, charges=charges))
    return tuple(sorted(found, key=lambda one: natural(one.label)))


def standing(described: Sequence[Event]) -> Event | None:
    """Return the description that counts: of those that can be true, one that none has replaced; None without any."""
    possible = [event for event in described if not rejected(event)]
    return heads(possible)[-1] if possible else None


def _battery(record: BatteryRecord, class_for: ClassFor) -> RackBattery:
    told = standing(record.described)
    said = told.conditions if told is not None else {}
    place = record.place
    return RackBattery(
        label=record.label,
        of=class_for(told.words if told is not None else "", said.get("capacity_ah")),
        bought=_bought(told),
        cycles_before=int(said.get("cycles", 0)),
        readings=readings_of(record.readings),
        charges=readings_of(record.charges),
        matches=readings_of(record.matches),
        alarms=readings_of(record.alarms),
        place=place.words if place is not None else "",
        charger=place.tool if place is not None and place.words == "charger" else "",
        charging_a=place.conditions.get("amps") if place is not None and place.words == "charger" else None,
        there_since=day_of(place.measured_at) if place is not None else None,
        added=bool(record.described),
    )


def _bought(told: Event | None) -> float | None:
    """Return the day that a battery was bought, the middle of the month or year that somebody said."""
    if told is None or not (year := int(told.conditions.get("year", 0))) or not 1 <= year <= date.max.year:
        return None
    month = int(told.conditions.get("month", _MIDDLE))
    return float(date(year, min(12, max(1, month)), 15).toordinal() - _EPOCH)
