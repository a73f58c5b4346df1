"""A battery's readings as numbers on a line of days, those that no battery can show told apart."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.rack.physics import rejected

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.records.event import Event, Kind

_DAY_S = 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading, charge, look or match: `value` in the unit of its kind, at `day` [days since 1970, UTC].

    `conditions` have their units in their names: `low_a`, `since_charge_h`. `words` are the look or the match, `tool`
    the tester or the charger. `rejected` says why it counts for nothing ("": it counts).
    """

    key: str
    kind: Kind
    day: float
    who: str
    value: float | None = None
    conditions: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    tool: str = ""
    words: str = ""
    rejected: str = ""

    def said(self, name: str) -> float | None:
        """Return one of the conditions, None where nobody said it."""
        return self.conditions.get(name)


def readings_of(events: Iterable[Event]) -> tuple[Reading, ...]:
    """Return events as readings in the order of the senders' clocks, then of their keys."""
    found = [_reading(event) for event in events]
    return tuple(sorted(found, key=lambda one: (one.day, one.key)))


def day_of(moment: str) -> float:
    """Return a moment, as `2026-02-07T09:30:00Z`, in days since 1970."""
    return datetime.fromisoformat(moment).timestamp() / _DAY_S


def _reading(event: Event) -> Reading:
    return Reading(
        key=event.key,
        kind=event.kind,
        day=day_of(event.measured_at),
        who=event.who,
        value=event.value,
        conditions=event.conditions,
        tool=event.tool,
        words=event.words,
        rejected=rejected(event),
    )
