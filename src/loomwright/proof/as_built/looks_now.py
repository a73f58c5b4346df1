"""Which answers to a look count now: they grow old, and they hold for what people knew when they gave them."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from loomwright.records.people import same_person

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from loomwright.records.event import Event
    from loomwright.records.fold import State

#: After this pause people look again [s] (source: own-choice).
PAUSE_S: Final = 1800.0
#: Two laptops' clocks may be so far apart [s] (source: own-choice).
_APART_S: Final = 120.0


def answers_now(state: State, build: str, look: str, now: str, *, rests_on: Collection[str] = ()) -> tuple[Event, ...]:
    """Return the answers to a look that count now, by a laptop's clock in UTC; `rests_on`: what to know for it.

    An answer counts for half an hour from when a laptop first wrote it down. One that its own phone calls older than
    that by then was kept on the way, or the phone's clock is slow: it tells nothing of now.
    """
    needed = set(rests_on)
    told = state.power_of(build).confirmations(look)
    return tuple(event for event in told if _is_fresh(state, event, now) and needed.issubset(event.of))


def slow_clocks(state: State, build: str, look: str, now: str) -> list[str]:
    """Return who answered a look just now by a clock that says it was long ago."""
    told = state.power_of(build).confirmations(look)
    return people(event.who for event in told if _age_s(state, event, now) <= PAUSE_S and _is_late(state, event))


def standing_now(state: State, build: str, now: str) -> str:
    """Return a word that changes when an answer grows old, so that what was shown of it is shown anew."""
    confirmed = state.power_of(build).confirmed.values()
    return " ".join(event.key[:8] for held in confirmed for event in held if _is_fresh(state, event, now))


def people(names: Iterable[str]) -> list[str]:
    """Return each person once."""
    found: list[str] = []
    for name in names:
        if not any(same_person(name, other) for other in found):
            found.append(name)
    return found


def _is_fresh(state: State, event: Event, now: str) -> bool:
    return -_APART_S <= _age_s(state, event, now) <= PAUSE_S and not _is_late(state, event)


def _is_late(state: State, event: Event) -> bool:
    return _seconds(event.measured_at, state.received[event.key]) > PAUSE_S


def _age_s(state: State, event: Event, now: str) -> float:
    return _seconds(state.received[event.key], now)


def _seconds(since: str, until: str) -> float:
    return (datetime.fromisoformat(until) - datetime.fromisoformat(since)).total_seconds()
