"""The three examples, from the robot file to every output, through the command line."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from loomwright.robotfile.plans.planfile import read_memory
from tests.journeys.demos import demo_folder
from tests.journeys.in_process import here
from tests.journeys.program import content, loomwright
from tests.robots import EXAMPLES, example_text

_SHEETS = ("circuits.csv", "wires.csv", "plan.xlsx", "plan.json", "spine.svg", "plate.svg", "data.svg")
_BUILDS = {"tidepool": ("practice",), "breakwater": ("practice",), "rockpool": ()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_goes_from_its_file_to_all_outputs(name: str, tmp_path: Path) -> None:
    """Plan and check end with 0, every file is there for every build, and all of them tell the same plan."""
    (tmp_path / "robot.yaml").write_text(example_text(name), encoding="utf-8")
    for build in ("", *_BUILDS[name]):
        words = ("--build", build) if build else ()
        planned = loomwright("plan", str(tmp_path), *words)
        assert planned.code == 0, planned.out + planned.err
        out = tmp_path / "out" / build
        assert all((out / sheet).stat().st_size for sheet in _SHEETS)
        plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
        memory = read_memory((tmp_path / (f"plan.{build}.yaml" if build else "plan.yaml")).read_bytes(), "plan.yaml")
        assert plan["revision"] == memory.revision
        assert plan["revision"] in planned.out
        rows = list(csv.DictReader(io.StringIO((out / "wires.csv").read_text(encoding="utf-8-sig"))))
        assert len(rows) == len(plan["wires"]) == len(memory.wires)
        assert CalamineWorkbook.from_path(str(out / "plan.xlsx")).sheet_names
        for drawing in ("spine.svg", "plate.svg", "data.svg"):
            assert f"plan {plan['revision']}" in (out / drawing).read_text(encoding="utf-8")
        checked = loomwright("check", str(tmp_path), *words)
        assert checked.code == 0
        assert "must be fixed" not in checked.out


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_demo_is_complete_and_made_again_the_same(
    name: str, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """`demo` ends with 0, makes a folder that can be planned, and twice gives the same bytes."""
    folder = shutil.copytree(demo_folder(tmp_path_factory, name), tmp_path / "demo")
    before = content(folder)
    assert {"robot.yaml", "robot.schema.json", "plan.yaml", ".gitignore", "out/spine.svg"} <= set(before)
    again = loomwright("demo", str(folder), "--robot", name)
    assert again.code == 0
    assert content(folder) == before
    assert loomwright("plan", str(folder)).code == 0
    assert content(folder) == before


def test_a_build_keeps_the_wire_ids_of_its_design(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A wire that is on both has one id in both plans; a slot moves only where the build has set one free."""
    demo = demo_folder(tmp_path_factory, "tidepool")
    plans = [read_memory((demo / name).read_bytes(), name) for name in ("plan.yaml", "plan.practice.yaml")]
    shared = plans[0].wires.keys() & plans[1].wires.keys()
    assert len(shared) > 80
    assert all(plans[0].wires[key] == plans[1].wires[key] for key in shared)
    design, build = (plan.slots for plan in plans)
    free = {slot for name, slot in design.items() if name not in build}
    moved = {name: slot for name, slot in build.items() if design.get(name, slot) != slot}
    assert set(moved.values()) <= free | {design[name] for name in moved}


def test_the_demo_keeps_an_edited_robot_file(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What a student wrote into the demo stays, and that is said."""
    folder = shutil.copytree(demo_folder(tmp_path_factory, "rockpool"), tmp_path / "demo")
    robot = folder / "robot.yaml"
    edited = robot.read_text(encoding="utf-8").replace("at: [450 mm, 170 mm]", "length: 60 cm")
    robot.write_text(edited, encoding="utf-8")
    again = loomwright("demo", str(folder), "--robot", "rockpool")
    assert again.code == 0
    assert "was kept" in again.out
    assert robot.read_text(encoding="utf-8") == edited
    assert "60 cm" in again.out


def test_the_demo_keeps_an_edited_stock(tmp_path: Path) -> None:
    """Spools that were measured again stay, beside a robot that somebody made smaller."""
    folder = tmp_path / "demo"
    assert here("new", str(folder)).code == 0
    (folder / ".loomwright-demo").write_text("breakwater\n", encoding="utf-8")
    (folder / "stock.yaml").write_text("wire: [12 AWG, 14 AWG, 18 AWG, 22 AWG, 6 AWG]\n", encoding="utf-8")
    before = content(folder)
    ended = loomwright("demo", str(folder), "--robot", "breakwater")
    assert ended.code == 0, ended.err
    assert "Your edited robot.yaml and stock.yaml were kept; delete them to get the demo's own back." in ended.out
    after = content(folder)
    assert [after[name] == before[name] for name in ("robot.yaml", "stock.yaml")] == [True, True]
    (folder / "stock.yaml").unlink()
    assert "Your edited robot.yaml was kept; delete it to get" in here("demo", str(folder), "--robot", "breakwater").out
    assert (folder / "stock.yaml").read_text(encoding="utf-8").startswith("# What lies in the wire box")


def test_the_demo_refuses_a_folder_of_somebody_else(tmp_path: Path) -> None:
    """A folder with other things in it is left alone, whatever its name."""
    (tmp_path / "homework.txt").write_text("mine", encoding="utf-8")
    before = content(tmp_path)
    ended = loomwright("demo", str(tmp_path))
    assert ended.code == 2
    assert "folder-not-ours" in ended.err
    assert content(tmp_path) == before


def test_an_empty_folder_is_taken_for_the_demo(tmp_path: Path) -> None:
    """An empty folder is nobody's."""
    assert loomwright("demo", str(tmp_path), "--robot", "rockpool").code == 0


def test_a_new_folder_can_be_planned_at_once(tmp_path: Path) -> None:
    """A dozen lines give a plan with honest gaps, and the one line that would help most next."""
    folder = tmp_path / "ours"
    assert loomwright("new", str(folder)).code == 0
    planned = loomwright("plan", str(folder))
    assert planned.code == 0, planned.out
    # 5 % of 12 V at 40 A are 15 mohm; 12 AWG has 5.21 mohm/m, out and back, and 20 cm of it are the controller's own.
    assert "12 AWG holds up to 1.24 m one way" in planned.out
    assert "What would help most next:" in planned.out


def test_new_never_touches_a_robot_file(tmp_path: Path) -> None:
    """A folder with a robot.yaml is refused and stays as it is."""
    (tmp_path / "robot.yaml").write_text("robot: Mine\n", encoding="utf-8")
    before = content(tmp_path)
    ended = loomwright("new", str(tmp_path))
    assert ended.code == 2
    assert "robot-file-there" in ended.err
    assert content(tmp_path) == before
