"""Lists of readings of any tester: units are asked for, one row tells several readings, twice read adds nothing."""

from __future__ import annotations

import csv
import datetime as dt
import io
from typing import Any

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.findings import Finding, UnreadableInputError
from loomwright.records.reading import read_event
from loomwright.robotfile.lists.reading_list import ReadingRow, read_readings
from loomwright.robotfile.testers.tester import KnownTesters
from loomwright.robotfile.testers.tester_file import read_testers

BOOK = read_testers(b"""
bench tester:
  battery: Label
  when: {column: Date, form: day/month/year hour:minute}
  rest: {column: OCV, unit: V, since charge: 12 h}
  resistance: {column: IR, unit: mohm, low: 1 A, high: 18 A}
  nothing: [OL]
pocket tester: {battery: No, when: Day, loaded: {column: Loaded, load: 30 A}, temperature: {column: T, unit: F}}
""")
TWINS = read_testers(b"""
one: {battery: Label, when: Date, rest: {column: OCV, unit: V}}
two: {battery: Label, when: Date, rest: {column: OCV, unit: mV}}
""")


def rows(text: str, book: KnownTesters = BOOK, **said: Any) -> tuple[ReadingRow, ...]:  # noqa: ANN401  what read_readings takes
    """Read a list from its text, by KT, times in UTC."""
    given_by: dict[str, Any] = {"who": "KT", "zone": dt.UTC} | said
    return read_readings(text.encode(), file="r.csv", testers=book, **given_by)


def faults(text: str, book: KnownTesters = BOOK, **said: Any) -> tuple[Finding, ...]:  # noqa: ANN401  likewise
    """Return the faults of a list."""
    with pytest.raises(UnreadableInputError) as caught:
        rows(text, book, **said)
    return caught.value.faults


def told(row: ReadingRow) -> dict[str, tuple[Any, Any, Any]]:
    """Return value, unit and conditions of each event by its kind."""
    return {e["kind"]: (e.get("value"), e.get("unit"), dict(e.get("conditions", {}))) for e in row.events}


def test_one_row_tells_several_readings_in_the_units_of_the_records() -> None:
    """Units stand in headings, behind numbers, or as the end of a title; hours stay hours, ohms are ohms."""
    head = (
        "battery,when,rest voltage [V],since_charge_h,resistance_mohm,low current (A),high current,temperature,look\n"
    )
    [row] = rows(f"{head}B1,2026-02-07 14:30,12.9,90 min,13.2,1,18 A,68 F,OK\n")
    around = {"since_charge_h": 1.5, "temperature_c": 20.0}
    assert told(row) == {
        "rested": (12.9, "V", around),
        "resistance": (0.0132, "ohm", {"low_a": 1.0, "high_a": 18.0, "rest_v": 12.9, **around}),
        "looked over": (None, None, {}),
    }
    assert {event["measured_at"] for event in row.events} == {"2026-02-07T14:30:00Z"}
    assert row.events[-1]["words"] == "sound"


def test_tests_under_load_and_charges_have_their_conditions() -> None:
    """Two loads, a load test, a capacity told in ampere-hours, the end of a charge: each as the records take it."""
    head = (
        "battery;when;load [A];voltage under load [V];second load [A];voltage under second load [V];load test [V];"
        "load test load [A];load test time;capacity test;capacity test load [A];capacity test end [V];"
        "charger;end voltage [V];charge time\n"
    )
    [row] = rows(f"{head}B1;7.2.2026;18;12,1;1;12,7;10,5;100;10 s;9 Ah;7,5;10,5;C1;14,4;2 h\n")
    assert told(row) == {
        "loaded": (12.1, "V", {"load_a": 18.0, "other_load_a": 1.0, "other_v": 12.7}),
        "load test": (10.5, "V", {"load_a": 100.0, "seconds": 10.0}),
        "capacity": (1.2, "h", {"load_a": 7.5, "cutoff_v": 10.5}),
        "charged": (14.4, "V", {"hours": 2.0}),
    }
    assert {event["kind"]: event.get("tool", "") for event in row.events}["charged"] == "C1"
    assert all(read_event(event).about == "B1" for event in row.events)


def test_a_tester_is_known_by_its_headings() -> None:
    """Columns of its own, a form of days of its own, fixed conditions; what it writes for nothing is nothing."""
    [one, two] = rows("Label,Date,IR (mOhm),OCV,Mode\nB1,3/4/2026 9:05,13.2,12.9,x\nB2,3/4/2026 9:06,15,OL,x\n")
    assert (one.tester, one.when.day) == ("bench tester", dt.date(2026, 4, 3))
    assert told(one)["resistance"][2]["low_a"] == 1.0
    assert {event["tool"] for event in one.events} == {"bench tester"}
    assert list(told(two)) == ["resistance"]
    [pocket] = rows("No,Day,Loaded,T\nB1,2026-02-07,11.9 V,-4\n")
    assert told(pocket) == {"loaded": (11.9, "V", {"load_a": 30.0, "temperature_c": -20.0})}


