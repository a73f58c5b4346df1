"""The rows of each sheet: lengths as on a tape, boxes where hands work, each reason told once."""

from __future__ import annotations

import pytest

from loomwright.documents.tables.every import rows_of
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.documents.workbook.sheets import Sheet, sheets
from loomwright.model.reason import Origin
from loomwright.wiring.result import CircuitKind
from tests.documents_plan.factories import branch, circuit, derived, plan, reasoned, sizing
from tests.documents_plan.laid_out import laid_out
from tests.robots import EXAMPLES, example_plan


def test_lengths_are_told_in_centimetres_or_wait() -> None:
    told = {row["circuit"]: row["length_cm"] for row in sheet_rows("circuits", plan())}
    assert (told["left front"], told["intake"]) == (85.3, "unknown")
    assert {row["wire"]: row["cut_length_cm"] for row in sheet_rows("wires", plan())}["W7"] == "unknown"
    assert [row["left_cm"] for row in sheet_rows("cut list", laid_out())] == [3.6, "-", 625.7, "-", "-"]
    assert [row["length_cm"] for row in sheet_rows("bundles", laid_out())] == [30.0, 30.0, 22.0]


def test_only_circuits_whose_wire_is_sized_or_waits_for_it_have_a_sizing() -> None:
    assert [row["circuit"] for row in sheet_rows("sizing", plan())] == ["intake", "left front", "right front"]


def test_there_is_a_box_for_initials_where_somebody_cuts_or_makes() -> None:
    boxes = {row["stock"]: row["cut_by"] for row in sheet_rows("cut list", laid_out())}
    assert boxes == {"off-cut": "", "to buy": "", "not counted": "", "missing": "-"}
    assert {row["made_by"] for row in sheet_rows("ends", plan())} == {""}


def test_a_reason_is_told_once_with_all_values_and_what_they_belong_to() -> None:
    told = plan(
        (
            branch("a", 1, slot=reasoned("H1", "pinned", "robot.yaml:8:66", Origin.GIVEN)),
            branch("b", 3, slot=reasoned("H2", "pinned", "robot.yaml:9:66", Origin.GIVEN)),
            branch("c", 5, current=reasoned(30.0, "the supply limit", "robot.yaml:12:40", Origin.GIVEN)),
        )
    )
    rows = {(row["name"], row["note"]): row for row in sheet_rows("sources", told)}
    assert rows["slot", "pinned"] == {
        "name": "slot",
        "values": "H1: a (8:66); H2: b (9:66)",
        "origin": "given",
        "source": "robot.yaml",
        "note": "pinned",
    }
    assert rows["current", "the supply limit"]["values"] == "40 A: a (12:40), b (12:40); 30 A: c (12:40)"
    assert rows["gauge", "the rule book wants it"]["values"] == "12 AWG: a, b, c"


def test_a_sentence_stands_alone_before_what_it_is_for() -> None:
    said = {"sizing": sizing(assumptions=("The air is at 30 C.", "The wire is new."))}
    told = plan((branch("a", 1, **said), branch("b", 3, **said)))
    assert [row["values"] for row in sheet_rows("sources", told) if row["name"] == "assumption"] == [
        "The air is at 30 C. For a, b",
        "The wire is new. For a, b",
    ]


def test_what_to_doubt_stands_before_what_is_known() -> None:
    origins = [str(row["origin"]) for row in sheet_rows("sources", example_plan("tidepool"))]
    assert list(dict.fromkeys(origins)) == ["given", "assumed", "computed", "catalogue"]
    lost = branch("a", 1, length=reasoned(None, "nobody measured", origin=Origin.UNKNOWN))
    assert sheet_rows("sources", plan((lost,)))[0]["origin"] == "unknown"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_sheet_of_sources_loses_no_value(name: str) -> None:
    told = " / ".join(str(row["values"]) for row in sheet_rows("sources", example_plan(name)))
    for row in rows_of("sources", example_plan(name)):
        assert str(row["value"]) in told
        assert str(row["thing"]) in told


def test_what_does_not_apply_to_a_circuit_is_no_source_but_a_missing_slot_is() -> None:
    nothing = reasoned(None, "a data line carries no load", origin=Origin.CATALOGUE)
    bus = circuit(
        derived("chain", CircuitKind.BUS),
        (),
        source="",
        slot=reasoned("", "not fed from a slot"),
        protection="",
        protection_a=nothing,
        current=nothing,
        sustained=nothing,
        gauge=reasoned(None, "by use"),
        sizing=None,
    )
    lost = branch("a", 1, source="", slot=reasoned("", "none is free"))
    names = {(row["thing"], row["name"]) for row in rows_of("sources", plan((bus, lost)))}
    assert {name for thing, name in names if thing == "chain"} == {"length"}
    assert ("a", "slot") in names


@pytest.mark.parametrize("sheet", sheets(), ids=lambda sheet: sheet.name)
def test_every_row_has_every_column_of_its_sheet(sheet: Sheet) -> None:
    rows = sheet_rows(sheet.name, laid_out())
    assert rows
    for row in rows:
        assert {shown.column.key for shown in sheet.shown} <= set(row)
