"""Hunts for a fault at the robot: what can be told of one, and what stands of each, whatever order it came in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.records.event import Kind
from loomwright.records.live import heads

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from loomwright.records.event import Event

#: Everything of a hunt; all but the first name their hunt in `of`.
HUNTS: Final = frozenset({Kind.HUNT, Kind.OBSERVED, Kind.MENDED, Kind.DANGER, Kind.CLEARED, Kind.HUNT_ENDED})
#: What a value of each kind is in.
HUNT_UNITS: Final = MappingProxyType({Kind.OBSERVED: ("V", "A", "ohm")})
#: What makes a hunt stand still until a mentor has looked.
DANGERS: Final = ("smoke", "hiss", "swelling", "heat", "burnt smell")
#: How a hunt ends.
HUNT_ENDS: Final = ("found", "no wiring fault", "given up")
#: The hunt itself, and one danger of it at least.
_FEWEST_CLEARED: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntRecord:
    """One hunt of a build, named by the key of the event that began it; all of it in the order of all events.

    `observations` are those that no other one replaced, `mended` all that was mended, `dangers` those that no mentor
    has cleared. `ended` is how it ended, of several at once the one that came last; None while it goes on.
    """

    key: str
    build: str
    begun: Event
    observations: tuple[Event, ...] = ()
    mended: tuple[Event, ...] = ()
    dangers: tuple[Event, ...] = ()
    ended: Event | None = None

    @property
    def open(self) -> bool:
        """Whether nobody has ended it."""
        return self.ended is None


def hunt_records(events: Iterable[Event]) -> dict[str, tuple[HuntRecord, ...]]:
    """Return the hunts of each build, the newest begun last.

    What names a hunt that is not there, or not of its own build, counts for nothing until that hunt arrives.
    """
    told = [event for event in events if event.kind in HUNTS]
    begun = {event.key: event for event in told if event.kind is Kind.HUNT}
    held: dict[str, list[Event]] = {key: [] for key in begun}
    for event in told:
        for key in event.of:
            if key in begun and begun[key].build == event.build:
                held[key].append(event)
    found: dict[str, list[HuntRecord]] = {}
    for event in begun.values():
        found.setdefault(event.build, []).append(_hunt(event, held[event.key]))
    return {build: tuple(hunts) for build, hunts in sorted(found.items())}


def open_dangers(events: Iterable[Event]) -> tuple[Event, ...]:
    """Return every danger that no mentor has cleared, of whatever hunt and build, and of a hunt that never arrived."""
    told = [event for event in events if event.kind in (Kind.DANGER, Kind.CLEARED)]
    cleared = {key for event in told if event.kind is Kind.CLEARED for key in event.of}
    return tuple(event for event in told if event.kind is Kind.DANGER and event.key not in cleared)


def hunt_faults(event: Event) -> Iterator[str]:
    """Say what is wrong with what an event tells of a hunt."""
    if event.kind not in HUNTS:
        return
    if event.kind is not Kind.HUNT and not event.of:
        yield f"`of` of `{event.kind}` names its hunt: the key of the event `{Kind.HUNT}` that began it."
    if event.kind is Kind.CLEARED and len(event.of) < _FEWEST_CLEARED:
        yield f"`of` of `{event.kind}` names the hunt and each `{Kind.DANGER}` that is over, by their keys."
    if event.kind is Kind.OBSERVED:
        yield from _misobserved(event)
    if event.kind is Kind.DANGER and event.words not in DANGERS:
        yield f"`words` of a danger is one of {', '.join(DANGERS)}."
    if event.kind is Kind.HUNT_ENDED and event.words not in HUNT_ENDS:
        yield f"`words` of a hunt's end is one of {', '.join(HUNT_ENDS)}."


def _misobserved(event: Event) -> Iterator[str]:
    units = HUNT_UNITS[Kind.OBSERVED]
    if event.value is None and not event.words:
        yield "An observation has `words`, the outcome, or a `value` with its `unit`; an open one has the words `open`."
    if event.value is None and event.unit not in ("", *units):
        yield f"`unit` of an observation is one of {', '.join(units)}, or left out where there is no `value`."


def _hunt(begun: Event, told: Collection[Event]) -> HuntRecord:
    cleared = {key for event in _of(told, Kind.CLEARED) for key in event.of}
    ends = heads(_of(told, Kind.HUNT_ENDED))
    return HuntRecord(
        key=begun.key,
        build=begun.build,
        begun=begun,
        observations=heads(_of(told, Kind.OBSERVED)),
        mended=tuple(_of(told, Kind.MENDED)),
        dangers=tuple(event for event in _of(told, Kind.DANGER) if event.key not in cleared),
        ended=ends[-1] if ends else None,
    )


def _of(events: Iterable[Event], kind: Kind) -> list[Event]:
    return [event for event in events if event.kind is kind]
