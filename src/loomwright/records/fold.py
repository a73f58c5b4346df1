"""From all records to the state of the robot: the same for the same records, in whatever order they came."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.records.batteries import BatteryRecord, ChargerRecord, battery_records, charger_records
from loomwright.records.ends import EndName, EndState, Standing, end_state
from loomwright.records.event import Kind
from loomwright.records.hunts import HuntRecord, hunt_records, open_dangers
from loomwright.records.live import heads, live_events, received_first
from loomwright.records.readings import About, PowerState, ReadingState, power_state, reading_states

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.records.event import Event, Record

_OF_ENDS = (Kind.MADE, Kind.REDONE, Kind.PULLED, Kind.FAILED)
_OF_POWER = (Kind.POWER_ON, Kind.POWER_OFF, Kind.CONFIRMED)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetState:
    """One set of sample crimps: how it was begun and the pulls that name it. `begun` tells its size in `value`."""

    begun: Event
    pulls: tuple[Event, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What the records say, by build: ends, readings, power, slots as found, sample sets, hunts, notes, settings.

    Nothing here knows the plan; see `jobs.bench` for what fits it. `batteries` and `chargers` belong to the team, by
    their labels without case and spaces. `dangers` are those that no mentor has cleared, `alarms` all that was told of
    dangers and of their end. `events` are those that were not taken back, in the one order of all (`records.live`);
    `places` tell the place of each in it, and `received` when it was first written down, by a laptop's clock.
    """

    ends: Mapping[EndName, EndState] = field(default_factory=lambda: MappingProxyType({}))
    readings: Mapping[About, ReadingState] = field(default_factory=lambda: MappingProxyType({}))
    power: Mapping[str, PowerState] = field(default_factory=lambda: MappingProxyType({}))
    slots: Mapping[About, tuple[Event, ...]] = field(default_factory=lambda: MappingProxyType({}))
    sets: tuple[SetState, ...] = ()
    notes: tuple[Event, ...] = ()
    settings: Mapping[str, tuple[Event, ...]] = field(default_factory=lambda: MappingProxyType({}))
    hunts: Mapping[str, tuple[HuntRecord, ...]] = field(default_factory=lambda: MappingProxyType({}))
    batteries: Mapping[str, BatteryRecord] = field(default_factory=lambda: MappingProxyType({}))
    chargers: Mapping[str, ChargerRecord] = field(default_factory=lambda: MappingProxyType({}))
    dangers: tuple[Event, ...] = ()
    alarms: tuple[Event, ...] = ()
    events: Mapping[str, Event] = field(default_factory=lambda: MappingProxyType({}))
    places: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    received: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def end(self, build: str, wire: str, letter: str) -> EndState:
        """Return the state of one end, "to do" where nothing was recorded of it."""
        name = (build, wire, letter)
        return self.ends.get(name) or EndState(name=name, standing=Standing.TO_DO)

    def setting(self, name: str) -> str:
        """Return what a mentor has set, "" where nobody has; of two at once the one that came last."""
        held = self.settings.get(name, ())
        return held[-1].words if held else ""

    def power_of(self, build: str) -> PowerState:
        """Return what was told of a build's power."""
        return self.power.get(build) or power_state((), self.alarms, self.places)

    def hunt(self, build: str) -> HuntRecord | None:
        """Return the newest hunt of a build that nobody has ended, None where none is open."""
        return next((hunt for hunt in reversed(self.hunts.get(build, ())) if hunt.open), None)


def fold(records: Iterable[Record]) -> State:
    """Return the state that some records tell."""
    kept = list(records)
    events = live_events(kept)
    places = {key: n for n, key in enumerate(events)}
    alarms = tuple(event for event in events.values() if event.kind in (Kind.DANGER, Kind.CLEARED))
    received = received_first(kept)
    ends: dict[EndName, list[Event]] = {}
    power: dict[str, list[Event]] = {}
    traced: dict[About, list[Event]] = {}
    for event in events.values():
        if event.kind in _OF_ENDS:
            ends.setdefault((event.build, event.wire, event.end), []).append(event)
        elif event.kind in _OF_POWER:
            power.setdefault(event.build, []).append(event)
        elif event.kind is Kind.TRACED:
            traced.setdefault((event.build, event.about), []).append(event)
    return State(
        ends={name: end_state(name, held) for name, held in sorted(ends.items())},
        readings=dict(sorted(reading_states(events.values()).items())),
        power={build: power_state(held, alarms, places) for build, held in sorted(power.items())},
        slots={name: heads(held) for name, held in sorted(traced.items())},
        sets=tuple(_sets(events)),
        notes=tuple(event for event in events.values() if event.kind is Kind.NOTED),
        settings=_settings(events),
        hunts=hunt_records(events.values()),
        batteries=battery_records(events.values()),
        chargers=charger_records(events.values()),
        dangers=open_dangers(events.values()),
        alarms=alarms,
        events=events,
        places=places,
        received={key: received[key] for key in events},
    )


def _sets(events: Mapping[str, Event]) -> Iterable[SetState]:
    pulls: dict[str, list[Event]] = {}
    for event in events.values():
        if event.kind is Kind.SAMPLE:
            for key in event.of:
                pulls.setdefault(key, []).append(event)
    for begun in (event for event in events.values() if event.kind is Kind.SET_BEGUN):
        yield SetState(begun=begun, pulls=tuple(pulls.get(begun.key, ())))


def _settings(events: Mapping[str, Event]) -> Mapping[str, tuple[Event, ...]]:
    """Return by name the settings that none has replaced."""
    by_name: dict[str, list[Event]] = {}
    for event in events.values():
        if event.kind is Kind.SETTING:
            by_name.setdefault(event.about, []).append(event)
    return {name: heads(held) for name, held in sorted(by_name.items())}
