"""Events and records for tests: made by hand with few words, and drawn by hypothesis."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from loomwright.records.event import NOTHING_BEFORE, Event, Kind, Record, Role
from loomwright.records.reading import EventRefusedError, read_event

NOON = "2026-02-07T12:00:00Z"


def key(number: int) -> str:
    """Return the key of a number."""
    return f"{number:032x}"


def event(number: int, kind: Kind, *, of: tuple[int, ...] = (), who: str = "AB", **fields: Any) -> Event:  # noqa: ANN401
    """Return one event; numbers stand for keys. Kinds that are about an end are about W1 A."""
    ends = {Kind.MADE, Kind.REDONE, Kind.PULLED, Kind.FAILED}
    named = {"wire": "W1", "end": "A"} if kind in ends else {}
    keys = tuple(sorted(key(one) for one in of))
    return Event(**{"key": key(number), "kind": kind, "who": who, "measured_at": NOON, "of": keys} | named | fields)


def recorded(*events: Event, role: Role = Role.STUDENT, origin: str = "laptop-a") -> tuple[Record, ...]:
    """Return the chain of records that one laptop writes of these events."""
    records: list[Record] = []
    for n, one in enumerate(events, 1):
        before = records[-1].hash if records else NOTHING_BEFORE
        records.append(
            Record(event=one, role=role, origin=origin, sequence=n, received_at=NOON, before=before),
        )
    return tuple(records)


def faults(sent: object) -> tuple[str, ...]:
    """Return why an event is refused; () where it is taken."""
    try:
        read_event(sent)
    except EventRefusedError as error:
        return error.faults
    return ()


@st.composite
def histories(draw: st.DrawFn, *, most: int = 14) -> list[Record]:
    """Draw records of one to two laptops whose events judge, replace and take back each other in any way."""
    count = draw(st.integers(1, most))
    events = []
    for n in range(1, count + 1):
        kind = draw(st.sampled_from(list(Kind)))
        of = draw(st.sets(st.integers(1, count), max_size=3)) - {n}
        who = draw(st.sampled_from(["AB", "ab", "Kim", "Z"]))
        about = {} if kind in (Kind.MADE, Kind.REDONE, Kind.PULLED, Kind.FAILED) else {"about": draw(_ABOUT)}
        value = {"value": float(draw(st.integers(1, 9)))} if kind in (Kind.SET_BEGUN, Kind.MEASURED) else {}
        at = f"2026-02-07T12:00:{draw(st.integers(0, 59)):02}Z"
        events.append(event(n, kind, of=tuple(of), who=who, measured_at=at, **about, **value))
    role = draw(st.sampled_from(list(Role)))
    here = recorded(*events, role=role)
    both = draw(st.lists(st.sampled_from(events), unique_by=lambda one: one.key))
    return [*here, *recorded(*both, role=draw(st.sampled_from(list(Role))), origin="laptop-b")]


_ABOUT = st.sampled_from(["battery out", "row", "held"])
