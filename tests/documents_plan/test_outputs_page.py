"""docs/outputs.md and the files hold each other to their word, both ways."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from loomwright.documents.columns import columns, sheets
from loomwright.documents.json_plan import plan_json
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.planfile import write_plan
from tests.documents_plan.factories import branch, plan, reasoned

PAGE = (Path(__file__).parents[2] / "docs" / "outputs.md").read_text(encoding="utf-8")
HEADINGS = {
    "circuits": "## out/circuits.csv and sheet circuits",
    "wires": "## out/wires.csv and sheet wires",
    "findings": "### Sheet findings",
    "questions": "### Sheet questions",
    "sources": "### Sheet sources",
}


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
    """Give the path of every key; items of a list share their path, and reasons share one for all keys."""
    if isinstance(content, list):
        for item in content:
            yield from paths(item, path)
    elif isinstance(content, dict):
        for key, value in content.items():
            name = "KEY" if path == "circuits.reasons" else key
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
    return plan((*plan().circuits, replace(every, wires=(folded, swapped))))


@pytest.mark.parametrize("sheet", sheets())
def test_the_page_lists_each_column_of_each_sheet_with_its_meaning(sheet: str) -> None:
    told = [[column.title, f"`{column.key}`", column.meaning] for column in columns(sheet)]
    assert rows(HEADINGS[sheet]) == told


def test_the_page_has_a_section_for_every_sheet() -> None:
    assert list(HEADINGS) == list(sheets())


def test_the_page_lists_each_key_of_the_json_and_no_other() -> None:
    written = set(paths(json.loads(plan_json(full_plan()))))
    tables = {f"{sheet}.{column.key}" for sheet in HEADINGS for column in columns(sheet)}
    questions = {f"questions.{column.key}" for column in columns("findings")}  # a question is told as a finding
    groups = {path.rpartition(".")[0] for path in written if "." in path} - keys("## out/plan.json")
    assert written - tables - questions - groups == keys("## out/plan.json") - tables
    assert tables | questions <= written
    assert groups == {"rules", "circuits.reasons", "circuits.reasons.KEY"}


def test_the_page_lists_each_key_of_the_plan_file_and_no_other() -> None:
    written = set(paths(yaml.safe_load(write_plan(full_plan()))))
    groups = {f"circuits.{name}" for name in ("slot", "protection", "gauge", "length")}
    assert written - groups == keys("## plan.yaml")


def test_the_page_names_the_unit_of_every_json_number_that_has_one() -> None:
    units = {row[0].strip("`"): row[1] for row in rows("## out/plan.json")}
    assert units["circuits.sizing.reach.one_way_m"] == "m"
    for key, unit in units.items():
        suffix = re.search(r"_(m|mm2|ohm|a|v|c)$", key)
        assert (unit == "") == (suffix is None) or key.rpartition(".")[2] in {"margin", "limit", "actual"}, key
