"""duty.json and out/match.json as the next run reads them: of these very files, or not at all."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.findings import Severity
from loomwright.robotfile.folder import RobotFolder, open_folder
from loomwright.robotfile.plans.dutyfile import DutyFile, duty_name, read_duty, write_duty
from loomwright.robotfile.plans.matchfile import match_findings
from loomwright.sizing.duty import Duty
from tests.robots import example_text

DUTY = Duty(peak_a=40.0, worst_a=25.5, match_a=12.0, row_a=6.0, heat_a=18.5)
AMOUNTS = st.floats(0, 99999, allow_nan=False)
DUTIES = st.builds(Duty, AMOUNTS, AMOUNTS, AMOUNTS, AMOUNTS, AMOUNTS)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Make a robot's folder."""
    (tmp_path / "robot.yaml").write_text(example_text("tidepool"), encoding="utf-8")
    return tmp_path


def studied(folder: Path, build: str = "", of: str = "16 matches, seed 1, battery fresh") -> RobotFolder:
    """Write a duty file of the files as they are, and open the folder."""
    files = open_folder(folder)
    files.duty_path(build).write_bytes(write_duty(DutyFile(files.said(), of, {"lift": DUTY})))
    return open_folder(folder)


def edited(folder: Path) -> RobotFolder:
    """Change the robot file so that it says something else."""
    robot = folder / "robot.yaml"
    robot.write_text(robot.read_text(encoding="utf-8").replace("mass: 54 kg", "mass: 50 kg"), encoding="utf-8")
    return open_folder(folder)


@given(st.dictionaries(st.text(min_size=1, max_size=20), DUTIES, min_size=1, max_size=5), st.text(), st.text())
def test_what_is_written_is_read_back(
    tmp_path_factory: pytest.TempPathFactory, duties: dict[str, Duty], inputs: str, of: str
) -> None:
    """To the last bit, whatever the names; and written again it gives the same bytes."""
    path = tmp_path_factory.mktemp("duty") / "duty.json"
    # Surrogates have no bytes; no file's name or digest has any.
    duties = {name.encode("utf-8", "replace").decode(): duty for name, duty in duties.items()}
    inputs, of = (text.encode("utf-8", "replace").decode() for text in (inputs, of))
    kept = DutyFile(inputs, of, duties)
    path.write_bytes(write_duty(kept))
    read = read_duty(path)
    assert read == kept
    assert write_duty(read) == path.read_bytes()


def test_the_order_of_circuits_changes_no_byte() -> None:
    """Sorted by name, so that a small change is a small change in the file."""
    one = DutyFile("i", "o", {"a": DUTY, "b": DUTY})
    assert write_duty(one) == write_duty(replace(one, duties={"b": DUTY, "a": DUTY}))


SPOILT = {
    "empty": b"",
    "no JSON": b"duty",
    "no object": b"[1, 2]",
    "a newer form": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b'"format": 1', b'"format": 2'),
    "no branches": b'{"format": 1, "inputs": "i", "of": "o"}',
    "no branch": b'{"format": 1, "inputs": "i", "of": "o", "branches": {}}',
    "a key too few": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b'"peak_a": 40.0,', b""),
    "a key too many": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b'"peak_a"', b'"more_a": 1, "peak_a"'),
    "a word": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b"40.0", b'"40 A"'),
    "no number": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b"40.0", b"NaN"),
    "endless": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b"40.0", b"Infinity"),
    "below zero": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b"40.0", b"-40.0"),
    "a yes": write_duty(DutyFile("i", "o", {"a": DUTY})).replace(b"40.0", b"true"),
    "half written": write_duty(DutyFile("i", "o", {"a": DUTY}))[:60],
    "not UTF-8": b'{"format": 1, "inputs": "\xff"}',
    "very deep": b"[" * 100_000,
}


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_file_is_no_duty_and_is_told(folder: Path, name: str) -> None:
    """Limits are used, the plan goes on, and one finding says so; nothing raises."""
    bare = open_folder(folder)
    bare.duty_path().write_bytes(SPOILT[name])
    files = open_folder(folder)
    assert read_duty(files.duty_path()) is None
    assert files.duty() is None
    assert files.digest() == bare.digest()
    (finding,) = files.about_duty()
    assert (finding.code, finding.severity, finding.place.file) == ("duty-older", Severity.CONSIDER, "duty.json")
    assert "is not what `loomwright match` writes" in finding.what
    assert "loomwright match" in finding.fix


