"""`loomwright hunt --weak-points`: the plan's weak points for people and for scripts, and nothing of a hunt."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from loomwright.cli.main import main
from loomwright.hunting.robot.weak_points import weak_points
from loomwright.proof.failing import failures
from tests.robots import example_plan, example_text

PAGE = Path(__file__).resolve().parents[2] / "docs" / "outputs.md"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the small trainer once."""
    made = tmp_path_factory.mktemp("trainer")
    (made / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    assert CliRunner().invoke(main, ["plan", str(made)]).exit_code == 0
    return made


def weak(folder: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["hunt", "--weak-points", *words, "-C", str(folder)])


def test_people_read_what_costs_most_first(folder: Path) -> None:
    """Every line of the table, in its order, and no records begun."""
    told = weak(folder).stdout
    plan = example_plan("rockpool")
    lines = failures(plan, weak_points(plan))
    assert [line.lost for line in lines] == re.findall(r"^ *\d+\. +[\d.]+ s  (.*)$", told, re.MULTILINE)
    assert not (folder / "bench.db").exists()


def test_scripts_get_every_key_that_the_page_names(folder: Path) -> None:
    told = json.loads(weak(folder, "--json").stdout)
    page = PAGE.read_text(encoding="utf-8").partition("## hunt --weak-points --json")[2].partition("\n## ")[0]
    named = re.findall(r"^\| `([a-z_0-9.]+)`", page, re.MULTILINE)
    assert [key for key in named if "." not in key] == list(told)
    assert [key.partition(".")[2] for key in named if "." in key] == list(told["weak_points"][0])
    assert told["weak_points"][0]["whole"] == "robot"
    assert told["weak_points"][0]["ends"] == len(
        [seat for seat in told["weak_points"][0]["seats"] if seat[-2:] in (" A", " B")]
    )


def test_nothing_is_told_of_a_hunt_with_it(folder: Path) -> None:
    found = weak(folder, "--halt", "45s")
    assert found.exit_code == 2
    assert "--weak-points tells of the plan alone" in found.output
