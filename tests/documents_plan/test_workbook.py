"""plan.xlsx, read back by another library: texts are texts, numbers are numbers, and it prints well."""

from __future__ import annotations

import io
import re
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from loomwright.documents.cells import as_words
from loomwright.documents.columns import columns, sheets
from loomwright.documents.other_tables import rows_of
from loomwright.documents.workbook import workbook
from tests.documents_plan.factories import CAUTIONS, branch, plan, reasoned, robot


def read(data: bytes, sheet: str) -> list[list[object]]:
    """Read one sheet from its head row on."""
    rows = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name(sheet).to_python()
    head = next(y for y, row in enumerate(rows) if row[0] == columns(sheet)[0].title)
    return [list(row) for row in rows[head:]]


def part(data: bytes, name: str) -> str:
    """Read one file inside the workbook."""
    return zipfile.ZipFile(io.BytesIO(data)).read(name).decode("utf-8")


def test_it_has_the_sheets_of_the_column_table_in_order() -> None:
    book = CalamineWorkbook.from_filelike(io.BytesIO(workbook(plan())))
    assert book.sheet_names == list(sheets()) == ["circuits", "wires", "findings", "questions", "sources"]


@pytest.mark.parametrize("sheet", sheets())
def test_every_cell_of_every_sheet_is_what_the_tables_say(sheet: str) -> None:
    head, *rows = read(workbook(plan()), sheet)
    assert head == [column.title for column in columns(sheet)]
    told = [
        [cell if isinstance(cell, float) else as_words(cell, "\n") for cell in row.values()]
        for row in rows_of(sheet, plan())
    ]
    assert rows == told


@pytest.mark.parametrize("sheet", ["circuits", "wires"])
def test_sheets_that_people_work_from_start_with_the_cautions(sheet: str) -> None:
    rows = CalamineWorkbook.from_filelike(io.BytesIO(workbook(plan()))).get_sheet_by_name(sheet).to_python()
    own = ["The pull forces here break the joint: use them on samples made for the purpose, never on the robot."]
    told = [*(own if sheet == "wires" else []), *CAUTIONS]
    assert [row[0] for row in rows[: len(told)]] == told
    assert (
        rows[len(told)][0]
        == f"Tidepool (practice), plan revision {plan().revision}, rule book common practice 2024-01-01"
    )


def test_texts_that_look_like_something_else_stay_texts() -> None:
    for name in ("=1+1", "010", "1e3", "https://example.org", "12:30", "TRUE", "@a", "{=A1}", "1/0"):
        _, row = read(workbook(plan((branch(name, 1, slot=reasoned(name)),))), "circuits")
        assert (row[0], row[5]) == (name, name)
        assert isinstance(row[0], str)


@settings(max_examples=40)
@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20))
def test_any_name_can_be_written(name: str) -> None:
    """Control characters too, which XML cannot hold as they are; what the reader gives back is never cut."""
    _, first, second = read(workbook(plan((branch(name, 1),), robot=robot(name=name))), "wires")
    assert (first[0], second[0]) == ("W1", "W2")


def test_a_reason_longer_than_a_cell_is_cut_and_not_lost() -> None:
    _, row = read(workbook(plan((branch("a", 1, slot=reasoned("H1", "x" * 40_000)),))), "circuits")
    assert str(row[-2]).startswith("slot: xxx")
    assert len(str(row[-2])) == 32_767


def test_the_same_plan_gives_the_same_bytes_and_no_clock_time() -> None:
    assert workbook(plan()) == workbook(plan())
    assert (
        re.findall(r"\d{4}-\d\d-\d\dT[\d:]+", part(workbook(plan()), "docProps/core.xml"))
        == ["2000-01-01T00:00:00"] * 2
    )
    dates = {item.date_time[0] for item in zipfile.ZipFile(io.BytesIO(workbook(plan()))).infolist()}
    assert dates == {1980}


def test_every_sheet_prints_across_the_page_with_head_and_foot() -> None:
    """The widest go on pages side by side, so that nothing is printed too small to read."""
    data = workbook(plan())
    for n, name in enumerate(sheets(), 1):
        sheet = part(data, f"xl/worksheets/sheet{n}.xml")
        assert 'orientation="landscape"' in sheet
        assert '<pageSetUpPr fitToPage="1"/>' in sheet
        assert 'fitToHeight="0"' in sheet
        assert 'pageOrder="overThenDown"' in sheet
        wide = {"circuits": 2, "wires": 3}.get(name, 1)
        assert (f'fitToWidth="{wide}"' in sheet) == (wide > 1)
        assert f"&amp;LTidepool (practice)&amp;CRevision {plan().revision}&amp;RPage &amp;P of &amp;N" in sheet
        head_row = {"circuits": 5, "wires": 6}.get(name, 2)
        assert f'ySplit="{head_row}"' in sheet
        assert 'state="frozen"' in sheet
        assert f"{name}!$A:$A,{name}!${head_row}:${head_row}</definedName>" in part(data, "xl/workbook.xml")


def test_a_robot_with_an_ampersand_and_a_long_name_keeps_its_foot() -> None:
    data = workbook(plan(robot=robot(name="A & B " * 60)))
    footer = re.findall(r"<oddFooter>(.*?)</oddFooter>", part(data, "xl/worksheets/sheet1.xml"))[0].replace(
        "&amp;", "&"
    )
    assert footer.startswith("&LA && B ")
    assert footer.endswith("&RPage &P of &N")
    assert len(footer) < 255
