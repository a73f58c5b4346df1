"""When a match begins, as people write it: 9:05, 9:05 pm, 24:10, with a day, a date or a weekday beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from loomwright.robotfile.lists.written_when import UnclearTimeError, read_when
from loomwright.wording import quoted

DAY_MIN: Final = 1440
_CLOCK: Final = re.compile(
    r"(?P<hour>\d{1,2})[:.](?P<minute>\d\d)(?::\d\d(?:\.\d+)?)?\s*(?:(?P<half>[ap])\.?m\.?)?", re.IGNORECASE | re.ASCII
)
_DAY: Final = re.compile(r"(?:day\s*)?(?P<number>\d{1,2})", re.IGNORECASE | re.ASCII)
_DATE_FIRST: Final = re.compile(r"(?P<date>\S*\d[-/.]\s?\d\S*)[T ]+(?P<clock>\d{1,2}[:.]\d\d.*)")
_WEEK: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_LAST_HOUR: Final = 47
_HALF_DAY_H: Final = 12
_HALF_DAY_MIN: Final = DAY_MIN // 2


class UnclearMomentError(ValueError):
    """A time that can't be understood: `what` says why, `fix` what to write ("": as usual)."""

    def __init__(self, what: str, fix: str = "") -> None:
        """Keep both."""
        self.what, self.fix = what, fix
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class Moment:
    """A minute of a day. `said` tells that somebody wrote the day, `dated` that they wrote it as a date.

    `weekday` is the number of the day of the week where that was written (Monday is 0), else -1.
    """

    day: int
    at_min: int
    said: bool = False
    dated: bool = False
    weekday: int = -1


def read_moment(time: str, day: str, before: Moment | None) -> Moment:
    """Read a time with what stands in the column of the day ("": nothing), after the moment of the row before.

    Without a day the match is on the day of the one before; half a day or more back is after midnight, on the next.

    Raises
    ------
    UnclearMomentError
        For what is no time, no day, and days that are written in two ways.
    """
    found = _DATE_FIRST.fullmatch(time)
    if found is not None:
        day, time = day or found["date"], found["clock"]
    at_min = _minutes(time)
    if not day:
        return _going_on(at_min, before)
    moment = _on_day(day, at_min, before)
    if before is not None and (moment.dated, moment.weekday < 0) != (before.dated, before.weekday < 0):
        if before.said:
            what = f"{quoted(day)} is a day written in another way than the one before."
            raise UnclearMomentError(what, "Write all days alike: as dates, as numbers or as days of the week.")
        raise UnclearMomentError(f"{quoted(day)} is the first day that is written.", "Write the day of every match.")
    return moment


def _going_on(at_min: int, before: Moment | None) -> Moment:
    if before is None:
        return Moment(0, at_min)
    past = before.at_min - at_min >= _HALF_DAY_MIN
    return Moment(before.day + past, at_min, before.said, before.dated, before.weekday)


def _minutes(text: str) -> int:
    """Read a time of day in minutes; from 24:00 on it is that of the next day."""
    found = _CLOCK.fullmatch(text.strip())
    if found is None:
        raise UnclearMomentError(f"{quoted(text)} is no time of day.")
    hour, minute, half = int(found["hour"]), int(found["minute"]), (found["half"] or "").casefold()
    if half and not 1 <= hour <= _HALF_DAY_H:
        raise UnclearMomentError(f"{quoted(text)} is no time of day.")
    if half:
        hour = hour % _HALF_DAY_H + (_HALF_DAY_H if half == "p" else 0)
    if hour > _LAST_HOUR or minute > 59:  # noqa: PLR2004  an hour has 60 minutes
        raise UnclearMomentError(f"{quoted(text)} is no time of day.")
    return hour * 60 + minute


def _on_day(day: str, at_min: int, before: Moment | None) -> Moment:
    number = _DAY.fullmatch(day)
    if number is not None:
        return Moment(int(number["number"]), at_min, said=True)
    word = day.casefold().rstrip(".")
    if word in _WEEK or word in _WEEKDAYS:
        weekday = _WEEK.index(word[:3])
        ahead = 0 if before is None or before.weekday < 0 else (weekday - before.weekday) % 7
        return Moment((before.day if before is not None else 0) + ahead, at_min, said=True, weekday=weekday)
    try:
        return Moment(read_when(day).day.toordinal(), at_min, said=True, dated=True)
    except UnclearTimeError as error:
        fix = "Write a date as `2026-02-07`, a number, or a day of the week."
        raise UnclearMomentError(f"{quoted(day)} {error.what}.", fix) from None
