"""Days and times as people write them down: 2026-02-07, 7.2.2026, 2026-02-07 14:30."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import Final

_CLOCK: Final = r"(?:[T ]+(?P<hour>\d{1,2}):(?P<minute>\d\d)(?::(?P<second>\d\d)(?:\.\d+)?)?)?"
_YEAR_FIRST: Final = re.compile(r"(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})" + _CLOCK)
_DOTTED: Final = re.compile(r"(?P<day>\d{1,2})\.\s?(?P<month>\d{1,2})\.\s?(?P<year>\d{4})" + _CLOCK)
_SLASHED: Final = re.compile(r"(?P<one>\d{1,2})/(?P<other>\d{1,2})/(?P<year>\d{4})" + _CLOCK)
_MONTHS: Final = 12


class UnclearTimeError(ValueError):
    """A day or a time that can't be understood; `what` says why."""

    def __init__(self, what: str) -> None:
        """Keep the reason."""
        self.what = what
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class When:
    """A day, and the time of day on somebody's watch where they wrote one."""

    day: dt.date
    clock: dt.time | None = None

    def __str__(self) -> str:
        """Write it one way, whatever way it was written in: the same row has the same key."""
        return self.day.isoformat() if self.clock is None else f"{self.day} {self.clock.isoformat()}"


def read_when(text: str) -> When:
    """Read a day, or a day and a time.

    Raises
    ------
    UnclearTimeError
        For anything else, and for 3/4/2026, which is a day in March or in April.
    """
    found = _YEAR_FIRST.fullmatch(text) or _DOTTED.fullmatch(text)
    if found is not None:
        return _when(found, int(found["month"]), int(found["day"]))
    found = _SLASHED.fullmatch(text)
    if found is None:
        raise UnclearTimeError("is no day")
    one, other = int(found["one"]), int(found["other"])
    if one <= _MONTHS and other <= _MONTHS and one != other:
        raise UnclearTimeError("could be either of two days")
    return _when(found, *((one, other) if one <= _MONTHS else (other, one)))


def _when(found: re.Match[str], month: int, day: int) -> When:
    try:
        date = dt.date(int(found["year"]), month, day)
        clock = (
            None
            if found["hour"] is None
            else dt.time(int(found["hour"]), int(found["minute"]), int(found["second"] or 0))
        )
    except ValueError:
        raise UnclearTimeError("is no day of any calendar, or no time of day") from None
    # A spreadsheet writes midnight behind a day that has no time.
    return When(date, None if clock == dt.time() else clock)
