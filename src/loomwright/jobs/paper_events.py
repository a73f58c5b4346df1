"""From the rows of a pull sheet to events: the same row is the same event, however often it is typed in."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from loomwright.findings import Finding
from loomwright.records.reading import EventRefusedError, read_event

if TYPE_CHECKING:
    from loomwright.robotfile.lists.pull_sheet import PullRow
    from loomwright.robotfile.lists.written_when import When

#: In the middle of a day it is the same day nearly everywhere.
_NOON: Final = dt.time(12)
_STAMP: Final = "%Y-%m-%dT%H:%M:%SZ"


@dataclass(frozen=True, slots=True)
class PaperEvent:
    """One event as it is sent, and the row that it comes from; `data` is None where the records have it already."""

    key: str
    row: PullRow
    data: Mapping[str, Any] | None


def key_of(*parts: str) -> str:
    """Return 32 hexadecimal digits, the same for the same parts (source: fips-180-4-memory)."""
    return hashlib.sha256(json.dumps(["paper", *parts], ensure_ascii=False).encode()).hexdigest()[:32]


def measured_at(when: When | None, *, now: str, zone: dt.tzinfo | None) -> str:
    """Return when a row says that it was, in UTC: a day alone is its noon, and nothing is later than `now`.

    A time of day is that of a watch in `zone`, None for the laptop's.
    """
    if when is None:
        return now
    moment = dt.datetime.combine(when.day, when.clock or _NOON)
    aware = moment.replace(tzinfo=dt.UTC) if when.clock is None else moment.replace(tzinfo=zone).astimezone(dt.UTC)
    return min(aware.strftime(_STAMP), now)


def is_to_come(when: When | None, *, now: str) -> bool:
    """Tell whether a day is after today, wherever on earth that is today."""
    return when is not None and when.day > dt.date.fromisoformat(now[:10]) + dt.timedelta(days=1)


def refused(events: Sequence[PaperEvent]) -> list[Finding]:
    """Tell of every event that the records would not take, where its row stands."""
    faults: list[Finding] = []
    for event in events:
        if event.data is None:
            continue
        try:
            read_event(event.data)
        except EventRefusedError as error:
            fix = "Put the row right; initials or a nickname have up to 24 characters, a note up to 600."
            faults += [event.row.fault("not-an-event", what, fix) for what in error.faults]
    return faults
