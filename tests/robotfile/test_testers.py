"""testers.yaml: whose columns mean what; slips in it are told where they stand, all at once."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.findings import Finding, UnreadableInputError
from loomwright.robotfile.forms.not_readable import NotReadableError
from loomwright.robotfile.testers.day_form import day_form
from loomwright.robotfile.testers.slots import MEANINGS, SLOTS
from loomwright.robotfile.testers.tester import Column, KnownTesters
from loomwright.robotfile.testers.tester_file import read_testers
from loomwright.units import read

BENCH = b"""
bench tester:
  battery: Label
  when: {column: [Date, Time], form: day/month/year hour:minute}
  rest: {column: OCV, unit: V, since charge: 12 h}
  resistance: {column: IR, unit: mohm, low: 1 A, high: {column: Test A, unit: A}}
  nothing: [OL, "---"]
"""


def faults(text: str) -> set[tuple[str, str]]:
    """Return which faults a file has, each with its place."""
    with pytest.raises(UnreadableInputError) as caught:
        read_testers(text.encode())
    return {(fault.code, fault.place.thing) for fault in caught.value.faults}


def test_a_tester_says_which_column_tells_what() -> None:
    """Columns have titles and units, conditions may be amounts or columns; its name is found in any case."""
    tester = read_testers(BENCH).named("Bench  Tester")
    assert tester is not None
    assert tester.columns["resistance"] == Column("IR", "mohm")
    assert tester.columns["high current"] == Column("Test A", "A")
    assert tester.fixed == {"since charge": 43200.0, "low current": 1.0}
    assert tester.titles == ("Label", "OCV", "IR", "Test A", "Date", "Time")
    assert tester.nothing == ("ol", "---")


def test_without_a_file_there_is_no_tester() -> None:
    """A robot's folder needs no such file."""
    assert read_testers(None) == KnownTesters()


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("rest: {column: OCV, unit: Vo}", ("bad-value", "t.rest.unit")),
        ("rest: {column: OCV, unit: V, since charge: 12}", ("bad-value", "t.rest.since charge")),
        ("rest: {column: OCV, unit: V, low: 1 A}", ("unknown-key", "t.rest.low")),
        ("rest: {unit: V}", ("missing-key", "t.rest")),
        ("rest: 12 V", ("bad-form", "t.rest")),
        ("rest: [OCV]", ("bad-form", "t.rest")),
        ("rst: {column: OCV}", ("unknown-key", "t.rst")),
        ("rest: {column: OCV, since charge: 1 h}\n  since charge: 2 h", ("said-twice", "t.since charge")),
        ("rest: {column: OCV}\n  temperature: 20 C", ("bad-form", "t.temperature")),
    ],
)
def test_a_slip_is_told_where_it_stands(line: str, fault: tuple[str, str]) -> None:
    """Units that are none, amounts without one, keys that nobody knows, one thing said in two ways."""
    assert fault in faults(f"t:\n  battery: Label\n  when: Date\n  {line}\n")


def test_what_a_tester_cannot_be_without_is_asked_for_at_once() -> None:
    """A battery, a day and a reading; a reading with a slip in it is not asked for again."""
    asked = [fault.what for fault in raised("t: {note: Remark}\n")]
    assert len(asked) == 3
    assert faults("t: {battery: B, when: D, rest: {}}\n") == {("missing-key", "t.rest")}


def raised(text: str) -> tuple[Finding, ...]:
    """Return the faults of a file."""
    with pytest.raises(UnreadableInputError) as caught:
        read_testers(text.encode())
    return caught.value.faults


def test_two_testers_of_nearly_one_name_are_refused() -> None:
    """A name is found in any case, so case alone can't tell two testers apart."""
    body = "{battery: B, when: D, rest: {column: V}}"
    assert ("name-twice", "old one") in faults(f"Old one: {body}\nold one: {body}\n")


@pytest.mark.parametrize(
    ("form", "text", "told"),
    [
        ("day/month/year hour:minute", "3/4/2026 14:30", (dt.date(2026, 4, 3), dt.time(14, 30))),
        ("month/day/year", "3/4/26", (dt.date(2026, 3, 4), None)),
        ("month day, year hour:minute am/pm", "Feb 7, 2026 12:05 AM", (dt.date(2026, 2, 7), dt.time(0, 5))),
        ("month day, year hour:minute am/pm", "february 7, 2026 12:05 p.m.", (dt.date(2026, 2, 7), dt.time(12, 5))),
        ("year-month-day hour:minute:second", "2026-02-07 08:09:10.5", (dt.date(2026, 2, 7), dt.time(8, 9, 10))),
        ("day/month/year", "31/2/2026", None),
        ("day/month/year", "2026-02-07", None),
        ("month day, year hour:minute am/pm", "Feb 7, 2026 13:05 PM", None),
    ],
)
def test_a_day_is_read_in_the_form_that_is_said_in_words(
    form: str, text: str, told: tuple[dt.date, dt.time | None] | None
) -> None:
    """Names of months, two figures of a year, halves of a day; what the calendar lacks is no day."""
    assert day_form(form).read(text) == told


@pytest.mark.parametrize("form", ["dd/mm/yyyy", "day/month", "day/month/year hour", "day/month/year/day", "year am/pm"])
def test_a_form_that_leaves_something_open_is_refused(form: str) -> None:
    """A form has a whole day, and of a time of day hours and minutes or nothing."""
    with pytest.raises(NotReadableError):
        day_form(form)


@given(st.datetimes(min_value=dt.datetime(2000, 1, 1), max_value=dt.datetime(2099, 12, 31)))  # noqa: DTZ001  of a watch
def test_a_day_comes_back_from_its_form(moment: dt.datetime) -> None:
    """Every day and time that is written in a form is read from it."""
    moment = moment.replace(second=0, microsecond=0)
    form = day_form("day.month.year hour:minute am/pm")
    assert form.read(moment.strftime("%d.%m.%Y %I:%M %p")) == (moment.date(), moment.time())


def test_every_example_of_a_heading_is_one() -> None:
    """The headings that faults propose name their own slot and have a unit of it, and no word means two things."""
    for slot in SLOTS.values():
        if slot.dimensions:
            name, _, unit = slot.example.partition(" [")
            assert MEANINGS[name] == slot.name
            assert read(f"1 {unit.removesuffix(']')}", slot.dimensions[0]) > 0
    words = [word for slot in SLOTS.values() for word in (slot.name, *slot.also)]
    assert len(words) == len(set(words)) == len(MEANINGS)
