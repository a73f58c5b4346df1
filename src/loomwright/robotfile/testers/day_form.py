"""How a tester writes days and times, said in words: `day/month/year hour:minute`, `month day year`."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.wording import listed, quoted

_MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_PARTS: Final = {
    "year": r"(?P<year>\d{4}|\d{2})",
    "month": r"(?P<month>\d{1,2}|[a-z]{3,9}\.?)",
    "day": r"(?P<day>\d{1,2})",
    "hour": r"(?P<hour>\d{1,2})",
    "minute": r"(?P<minute>\d{2})",
    "second": r"(?P<second>\d{2})(?:\.\d+)?",
    "am/pm": r"(?P<half>[ap])\.?m\.?",
}
_WORD: Final = re.compile(r"am/pm|[a-z]+")
_DATE: Final = ("year", "month", "day")
_CENTURY: Final = 2000
_HALF_DAY: Final = 12
_EXAMPLE: Final = "Write it in words, such as `day/month/year hour:minute` or `month-day-year hour:minute am/pm`."


@dataclass(frozen=True, slots=True)
class DayForm:
    """A form of days and times, in words."""

    text: str

    def read(self, text: str) -> tuple[dt.date, dt.time | None] | None:
        """Return the day, and the time of day where the form has one; None for a text of another form."""
        found = _pattern(self.text).fullmatch(" ".join(text.casefold().split()))
        if found is None:
            return None
        held = found.groupdict()
        try:
            return _day(held), _clock(held)
        except ValueError:
            return None


def day_form(text: str) -> DayForm:
    """Read a form; raise NotReadableError for unknown words, a word twice, and a form without a whole day."""
    plain = " ".join(text.casefold().split())
    words = _WORD.findall(plain)
    if strange := [word for word in words if word not in _PARTS]:
        what = f"{quoted(strange[0])} is no part of a day or a time: those are {listed(list(_PARTS), 'and')}."
        raise NotReadableError("unknown-word", what, _EXAMPLE)
    if twice := [word for word in words if words.count(word) > 1]:
        raise NotReadableError("word-twice", f"{quoted(twice[0])} stands twice in this form.", _EXAMPLE)
    if lacking := [word for word in _DATE if word not in words]:
        raise NotReadableError("no-whole-day", f"This form has no {listed(lacking, 'and no')}.", _EXAMPLE)
    if ("hour" in words) != ("minute" in words) or ({"second", "am/pm"} & set(words) and "hour" not in words):
        raise NotReadableError("no-whole-time", "This form has a part of a time of day only.", _EXAMPLE)
    return DayForm(plain)


@lru_cache(maxsize=32)
def _pattern(form: str) -> re.Pattern[str]:
    pieces: list[str] = []
    end = 0
    for word in _WORD.finditer(form):
        pieces += [re.escape(form[end : word.start()]), _PARTS[word[0]]]
        end = word.end()
    return re.compile("".join([*pieces, re.escape(form[end:])]), re.ASCII)


def _day(held: dict[str, str]) -> dt.date:
    year, month = int(held["year"]), held["month"].rstrip(".")
    number = int(month) if month.isdecimal() else _MONTHS.index(month[:3]) + 1
    return dt.date(year if year > 99 else _CENTURY + year, number, int(held["day"]))  # noqa: PLR2004  two digits


def _clock(held: dict[str, str]) -> dt.time | None:
    if held.get("hour") is None:
        return None
    hour, half = int(held["hour"]), held.get("half")
    if half is not None:
        if not 1 <= hour <= _HALF_DAY:
            raise ValueError(hour)
        hour = hour % _HALF_DAY + (_HALF_DAY if half == "p" else 0)
    return dt.time(hour, int(held["minute"]), int(held.get("second") or 0))
