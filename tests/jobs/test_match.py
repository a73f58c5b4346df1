"""The job behind `loomwright match`: what is written when, what a stop keeps, and the duties it hands on."""

from __future__ import annotations

import errno
import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs.match import Asked, duties_of, study_robot
from loomwright.match.verdict import BranchTold, verdict_of
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.safe_write import NotWrittenError
from loomwright.sizing.duty import Duty
from tests.journeys.match_folders import copied
from tests.journeys.program import content
from tests.match.studies import outcomes, study
from tests.match.test_rank import Impatient

FEW = Asked(matches=16)


@pytest.fixture(autouse=True)
def few_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a plan rest on few matches, so that tests need not play a hundred."""
    monkeypatch.setattr("loomwright.jobs.match.LEAST_FOR_DUTY", 1)


@pytest.fixture
def trainer(tmp_path: Path) -> Path:
    """Copy the bench trainer, planned."""
    return copied("rockpool", tmp_path)


def told(circuit: str, peak_a: float = 40.0, heat_a: float = 18.6) -> BranchTold:
    """Return a branch with all of its currents."""
    return BranchTold(circuit, circuit, peak_a, 12.2, 25.0, heat_a, 50.0, 105.0, None, curve_assumed=False)


def test_duties_by_hand() -> None:
    """Rounded up to half an ampere; what shares a circuit is added up; what has none is nobody's.

    150 s of a match in every 600 s: half the root mean square. Without a known wire its match stands for its heat.
    """
    branches = (told("a"), told("b", heat_a=0.0), told("c", peak_a=1.0), told("c", peak_a=2.2), told(""))
    verdict = replace(verdict_of(study(), outcomes()), branches=branches)
    found = duties_of(study(), verdict, 450.0)
    assert set(found) == {"a", "b", "c"}
    assert found["a"] == Duty(peak_a=40.0, worst_a=25.0, match_a=12.5, row_a=6.5, heat_a=19.0)
    assert found["b"].heat_a == 12.5
    assert found["c"] == Duty(peak_a=3.5, worst_a=50.0, match_a=24.5, row_a=12.5, heat_a=37.5)
    assert duties_of(study(), verdict, 0.0)["a"].row_a == 12.5


def test_a_study_writes_its_four_files_and_says_so(trainer: Path) -> None:
    """Written once; the second time all of it stands there already."""
    done = study_robot(trainer, asked=FEW)
    assert {path.name for path in done.written} == {"match.csv", "match.json", "sag.svg", "sag.pdf", "duty.json"}
    assert done.papers == done.written
    again = study_robot(trainer, asked=FEW)
    assert (again.written, again.papers) == ((), done.papers)
    assert again.verdict == done.verdict
    held = open_folder(trainer).duty()
    assert held is not None
    assert held.of == "16 matches, seed 1, battery fresh"


def test_a_stop_keeps_what_was_played(trainer: Path) -> None:
    """The matches before the stop are written as what they are; their odds are of so many."""
    done = study_robot(trainer, asked=replace(FEW, matches=5000), watch=Impatient(1))
    assert done.stopped
    assert done.verdict is not None
    assert 0 < done.verdict.played < 5000
    held = json.loads((trainer / "out" / "match.json").read_text(encoding="utf-8"))
    assert (held["stopped"], held["verdict"]["matches"]) == (True, done.verdict.played)
    # What was played is a study's beginning: the same as asking for so many at once.
    alone = study_robot(trainer, asked=replace(FEW, matches=done.verdict.played))
    assert alone.verdict == done.verdict


def test_a_stopped_what_if_writes_nothing(trainer: Path) -> None:
    """It tells what was played, beside the same matches of the robot as it is."""
    before = content(trainer)
    asked = replace(FEW, matches=5000, sets=("left wheel.supply_limit=2A",), compare=True)
    done = study_robot(trainer, asked=asked, watch=Impatient(1))
    assert done.stopped
    assert done.verdict is not None
    assert done.verdict.played < 5000
    assert content(trainer) == before


def test_more_than_memory_holds_is_refused_in_words(trainer: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback, nothing written."""

    def too_much(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr("loomwright.jobs.match.play_study", too_much)
    before = content(trainer)
    with pytest.raises(UnreadableInputError) as caught:
        study_robot(trainer, asked=replace(FEW, matches=1_900_000))
    (fault,) = caught.value.faults
    assert (fault.code, fault.place.thing) == ("too-many-matches", "match")
    assert "1900000 matches don't fit" in fault.what
    assert content(trainer) == before


def test_a_full_disk_is_told_and_leaves_everything_whole(trainer: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old study stays to the byte; no file is half-written, none is left over."""
    study_robot(trainer, asked=FEW)
    before = content(trainer)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotWrittenError, match="the disk is full"):
        study_robot(trainer, asked=replace(FEW, seed=2))
    assert content(trainer) == before


def test_a_stop_while_writing_leaves_every_file_whole(trainer: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Old or new, never half."""
    study_robot(trainer, asked=FEW)
    before = content(trainer)

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        study_robot(trainer, asked=replace(FEW, seed=2))
    assert content(trainer) == before


def test_a_robot_that_does_not_move_is_asked_and_not_played(tmp_path: Path) -> None:
    """No mechanism that says enough: no verdict, nothing written, and a question with an example."""
    folder = copied("rockpool", tmp_path)
    robot = folder / "robot.yaml"
    head, _, rest = robot.read_text(encoding="utf-8").partition("\nmechanisms:\n")
    after = rest[rest.index("\nelectronics:") :]
    robot.write_text(head + after, encoding="utf-8")
    before = content(folder)
    done = study_robot(folder, asked=FEW)
    assert done.verdict is None
    assert [finding.code for finding in done.findings] == ["nothing-moves"]
    assert done.findings[0].asks
    assert content(folder) == before
