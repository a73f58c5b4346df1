"""What stands of one wire's end: who made it, who pulled it, whether it held; whatever order the events came in."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.records.event import Kind
from loomwright.records.live import heads
from loomwright.records.people import same_person

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from loomwright.records.event import Event

EndName = tuple[str, str, str]
"""A build, a wire's id, an end's letter."""


class Standing(StrEnum):
    """How far an end is by what was recorded; a later plan may still send it back."""

    TO_DO = "to do"
    MADE = "made"
    PULLED_ALONE = "pulled, not witnessed"
    PULLED = "pulled"
    REDO = "redo"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndState:
    """One end: its standing, and the events behind it.

    `made` are the signatures that nothing has replaced: one, or several where two people signed the same end without
    knowing of each other (`twice`); the standing is then that of the worst of them. `pulls` and `failures` are what was
    found of those. `history` are all its events that were not taken back, in their order.
    """

    name: EndName
    standing: Standing
    made: tuple[Event, ...] = ()
    pulls: tuple[Event, ...] = ()
    failures: tuple[Event, ...] = ()
    history: tuple[Event, ...] = ()

    @property
    def twice(self) -> bool:
        """Whether it was signed more than once, each time without knowledge of the other."""
        return len(self.made) > 1

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that the next event about this end names in `of`."""
        return tuple(event.key for event in self.made)

    @property
    def as_planned(self) -> Mapping[str, str]:
        """Return what the end was signed as; nothing while it is to do."""
        return self.made[0].as_planned if self.made else MappingProxyType({})


_WORST = (Standing.REDO, Standing.MADE, Standing.PULLED_ALONE, Standing.PULLED)


def end_state(name: EndName, events: Collection[Event]) -> EndState:
    """Return the state of one end from its events in their order, those that were taken back left out."""
    signed = heads([event for event in events if event.kind in (Kind.MADE, Kind.REDONE)])
    about = {event.key for event in signed}
    judged = [event for event in events if about.intersection(event.of)]
    pulls = tuple(event for event in judged if event.kind is Kind.PULLED)
    failures = tuple(event for event in judged if event.kind is Kind.FAILED)
    standings = [_standing(event, pulls, failures) for event in signed]
    return EndState(
        name=name,
        standing=min(standings, key=_WORST.index, default=Standing.TO_DO),
        made=signed,
        pulls=pulls,
        failures=failures,
        history=tuple(events),
    )


def _standing(made: Event, pulls: Iterable[Event], failures: Iterable[Event]) -> Standing:
    if any(made.key in event.of for event in failures):
        return Standing.REDO
    who = [event.who for event in pulls if made.key in event.of]
    if any(not same_person(one, made.who) for one in who):
        return Standing.PULLED
    return Standing.PULLED_ALONE if who else Standing.MADE
