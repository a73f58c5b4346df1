"""The matches of a day: from a list with names and times, or as they are typed on the command line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.rack.day.problem import Match
from loomwright.robotfile.lists.headings import headings_of, names_of, said_in, twice
from loomwright.robotfile.lists.match_times import DAY_MIN, Moment, UnclearMomentError, read_moment
from loomwright.robotfile.lists.typed_table import TypedTable, read_tables
from loomwright.wording import quoted

NAME: Final = "matches.csv"
WANTED: Final = "`match` and `time`"
#: What a title means.
MEANINGS: Final = {
    **dict.fromkeys(("match", "name", "our match"), "match"),
    **dict.fromkeys(("time", "at", "start", "starts", "when", "date and time"), "time"),
    **dict.fromkeys(("day", "date"), "day"),
    **dict.fromkeys(("may", "maybe", "perhaps", "may be played"), "may"),
}
_YES: Final = frozenset({"yes", "y", "true", "may", "maybe", "perhaps"})
_NO: Final = frozenset({"no", "n", "false"})
_HALF_DAY_MIN: Final = DAY_MIN // 2
_TYPED_FIX: Final = "Write names with times, as `Q1 9:05, Q7 10:20, F1 16:00 may`."


@dataclass(frozen=True, slots=True)
class MatchList:
    """Matches in the order of time, in minutes since midnight of the first day.

    `first` is its date where the list has dates, `weekday` the day of the week (Monday is 0) where it has those (else
    -1), `numbered` whether it has numbers of days.
    """

    matches: tuple[Match, ...]
    first: dt.date | None = None
    weekday: int = -1
    numbered: bool = False


def read_matches(content: bytes, *, file: str = NAME) -> tuple[Match, ...]:
    """Return the matches of a CSV file or a workbook in the order of time, in minutes since midnight of the first day.

    Raises as `read_match_list` does.
    """
    return read_match_list(content, file=file).matches


def read_match_list(content: bytes, *, file: str = NAME) -> MatchList:
    """Return the matches of a CSV file or a workbook, with the date of their first day where one is written.

    Raises
    ------
    UnreadableInputError
        For a file that holds no such list, and with every row that can't be understood.
    """
    try:
        tables = read_tables(content, file=file, is_head=_is_head, wanted=WANTED)
    except UnreadableInputError as error:
        raise UnreadableInputError(_told_ours(fault) for fault in error.faults) from None
    reading = _Reading([fault for table in tables for fault in twice(table, MEANINGS, units=False)])
    for table in tables:
        for piece in _pieces(table, reading):
            reading.take(piece)
    matches = reading.matches(Place(file))
    last, first = reading.before, reading.first_day
    if last is None or first is None or not last.said:
        return MatchList(matches)
    if last.dated:
        return MatchList(matches, dt.date.fromordinal(first))
    weekday = (last.weekday - (last.day - first)) % 7 if last.weekday >= 0 else -1
    return MatchList(matches, weekday=weekday, numbered=weekday < 0)


def typed_matches(text: str) -> tuple[Match, ...]:
    """Return the matches of a text such as `Q1 9:05, Q7 10:20, F1 16:00 may`, in the order of time.

    Raises
    ------
    UnreadableInputError
        With every piece that can't be understood.
    """
    reading = _Reading()
    for piece in text.replace(";", ",").replace("\n", ",").split(","):
        words = piece.split()
        if not words:
            continue
        may = words[-1].casefold() in _YES and len(words) > 1
        words = words[:-1] if may else words
        # The half of the day may stand apart: `Q1 9:05 am`.
        count = 2 if len(words) > 1 and words[-1].casefold().replace(".", "") in ("am", "pm") else 1
        name, time = " ".join(words[:-count]), " ".join(words[-count:])
        reading.take(_Piece(Place(thing=" ".join(piece.split())), name, time, "", may, _TYPED_FIX))
    return reading.matches(Place())


@dataclass(frozen=True, slots=True)
class _Piece:
    """One match as it is written: where, and what; `fix` shows how such a list is written."""

    place: Place
    name: str
    time: str
    day: str
    may: bool
    fix: str = "Write `9:05`, or `2026-02-07 9:05`."


def _is_head(cells: Sequence[str]) -> bool:
    meant = {MEANINGS.get(name) for name in names_of(cells)}
    return {"match", "time"} <= meant


def _told_ours(fault: Finding) -> Finding:
    if fault.code != "no-column-names":
        return fault
    fix = "Write `match,time` above the rows, and below it such as `Q1,9:05`."
    return Finding(fault.code, fault.severity, fault.place, fault.what, fix)


def _pieces(table: TypedTable, reading: _Reading) -> Iterator[_Piece]:
    """Give the rows of a table as they are written."""
    headings = headings_of(table)
    for row in table.rows:
        said = said_in(row, headings, comma_decimals=False)
        cells = {MEANINGS[one.heading.name]: one for one in said if one.heading.name in MEANINGS}
        text = {meaning: one.text for meaning, one in cells.items()}
        if not text:
            continue
        may = text.get("may", "").casefold()
        place = table.place(row.line, 0, text.get("match", ""))
        if may and may not in _YES | _NO:
            at = table.place(row.line, cells["may"].heading.column, text.get("match", ""))
            reading.fault(at, "not-yes-or-no", f"{quoted(text['may'])} is no yes and no no.", "Write `yes` or `no`.")
        yield _Piece(place, text.get("match", ""), text.get("time", ""), text.get("day", ""), may in _YES)


@dataclass(slots=True)
class _Reading:
    """A list of matches as it is read; faults are noted until all of it is read."""

    faults: list[Finding] = field(default_factory=list)
    found: list[tuple[_Piece, Match]] = field(default_factory=list)
    before: Moment | None = None
    first_day: int | None = None

    def take(self, piece: _Piece) -> None:
        """Take one match; its time counts from midnight of the first day."""
        if not piece.name:
            self.fault(piece.place, "no-name", "This match has no name.", "Write what it is called on the schedule.")
            return
        if not piece.time:
            self.fault(piece.place, "no-time", f"{quoted(piece.name)} has no time.", piece.fix)
            return
        try:
            moment = read_moment(piece.time, piece.day, self.before)
        except UnclearMomentError as error:
            self.fault(piece.place, "no-time", error.what, error.fix or piece.fix)
            return
        if self.before is not None and not self._in_order(piece, moment):
            return
        self.first_day = moment.day if self.first_day is None else min(self.first_day, moment.day)
        self.before = moment
        self.found.append((piece, Match(name=piece.name, at_min=moment.day * DAY_MIN + moment.at_min, may=piece.may)))

    def matches(self, place: Place) -> tuple[Match, ...]:
        """Return the matches in the order of time; raise UnreadableInputError with all that is wrong."""
        if not self.found and not self.faults:
            self.fault(place, "no-match", "There is no match here.", "Write each match with its time.")
        self._twice()
        if self.faults:
            raise UnreadableInputError(self.faults)
        start = (self.first_day or 0) * DAY_MIN
        found = [Match(name=one.name, at_min=one.at_min - start, may=one.may) for _, one in self.found]
        return tuple(sorted(found, key=lambda match: match.at_min))

    def fault(self, place: Place, code: str, what: str, fix: str) -> None:
        """Note a fault."""
        self.faults.append(Finding(code, Severity.MUST, place, what, fix))

    def _in_order(self, piece: _Piece, moment: Moment) -> bool:
        """Refuse a step back in time that could be a slip or another day; `read_moment` has seen to midnight."""
        before = self.before
        if before is None or moment.dated or (moment.day, moment.at_min) >= (before.day, before.at_min):
            return True
        if moment.said and before.at_min - moment.at_min < _HALF_DAY_MIN:
            return True
        what = f"{quoted(piece.name)} at {quoted(piece.time)} stands after a match that is later."
        self.fault(piece.place, "back-in-time", what, "Put the matches in order, or write the day of each.")
        return False

    def _twice(self) -> None:
        names: dict[str, str] = {}
        times: dict[int, str] = {}
        for piece, match in self.found:
            if match.name.casefold() in names:
                what = f"{quoted(match.name)} stands here twice."
                self.fault(piece.place, "match-twice", what, "Give each match a name of its own.")
            elif match.at_min in times:
                what = f"{quoted(match.name)} begins at the same minute as {quoted(times[match.at_min])}."
                self.fault(piece.place, "two-at-once", what, "One robot plays one match: put a time right.")
            names.setdefault(match.name.casefold(), match.name)
            times.setdefault(match.at_min, match.name)