def test_no_file_is_no_duty_and_nothing_to_tell(folder: Path) -> None:
    """Before the first study."""
    files = open_folder(folder)
    assert (files.duty(), files.about_duty(), files.match_findings()) == (None, [], ())
    assert files.digest() == files.said()


def test_a_duty_of_these_very_files_counts(folder: Path) -> None:
    """It is read, it stands in the digest of the inputs, and it is said which study it is."""
    files = studied(folder)
    held = files.duty()
    assert held is not None
    assert held.duties == {"lift": DUTY}
    assert files.digest() != files.said()
    assert [finding.code for finding in files.about_duty()] == ["duty-used"]


def test_a_duty_of_an_older_robot_file_does_not_count(folder: Path) -> None:
    """Told, with what to do; the digest is that of the files alone."""
    studied(folder)
    files = edited(folder)
    assert files.duty() is None
    assert files.digest() == files.said()
    (finding,) = files.about_duty()
    assert "is of a robot file before the last change" in finding.what
    # A comment says nothing else, so the study is still of these files.
    studied(folder)
    robot = folder / "robot.yaml"
    robot.write_text("# a note\n" + robot.read_text(encoding="utf-8"), encoding="utf-8")
    assert open_folder(folder).duty() is not None


def test_other_drivers_leave_a_duty_as_it_is(folder: Path) -> None:
    """drivers.yaml stands in no digest: what was studied stays what was studied."""
    studied(folder)
    (folder / "drivers.yaml").write_text("drivers: {hard: {weight: 1}}\n", encoding="utf-8")
    assert open_folder(folder).duty() is not None


def test_the_digest_is_of_what_was_found_and_not_of_how(folder: Path) -> None:
    """Another seed that finds the same changes no plan; another current does."""
    one = studied(folder).digest()
    assert studied(folder, of="400 matches, seed 2, battery fresh").digest() == one
    files = open_folder(folder)
    more = {"lift": replace(DUTY, heat_a=19.0)}
    files.duty_path().write_bytes(write_duty(DutyFile(files.said(), "", more)))
    assert open_folder(folder).digest() != one


def test_each_build_has_its_own(folder: Path) -> None:
    """duty.practice.json counts for the practice build alone."""
    assert (duty_name(""), duty_name("practice")) == ("duty.json", "duty.practice.json")
    files = studied(folder, "practice")
    assert files.duty() is None
    assert files.duty("practice") is not None
    assert files.digest() == files.said() != files.digest("practice")
    assert (folder / "duty.practice.json").is_file()
    assert edited(folder).about_duty() == []
    assert [finding.place.file for finding in open_folder(folder).about_duty("practice")] == ["duty.practice.json"]


FINDING = {
    "code": "match-brown-out",
    "severity": "should",
    "file": "robot.yaml",
    "line": 0,
    "column": 0,
    "thing": "match",
    "what": "Outputs go off.",
    "fix": "Look.",
    "source": "",
    "rests_on": ["a", "b"],
    "asks": False,
}


def test_findings_of_the_last_study_are_told_again(tmp_path: Path) -> None:
    """Those of these inputs; what the study asks is asked there, and studies of other inputs say nothing."""
    path = tmp_path / "match.json"
    path.write_text(json.dumps({"inputs": "abc", "findings": [FINDING, FINDING | {"asks": True}]}), encoding="utf-8")
    (told,) = match_findings(path, "abc")
    assert told.as_dict() == FINDING | {"rests_on": ["a", "b"]}
    assert match_findings(path, "abd") == ()


@pytest.mark.parametrize(
    "spoilt",
    [
        b"",
        b"{}",
        b"[]",
        b'{"inputs": "abc"}',
        b'{"inputs": "abc", "findings": [{}]}',
        b'{"inputs": "abc", "findings": 1}',
        b'{"inputs": "abc", "findings": [{"asks": false, "severity": "awful"}]}',
        b"\xff",
        b"[" * 100_000,
    ],
)
def test_a_spoilt_study_tells_nothing(tmp_path: Path, spoilt: bytes) -> None:
    """It can always be made again, so it is no fault of the robot file."""
    path = tmp_path / "match.json"
    path.write_bytes(spoilt)
    assert match_findings(path, "abc") == ()
    assert match_findings(tmp_path / "none.json", "abc") == ()
