"""The battery of a match: a state of its class, one of the rack, or the one that is really in the robot."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs.match import Asked, study_robot
from loomwright.jobs.rack.for_match import match_battery
from loomwright.match.of_battery import battery_states
from loomwright.robotfile.folder import open_folder
from tests.jobs.rack.team import folder_of, good_and_bad, sign, told
from tests.records.events import key


def taken(folder: Path, name: str) -> tuple[str, tuple[float, float], tuple[str, ...]]:
    """Return name, resistance factors and sentences of the battery that a name means."""
    files = open_folder(folder)
    robot, _ = files.read()
    found = match_battery(files, robot, name)
    return found.name, found.state.ohm, found.measured


def test_shipped_states_need_no_rack(tmp_path: Path) -> None:
    """Every state by its name; nothing said is a fresh one."""
    folder = folder_of(tmp_path)
    for name, state in battery_states().items():
        assert taken(folder, name) == (name, state.ohm, ())
    assert taken(folder, "")[0] == "fresh"


def test_a_label_gives_the_battery_as_it_was_measured(tmp_path: Path) -> None:
    """11 and 24 milliohm of an 11 milliohm class; the bad one says what it is."""
    folder = good_and_bad(folder_of(tmp_path))
    name, ohm, words = taken(folder, "b1")
    assert name == "B1"
    assert ohm[0] < 1 < ohm[1]
    assert words[0].startswith("battery B1 is taken as the rack knows it: ")
    name, ohm, words = taken(folder, "B2")
    assert ohm[0] > 1.6
    assert words[1] == "B2 is `practice only`"


def test_without_a_name_it_is_the_one_in_the_robot(tmp_path: Path) -> None:
    """Where exactly one was said to be there; two make nobody sure, and a fresh one is played."""
    folder = good_and_bad(folder_of(tmp_path))
    assert taken(folder, "")[0] == "fresh"
    sign(folder, told(50, "moved", "B2", words="robot"))
    assert taken(folder, "")[0] == "B2"
    sign(folder, told(51, "moved", "B1", words="robot"))
    assert taken(folder, "")[0] == "fresh"
    sign(folder, told(52, "moved", "B2", words="rack", of=[key(50)]))
    assert taken(folder, "")[0] == "B1"


def test_a_battery_is_played_as_full_as_it_is(tmp_path: Path) -> None:
    """After matches without a charge it begins with less."""
    folder = good_and_bad(folder_of(tmp_path))
    files = open_folder(folder)
    robot, _ = files.read()
    full = match_battery(files, robot, "B1").state.charge
    sign(
        folder, *(told(60 + n, "played", "B1", words=f"Q{n}", measured_at=f"2026-02-07T0{n}:00:00Z") for n in range(5))
    )
    assert match_battery(files, robot, "B1").state.charge[1] < full[0]


def test_what_there_is_not_offers_the_nearest(tmp_path: Path) -> None:
    """Neither a state nor a label."""
    folder = good_and_bad(folder_of(tmp_path))
    with pytest.raises(UnreadableInputError) as caught:
        taken(folder, "usde")
    assert "Did you mean `used`?" in caught.value.faults[0].fix
    with pytest.raises(UnreadableInputError) as caught:
        taken(folder, "B3")
    (fault,) = caught.value.faults
    assert fault.code == "no-such-battery"
    assert "a battery of the rack" in fault.fix


def test_the_same_records_play_the_same_match(tmp_path: Path) -> None:
    """The hour at which somebody asks changes nothing: what is known is told as of the last record."""
    folder = good_and_bad(folder_of(tmp_path))
    assert taken(folder, "B1") == taken(folder, "B1")


def test_a_match_is_played_with_the_battery_that_is_in_the_robot(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A worse battery sags deeper on the very same matches, and the study says whose it was; no plan rests on it."""
    monkeypatch.setattr("loomwright.jobs.match.LEAST_FOR_DUTY", 1)
    folder = good_and_bad(folder_of(tmp_path, "rockpool"))
    asked = Asked(matches=32)
    lowest = {}
    for label in ("B1", "B2"):
        done = study_robot(folder, asked=replace(asked, battery=label))
        assert done.verdict is not None
        assert done.asked.battery == label
        assert done.rests_on[0].startswith(f"battery {label} is taken as the rack knows it")
        lowest[label] = done.verdict.lowest_50_v
    assert lowest["B2"] < lowest["B1"] - 0.03
    assert not (folder / "duty.json").exists()
    sign(folder, told(50, "moved", "B2", words="robot"))
    done = study_robot(folder, asked=asked)
    assert done.verdict is not None
    assert done.verdict.lowest_50_v == lowest["B2"]
