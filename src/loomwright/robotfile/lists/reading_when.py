"""When a reading was taken: as a tester writes it or as people do, and as a record has it."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.lists.written_when import UnclearTimeError, When, read_when

if TYPE_CHECKING:
    from loomwright.robotfile.testers.day_form import DayForm

_ISO: Final = re.compile(r"\d{4}-")
#: In the middle of a day it is the same day nearly everywhere.
_NOON: Final = dt.time(12)
_STAMP: Final = "%Y-%m-%dT%H:%M:%SZ"


def when_read(text: str, form: DayForm | None) -> When:
    """Read a day in the tester's form, or in the usual ones; raise UnclearTimeError.

    A workbook has its own form for a day that it knows as one: the year comes first.
    """
    if form is None or _ISO.match(text):
        return read_when(text)
    found = form.read(text)
    if found is None:
        raise UnclearTimeError(f"is no day as `{form.text}`")
    return When(*found)


def measured_at(when: When, *, now: str, zone: dt.tzinfo | None) -> str:
    """Return when it was, in UTC: a day alone is its noon, and nothing is later than `now`."""
    moment = dt.datetime.combine(when.day, when.clock or _NOON)
    aware = moment.replace(tzinfo=dt.UTC) if when.clock is None else moment.replace(tzinfo=zone).astimezone(dt.UTC)
    stamp = aware.strftime(_STAMP)
    return min(stamp, now) if now else stamp
