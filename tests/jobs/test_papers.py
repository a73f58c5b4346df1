"""What `plan` writes again and what it leaves: a current plan's drawings stay, anything else is made anew."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from loomwright.jobs import papers
from loomwright.jobs.check import check
from loomwright.jobs.plan import Planned, plan_robot
from loomwright.layout.net import build
from loomwright.plan.memory import Memory
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans import drawn, netfile
from loomwright.robotfile.plans.planfile import read_memory
from tests.jobs.test_deciding import ROBOT

DRAWINGS = {"plan.xlsx", "plate.svg", "spine.svg", "data.svg"}
#: A lamp beside its controller, far from every trunk, so that its lead goes through the air.
LOOSE = ROBOT.replace("[40 cm, 50 cm], jumper", "[50 cm, 20 cm], jumper").partition("    right rail")[0]


@pytest.fixture(scope="module")
def planned_small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan a small robot once."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    plan_robot(folder)
    return folder


@pytest.fixture
def folder(planned_small: Path, tmp_path: Path) -> Path:
    """Copy the folder of a small robot, planned once."""
    return shutil.copytree(planned_small, tmp_path, dirs_exist_ok=True)


def names(planned: Planned) -> set[str]:
    """Return the names of the files that were written."""
    return {path.name for path in planned.written}


def forbidden(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every writer of a drawing fail, the builder of the net, and the packing of bundles."""

    def fail(*_: object, **__: object) -> object:
        raise AssertionError("this was to be left as it is")

    for spot in papers._DRAWN.values():
        monkeypatch.setattr(spot.replace(":", "."), fail)
    monkeypatch.setattr(build, "build", fail)
    monkeypatch.setattr("loomwright.layout.engine.packing.pack", fail)


def everything(folder: Path) -> dict[str, bytes]:
    """Read every file below a folder."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_current_plan_draws_nothing_and_writes_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = everything(folder)
    forbidden(monkeypatch)
    planned = plan_robot(folder)
    assert planned.written == ()
    assert {path.name for path in planned.papers} == {*DRAWINGS, "circuits.csv", "wires.csv", "plan.json", "plan.yaml"}
    assert everything(folder) == before


def test_what_was_left_is_what_would_be_made(folder: Path) -> None:
    """Deleting what is kept makes everything anew, with the same bytes."""
    before = everything(folder)
    for name in (drawn.NAME, netfile.NAME):
        (folder / "out" / name).unlink()
    for name in DRAWINGS:
        (folder / "out" / name).unlink()
    assert names(plan_robot(folder)) == DRAWINGS
    assert everything(folder) == before


@pytest.mark.parametrize("name", sorted(DRAWINGS))
def test_a_drawing_that_is_lost_or_edited_is_made_again(folder: Path, name: str) -> None:
    before = everything(folder)
    (folder / "out" / name).unlink()
    assert names(plan_robot(folder)) == {name}
    (folder / "out" / name).write_bytes(b"scribbled on")
    assert names(plan_robot(folder)) == {name}
    assert everything(folder) == before


def test_a_line_put_in_above_moves_places_on_the_sheets(folder: Path) -> None:
    """The same robot: plan.yaml stays, and what shows lines of the file is made anew."""
    robot = folder / "robot.yaml"
    robot.write_text("# our robot\n" + robot.read_text(encoding="utf-8"), encoding="utf-8")
    planned = plan_robot(folder)
    assert "plan.yaml" not in names(planned)
    assert {"plan.json", "plan.xlsx"} <= names(planned)


def test_another_program_draws_anew(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = open_folder(folder)
    assert kept.net() is not None
    monkeypatch.setattr("loomwright.robotfile.folder.program", lambda: b"the next one")
    assert kept.net() is None
    drawn_before = (folder / "out" / drawn.NAME).read_bytes()
    assert names(plan_robot(folder)) == set()  # the bytes are the same, whoever made them
    assert (folder / "out" / drawn.NAME).read_bytes() != drawn_before


@pytest.mark.parametrize(
    "spoilt",
    [b"", b"{", b"[]", b"{}", b"null", b'{"source": 1}', b"[" * 100_000, b"\xff", b'{"source": "", "sheets": []}'],
)
@pytest.mark.parametrize("name", [drawn.NAME, netfile.NAME])
def test_what_is_kept_may_be_spoilt(folder: Path, name: str, spoilt: bytes) -> None:
    """Nothing of it is needed: everything is worked out again."""
    before = everything(folder)
    (folder / "out" / name).write_bytes(spoilt)
    assert plan_robot(folder).written == ()
    assert everything(folder) == before


@pytest.mark.parametrize("text", [ROBOT, LOOSE], ids=["all on trunks", "one through the air"])
def test_the_net_comes_back_as_it_was(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every number to the last bit: a plan over the kept net is the plan over the net that was built."""
    (tmp_path / "robot.yaml").write_text(text, encoding="utf-8")
    planned = plan_robot(tmp_path)
    assert planned.plan.layout is not None
    known = open_folder(tmp_path).net()
    assert known is not None
    assert known.net == planned.plan.layout.net
    assert bool(known.loose) == (text == LOOSE)
    with monkeypatch.context() as patch:
        forbidden(patch)
        patch.setattr("loomwright.layout.net.loose.loose", None)
        taken = check(tmp_path)
    (tmp_path / "out" / netfile.NAME).unlink()
    assert check(tmp_path) == taken


def test_a_net_with_a_row_too_short_is_built_again(folder: Path) -> None:
    path = folder / "out" / netfile.NAME
    held = json.loads(path.read_bytes())
    held["edges"][0].pop()
    path.write_bytes(json.dumps(held).encode())
    assert open_folder(folder).net() is None


def test_a_net_of_other_terminals_is_not_taken(folder: Path) -> None:
    path = folder / "out" / netfile.NAME
    held = json.loads(path.read_bytes())
    held["asked"].pop()
    held["edges"] = []
    path.write_bytes(json.dumps(held).encode())
    assert plan_robot(folder).written == ()


def test_a_plan_file_is_read_once_however_often_it_is_asked_for(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Most commands ask for it twice, and reading it is long; when it is edited, it is read again."""
    files = open_folder(folder)
    before = files.memory()
    read: list[bytes] = []

    def reading(data: bytes, file: str) -> Memory:
        read.append(data)
        return read_memory(data, file)

    monkeypatch.setattr("loomwright.robotfile.folder.read_memory", reading)
    assert open_folder(folder).memory() is before
    assert not read
    plan = folder / "plan.yaml"
    plan.write_text(plan.read_text(encoding="utf-8") + "# looked over\n", encoding="utf-8")
    assert files.memory() == before
    assert len(read) == 1
