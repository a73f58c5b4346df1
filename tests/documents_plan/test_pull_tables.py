"""The rows that people fill in when they pull: every end once in the order of building, every sample of each set."""

from __future__ import annotations

import pytest

from loomwright.documents.tables.columns import columns
from loomwright.documents.tables.pulls import pull_rows, sample_rows
from loomwright.documents.workbook.notes import notes
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.documents.workbook.sheets import Look, sheets
from loomwright.proof.ends import all_ends
from loomwright.proof.pulls import SAMPLE_CARE, fitted_ends, pull_samples
from tests.robots import EXAMPLES, example_plan

SHEETS = {sheet.name: sheet for sheet in sheets()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_end_that_somebody_makes_has_one_row_both_ends_of_a_wire_together(name: str) -> None:
    """The rows are those of the order of building, wire by wire, A before B."""
    plan = example_plan(name)
    rows = [(str(row["wire"]), str(row["end"])) for row in pull_rows(plan)]
    assert sorted(rows) == sorted(end.name for end in all_ends(plan))
    wires = [wire for wire, _ in rows]
    order = list(dict.fromkeys(end.wire for group in fitted_ends(plan) for end in group.ends))
    assert list(dict.fromkeys(wires)) == order
    assert rows == sorted(rows, key=lambda row: (order.index(row[0]), row[1]))


def test_a_row_says_what_is_made_and_what_hands_do_there() -> None:
    """What stands on the sheet before anybody writes on it; a battery post is looked at and never pulled."""
    told = {(row["wire"], row["end"]): row for row in pull_rows(example_plan("rockpool"))}
    assert told["W6", "A"] == {
        "wire": "W6",
        "end": "A",
        "where": "block L1 plus",
        "gauge": "18 AWG",
        "terminal": "bare end, folded double",
        "card": told["W7", "A"]["card"],
        "by_hand": "pull",
        "revision": example_plan("rockpool").revision,
    }
    assert told["W1", "A"]["by_hand"] == "look, don't pull"


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_sample_of_every_set_has_a_row(name: str) -> None:
    """As many rows as the sets have samples, numbered, each with the force that its kind has to stand."""
    plan = example_plan(name)
    rows = sample_rows(plan)
    assert len(rows) == sum(sample.count for sample in pull_samples(plan))
    for sample in pull_samples(plan):
        mine = [row for row in rows if row["cards"] == ", ".join(map(str, sample.cards))]
        assert [row["sample"] for row in mine] == [f"{n} of {sample.count}" for n in range(1, sample.count + 1)]
        forces = {row["must_hold_n"] for row in mine}
        assert forces == {"unknown" if sample.force_n is None else round(sample.force_n)}


@pytest.mark.parametrize("sheet", ["pull record", "sample pulls"])
def test_the_sheets_have_an_empty_box_for_everything_that_is_written_in(sheet: str) -> None:
    """The boxes are the columns that only the sheet has; all others are filled in before."""
    boxes = {shown.column.key for shown in SHEETS[sheet].shown if shown.look is Look.BOX}
    assert {column.key for column in columns(sheet)} == {shown.column.key for shown in SHEETS[sheet].shown} - boxes
    for row in sheet_rows(sheet, example_plan("rockpool")):
        assert {key for key, cell in row.items() if cell == ""} == boxes


def test_a_sample_holds_for_a_time_and_both_papers_say_so() -> None:
    """A minute by all three standards of the tables; the workbook's note is the packet's own care."""
    plan = example_plan("tidepool")
    assert {row["hold_s"] for row in sample_rows(plan) if row["must_hold_n"] != "unknown"} <= {60, "unknown"}
    assert any(row["hold_s"] == 60 for row in sample_rows(plan))
    told = " ".join(notes(SHEETS["sample pulls"], plan, empty=False))
    assert all(words in told for words in SAMPLE_CARE)
    assert "when the time is over" in told
    assert "force is reached" not in told
