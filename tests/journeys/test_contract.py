"""The contract of the command line: folders, exit codes, JSON, streams, interruptions."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

import pexpect
import pytest

from loomwright.jobs.plan import plan_robot
from tests.journeys.program import content, loomwright
from tests.robots import example_text

BROKEN = "robot: T\nbattery: {part: battery/agm-12v-18ah, leads: 6}\ncolour: red\n"


@pytest.fixture
def trainer(tmp_path: Path) -> Path:
    """Make the bench trainer's folder."""
    (tmp_path / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    return tmp_path


def test_the_folder_is_given_in_three_ways(trainer: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """As DIR, as -C DIR, or by standing in it: the same answer."""
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    as_dir = loomwright("check", str(trainer), cwd=elsewhere)
    as_option = loomwright("check", "-C", str(trainer), cwd=elsewhere)
    standing = loomwright("check", cwd=trainer)
    assert as_dir == as_option == standing
    assert as_dir.code == 0


def test_two_folders_at_once_are_refused(trainer: Path) -> None:
    """DIR and -C that disagree are wrong usage."""
    assert loomwright("check", str(trainer), "-C", "/nowhere").code == 2


def test_exit_0_where_nothing_must_be_fixed(trainer: Path) -> None:
    """Questions and remarks alone end with 0."""
    assert loomwright("check", str(trainer)).code == 0


def test_exit_1_where_something_must_be_fixed(trainer: Path) -> None:
    """A plan with a must finding is still written, and the exit code says so."""
    robot = trainer / "robot.yaml"
    robot.write_text(robot.read_text(encoding="utf-8").replace("guarded: yes", "guarded: no"), encoding="utf-8")
    robot.write_text(robot.read_text(encoding="utf-8").replace("leads: 12 AWG", "leads: 16 AWG"), encoding="utf-8")
    ended = loomwright("plan", str(trainer))
    assert ended.code == 1
    assert "] must" in ended.out
    assert (trainer / "plan.yaml").is_file()
    assert loomwright("check", str(trainer)).code == 1


def test_exit_2_with_all_faults_and_nothing_written(trainer: Path) -> None:
    """Input that can't be understood: every fault on stderr, nothing on stdout, not a byte changed."""
    assert loomwright("plan", str(trainer)).code == 0
    (trainer / "robot.yaml").write_text(BROKEN, encoding="utf-8")
    before = content(trainer)
    for command in ("check", "plan"):
        ended = loomwright(command, str(trainer))
        assert ended.code == 2
        assert ended.out == ""
        assert "robot.yaml:2:46  battery.leads  [bad-value] must" in ended.err
        assert "robot.yaml:3:1  colour  [unknown-key] must" in ended.err
    assert content(trainer) == before


@pytest.mark.parametrize(
    "words", [("chek",), ("check", "--nonsense"), ("check", "/no/such/folder"), ("plan", "--build")]
)
def test_exit_2_for_wrong_usage(words: tuple[str, ...], tmp_path: Path) -> None:
    """A wrong word, option or folder is told in plain words."""
    ended = loomwright(*words, cwd=tmp_path)
    assert ended.code == 2
    assert ended.out == ""
    assert ended.err.strip()


def test_an_unknown_build_is_told_with_those_there_are(tmp_path: Path) -> None:
    """`--build` with a name that the file does not have."""
    (tmp_path / "robot.yaml").write_text(example_text("tidepool"), encoding="utf-8")
    ended = loomwright("check", str(tmp_path), "--build", "practise")
    assert ended.code == 2
    assert "it has practice" in ended.err


def test_check_writes_nothing(trainer: Path) -> None:
    """`check` leaves the folder as it was."""
    before = content(trainer)
    loomwright("check", str(trainer))
    assert content(trainer) == before


@pytest.mark.parametrize("command", ["check", "plan"])
def test_json_is_the_plan_and_nothing_else(command: str, trainer: Path) -> None:
    """With --json stdout is one JSON document with stable keys, equal to out/plan.json."""
    ended = loomwright(command, str(trainer), "--json")
    told = json.loads(ended.out)
    loomwright("plan", str(trainer))
    assert told == json.loads((trainer / "out" / "plan.json").read_text(encoding="utf-8"))
    assert {"format", "robot", "revision", "circuits", "wires", "findings", "questions", "cautions"} <= set(told)


def test_every_command_answers_with_json(tmp_path: Path) -> None:
    """new, demo, schema, check --part and size all take --json and write one document."""
    runs = (
        ("new", str(tmp_path / "n"), "--json"),
        ("demo", str(tmp_path / "d"), "--robot", "rockpool", "--json"),
        ("schema", "--json"),
        ("check", str(tmp_path / "n"), "--part", "motor/brushless-500w", "--json"),
        ("size", "--current", "20A", "--one-way", "1m", "--json"),
    )
    for words in runs:
        ended = loomwright(*words)
        assert ended.code == 0, ended.err
        assert json.loads(ended.out)


def test_a_part_is_printed_with_its_sources() -> None:
    """`check --part` tells every value of a class and where it comes from."""
    ended = loomwright("check", "--part", "motor/brushless-500w")
    assert ended.code == 0
    assert "stall current" in ended.out
    assert "[from memory]" in ended.out


def test_the_schema_is_what_new_folders_point_to(tmp_path: Path) -> None:
    """The schema beside a new robot file is the one that `schema` writes."""
    loomwright("new", str(tmp_path / "n"))
    written = json.loads((tmp_path / "n" / "robot.schema.json").read_text(encoding="utf-8"))
    assert written == json.loads(loomwright("schema").out)
    first = (tmp_path / "n" / "robot.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=robot.schema.json"


def test_an_interrupted_plan_leaves_the_old_one(trainer: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stop at any moment of writing leaves every file whole: old or new, never half."""
    plan_robot(trainer)
    before = content(trainer)
    robot = trainer / "robot.yaml"
    robot.write_text(
        robot.read_text(encoding="utf-8").replace("at: [450 mm, 170 mm]", "length: 60 cm"), encoding="utf-8"
    )
    before["robot.yaml"] = robot.read_bytes()

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        plan_robot(trainer)
    assert content(trainer) == before
    monkeypatch.undo()
    plan_robot(trainer)
    assert content(trainer)["plan.yaml"] != before["plan.yaml"]


def test_a_file_in_the_way_of_out_is_told(trainer: Path) -> None:
    """A file called out is named in a plain line, and the old plan stays."""
    (trainer / "out").write_text("mine", encoding="utf-8")
    ended = loomwright("plan", str(trainer))
    assert ended.code == 2
    assert "out" in ended.err
    assert (trainer / "out").read_text(encoding="utf-8") == "mine"


def test_on_a_terminal_it_shows_a_table_in_colour_and_asks_nothing(trainer: Path) -> None:
    """A pseudo-terminal run: headings, colours, the count of findings, and an end without input."""
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "120"}
    environment.pop("NO_COLOR", None)
    words = ["-m", "loomwright", "plan", str(trainer)]
    child = pexpect.spawn(sys.executable, words, env=environment, dimensions=(50, 120), encoding="utf-8", timeout=120)
    child.expect(pexpect.EOF)
    child.close()
    shown = child.before or ""
    assert child.exitstatus == 0
    assert "\x1b[" in shown
    assert "left wheel" in shown
    assert "tightest limit" in shown
    assert "to consider." in shown
    assert "Written in" in shown


def test_a_reader_that_goes_away_is_no_fault(trainer: Path) -> None:
    """`loomwright check | head -1` ends quietly."""
    line = f"'{sys.executable}' -m loomwright check '{trainer}' | head -1"
    child = pexpect.spawn("/bin/sh", ["-c", line], encoding="utf-8", timeout=120)
    child.expect(pexpect.EOF)
    assert "Traceback" not in (child.before or "")
