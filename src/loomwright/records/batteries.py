"""What was recorded of each battery and each charger: readings, charges, matches, looks, and where it is."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.records.event import Kind
from loomwright.records.live import by_clock, heads
from loomwright.records.people import plain_name
from loomwright.records.rack_kinds import READINGS

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from loomwright.records.event import Event


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryRecord:
    """One battery by its label, written as whoever described it last has written it.

    `described` and `history` are all descriptions and all moves, `moves` those that none has replaced: several where
    people did not know of each other. All is in the order of the senders' clocks. Of what nobody described there is a
    record, too.
    """

    label: str
    described: tuple[Event, ...] = ()
    readings: tuple[Event, ...] = ()
    charges: tuple[Event, ...] = ()
    moves: tuple[Event, ...] = ()
    history: tuple[Event, ...] = ()
    matches: tuple[Event, ...] = ()
    released: frozenset[str] = frozenset()

    @property
    def place(self) -> Event | None:
        """The last move, None where nobody said where it is; of two at once the later by their clocks."""
        return self.moves[-1] if self.moves else None

    @property
    def alarms(self) -> tuple[Event, ...]:
        """The looks and the moves that put it aside and that no mentor has released."""
        looks = [event for event in self.readings if event.kind is Kind.LOOKED_OVER and event.words != "sound"]
        moves = [event for event in self.history if event.words == "quarantine"]
        return by_clock(event for event in (*looks, *moves) if event.key not in self.released)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargerRecord:
    """One charger by its label: all its descriptions, and the charges that ended on it."""

    label: str
    described: tuple[Event, ...] = ()
    charges: tuple[Event, ...] = ()


def battery_records(events: Iterable[Event]) -> Mapping[str, BatteryRecord]:
    """Return what some events tell of batteries, by label without case and spaces."""
    held = _by_name((event.about, event) for event in events if event.kind in _OF_BATTERIES)
    return MappingProxyType({name: _battery(of) for name, of in sorted(held.items())})


def charger_records(events: Iterable[Event]) -> Mapping[str, ChargerRecord]:
    """Return what some events tell of chargers, by label without case and spaces."""
    named = ((event.about if event.kind is Kind.CHARGER else event.tool, event) for event in events)
    held = _by_name((label, event) for label, event in named if label and event.kind in _OF_CHARGERS)
    found: dict[str, ChargerRecord] = {}
    for name, of in sorted(held.items()):
        told = by_clock(_of(of, Kind.CHARGER))
        label = heads(told)[-1].about if told else by_clock(of)[-1].tool
        found[name] = ChargerRecord(label=label, described=told, charges=by_clock(_of(of, Kind.CHARGED)))
    return MappingProxyType(found)


_OF_CHARGERS = frozenset({Kind.CHARGER, Kind.CHARGED})
_OF_BATTERIES = READINGS | {Kind.BATTERY, Kind.CHARGED, Kind.MOVED, Kind.PLAYED, Kind.RELEASED}


def _battery(events: Collection[Event]) -> BatteryRecord:
    told = by_clock(_of(events, Kind.BATTERY))
    ordered = by_clock(events)
    return BatteryRecord(
        label=heads(told)[-1].about if told else ordered[-1].about,
        described=told,
        readings=tuple(event for event in ordered if event.kind in READINGS),
        charges=by_clock(_of(events, Kind.CHARGED)),
        moves=heads(by_clock(_of(events, Kind.MOVED))),
        history=by_clock(_of(events, Kind.MOVED)),
        matches=by_clock(_of(events, Kind.PLAYED)),
        released=frozenset(key for event in _of(events, Kind.RELEASED) for key in event.of),
    )


def _of(events: Iterable[Event], kind: Kind) -> list[Event]:
    return [event for event in events if event.kind is kind]


def _by_name(named: Iterable[tuple[str, Event]]) -> dict[str, list[Event]]:
    found: dict[str, list[Event]] = {}
    for label, event in named:
        found.setdefault(plain_name(label), []).append(event)
    return found
