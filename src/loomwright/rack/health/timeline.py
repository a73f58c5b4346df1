"""What happened to a battery in the order of its days: when it was last charged, loaded and seen at rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.rack.health.practice import practice
from loomwright.rack.health.rest_curve import hours_since
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.rack.battery import RackBattery
    from loomwright.rack.readings import Reading

#: What draws so much that the battery needs a rest after it; a voltage under load is read within seconds.
LOADS = frozenset({Kind.PLAYED, Kind.CAPACITY, Kind.LOAD_TEST})
#: What changes the charge, so that an earlier rest voltage is one of another battery.
_SPENDS = frozenset({Kind.CHARGED, Kind.PLAYED, Kind.CAPACITY})


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One thing that happened, and what came before it.

    `wear` is the number of cycles until then [cycles]; the hours since charge and load are as told with the reading,
    otherwise as recorded, None where nobody knows. `rest` is when the last rest voltage that still holds was read.
    """

    reading: Reading
    wear: float
    since_charge_h: float | None
    since_load_h: float | None
    rest: Moment | None

    @property
    def rest_v(self) -> float | None:
        """The voltage at rest that was read: as the reading itself, before a load, before a match."""
        if self.reading.kind is Kind.RESTED:
            return self.reading.value
        return self.reading.said("before_v" if self.reading.kind is Kind.PLAYED else "rest_v")


def moments(battery: RackBattery) -> tuple[Moment, ...]:
    """Return what counts of a battery in order of time, then of the keys, in whatever order it arrived."""
    return tuple(_told(battery))


def wear_of(battery: RackBattery, day: float, recorded: int) -> float:
    """Return the cycles that a battery has behind it: those known, and at least some for every year of its age."""
    aged = 0.0 if battery.bought is None else (day - battery.bought) / 365.25 * practice("cycles per year")
    return max(battery.cycles_before + recorded, aged, 0.0)


def _told(battery: RackBattery) -> Iterator[Moment]:
    charged: float | None = None
    loaded: float | None = None
    rest: Moment | None = None
    cycles = 0
    for one in _ordered(battery):
        said = {"charge": one.said("since_charge_h"), "load": one.said("since_load_h")}
        now = Moment(
            reading=one,
            wear=wear_of(battery, one.day, cycles),
            since_charge_h=hours_since(one.day, charged) if said["charge"] is None else said["charge"],
            since_load_h=hours_since(one.day, loaded) if said["load"] is None else said["load"],
            rest=rest if rest is not None and one.day - rest.reading.day <= practice("rest age") else None,
        )
        yield now
        cycles += one.kind in {Kind.PLAYED, Kind.CAPACITY}
        charged = one.day if one.kind is Kind.CHARGED else charged
        loaded = one.day if one.kind in LOADS else loaded
        rest = now if one.kind is Kind.RESTED else None if one.kind in _SPENDS else rest


def _ordered(battery: RackBattery) -> list[Reading]:
    every = {one.key: one for one in (*battery.readings, *battery.charges, *battery.matches) if not one.rejected}
    return sorted(every.values(), key=lambda one: (one.day, one.key))
