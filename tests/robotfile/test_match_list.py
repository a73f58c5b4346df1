"""Lists of matches: times in the forms that schedules have, past midnight, and slips that would move a match."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.findings import UnreadableInputError
from loomwright.rack.day.problem import Match
from loomwright.robotfile.lists.match_list import read_matches, typed_matches


def times(text: str) -> list[tuple[str, int, bool]]:
    """Read a list from its text."""
    return [(match.name, match.at_min, match.may) for match in read_matches(text.encode())]


def codes(text: str) -> list[str]:
    """Return which faults a list has."""
    with pytest.raises(UnreadableInputError) as caught:
        read_matches(text.encode())
    return [fault.code for fault in caught.value.faults]


def test_matches_have_names_and_times() -> None:
    """Columns in any order, times with seconds or halves of a day; `may` marks what is perhaps not played."""
    text = "Field,Time,Match,may\n1,9:05,Q1,\n2,10:20:00,Q7,no\n1,1:30 PM,F1,yes\n"
    assert times(text) == [("Q1", 545, False), ("Q7", 620, False), ("F1", 810, True)]
    assert times("name;start\nQ1;12:05 am\nQ2;12:05 p.m.\n") == [("Q1", 5, False), ("Q2", 725, False)]


@pytest.mark.parametrize(
    "days",
    [("2026-02-07", "7.2.2026", "2026-02-08"), ("1", "day 1", "2"), ("Sat", "Saturday", "sun")],
)
def test_days_may_be_dates_numbers_or_days_of_the_week(days: tuple[str, str, str]) -> None:
    """Minutes count from midnight of the first day; with days said, the order of the rows is no matter."""
    first, again, second = days
    assert times(f"match;time;day\nQ1;9:05;{first}\nQ2;8:20;{again}\nQ3;9:00;{second}\n") == [
        ("Q2", 500, False),
        ("Q1", 545, False),
        ("Q3", 1980, False),
    ]


def test_a_date_may_stand_before_the_time() -> None:
    """As spreadsheets write it; an earlier date may come later in the list."""
    assert times("match,time\nQ9,2026-02-08 09:00\nQ1,2026-02-07 09:05\n") == [("Q1", 545, False), ("Q9", 1980, False)]


def test_after_midnight_the_day_goes_on() -> None:
    """A step back by half a day or more is the next day, and 24:40 is written so by people who count on."""
    assert times("match,time\nQ1,23:50\nQ2,0:10\nQ3,0:30\n") == [
        ("Q1", 1430, False),
        ("Q2", 1450, False),
        ("Q3", 1470, False),
    ]
    assert times("match,time\nQ1,23:50\nQ2,24:40\n")[1] == ("Q2", 1480, False)


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("Q1,9:05,\nQ2,8:20,\n", ["back-in-time"]),
        ("Q1,20:00,1\nQ2,7:00,1\n", ["back-in-time"]),
        ("Q1,9:05,\nQ2,9:05,\n", ["two-at-once"]),
        ("q1,9:05,\nQ1,9:30,\n", ["match-twice"]),
        ("Q1,soon,\n", ["no-time"]),
        ("Q1,9:60,\n", ["no-time"]),
        ("Q1,13:05 pm,\n", ["no-time"]),
        ("Q1,9:05,someday\n", ["no-time"]),
        ("Q1,9:05,1\nQ2,9:30,Sat\n", ["no-time"]),
        ("Q1,9:05,\nQ2,9:30,Sat\n", ["no-time"]),
        ("Q1,,\n,9:05,\n", ["no-time", "no-name"]),
        ("", ["no-match"]),
    ],
)
def test_what_could_be_meant_in_two_ways_is_asked(rows: str, told: list[str]) -> None:
    """No match is moved to another day in silence, none has another's minute or name; all is told at once."""
    assert codes(f"match,time,day\n{rows}") == told


def test_other_lists_and_words_are_refused() -> None:
    """A list without the two columns is no list of matches; `may` is yes or no."""
    assert codes("a,b\n1,2\n") == codes("field,time\n1,9:05\n") == ["no-column-names"]
    assert codes("match,time,may\nQ1,9:05,if\n") == ["not-yes-or-no"]
    assert codes("match,time,start\nQ1,9:05,9:06\n") == ["column-twice"]


def test_matches_may_be_typed() -> None:
    """Names may have spaces, the last word may be `may`; a slip shows the piece that it stands in."""
    assert typed_matches("Q1 9:05, Final 2 1:00 pm may; Q7 23:30, Q8 0:10,") == (
        Match(name="Q1", at_min=545),
        Match(name="Final 2", at_min=780, may=True),
        Match(name="Q7", at_min=1410),
        Match(name="Q8", at_min=1450),
    )
    with pytest.raises(UnreadableInputError) as caught:
        typed_matches("Q1 9:05, Q7, 10:20, Q9 noon")
    assert [fault.place.thing for fault in caught.value.faults] == ["Q7", "10:20", "Q9 noon"]


@given(st.lists(st.integers(0, 719), min_size=1, max_size=30), st.integers(0, 1439))
def test_a_schedule_comes_back_as_it_was_written(gaps: list[int], start_min: int) -> None:
    """Matches less than half a day apart are read at their minutes, over any number of midnights."""
    at = [start_min]
    for gap in gaps:
        at.append(at[-1] + 1 + gap)
    said = [(f"Q{n}", f"{minute // 60 % 24}:{minute % 60:02}") for n, minute in enumerate(at)]
    listed = times("match,time\n" + "".join(f"{name},{time}\n" for name, time in said))
    assert [minute for _, minute, _ in listed] == at
    assert typed_matches(", ".join(f"{name} {time}" for name, time in said)) == tuple(
        Match(name=name, at_min=minute) for name, minute, _ in listed
    )
