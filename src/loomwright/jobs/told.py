"""Read what somebody tells as events of some kinds, all or none, and write it down."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.reading import EventRefusedError, read_event

if TYPE_CHECKING:
    from loomwright.records.event import Event, Kind, Role
    from loomwright.store import Store


def events_of(
    told: Sequence[object], kinds: Collection[Kind], *, thing: str, foreign: Callable[[Event], Finding]
) -> list[Event]:
    """Return what was told as events of these kinds; `foreign` says of another one that it does not belong here.

    Raises
    ------
    UnreadableInputError
        With everything that can't be understood or is of another kind.
    """
    faults: list[Finding] = []
    events: list[Event] = []
    for one in told:
        try:
            event = read_event(one)
        except EventRefusedError as error:
            fix = "Put it right and tell it again."
            faults += [Finding("not-an-event", Severity.MUST, Place(thing=thing), what, fix) for what in error.faults]
            continue
        if event.kind not in kinds:
            faults.append(foreign(event))
        events.append(event)
    if faults:
        raise UnreadableInputError(faults)
    return events


def write_down(store: Store, events: Sequence[Event], role: Role, *, now: str) -> int:
    """Write events down; return how many were new. `now` is the laptop's clock in UTC."""
    outcomes = store.append(list(events), role=role, received_at=now) if events else []
    return sum(str(outcome) == "added" for outcome in outcomes)