def test_where_two_testers_fit_the_name_decides() -> None:
    """Without a name it is asked for; a name that nobody has is told with the nearest."""
    text = "Label,Date,OCV\nB1,2026-02-07,12900\n"
    assert [fault.code for fault in faults(text, TWINS)] == ["two-testers"]
    [row] = rows(text, TWINS, tester="Two")
    assert told(row)["rested"][0] == 12.9
    [fault] = faults(text, BOOK, tester="bench tster")
    assert (fault.code, "bench tester" in fault.fix) == ("unknown-tester", True)
    [fault] = faults(text, BOOK, tester="pocket tester")
    assert "`Loaded`" in fault.what


def test_a_number_without_a_unit_is_asked_for_once_a_column() -> None:
    """The fault says where the first stands, how many follow, and both ways to write the unit."""
    head = "battery,when,rest voltage,resistance\n"
    [fault, other] = faults(f"{head}B1,2026-02-07,12.9,13 mohm\nB2,2026-02-07,12.8,1.2e1\nB3,2026-02-07,12.7,\n")
    assert (fault.code, fault.place.line, fault.place.column) == ("no-unit", 2, 3)
    assert "2 more" in fault.what
    assert "`rest voltage [V]`" in fault.fix
    assert "`12.9 V`" in fault.fix
    assert (other.code, other.place.line, other.place.column) == ("no-unit", 3, 4)


@pytest.mark.parametrize(
    ("head", "cells", "code"),
    [
        ("rest voltage [mohm]", "12", "bad-unit"),
        ("rest voltage [V]", "12 A", "bad-value"),
        ("rest voltage [V]", "about 12", "bad-value"),
        ("voltage under load [V]", "12", "half-a-reading"),
        ("load test [V],load test load [A]", "11,100", "half-a-reading"),
        ("resistance [mohm],low current [A]", "13,1", "half-a-reading"),
        ("voltage under second load [V],second load [A]", "12,1", "half-a-reading"),
        ("end voltage [V]", "14.4", "half-a-reading"),
        ("capacity test [Ah],capacity test end [V]", "9,10.5", "bad-value"),
        ("look", "fat", "unknown-look"),
        ("rest voltage [V],voltage at rest (V)", "12,12", "column-twice"),
        ("rest voltage [V],note", f"12,{'x' * 601}", "not-an-event"),
    ],
)
def test_what_cannot_be_meant_is_told(head: str, cells: str, code: str) -> None:
    """Units that are none, words for amounts, readings without what they need, looks that nobody knows."""
    assert code in [fault.code for fault in faults(f"battery,when,{head}\nB1,2026-02-07,{cells}\n")]


def test_a_heading_and_a_tester_that_disagree_on_the_unit_are_told() -> None:
    """A thousandfold slip is not taken in silence."""
    text = "Label,Date,IR (ohm),OCV\nB1,3/4/2026 9:05,13.2,12.9\n"
    assert "two-units" in [fault.code for fault in faults(text)]


def test_all_faults_are_told_at_once() -> None:
    """Battery, day, person: what each row lacks, in one go; rows that tell nothing are passed over."""
    head = "battery,when,rest voltage [V],who\n"
    text = f"{head},2026-02-07,12.9,KT\nB1,,12.9,KT\nB2,3/4/2026,12.9,KT\nB3,2026-02-07,12.9,\n"
    assert [(f.code, f.place.line) for f in faults(f"{text}B4,2026-02-07,,\n", who="")] == [
        ("no-battery", 2),
        ("no-day", 3),
        ("no-day", 4),
        ("nobody", 5),
    ]
    assert [f.code for f in faults("battery,rest voltage [V]\nB1,12.9\n")] == ["no-day"]
    [none] = faults("a,b\n1,2\n")
    assert (none.code, "testers.yaml" in none.fix) == ("no-column-names", True)


def test_a_battery_that_nobody_knows_is_told_with_the_nearest() -> None:
    """Labels are compared without case and spaces and written as they are known; without labels any will do."""
    text = "battery,when,rest voltage [V]\nb 12,2026-02-07,12.9\n"
    assert [row.battery for row in rows(text, labels=["B1", "B12"])] == ["B12"]
    assert [row.battery for row in rows(text)] == ["b 12"]
    [fault] = faults(text.replace("b 12", "B13"), labels=["B12", "C4"])
    assert (fault.code, "`B12`" in fault.fix) == ("unknown-battery", True)


