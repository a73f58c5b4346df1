"""The plan that another Python works out is the plan; where it can't, everything is as if there were none."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs import planned_beside as beside
from loomwright.jobs.current import planned
from loomwright.jobs.plan import plan_robot
from tests.robots import example_text


@pytest.fixture(scope="module")
def trainer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the bench trainer."""
    folder = tmp_path_factory.mktemp("beside")
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    return folder


def test_the_other_python_gives_the_very_same_plan(trainer: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every field of it; and it was not worked out here."""
    here = planned(trainer)

    def never(*_: object) -> None:
        raise AssertionError("worked out here")

    with beside.planned_beside(trainer, "") as plan_of:
        monkeypatch.setattr("loomwright.jobs.current.planned", never)
        assert plan_of() == here


def test_what_can_not_be_planned_is_told_here(tmp_path: Path) -> None:
    """The same finding as without a helper, raised where people see it."""
    (tmp_path / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    with beside.planned_beside(tmp_path, "") as plan_of, pytest.raises(UnreadableInputError) as caught:
        plan_of()
    assert caught.value.faults[0].code == "plan-first"


#: A program that ends at once, whatever it is told.
_ENDS = shutil.which("true") or sys.executable


@pytest.mark.parametrize("helper", ["can't begin", "ends at once"])
def test_without_a_helper_the_plan_is_worked_out_here(
    trainer: Path,
    helper: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """None to be had, or one that is gone before it said anything."""
    monkeypatch.setattr(sys, "executable", str(trainer / "no python") if helper == "can't begin" else _ENDS)
    with beside.planned_beside(trainer, "") as plan_of:
        assert plan_of() == planned(trainer)
