"""circuits.csv and wires.csv: every reader finds the same cells, and no spreadsheet runs one."""

from __future__ import annotations

import codecs
import csv
import io

from hypothesis import example, given
from hypothesis import strategies as st

from loomwright.documents.tables.columns import columns
from loomwright.documents.tables.csv_sheet import circuits_csv, wires_csv
from tests.documents_plan.factories import branch, plan, reasoned


def cells(data: bytes) -> list[list[str]]:
    """Read a sheet as Python's own reader does."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_the_first_line_has_the_titles_of_the_columns() -> None:
    assert cells(circuits_csv(plan()))[0] == [column.title for column in columns("circuits")]
    assert cells(wires_csv(plan()))[0] == [column.title for column in columns("wires")]


def test_there_is_one_line_for_each_circuit_and_wire() -> None:
    assert [row[0] for row in cells(circuits_csv(plan()))[1:]] == ["intake", "left front", "right front", "main chain"]
    assert [row[0] for row in cells(wires_csv(plan()))[1:]] == ["W7", "W8", "W1", "W2", "W3", "W4", "W5"]


def test_a_cell_can_be_found_by_its_title() -> None:
    head, *rows = cells(circuits_csv(plan()))
    left = dict(zip(head, next(row for row in rows if row[0] == "left front"), strict=True))
    assert (left["protection [A]"], left["gauge"], left["length [m]"], left["length"]) == (
        "40",
        "12 AWG",
        "0.853",
        "85.3 cm",
    )
    assert left["reasons"].startswith("slot: the first heavy slot that is free; protection: the largest")


def test_the_file_is_as_rfc_4180_asks_with_the_mark_that_spreadsheets_need() -> None:
    data = circuits_csv(plan((branch("pit «é» Ω", 1),)))
    assert data.startswith(codecs.BOM_UTF8)
    assert data.count(codecs.BOM_UTF8) == 1
    body = data.removeprefix(codecs.BOM_UTF8)
    assert body.endswith(b"\r\n")
    assert body.count(b"\n") == body.count(b"\r\n") == 2
    assert "pit «é» Ω".encode() in body


def test_commas_quotes_and_line_breaks_stay_in_their_cell() -> None:
    name = 'a "b", c\r\nd'
    rows = cells(wires_csv(plan((branch(name, 1),))))
    assert len(rows) == 3
    assert {len(row) for row in rows} == {len(columns("wires"))}
    assert rows[1][1] == name


def test_a_text_that_looks_like_a_formula_stays_a_text() -> None:
    for start in ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\uff1d1"):
        (_, row) = cells(circuits_csv(plan((branch(start, 1),))))
        assert row[0] == f"'{start}"


@given(st.text(min_size=1, max_size=20))
@example("-")
@example("=cmd|' /C calc'!A0")
def test_no_cell_of_any_robot_starts_as_a_formula_does(name: str) -> None:
    held = branch(name, 1, slot=reasoned(name, name, name), protection=name)
    for data in (circuits_csv(plan((held,))), wires_csv(plan((held,)))):
        for row in cells(data):
            assert len(row) in {len(columns("circuits")), len(columns("wires"))}
            for cell in row:
                assert cell == "-" or not cell.strip().startswith(("=", "+", "-", "@")), cell


def test_two_runs_write_the_same_bytes() -> None:
    assert circuits_csv(plan()) == circuits_csv(plan())
    assert wires_csv(plan()) == wires_csv(plan(tuple(reversed(plan().circuits))))
