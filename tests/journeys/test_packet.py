"""The packet as people make it: from the demo, dated, on labels; refused where the plan is missing or too old."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwright.documents.typst.compile import forget
from tests.jobs.test_deciding import ROBOT
from tests.journeys.in_process import here
from tests.journeys.program import content, loomwright

FILES = {"packet.pdf", "flags.pdf", "plate.dxf", "plate.svg", "spine.svg", "data.svg", "plan.xlsx"}


def plain(folder: Path) -> dict[str, bytes]:
    """Return every file that people look at, with its bytes."""
    return {name: held for name, held in content(folder).items() if not Path(name).name.startswith(".")}


@pytest.fixture(scope="module")
def planned_small(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Plan a small robot once; let typst forget at the end what was set here."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    assert loomwright("plan", str(folder)).code == 0
    yield folder
    forget()


@pytest.fixture
def small(planned_small: Path, tmp_path: Path) -> Path:
    """Copy the folder of a small robot that is planned."""
    return shutil.copytree(planned_small, tmp_path, dirs_exist_ok=True)


def test_the_packet_of_a_planned_robot(small: Path) -> None:
    """Every file of it stands in out/; made again, nothing is written."""
    ended = loomwright("packet", str(small))
    assert ended.code == 0, ended.err
    assert {path.name for path in (small / "out").iterdir()} >= FILES
    assert (small / "out" / "packet.pdf").read_bytes().startswith(b"%PDF")
    before = content(small)
    assert "Nothing has changed" in loomwright("packet", str(small)).out
    assert content(small) == before


def test_a_script_is_told_what_was_made(small: Path) -> None:
    told = json.loads(loomwright("packet", str(small), "--json").out)
    assert {Path(name).name for name in told["files"]} == FILES
    assert set(told["written"]) == {f"out/{name}" for name in ("packet.pdf", "flags.pdf", "plate.dxf")}
    assert (told["robot"], told["build"]) == ("Small", "")
    plan = json.loads((small / "out" / "plan.json").read_text(encoding="utf-8"))
    assert (told["revision"], told["findings"]) == (plan["revision"], plan["findings"])


def test_date_paper_and_labels_change_what_is_printed(small: Path) -> None:
    here("packet", str(small))
    before = plain(small)
    for words, names in (
        (("--date", "2026-02-14"), {"packet.pdf"}),
        (("--paper", "letter"), {"packet.pdf", "flags.pdf"}),
        (("--labels", "a4-3x9", "--from", "5"), {"flags.pdf"}),
    ):
        assert here("packet", str(small), *words).code == 0
        after = plain(small)
        assert {Path(name).name for name in after if after[name] != before[name]} == names
        here("packet", str(small))
        assert plain(small) == before


def test_without_a_plan_nothing_is_printed(tmp_path: Path) -> None:
    (tmp_path / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    ended = loomwright("packet", str(tmp_path))
    assert ended.code == 1
    assert "[no-plan] must" in ended.out
    assert "Run `loomwright plan`" in ended.out
    assert {path.name for path in tmp_path.iterdir()} == {"robot.yaml"}
    told = json.loads(loomwright("packet", str(tmp_path), "--json").out)
    assert (told["files"], told["revision"], [f["code"] for f in told["findings"]]) == ([], "", ["no-plan"])


def test_a_plan_older_than_the_robot_file_is_printed_as_a_draft_only(small: Path) -> None:
    loomwright("packet", str(small))
    before = content(small)
    robot = small / "robot.yaml"
    robot.write_text(ROBOT.replace("left rear:", "left back:"), encoding="utf-8")
    ended = loomwright("packet", str(small))
    assert ended.code == 1
    assert "[plan-older] must" in ended.out
    assert content(small) == before | {"robot.yaml": robot.read_bytes()}
    ended = loomwright("packet", str(small), "--anyway")
    assert ended.code == 1
    assert "[plan-older] must" in ended.out
    after = content(small)
    assert after["out/packet.pdf"] != before["out/packet.pdf"]
    assert after["plan.yaml"] == before["plan.yaml"], "a draft decides nothing"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--date", "tomorrow"), "is not a date. Write year, month and day"),
        (("--date", "2026-02-31"), "is not a date. Write year, month and day"),
        (("--build", "practise"), "practise"),
        (("--labels", "a4-3x"), "There is no label sheet `a4-3x`: write a4-3x9"),
        (("--labels", "a4-3x9", "--from", "28"), "Label 28 is not on a page of a4-3x9: give 1 to 27."),
        (("--paper", "a5"), "'a5' is not one of"),
        (("--from", "0"), "0 is not in the range"),
    ],
)
def test_a_wrong_option_is_told_and_nothing_is_written(small: Path, words: tuple[str, ...], told: str) -> None:
    before = content(small)
    ended = here("packet", str(small), *words)
    assert ended.code == 2
    assert told in ended.err
    assert content(small) == before


@pytest.mark.parametrize("name", sorted(FILES - {"plate.svg", "spine.svg", "data.svg", "plan.xlsx"}))
def test_a_name_that_is_taken_is_told_and_nothing_is_lost(small: Path, name: str) -> None:
    """A folder stands where a paper should be written: the message says so, and the other files stay."""
    (small / "out" / name).mkdir()
    before = content(small)
    ended = here("packet", str(small))
    assert ended.code == 2
    assert "a folder has its name; rename the folder" in ended.err
    assert content(small) == before


def test_a_file_where_out_should_be_is_told(small: Path) -> None:
    """The folder for the sheets can't be made, and the message says what stands in its way."""
    for path in (small / "out").iterdir():
        path.unlink()
    (small / "out").rmdir()
    (small / "out").write_text("not a folder", encoding="utf-8")
    ended = here("packet", str(small))
    assert ended.code == 2
    assert "out can't be used: a file stands where this folder should be; move that file away." in ended.err


def test_a_build_that_was_never_planned_is_told_how(small: Path) -> None:
    (small / "robot.yaml").write_text(f"{ROBOT}builds: {{practice: {{without: [beacon]}}}}\n", encoding="utf-8")
    ended = here("packet", str(small), "--build", "practice")
    assert ended.code == 1
    assert "There is no plan.practice.yaml yet" in ended.out
    assert "Run `loomwright plan --build practice`" in ended.out


@pytest.mark.parametrize("spoilt", ["cut short", "another wire", "another revision"])
def test_a_plan_that_the_tool_did_not_write_so_is_not_printed(small: Path, spoilt: str) -> None:
    """Its inputs are right and its decisions are not those of its revision: the sheets would be nobody's plan."""
    plan = small / "plan.yaml"
    told = plan.read_text(encoding="utf-8")
    edited = {
        "cut short": told[: told.index("- circuit:", told.index("- circuit:") + 1)],
        "another wire": told.replace("id: W6\n", "id: W99\n").replace("next wire: ", "next wire: 10"),
        "another revision": re.sub(r"(?m)^revision: .*$", "revision: 0badf00d", told),
    }[spoilt]
    assert edited != told
    plan.write_text(edited, encoding="utf-8")
    before = content(small)
    ended = here("packet", str(small))
    assert ended.code == 1
    assert "[plan-differs] must" in ended.out
    assert content(small) == before
    assert "[plan-differs] must" in here("packet", str(small), "--anyway").out
    assert (small / "out" / "packet.pdf").is_file()
    here("plan", str(small))
    assert here("packet", str(small)).code == 0
