"""docs/outputs.md and the files hold each other to their word, both ways."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from loomwright.documents.json.plan import plan_json
from loomwright.documents.tables.columns import columns, tables
from loomwright.documents.workbook.sheets import sheets
from loomwright.model.device import Spot, Wishes
from loomwright.model.fact import Fact, State
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.planfile import write_plan
from tests.documents_plan.factories import CONTROLLER, branch, device, plan, reasoned, robot
from tests.documents_plan.laid_out import laid_out
from tests.plan.decided import decided

PAGE = (Path(__file__).parents[2] / "docs" / "outputs.md").read_text(encoding="utf-8")
HEADINGS = {
    "circuits": "## out/circuits.csv",
    "wires": "## out/wires.csv",
    "findings": "### Sheet findings",
    "questions": "### Sheet questions",
    "sources": "### Sources",
    "ends": "### Sheet ends",
    "cards": "### Sheet cards",
    "pull record": "### Sheet pull record",
    "sample pulls": "### Sheet sample pulls",
    "bundles": "### Sheet bundles",
    "to buy": "### Sheet to buy",
    "wire needed": "### Sheet wire needed",
    "cut list": "### Sheet cut list",
    "rules": "### Sheet rules",
    "documents": "### Sheet documents",
    "sheet only": "### Only on sheets",
}
#: Keys of objects that names of the robot are the keys of.
NAMES = {"circuits.reasons": "KEY", "trunks.unrouted": "RUN", "chains": "BUS"}
#: Where the tables stand in the JSON.
IN_JSON = {"circuits": "circuits", "wires": "wires", "sources": "sources", "rules.in_force": "rules"}
IN_JSON |= {"findings": "findings", "questions": "findings"}  # a question is told as a finding


def rows(heading: str) -> list[list[str]]:
    """Give the rows of the table under a heading, without its head."""
    _, found, rest = PAGE.partition(f"\n{heading}\n")
    assert found, heading
    section = re.split(r"^#", rest, maxsplit=1, flags=re.MULTILINE)[0]
    lines = [line for line in section.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def keys(heading: str) -> set[str]:
    """Give the keys of the table under a heading."""
    return {row[0].strip("`") for row in rows(heading)}


def paths(content: object, path: str = "") -> Iterator[str]:
    """Give the path of every key; items of a list share their path, and so do objects by the robot's names."""
    if isinstance(content, list):
        for item in content:
            yield from paths(item, path)
    elif isinstance(content, dict):
        for key, value in content.items():
            name = NAMES.get(path, str(key))
            yield (inner := f"{path}.{name}" if path else name)
            yield from paths(value, inner)


def full_plan() -> Plan:
    """Give a plan in which every key has something to say."""
    every = branch(
        "every key",
        10,
        slot=reasoned("H1", "why", "where"),
        gauge=reasoned(None, "why", "where"),
        length=reasoned(None, "why", "where"),
    )
    folded = replace(every.wires[0], twisted_with="W11", captive=True)
    swapped = replace(
        folded, id="W12", role="swapped", a=replace(folded.b, socket="s"), b=replace(folded.a, socket="s")
    )
    made = device(
        "every key controller",
        CONTROLLER,
        spot=Spot(at=Fact.of((0.1, 0.2)), height=Fact.of(0.3)),
        wishes=Wishes(length=Fact.of(0.5, state=State.FITTED)),
    )
    circuits = (*plan().circuits, replace(every, wires=(folded, swapped)))
    taken = frozenset({("every key", "plus")})
    return decided(
        plan(circuits, robot=robot(devices=(*robot().devices, replace(made, called="every key"))), made=taken)
    )


@pytest.mark.parametrize("table", tables())
def test_the_page_lists_each_column_of_each_table_with_its_meaning(table: str) -> None:
    told = [[column.title, f"`{column.key}`", column.meaning] for column in columns(table)]
    assert rows(HEADINGS[table]) == told


def test_the_page_has_a_section_for_every_table() -> None:
    assert set(HEADINGS) == set(tables())


def test_the_page_lists_the_columns_of_each_sheet_in_order() -> None:
    told = [(name, shown) for name, _, shown in rows("## out/plan.xlsx")]
    assert told == [(sheet.name, ", ".join(shown.column.title for shown in sheet.shown)) for sheet in sheets()]


def test_the_page_lists_each_key_of_the_json_and_no_other() -> None:
    written = set(paths(json.loads(plan_json(laid_out(full_plan())))))
    in_tables = {f"{path}.{column.key}" for path, table in IN_JSON.items() for column in columns(table)}
    listed = keys("## out/plan.json")
    groups = {path.rpartition(".")[0] for path in written if "." in path} - listed
    assert written - in_tables - groups == listed - in_tables
    assert in_tables <= written
    by_name = {"circuits.reasons", "circuits.reasons.KEY", "trunks.unrouted", "chains", "chains.BUS"}
    assert groups == {"rules", "slots", "trunks", "cut", *by_name}


def test_the_page_lists_each_key_of_the_plan_file_and_no_other() -> None:
    written = set(paths(yaml.safe_load(write_plan(full_plan()))))
    groups = {f"circuits.{name}" for name in ("slot", "protection", "gauge", "length")}
    assert written - groups == keys("## plan.yaml")


def test_the_page_names_the_unit_of_every_json_number_that_has_one() -> None:
    units = {row[0].strip("`"): row[1] for row in rows("## out/plan.json")}
    assert (units["circuits.sizing.reach.one_way_m"], units["trunks.cost_g"], units["cut.scrap_mm"]) == ("m", "g", "mm")
    told_elsewhere = {"margin", "limit", "actual", "ties", "at", "metres"}
    for key, unit in units.items():
        suffix = re.search(r"_(m|mm|mm2|ohm|a|v|c|g)$", key)
        assert (unit == "") == (suffix is None) or key.rpartition(".")[2] in told_elsewhere, key
