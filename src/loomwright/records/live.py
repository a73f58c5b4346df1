"""Which events stand: not taken back, not replaced by one that knew of them; and in which order they are told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.records.event import MENTORS_ONLY, Kind, Role

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from loomwright.records.event import Event, Record


def live_events(records: Iterable[Record]) -> dict[str, Event]:
    """Return every event that counts once, by its key, in their order: without those that a mentor took back.

    What only a mentor may do and nobody sent as one does not count. An event that reached two laptops has two records.
    Nothing takes back a taking back: what was wrongly taken back is signed again. The order is the one order of all
    that is folded: what an event names comes before it, what one laptop wrote down comes as it wrote it, and what says
    nothing of each other comes as laptops received it. No sender's clock has a say.
    """
    kept: dict[str, Record] = {}
    for record in sorted(records, key=_by_origin, reverse=True):
        if record.role is Role.MENTOR or record.event.kind not in MENTORS_ONLY:
            kept[record.event.key] = record
    gone = {key for one in kept.values() if one.event.kind is Kind.TAKEN_BACK for key in one.event.of}
    held = {key: one for key, one in kept.items() if key not in gone or one.event.kind is Kind.TAKEN_BACK}
    return {key: held[key].event for key in _in_order(held)}


def received_first(records: Iterable[Record]) -> dict[str, str]:
    """Return when each event was first written down, by the clock of the laptop that did, by its key."""
    found: dict[str, str] = {}
    for record in records:
        key, at = record.event.key, record.received_at
        if key not in found or _moment(at) < _moment(found[key]):
            found[key] = at
    return found


def heads(events: Collection[Event]) -> tuple[Event, ...]:
    """Return those of some events that no other one of them names in `of`; all of them where they name each other."""
    named = {key for event in events for key in event.of}
    standing = [event for event in events if event.key not in named]
    return tuple(standing or events)


def by_clock(events: Iterable[Event]) -> tuple[Event, ...]:
    """Sort events by their senders' clocks, then by key: for what people date by hand, not for what came first."""
    return tuple(sorted(events, key=lambda event: (event.measured_at, event.key)))


def _in_order(held: Mapping[str, Record]) -> list[str]:
    """Sort keys so that what an event names, and what its laptop wrote before it, stands before it."""
    rank = {key: n for n, key in enumerate(sorted(held, key=lambda key: _by_arrival(held[key])))}
    before: dict[str, list[str]] = {}
    last: dict[str, str] = {}
    for key in sorted(held, key=lambda key: _by_origin(held[key])):
        record = held[key]
        named = [one for one in record.event.of if one in held]
        before[key] = sorted([*named, *([last[record.origin]] if record.origin in last else [])], key=rank.__getitem__)
        last[record.origin] = key
    order: dict[str, None] = {}
    opened: set[str] = set()
    for first in rank:
        waiting = [first]
        while waiting:
            key = waiting[-1]
            if key in order or key in opened:
                order.setdefault(waiting.pop())
                continue
            opened.add(key)
            waiting += [one for one in reversed(before[key]) if one not in opened]
    return list(order)


def _by_arrival(record: Record) -> tuple[str, str, int]:
    return _moment(record.received_at), record.origin, record.sequence


def _by_origin(record: Record) -> tuple[str, int]:
    return record.origin, record.sequence


def _moment(stamp: str) -> str:
    """Return a time in UTC so that texts sort as moments do, with a fraction of a second or without."""
    return stamp.removesuffix("Z")
