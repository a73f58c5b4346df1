"""The rows of circuits and wires: right words, right numbers, never an empty cell."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.tables.cells import amount, as_words, length_words, ratio
from loomwright.documents.tables.columns import columns, tables
from loomwright.documents.tables.every import questions, rows_of
from loomwright.documents.tables.wiring import circuit_rows, flat, wire_rows
from loomwright.findings import Severity
from loomwright.model.part import Polarity, Port, PortKind
from loomwright.model.reason import Origin
from loomwright.model.rules import Rule, RuleBook
from loomwright.units import Dimension, Gauge, read
from loomwright.wiring.result import CircuitKind
from tests.documents_plan.factories import (
    CLAMP,
    FITTED,
    LENGTH_UNKNOWN,
    TOO_HOT,
    WHERE_IS_IT,
    branch,
    circuit,
    derived,
    end,
    nowhere,
    plan,
    reasoned,
    robot,
    sizing,
    wire,
)
from tests.documents_plan.laid_out import laid_out

TABLES = [table for table in tables() if table != "sheet only"]


@pytest.mark.parametrize("sheet", TABLES)
def test_rows_have_exactly_the_columns_of_their_sheet_in_order(sheet: str) -> None:
    """A field without a column, or a column without a field, would be a word that only one paper knows."""
    rows = rows_of(sheet, laid_out())
    assert rows
    for row in rows:
        assert list(row) == [column.key for column in columns(sheet)]


def test_circuits_without_rows_still_agree_with_their_columns() -> None:
    for sheet, rows in (("circuits", circuit_rows(plan())), ("wires", wire_rows(plan()))):
        assert list(flat(rows[0])) == [column.key for column in columns(sheet)]


@pytest.mark.parametrize("sheet", TABLES)
def test_no_two_columns_of_a_sheet_have_one_title(sheet: str) -> None:
    titles = [column.title for column in columns(sheet)]
    assert len(set(titles)) == len(titles)


def test_a_title_is_the_key_in_words_with_its_unit() -> None:
    titles = {column.key: column.title for column in (*columns("circuits"), *columns("wires"))}
    assert titles["protection_a"] == "protection [A]"
    assert titles["drop_pct"] == "drop [%]"
    assert titles["margin_ratio"] == "margin [ratio]"
    assert titles["a_strip_mm"] == "A strip [mm]"
    assert titles["conductor_temperature_c"] == "conductor temperature [°C]"
    assert titles["plus_colour"] == "plus colour"


@pytest.mark.parametrize("sheet", TABLES)
def test_no_cell_is_empty(sheet: str) -> None:
    """An empty cell looks like zero, or like a slip; a word says which it is."""
    for row in rows_of(sheet, laid_out()):
        for key, cell in row.items():
            assert as_words(cell) != "", key


def test_a_circuit_that_stands_is_told_in_full() -> None:
    (row,) = (row for row in circuit_rows(plan()) if row.circuit == "left front")
    told = flat(row)
    assert told.pop("reasons") == (
        "slot: the first heavy slot that is free",
        "protection: the largest that suits",
        "current: the supply limit",
        "sustained: a motor at work",
        "length: along the trunk",
        "gauge: the rule book wants it",
        "colours: its parts bring their own colours",
    )
    assert told.pop("sources") == (
        "slot: computed",
        "protection: catalogue (common practice)",
        "current: given (robot.yaml:12:40)",
        "sustained: assumed",
        "length: computed",
        "gauge: computed (gauge-40a)",
        "colours: catalogue",
        "sizing: cm-k-practice, cfr-183.425-table-5",
    )
    assert told == {
        "circuit": "left front",
        "kind": "branch",
        "mechanism": "left drive",
        "load": "left front controller",
        "source": "block",
        "slot": "H3",
        "slot_label": "L front?",
        "protection_a": 40.0,
        "protected_by": "breaker/snap-action",
        "gauge": "12 AWG",
        "plus_colour": "RD",
        "minus_colour": "BK",
        "wires": "W1, W2",
        "path": "-",
        "length_m": 0.853,
        "length": "85.3 cm",
        "current_a": 40.0,
        "drop_v": 0.476,
        "drop_pct": 3.97,
        "sustained_a": 25.0,
        "ampacity_a": 45.0,
        "conductor_temperature_c": 61.3,
        "tightest": "drop",
        "margin_ratio": 1.25,
        "decided_by": "rule book, drop",
        "state": "planned",
    }


def test_what_is_not_known_says_so_and_what_does_not_apply_says_nothing() -> None:
    rows = {row.circuit: row for row in circuit_rows(plan())}
    lost, data = rows["intake"], rows["main chain"]
    for key in (
        "source",
        "slot",
        "protection_a",
        "protected_by",
        "gauge",
        "length_m",
        "length",
        "drop_v",
        "ampacity_a",
    ):
        assert getattr(lost, key) == "unknown", key
    for key in ("source", "slot", "protection_a", "protected_by", "current_a", "drop_v", "tightest", "plus_colour"):
        assert getattr(data, key) == "-", key


def test_a_source_that_limits_itself_needs_no_fuse() -> None:
    guarded = branch("radio", 1, protection="the regulator's own limit", protection_a=reasoned(None, "3 A limit"))
    (row,) = circuit_rows(plan((guarded,)))
    assert (row.protection_a, row.protected_by) == ("-", "the regulator's own limit")


def test_leads_that_a_part_brings_were_sized_by_its_maker() -> None:
    own = branch("a", 1, sizing=None, gauge=reasoned(Gauge(14), "the part's own leads", origin=Origin.CATALOGUE))
    cable = branch("b", 3, sizing=None, gauge=reasoned(None, "a ready-made cable", origin=Origin.CATALOGUE))
    odd = branch("c", 5, sizing=None, gauge=reasoned(None, "its current is not known", origin=Origin.UNKNOWN))
    rows = {row.circuit: row for row in circuit_rows(plan((own, cable, odd)))}
    assert [rows[name].gauge for name in "abc"] == ["14 AWG", "-", "unknown"]
    for key in (
        "drop_v",
        "drop_pct",
        "ampacity_a",
        "conductor_temperature_c",
        "tightest",
        "margin_ratio",
        "decided_by",
    ):
        assert [getattr(rows[name], key) for name in "abc"] == ["-", "-", "unknown"], key
    values = {row["thing"]: row["value"] for row in rows_of("sources", plan((cable, odd))) if row["name"] == "gauge"}
    assert values == {"c": "unknown"}  # what doesn't apply has no source


def test_a_wire_is_told_with_both_ends() -> None:
    (row,) = (row for row in wire_rows(plan()) if row.wire == "W1")
    assert (row.circuit, row.role, row.use) == ("left front", "plus", "left front controller, plus")
    assert (row.gauge, row.colour, row.length_m, row.length) == ("12 AWG", "RD", 0.853, "85.3 cm")
    assert (row.a.device, row.a.where, row.a.port) == ("block", "block H3 plus", "lever clamp")
    assert (row.a.terminal, row.a.strip_mm, row.a.folded, row.a.hand_pull) == ("bare end", 12.0, "-", "yes")
    assert (row.a.pull_standard, row.a.pull_n, row.a.pull_lbf) == ("ul-486e", 80.1, 18.0)
    assert (row.b.strip_mm, row.b.folded) == (12.7, "fold back and twist")
    assert (row.b.pull_standard, row.b.pull_n, row.b.pull_lbf) == ("-", "-", "-")


def test_an_end_that_nobody_makes_is_no_open_question_but_one_without_a_gauge_is() -> None:
    moulded = replace(end("B", "a motor", Polarity.PLUS, done=None), port=Port("plus", PortKind.LEAD, Polarity.PLUS))
    own = branch("a", 1, wires=(wire("W1", "a", "plus", captive=True, b=moulded),))
    (row,) = wire_rows(plan((own,)))
    assert (row.b.terminal, row.b.strip_mm, row.b.hand_pull) == ("-", "-", "-")
    (first, _) = wire_rows(plan((nowhere("intake"),)))
    assert (first.a.port, first.a.terminal, first.a.strip_mm, first.a.hand_pull) == ("unknown",) * 4


def test_a_fitted_plug_has_nothing_to_strip() -> None:
    held = branch("a", 1, wires=(wire("W1", "a", "plus", a=end("A", "block", Polarity.PLUS, done=FITTED)),))
    (row,) = wire_rows(plan((held,)))
    assert (row.a.terminal, row.a.strip_mm, row.a.hand_pull) == ("plug fitted by the maker", "-", "no")


def test_a_ready_made_cable_has_no_gauge_and_a_part_brings_its_own_colours() -> None:
    cable = wire("W1", "radio", "cable", polarity=Polarity.CABLE, gauge=None, colour="")
    (row,) = wire_rows(plan((branch("radio", 1, wires=(replace(cable, a=end("A", "regulator", Polarity.CABLE)),)),)))
    assert (row.gauge, row.colour) == ("-", "-")
    own = replace(wire("W1", "fan", "plus"), captive=True, colour="")
    (circuit_row,) = circuit_rows(plan((branch("fan", 1, wires=(own,)),)))
    assert circuit_row.plus_colour == "-"


def test_a_quarter_inch_of_strip_is_told_as_it_is() -> None:
    quarter = end("A", "block", Polarity.PLUS, done=replace(CLAMP, strip_m=0.00635))
    (row,) = wire_rows(plan((branch("a", 1, wires=(wire("W1", "a", "plus", a=quarter),)),)))
    assert row.a.strip_mm == 6.35


def test_newtons_and_pounds_force_agree() -> None:
    """The standard prints 6.75 lbf for 18 AWG in a clamp; a second rounding would make another number of it."""
    done = replace(CLAMP, pull_n=6.75 * 4.4482216152605)
    held = branch("a", 1, wires=(wire("W1", "a", "plus", a=end("A", "block", Polarity.PLUS, done=done)),))
    (row,) = wire_rows(plan((held,)))
    assert (row.a.pull_n, row.a.pull_lbf) == (30.0, 6.75)


def test_circuits_stand_in_the_order_of_slots_whatever_order_they_were_planned_in() -> None:
    held = [branch(f"c{20 - n}", 2 * n, slot=reasoned(f"H{n}")) for n in (10, 2, 1, 11)]
    feeder = circuit(derived("sub", CircuitKind.FEEDER), (), slot=reasoned("H12"))
    orders = []
    for seed in range(4):
        shuffled = random.Random(seed).sample([*held, feeder], k=5)  # noqa: S311  an order to test, no secret
        orders.append([row.circuit for row in circuit_rows(plan(tuple(shuffled)))])
    assert all(order == ["sub", "c19", "c18", "c10", "c9"] for order in orders)


def test_one_guess_makes_the_whole_circuit_guessed() -> None:
    rows = {row.circuit: row.state for row in circuit_rows(plan())}
    assert rows["intake"] == "guessed"
    assert rows["left front"] == "planned"


def test_colours_that_differ_on_one_side_are_all_told() -> None:
    two = (wire("W1", "a", "plus"), wire("W2", "a", "plus 2", polarity=Polarity.PLUS, colour="WH"))
    (row,) = circuit_rows(plan((branch("a", 1, wires=two),)))
    assert (row.plus_colour, row.minus_colour) == ("RD, WH", "-")


def test_a_margin_is_rounded_down() -> None:
    assert ratio(0.99999) == 0.99
    assert ratio(1.0) == 1.0
    assert ratio(1.15) == 1.15
    held = sizing(constraints=tuple(replace(one, margin=0.9999) for one in sizing().constraints))
    (row,) = circuit_rows(plan((branch("a", 1, sizing=held),)))
    assert row.margin_ratio == 0.99


@given(st.floats(0.0, 1e6))
def test_a_broken_limit_never_reads_as_held(margin: float) -> None:
    shown = ratio(margin)
    assert isinstance(shown, float)
    assert margin - 0.01 <= shown <= margin + 1e-8
    assert (shown >= 1) <= (margin >= 1 - 1e-9)


def test_numbers_that_are_none_never_reach_a_sheet() -> None:
    for value in (None, float("nan"), float("inf")):
        assert amount(value, places=1) == "unknown"
        assert ratio(value, applies=False) == "-"
    assert str(amount(-0.001, places=1)) == "0.0"


@given(st.floats(0.001, 50.0))
def test_a_length_in_words_reads_back_to_the_millimetre(length_m: float) -> None:
    assert read(length_words(length_m), Dimension.LENGTH) == pytest.approx(round(length_m, 3), abs=1e-9)


def test_findings_come_gravest_first_and_questions_are_those_that_ask() -> None:
    held = plan()
    assert [row["code"] for row in rows_of("findings", held)] == ["hold-heat", "no-source", "length-unknown"]
    assert questions(held) == (WHERE_IS_IT, LENGTH_UNKNOWN)
    assert TOO_HOT not in questions(held)


def test_a_should_is_no_question_unless_it_asks() -> None:
    verdict = replace(TOO_HOT, severity=Severity.SHOULD)
    asking = replace(verdict, what="Is the button guarded?", asks=True)
    assert questions(plan(findings=(verdict, asking))) == (asking,)


def test_a_finding_in_no_file_has_no_line() -> None:
    (row,) = (row for row in rows_of("questions", plan()) if row["code"] == "no-source")
    assert (row["file"], row["line"], row["column"]) == ("-", "-", "-")


def test_values_are_told_with_unit_origin_and_source() -> None:
    rows = {(row["thing"], row["name"]): row for row in rows_of("sources", plan())}
    peak = rows["controller/inline-40a", "peak current"]
    assert (peak["value"], peak["origin"], peak["source"]) == ("60 A", "assumed", "from memory")
    assert rows["controller/inline-40a", "commutation"]["value"] == "brushed"
    length = rows["left front", "length"]
    assert (length["value"], length["note"]) == ("85.3 cm", "along the trunk")
    assert rows["left front", "gauge"]["value"] == str(Gauge(12))


def test_a_source_key_is_told_in_full() -> None:
    titles = {row["source"]: str(row["title"]) for row in rows_of("sources", plan())}
    several = titles["cm-k-practice, cfr-183.425-table-5"]
    documents = {row["source"]: str(row["title"]) for row in rows_of("documents", plan())}
    assert "183.425" in documents["cfr-183.425-table-5"]
    assert several == f"{documents['cm-k-practice']}; {documents['cfr-183.425-table-5']}"


def test_the_documents_are_those_of_the_values_and_of_the_rules() -> None:
    cited = Rule("r", "note", "Ropes hold.", Severity.MUST, "iec-60757", dated="2021")
    told = plan(rules=RuleBook("x", "", (cited,)))
    assert "iec-60757" in {row["source"] for row in rows_of("documents", told)}
    assert "iec-60757" not in {row["source"] for row in rows_of("documents", plan())}
    assert rows_of("rules", told)[0] == {
        "rule": "r",
        "severity": "must",
        "sentence": "Ropes hold.",
        "source": "iec-60757",
        "dated": "2021",
    }


def test_a_part_that_is_off_the_robot_is_no_source() -> None:
    held = plan(robot=robot(devices=()))
    assert not [row for row in rows_of("sources", held) if row["thing"] == "controller/inline-40a"]
