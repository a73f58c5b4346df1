"""plan.xlsx, read back by another library: texts are texts, numbers are numbers, nothing is lost."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from loomwright.documents.tables.cells import as_words
from loomwright.documents.workbook.book import workbook
from loomwright.documents.workbook.notes import notes
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.documents.workbook.sheets import Sheet, sheets
from loomwright.findings import Severity
from loomwright.model.rules import Rule
from loomwright.model.stock import Stock
from tests.documents_plan.factories import CAUTIONS, branch, plan, reasoned, robot, rules
from tests.documents_plan.laid_out import laid_out
from tests.documents_plan.xlsx import Book

SHEETS = {sheet.name: sheet for sheet in sheets()}
WORK = ["circuits", "wires", "bundles", "cut list", "ends", "cards", "findings", "questions"]
WORK += ["pull record", "sample pulls"]
PULL = "The pull forces here break the joint: use them on samples made for the purpose, never on the robot."


def everything(data: bytes, sheet: str) -> list[list[object]]:
    """Read all rows of one sheet."""
    return [list(row) for row in CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name(sheet).to_python()]


def read(data: bytes, sheet: str) -> list[list[object]]:
    """Read one sheet from its head row on."""
    rows = everything(data, sheet)
    head: list[object] = [shown.column.title for shown in SHEETS[sheet].shown]
    return rows[rows.index(head) :]


def part(data: bytes, name: str) -> str:
    """Read one file inside the workbook."""
    return zipfile.ZipFile(io.BytesIO(data)).read(name).decode("utf-8")


def test_it_has_the_sheets_in_order() -> None:
    book = CalamineWorkbook.from_filelike(io.BytesIO(workbook(plan())))
    assert book.sheet_names == list(SHEETS)
    assert book.sheet_names[:7] == ["circuits", "sizing", "wires", "bundles", "to buy", "wire needed", "cut list"]
    assert book.sheet_names[7:11] == ["ends", "cards", "pull record", "sample pulls"]
    assert book.sheet_names[11:] == ["findings", "questions", "sources", "rules", "documents"]


@pytest.mark.parametrize("sheet", sheets(), ids=lambda sheet: sheet.name)
def test_every_cell_of_every_sheet_is_what_the_tables_say(sheet: Sheet) -> None:
    _, *rows = read(workbook(laid_out()), sheet.name)
    told = [[row[shown.column.key] for shown in sheet.shown] for row in sheet_rows(sheet.name, laid_out())]
    assert rows
    assert rows == [[cell if isinstance(cell, float) else as_words(cell, "\n") for cell in row] for row in told]


@pytest.mark.parametrize("sheet", list(SHEETS))
def test_sheets_that_people_work_from_start_with_the_cautions_of_the_rule_book(sheet: str) -> None:
    rows = everything(workbook(laid_out()), sheet)
    about = f"plan revision {plan().revision}, rule book common practice 2024-01-01"
    assert [word for word in rows[0] if word] == [f"Tidepool (practice): {sheet}", about]
    told = [PULL, *CAUTIONS] if sheet in ("cards", "sample pulls") else list(CAUTIONS) if sheet in WORK else []
    above = [str(word) for row in rows[1 : rows.index(read(workbook(laid_out()), sheet)[0])] for word in row if word]
    lines = [line for words in above for line in words.split("\n")]
    assert lines[: len(told) + 1] == [*(f"• {caution}" for caution in told), SHEETS[sheet].note]
    assert tuple(lines[len(told) :]) == notes(SHEETS[sheet], laid_out(), empty=False)


def test_no_caution_is_lost_however_many_a_team_has() -> None:
    many = tuple(
        Rule(f"c{n}", "caution", f"Caution number {n} is {'very ' * n}important.", Severity.MUST, "common practice")
        for n in range(25)
    )
    rows = everything(workbook(plan(rules=replace(rules(), rules=many))), "ends")
    above = rows[1 : next(y for y, row in enumerate(rows) if row[0] == "wire")]
    lines = [line for row in above for word in row if word for line in str(word).split("\n")]
    assert lines[: len(many)] == [f"• {rule.sentence}" for rule in many]


@pytest.mark.parametrize("name", ["=1+1", "010", "1e3", "https://example.org", "12:30", "TRUE", "@a", "{=A1}", "1/0"])
def test_texts_that_look_like_something_else_stay_texts(name: str) -> None:
    _, row = read(workbook(plan((branch(name, 1, slot=reasoned(name)),))), "circuits")
    assert (row[0], row[3]) == (name, name)
    assert isinstance(row[0], str)


@settings(max_examples=40)
@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20))
def test_any_name_can_be_written(name: str) -> None:
    """Control characters too, which XML cannot hold as they are; what the reader gives back is never cut."""
    _, first, second = read(workbook(plan((branch(name, 1),), robot=robot(name=name))), "wires")
    assert (first[0], second[0]) == ("W1", "W2")


def test_a_text_longer_than_a_cell_is_cut_and_not_lost() -> None:
    _, row, *_ = read(workbook(plan((branch("a", 1, slot=reasoned("x" * 40_000)),))), "circuits")
    assert row[3] == "x" * 32_767


def test_the_same_plan_gives_the_same_bytes_and_no_clock_time() -> None:
    assert workbook(plan()) == workbook(plan())
    assert (
        re.findall(r"\d{4}-\d\d-\d\dT[\d:]+", part(workbook(plan()), "docProps/core.xml"))
        == ["2000-01-01T00:00:00"] * 2
    )
    dates = {item.date_time[0] for item in zipfile.ZipFile(io.BytesIO(workbook(plan()))).infolist()}
    assert dates == {1980}


@pytest.mark.parametrize("name", list(SHEETS))
def test_every_sheet_prints_across_one_page_wide_with_head_and_foot(name: str) -> None:
    data = workbook(plan())
    sheet = Book(data).sheets[name]
    head = next(y for y, row in enumerate(everything(data, name), 1) if row[0] == SHEETS[name].shown[0].column.title)
    assert sheet.find("pageSetUpPr") == [{"fitToPage": "1"}]
    (setup,) = sheet.find("pageSetup")
    assert (setup["orientation"], setup["paperSize"], setup["fitToHeight"]) == ("landscape", "9", "0")
    assert "fitToWidth" not in setup  # one page is what it means when nothing is said
    (pane,) = sheet.find("pane")
    assert (pane["ySplit"], pane["xSplit"], pane["state"]) == (str(head), "1", "frozen")
    quoted = f"'{name}'" if " " in name else name
    assert f"{quoted}!${head}:${head}</definedName>" in part(data, "xl/workbook.xml")
    foot = f"&LTidepool (practice): {name}&CRevision {plan().revision}&RPage &P of &N"
    assert foot in "".join(sheet.tree.itertext())


def test_a_robot_with_an_ampersand_and_a_long_name_keeps_its_foot() -> None:
    data = workbook(plan(robot=robot(name="A & B " * 60)))
    footer = re.findall(r"<oddFooter>(.*?)</oddFooter>", part(data, "xl/worksheets/sheet1.xml"))[0].replace(
        "&amp;", "&"
    )
    assert footer.startswith("&LA && B ")
    assert footer.endswith("&RPage &P of &N")
    assert len(footer) < 255


@pytest.mark.parametrize(
    "name", ["findings", "questions", "ends", "cards", "bundles", "to buy", "wire needed", "cut list"]
)
def test_a_plan_with_nothing_to_tell_still_has_its_sheets_and_they_say_so(name: str) -> None:
    data = workbook(plan((branch("a", 1, wires=()),), findings=(), robot=robot(stock=Stock((), "stock.yaml"))))
    assert len(read(data, name)) == 1
    assert SHEETS[name].empty
    assert everything(data, name)[-2][0] == SHEETS[name].empty
