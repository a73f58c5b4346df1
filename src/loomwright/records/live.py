"""Which events stand: not taken back, and not replaced by one that knew of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.records.event import MENTORS_ONLY, Kind, Role

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from loomwright.records.event import Event, Record


def live_events(records: Iterable[Record]) -> dict[str, Event]:
    """Return every event that counts once, by its key: without those that a mentor took back.

    What only a mentor may do and nobody sent as one does not count. An event that reached two laptops has two records.
    Nothing takes back a taking back: what was wrongly taken back is signed again.
    """
    kept: dict[str, Event] = {}
    for record in sorted(records, key=_by_origin, reverse=True):
        if record.role is Role.MENTOR or record.event.kind not in MENTORS_ONLY:
            kept[record.event.key] = record.event
    gone = {key for event in kept.values() if event.kind is Kind.TAKEN_BACK for key in event.of}
    return {key: event for key, event in kept.items() if key not in gone or event.kind is Kind.TAKEN_BACK}


def heads(events: Collection[Event]) -> tuple[Event, ...]:
    """Return those of some events that no other one of them names in `of`; all of them where they name each other."""
    named = {key for event in events for key in event.of}
    standing = [event for event in events if event.key not in named]
    return in_order(standing or events)


def in_order(events: Iterable[Event]) -> tuple[Event, ...]:
    """Sort events by their senders' clocks, then by key: a stable order to read, not a proof of what came first."""
    return tuple(sorted(events, key=lambda event: (event.measured_at, event.key)))


def same_person(one: str, other: str) -> bool:
    """Tell whether two initials or nicknames are the same but for case and spaces."""
    return plain_name(one) == plain_name(other)


def plain_name(who: str) -> str:
    """Return initials or a nickname without case and spaces, as people are told apart by."""
    return "".join(who.casefold().split())


def _by_origin(record: Record) -> tuple[str, int]:
    return record.origin, record.sequence