def test_a_reading_that_no_battery_can_show_is_taken() -> None:
    """It stays in the records and the rack says why it counts for nothing; so does one with swapped probes."""
    text = "battery,when,rest voltage [V],resistance [ohm]\nB1,2026-02-07,-12.9,13.2\n"
    assert [event["value"] for event in rows(text)[0].events] == [-12.9, 13.2]


def test_a_temperature_is_a_reading_only_where_no_other_has_it() -> None:
    """By itself it is the warmth of the case; a note goes with the first reading, or stands alone."""
    head = "battery,when,temperature [C],rest voltage [V],note\n"
    [warm, both, noted] = rows(f"{head}B1,2026-02-07,31,,\nB1,2026-02-07,31,12.9,by hand\nB1,2026-02-07,,,old\n")
    assert list(told(warm)) == ["warmth"]
    assert told(both) == {"rested": (12.9, "V", {"temperature_c": 31.0})}
    assert both.events[0]["words"] == "by hand"
    assert [(event["kind"], event["words"]) for event in noted.events] == [("noted", "old")]


def test_days_are_noon_and_nothing_is_later_than_now() -> None:
    """A day alone is its noon, a time is that of the zone; today's noon is not to come, a day next week is a fault."""
    zone = dt.timezone(dt.timedelta(hours=-5))
    text = "battery,when,time,rest voltage [V]\nB1,2026-02-07,9:00,12.9\nB2,2026-02-07,,12.9\n"
    stamps = [row.events[0]["measured_at"] for row in rows(text, zone=zone, now="2026-02-07T15:00:00Z")]
    assert stamps == ["2026-02-07T14:00:00Z", "2026-02-07T12:00:00Z"]
    assert rows(text, now="2026-02-07T08:00:00Z")[1].events[0]["measured_at"] == "2026-02-07T08:00:00Z"
    assert {fault.code for fault in faults(text, now="2026-02-01T08:00:00Z")} == {"day-to-come"}


def test_a_workbook_is_read_like_a_text() -> None:
    """Days that a workbook knows as such are read whatever form the tester has; the same row is the same event."""
    held = io.BytesIO()
    with xlsxwriter.Workbook(held, {"in_memory": True}) as book:
        sheet = book.add_worksheet("tests")
        for column, title in enumerate(("Label", "Date", "OCV", "IR")):
            sheet.write(0, column, title)
        sheet.write(1, 0, "B1")
        form = book.add_format({"num_format": "dd/mm/yyyy hh:mm"})
        sheet.write_datetime(1, 1, dt.datetime(2026, 4, 3, 9, 5), form)  # noqa: DTZ001  of a watch
        sheet.write(1, 2, 12.9)
        sheet.write(1, 3, 13.2)
    [row] = read_readings(held.getvalue(), file="r.xlsx", testers=BOOK, who="KT", zone=dt.UTC)
    [typed] = rows("Label,Date,OCV,IR\nB1,3/4/2026 9:05,12.9,13.2\n")
    assert row.events == typed.events


AMOUNTS = st.integers(1, 99999).map(lambda n: n / 1000)
ROWS = st.tuples(st.sampled_from(["B1", "b2", "Old 3"]), st.dates(dt.date(2020, 1, 1)), AMOUNTS, AMOUNTS)


@settings(max_examples=40, deadline=None)
@given(st.lists(ROWS, max_size=8), st.sampled_from([",", ";", "\t"]), st.randoms(use_true_random=False))
def test_reading_twice_adds_nothing(found: list[tuple[str, dt.date, float, float]], sign: str, shuffle: Any) -> None:  # noqa: ANN401  a Random of hypothesis
    """Whatever sign parts the columns, whoever brings it in, in whatever order: a row has its keys."""

    def written(lines: list[tuple[str, dt.date, float, float]], unit: str, times: float) -> str:
        held = io.StringIO()
        writer = csv.writer(held, delimiter=sign)
        writer.writerow(["battery", "when", "rest voltage [V]", f"resistance [{unit}]"])
        writer.writerows([label, day, volts, f"{ohms * times:.6g}"] for label, day, volts, ohms in lines)
        return held.getvalue()

    once = {event["key"]: event for row in rows(written(found, "mohm", 1)) for event in row.events}
    mixed = list(found)
    shuffle.shuffle(mixed)
    again = {event["key"] for row in rows(written(mixed, "ohm", 0.001), who="ME") for event in row.events}
    assert once.keys() == again
    # The rest voltage of two rows that differ in the resistance alone is one reading.
    assert len(once) == len(set(found)) + len({row[:3] for row in found})
    for event in once.values():
        read_event(event)
