"""Pull sheets as they are typed in: days in many forms, cells that people leave empty, and text that is no sheet."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.tables.columns import columns
from loomwright.documents.workbook.sheets import Look, sheets
from loomwright.findings import UnreadableInputError
from loomwright.robotfile.lists.headings import heading_of
from loomwright.robotfile.lists.pull_sheet import MEANINGS, PullRow, read_pull_sheet
from loomwright.robotfile.lists.written_when import UnclearTimeError, When, read_when

DAY = dt.date(2026, 2, 7)


def read(text: str) -> tuple[PullRow, ...]:
    """Read a sheet from its text."""
    return read_pull_sheet(text.encode(), file="pulls.csv")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("2026-02-07", When(DAY)),
        ("2026/2/7", When(DAY)),
        ("7.2.2026", When(DAY)),
        ("07. 02. 2026", When(DAY)),
        ("2026-02-07 00:00", When(DAY)),
        ("2026-02-07T14:30:05", When(DAY, dt.time(14, 30, 5))),
        ("7.2.2026 8:05", When(DAY, dt.time(8, 5))),
        ("2/17/2026", When(dt.date(2026, 2, 17))),
        ("17/2/2026", When(dt.date(2026, 2, 17))),
        ("2/2/2026", When(dt.date(2026, 2, 2))),
    ],
)
def test_a_day_is_read_in_the_forms_that_people_and_spreadsheets_write(text: str, told: When) -> None:
    """Year first, dots, slashes where only one order is a day; midnight is a day without a time."""
    assert read_when(text) == told


@pytest.mark.parametrize(
    "text", ["2/7/2026", "2026-02-30", "2026-13-01", "today", "7.2.26", "2026-02-07 25:00", "14:30"]
)
def test_a_day_that_could_be_two_or_none_is_refused(text: str) -> None:
    """2/7 is in February or in July; what no calendar has is no day."""
    with pytest.raises(UnclearTimeError):
        read_when(text)


@given(st.datetimes(min_value=dt.datetime(2000, 1, 1), max_value=dt.datetime(2099, 12, 31)))  # noqa: DTZ001  of a watch
def test_a_day_that_was_written_is_read_the_same(moment: dt.datetime) -> None:
    """Every day and time comes back from the one form that keys are made of."""
    when = When(moment.date(), moment.time().replace(microsecond=0))
    assert read_when(str(when)) == (when if when.clock != dt.time() else When(when.day))


def test_only_rows_that_somebody_filled_in_are_rows() -> None:
    """A sheet as it was printed says nothing, nor does a tool or a day that was copied down the column."""
    head = "wire,end,where,gauge,made by,tool,pulled by,held,date,note\n"
    assert read(f"{head}W6,A,block L1,18 AWG,,,,,,\nW6,B,x,18 AWG,,crimper,,,2026-02-07,\n") == ()
    [row] = read(f"{head}w6,a,block L1,18 AWG,Mia,,,,7.2.2026,\n")
    assert (row.wire, row.end, row.held, row.when) == ("W6", "A", "", When(DAY))


def test_day_and_time_may_stand_in_two_columns_and_columns_in_any_order() -> None:
    """Titles are known by their words in whatever case; columns of one's own are passed over."""
    [row] = read("Note;TIME;Held;Pulled_by;End;Wire;made by;Date;ours\nok;14:30;Y;Ben;B;W6;Mia;2026-02-07;x\n")
    assert row.when == When(DAY, dt.time(14, 30))
    assert (row.wire, row.end, row.held, row.text("pulled by"), row.text("note")) == ("W6", "B", "yes", "Ben", "ok")


def test_a_sheet_of_the_workbook_may_be_saved_as_csv() -> None:
    """Cautions with line breaks stand above the head, and some programs write an end with its dot; rows are counted."""
    above = '"Tern: pull record",,"plan revision 1"\n"one caution\nand another\nand more",,\n,,\n'
    rows = read(f"{above}wire,end,made by\nW6,● A,Mia\nW6,○ B,Mia\n")
    assert [(row.wire, row.end, row.place.line) for row in rows] == [("W6", "A", 5), ("W6", "B", 6)]


def test_two_columns_for_one_thing_are_refused() -> None:
    """Two columns of forces in two units can't both be what the scale showed."""
    head = "crimping tool,sample,pulled by,held,date,pulled to [kg],force [N]\n"
    with pytest.raises(UnreadableInputError, match="column-twice"):
        read(f"{head}a,1 of 3,Ben,yes,2026-02-07,3,30\n")


def test_the_sheet_of_ends_with_its_boxes_for_ink_is_no_pull_sheet() -> None:
    """Whoever makes an end puts initials on the sheet ends; what is typed in is the sheet pull record."""
    with pytest.raises(UnreadableInputError, match="no-column-names"):
        read("wire,end,strip [mm],made by\nW6,A,9,Mia\n")
    assert len(read("wire,end,made by\nW6,A,Mia\n")) == 1


def test_every_box_of_the_two_sheets_is_understood() -> None:
    """What people can write on a sheet of the workbook means something when it is typed in."""
    for sheet in sheets():
        if sheet.name in ("pull record", "sample pulls"):
            boxes = [shown.column.title for shown in sheet.shown if shown.look is Look.BOX]
            assert {heading_of(title).name for title in boxes} <= MEANINGS.keys()
    named = {heading_of(column.title).name for column in columns("pull record")}
    assert named - MEANINGS.keys() == {"where", "card", "by hand"}


@settings(max_examples=80, deadline=None)
@given(st.text(st.sampled_from('W6AB,;\t"\nyesno?-20/.: Mia'), max_size=120))
def test_no_text_brings_it_down(text: str) -> None:
    """Any text below a head is rows or faults that point into the sheet, never anything else."""
    try:
        rows = read(f"wire,end,made by,pulled by,held,date\n{text}")
    except UnreadableInputError as error:
        assert all(fault.place.file == "pulls.csv" and fault.what and fault.fix for fault in error.faults)  # noqa: PT017
    else:
        assert all(row.wire and row.end for row in rows)
