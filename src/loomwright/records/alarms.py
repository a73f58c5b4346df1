"""What takes everybody's word back: power told on, and danger. Whoever looks has to know each, and that it is over."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.records.event import Kind
from loomwright.records.live import heads

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from loomwright.records.event import Event

#: What begins an alarm, and what ends it; an ending names what it ends.
ALARMS: Final = frozenset({Kind.POWER_ON, Kind.DANGER})
ENDINGS: Final = frozenset({Kind.POWER_OFF, Kind.CLEARED})


@dataclass(frozen=True, slots=True)
class Alarms:
    """What was told of one build's power, and of every danger, by key; `places` tell where each event of all stands.

    An alarm that nobody has answered is open. Power is answered by whoever tells it off and knew of it, straight or
    through others; a danger by a mentor who names it.
    """

    told: Mapping[str, Event] = field(default_factory=lambda: MappingProxyType({}))
    places: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that whoever looks names in `of`: with these they know of everything."""
        return tuple(event.key for event in heads(list(self.told.values()))) if self.told else ()

    def missed_by(self, event: Event) -> Event | None:
        """Return the first alarm that an event did not know of, or knew of as open; None where it knew all as over."""
        return self._first(self.past(event.of), self.told)

    def met_by(self, event: Event, kinds: Collection[Kind] = ALARMS) -> Event | None:
        """Return the first alarm of some kinds that an event came into: one before it that it did not know to be over.

        Of an event that names nothing of power or danger (they once did not) it counts what had come before it.
        """
        place = self.places.get(event.key, len(self.places))
        until = {key: one for key, one in self.told.items() if self.places.get(key, 0) < place}
        past = self.past(event.of)
        return self._first(past or set(until), {key: one for key, one in until.items() if one.kind in kinds})

    def past(self, of: Iterable[str]) -> set[str]:
        """Return what of this whoever names some keys knew of, straight or through others."""
        seen: set[str] = set()
        waiting = list(of)
        while waiting:
            key = waiting.pop()
            if key in self.told and key not in seen:
                seen.add(key)
                waiting += self.told[key].of
        return seen

    def _first(self, known: set[str], alarms: Mapping[str, Event]) -> Event | None:
        over = self._over(known)
        return next((one for key, one in alarms.items() if one.kind in ALARMS and key not in over), None)

    def _over(self, known: set[str]) -> set[str]:
        """Return the alarms among some events that are over by these events alone."""
        held = [self.told[key] for key in known]
        cleared = {key for event in held if event.kind is Kind.CLEARED for key in event.of}
        power = [event for event in held if event.kind in (Kind.POWER_ON, Kind.POWER_OFF)]
        on = {event.key for event in heads(power) if event.kind is Kind.POWER_ON} if power else set()
        ons = {event.key for event in power if event.kind is Kind.POWER_ON}
        return (ons - on) | (cleared & known)
