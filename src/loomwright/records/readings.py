"""What stands of readings, looks and power: the newest that somebody knew of, and what power and danger revoke."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.records.alarms import Alarms
from loomwright.records.event import Kind
from loomwright.records.live import heads

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

    def approved(self, readings: Iterable[Event]) -> bool:
        """Tell whether each of some of its readings was explained and signed."""
        signed = {key for event in self.approvals for key in event.of}
        asked = {event.key for event in readings}
        return bool(asked) and signed >= asked


@dataclass(frozen=True, slots=True)
class PowerState:
    """What was last told of a build's power: the power events that none replaced, and which looks stand.

    `alarms` are all power events and every danger. `confirmed` gives the confirmations of each look that knew each of
    these to be over: any other was made before it, during it, or without knowledge of it, and is revoked. `was_on`
    tells whether anybody ever told of power on. Whether the robot has power, nobody but people can see.
    """

    last: tuple[Event, ...] = ()
    confirmed: Mapping[str, tuple[Event, ...]] = field(default_factory=lambda: MappingProxyType({}))
    was_on: bool = False
    alarms: Alarms = field(default_factory=Alarms)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that the next confirmation or power event names in `of`."""
        return self.alarms.keys

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
    return {name: ReadingState(name, heads(held), tuple(approvals.get(name, ()))) for name, held in found.items()}


def power_state(
    events: Iterable[Event], dangers: Iterable[Event], places: Mapping[str, int] = MappingProxyType({})
) -> PowerState:
    """Return the state of power from the power events and confirmations of one build, and all that tells of dangers.

    `places` tell where each event stands among all, by its key.
    """
    held = list(events)
    power = [event for event in held if event.kind in (Kind.POWER_ON, Kind.POWER_OFF)]
    told = sorted([*power, *dangers], key=lambda event: places.get(event.key, 0))
    alarms = Alarms({event.key: event for event in told}, places)
    confirmed: dict[str, list[Event]] = {}
    stands: dict[tuple[str, ...], bool] = {}  # whoever answers a list names the same with each answer
    for event in held:
        if event.kind is Kind.CONFIRMED:
            if event.of not in stands:
                stands[event.of] = alarms.missed_by(event) is None
            if stands[event.of]:
                confirmed.setdefault(event.about, []).append(event)
    return PowerState(
        last=heads(power),
        confirmed={look: tuple(standing) for look, standing in confirmed.items()},
        was_on=any(event.kind is Kind.POWER_ON for event in power),
        alarms=alarms,
    )
