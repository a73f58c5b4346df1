"""What stands of readings, looks and power: the newest that somebody knew of, and what a power-on revokes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.records.event import Kind
from loomwright.records.live import heads, in_order

if TYPE_CHECKING:
    from loomwright.records.event import Event

About = tuple[str, str]
"""A build, and the key of a row, a look or a slot."""


@dataclass(frozen=True, slots=True)
class ReadingState:
    """One row: the readings that no later one replaced, and the approvals of a mentor that speak of them."""

    name: About
    readings: tuple[Event, ...]
    approvals: tuple[Event, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that the next reading of this row names in `of`."""
        return tuple(event.key for event in self.readings)

    @property
    def approved(self) -> bool:
        """Whether each of its readings was explained and signed."""
        signed = {key for event in self.approvals for key in event.of}
        return bool(self.readings) and signed.issuperset(self.keys)


@dataclass(frozen=True, slots=True)
class PowerState:
    """What was last told of a build's power: the power events that none replaced, and which looks stand.

    `confirmed` gives the confirmations of each look that know of every power-on: any other was made before one, or
    without knowledge of it, and is revoked. `was_on` tells whether anybody ever told of power on. Whether the robot
    has power, nobody but people can see.
    """

    last: tuple[Event, ...] = ()
    confirmed: Mapping[str, tuple[Event, ...]] = field(default_factory=lambda: MappingProxyType({}))
    was_on: bool = False

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that the next confirmation or power event names in `of`."""
        return tuple(event.key for event in self.last)

    @property
    def on(self) -> Event | None:
        """The last word that power is on, None where each has been answered by one that it is off again."""
        return next((event for event in reversed(self.last) if event.kind is Kind.POWER_ON), None)

    @property
    def told_on(self) -> bool:
        """Whether somebody told that power is on and nobody that it is off again."""
        return self.on is not None

    def confirmations(self, look: str) -> tuple[Event, ...]:
        """Return the confirmations of a look that stand."""
        return self.confirmed.get(look, ())


def reading_states(events: Iterable[Event]) -> Mapping[About, ReadingState]:
    """Return the state of each row that has a reading."""
    found: dict[About, list[Event]] = {}
    approvals: dict[About, list[Event]] = {}
    for event in events:
        if event.kind is Kind.MEASURED:
            found.setdefault((event.build, event.about), []).append(event)
        elif event.kind is Kind.APPROVED:
            approvals.setdefault((event.build, event.about), []).append(event)
    return {name: ReadingState(name, heads(held), in_order(approvals.get(name, ()))) for name, held in found.items()}


def power_state(events: Iterable[Event]) -> PowerState:
    """Return the state of power from the power events and confirmations of one build."""
    held = [event for event in events if event.kind in (Kind.POWER_ON, Kind.POWER_OFF, Kind.CONFIRMED)]
    power = {event.key: event for event in held if event.kind is not Kind.CONFIRMED}
    ons = {key for key, event in power.items() if event.kind is Kind.POWER_ON}
    confirmed: dict[str, list[Event]] = {}
    for event in held:
        if event.kind is Kind.CONFIRMED and _past(event, power) >= ons:
            confirmed.setdefault(event.about, []).append(event)
    return PowerState(
        last=heads(list(power.values())),
        confirmed={look: in_order(standing) for look, standing in confirmed.items()},
        was_on=bool(ons),
    )


def _past(event: Event, power: Mapping[str, Event]) -> set[str]:
    """Return the power events that an event knew of, straight or through others."""
    seen: set[str] = set()
    waiting = list(event.of)
    while waiting:
        key = waiting.pop()
        if key in power and key not in seen:
            seen.add(key)
            waiting += power[key].of
    return seen
