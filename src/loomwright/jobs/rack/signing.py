"""Take in what somebody tells of a battery or a charger, and say at once what it counts for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.jobs.told import events_of, write_down
from loomwright.rack.physics import rejected
from loomwright.records.fold import fold
from loomwright.records.people import plain_name
from loomwright.records.rack_kinds import RACK
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from loomwright.records.event import Event, Role
    from loomwright.records.fold import State
    from loomwright.store import Store


@dataclass(frozen=True, slots=True)
class Signed:
    """What became of what was told: so many events were added, so many known before; `rejected` count for nothing."""

    added: int
    known: int
    rejected: tuple[tuple[Event, str], ...] = ()


def sign_rack(store: Store, told: Sequence[object], role: Role, *, now: str) -> Signed:
    """Write events of the rack down, all or none; `now` is the laptop's clock in UTC.

    A reading that no battery can show is written down too, and told of: it counts for nothing.

    Raises
    ------
    UnreadableInputError
        Where an event can't be understood or is none of the rack; nothing is written then.
    """
    events = events_of(told, RACK, thing="rack", foreign=_foreign)
    added = write_down(store, events, role, now=now)
    odd = tuple((event, why) for event in events if (why := rejected(event)))
    return Signed(added, len(events) - added, odd)


def state_of(store: Store) -> State:
    """Return what the records say."""
    return fold(store.records())


def known_label(state: State, label: str, *, charger: bool = False) -> str:
    """Return a label as it is written in the records, whatever case and spaces it was typed with.

    Raises
    ------
    UnreadableInputError
        Where there is no such battery (or charger); with the nearest ones.
    """
    held = state.chargers if charger else state.batteries
    found = held.get(plain_name(label))
    if found is not None:
        return found.label
    labels = [one.label for one in held.values()]
    what = "charger" if charger else "battery"
    close = nearest(label, labels) or labels[:3]
    hint = f"Did you mean {listed([quoted(one) for one in close])}? " if close else ""
    option = " --charger" if charger else ""
    fix = f"{hint}A new one is added by `loomwright rack add {label}{option}`."
    finding = Finding(f"no-such-{what}", Severity.MUST, Place(thing=label), f"There is no {what} {quoted(label)}.", fix)
    raise UnreadableInputError([finding])


def _foreign(event: Event) -> Finding:
    what = f"`{event.kind}` is nothing that is told of a battery."
    return Finding("not-of-the-rack", Severity.MUST, Place(thing="rack"), what, "Put it right and tell it again.")
