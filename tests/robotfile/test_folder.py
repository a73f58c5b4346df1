"""A robot's folder: its files are read together, their faults told together, its results kept apart by build."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.folder import open_folder
from tests.robotfile.robot_texts import WIRED


def write(folder: Path, **texts: str) -> Path:
    """Put files into a folder; `parts_x` goes to parts/sensor/x.yaml."""
    for name, text in texts.items():
        path = folder / (f"{name}.yaml" if not name.startswith("parts_") else f"parts/sensor/{name[6:]}.yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def told(folder: Path, build: str = "") -> str:
    """Return everything that is said of a folder that can't be read."""
    with pytest.raises(UnreadableInputError) as caught:
        open_folder(folder).read(build)
    return str(caught.value)


def heads(text: str) -> list[str]:
    """Return the first line of every fault."""
    return [line for line in text.splitlines() if not line.startswith(" ")]


def test_no_folder(tmp_path: Path) -> None:
    """The first thing that goes wrong for everybody."""
    missing = tmp_path / "nowhere"
    assert told(missing) == (
        f"{missing}  [no-folder] must\n"
        f"  There is no folder {missing}.\n"
        "  Fix: Stand in the robot's folder, name it, or make one with `loomwright new DIR`."
    )


def test_no_robot_file(tmp_path: Path) -> None:
    """A folder without robot.yaml is not a robot's."""
    assert told(tmp_path) == (
        f"{tmp_path / 'robot.yaml'}  [no-robot-file] must\n"
        f"  There is no robot.yaml in {tmp_path}.\n"
        "  Fix: Stand in the robot's folder, name it, or make one with `loomwright new DIR`."
    )


def test_a_folder_called_robot_yaml_is_no_robot_file(tmp_path: Path) -> None:
    """A name alone is not enough."""
    (tmp_path / "robot.yaml").mkdir()
    assert "[no-robot-file]" in told(tmp_path)


def test_the_faults_of_every_file_are_told_at_once(tmp_path: Path) -> None:
    """robot.yaml, a part of the team's own, rules.yaml and stock.yaml: one run tells all."""
    write(
        tmp_path,
        robot="robot: T\nsensors: {eye: {part: sensor/own, lenght: 3 cm}, ear: {part: sensor/own}}\n",
        stock="wire: [12]\n",
        rules="name: T\nnonsense: yes\n",
        parts_own="title: Own\nnonsense: yes\n",
    )
    files = [head.split(":")[0] for head in heads(told(tmp_path))]
    assert set(files) == {"stock.yaml", "robot.yaml", "rules.yaml", "parts/sensor/own.yaml"}
    assert files.count("parts/sensor/own.yaml") == 1, "once, although two things name that part"


def test_an_unknown_rule_book_is_told_at_its_name(tmp_path: Path) -> None:
    """The place is the word in robot.yaml, not a file that nobody wrote."""
    write(tmp_path, robot="robot: T\nrules: comon-practice\n")
    assert heads(told(tmp_path))[0].startswith("robot.yaml:2:8  rules  [")
    assert "common-practice" in told(tmp_path)


def test_own_stock_and_parts_are_used(tmp_path: Path) -> None:
    """What lies beside the robot file counts."""
    write(
        tmp_path,
        robot=f"{WIRED}sensors: {{eye: {{part: sensor/own}}}}\n",
        stock="wire: [12 AWG]\n",
        parts_own="title: Own eye\nsource: type plate\nsockets:\n"
        "  output: {role: signal output, ports: [signal, minus], held by: pin header}\n",
    )
    robot, _ = open_folder(tmp_path).read()
    assert [str(gauge) for gauge in robot.stock.gauges] == ["12 AWG"]
    eye = robot.device("eye")
    assert eye is not None
    assert eye.part.title == "Own eye"


@pytest.mark.parametrize("name", ["robot", "stock", "rules"])
def test_a_file_far_too_large_is_not_even_read(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A log or a video under the wrong name is refused by its size, before it fills the memory."""
    write(tmp_path, robot="robot: T\n")
    with (tmp_path / f"{name}.yaml").open("wb") as file:
        file.truncate(3_000_000_000)
    read_bytes = Path.read_bytes

    def read_small(path: Path) -> bytes:
        assert path.stat().st_size < 3_000_000_000
        return read_bytes(path)

    monkeypatch.setattr(Path, "read_bytes", read_small)
    assert told(tmp_path) == (
        f"{name}.yaml:1:1  [file-too-large] must\n"
        "  This file has 3000.0 MB; more than 1 MB is not read.\n"
        "  Fix: Take out what is not part of the description, such as logs or pictures."
    )


def test_each_build_has_a_plan_and_papers_of_its_own(tmp_path: Path) -> None:
    """The design's and the build's never lie on top of each other."""
    files = open_folder(write(tmp_path, robot="robot: T\n"))
    assert [p.relative_to(tmp_path).as_posix() for p in (files.plan_path(), files.out_path())] == ["plan.yaml", "out"]
    assert [p.relative_to(tmp_path).as_posix() for p in (files.plan_path("practice"), files.out_path("practice"))] == [
        "plan.practice.yaml", "out/practice",
    ]  # fmt: skip
    assert files.memory() is None


def test_the_digest_sees_what_is_said_and_not_how(tmp_path: Path) -> None:
    """Comments and the order of keys change nothing; a value, a stock, a rule or a part does."""
    base = open_folder(write(tmp_path / "a", robot="robot: T\nwires: {drop: 5 %, ambient: 30 C}\n")).digest()
    same = write(tmp_path / "b", robot="# why\nwires: {ambient: 30 C, drop: 5 %}\nrobot: T\n")
    assert open_folder(same).digest() == base
    others = [
        write(tmp_path / "c", robot="robot: T\nwires: {drop: 4 %, ambient: 30 C}\n"),
        write(tmp_path / "d", robot="robot: T\nwires: {drop: 5 %, ambient: 30 C}\n", stock="wire: [12 AWG]\n"),
        write(tmp_path / "e", robot="robot: T\nwires: {drop: 5 %, ambient: 30 C}\n", parts_own="title: X\n"),
    ]
    digests = {open_folder(other).digest() for other in others}
    assert len(digests | {base}) == 4
