"""The rack at one moment, and what it tells by itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from loomwright.jobs.rack.signing import state_of
from loomwright.jobs.rack.view import RackView, rack_view
from loomwright.rack.health.result import State
from loomwright.rack.readings import day_of
from loomwright.robotfile.folder import open_folder
from tests.jobs.rack.team import folder_of, good_and_bad, read, sign, store_of, told
from tests.records.events import NOON


def seen(folder: Path) -> RackView:
    """Return the rack of a folder at noon."""
    files = open_folder(folder)
    robot, _ = files.read()
    with store_of(folder) as store:
        return rack_view(state_of(store), robot, files.library.part, day_of(NOON))


def codes(folder: Path, *events: dict[str, Any]) -> list[str]:
    """Return the codes of what a rack tells after some events."""
    sign(folder, *events)
    return [finding.code for finding in seen(folder).findings]


def test_a_good_battery_is_fit_and_a_bad_one_is_not(tmp_path: Path) -> None:
    """11 milliohm is good and 24 is not for matches, by common practice."""
    view = seen(good_and_bad(folder_of(tmp_path)))
    assert [one.label for one in view.batteries] == ["B1", "B2"]
    assert view.health_of("b1").verdict.state is State.FIT
    assert view.health_of("B2").verdict.state is State.PRACTICE
    assert view.health_of("B1").worth > view.health_of("B2").worth
    assert view.findings == ()
    assert view.label("b 2") == "B2"


def test_the_class_is_the_robots_own_where_nobody_says_another(tmp_path: Path) -> None:
    """By part, by a stated capacity, and told where there is no such part."""
    folder = folder_of(tmp_path)
    sign(
        folder,
        told(1, "battery", "B1"),
        told(2, "battery", "B2", words="battery/agm-12v-7ah"),
        told(3, "battery", "B3", words="battery/no-such"),
        told(4, "battery", "B4", conditions={"capacity_ah": 12.0}),
    )
    view = seen(folder)
    robot, _ = open_folder(folder).read()
    own = robot.device("battery")
    assert own is not None
    assert view.batteries[0].of.title == own.part.title == view.batteries[2].of.title
    assert view.batteries[1].of.capacity_ah == 7
    assert view.batteries[3].of.capacity_ah == 12
    assert [finding.code for finding in view.findings] == ["unknown-part"]


def test_what_must_not_go_on_comes_first(tmp_path: Path) -> None:
    """A dropped battery in the robot must be stopped; what was never added, and what counts for nothing, is told."""
    folder = folder_of(tmp_path)
    found = codes(
        folder,
        told(1, "battery", "B1"),
        told(2, "looked over", "B1", words="dropped"),
        told(3, "moved", "B1", words="robot"),
        told(4, "rested", "B9", value=40, unit="V"),
    )
    assert found[0] == "quarantined-in-use"
    assert sorted(found[1:]) == ["not-added", "reading-rejected"]


def test_two_batteries_in_one_robot_or_one_battery_in_two_places(tmp_path: Path) -> None:
    """Nobody can see it from here: look, and say."""
    folder = folder_of(tmp_path)
    both = [told(n, "battery", f"B{n}") for n in (1, 2, 3, 4)]
    moves = [told(n + 10, "moved", f"B{n}", words="robot") for n in (1, 2)]
    moves += [told(n + 10, "moved", f"B{n}", words="charger", tool="C1") for n in (3, 4)]
    assert codes(folder, *both, *moves) == ["one-too-many", "one-too-many"]
    more = told(30, "moved", "B1", words="cooling", measured_at=NOON)
    assert "two-places" in codes(folder, more)


def test_a_charger_that_ends_low_is_told(tmp_path: Path) -> None:
    """Five charges that end between 12.8 and 13.3 V: the known case of common practice."""
    folder = folder_of(tmp_path)
    events = [told(1, "charger", "C1", conditions={"gentle_a": 2.0})]
    ends = [(n, 12.8 + 0.05 * n, f"2026-02-0{n + 1}T09:00:00Z") for n in range(6)]
    events += [
        told(10 + n, "charged", f"B{n % 3}", tool="C1", value=volts, unit="V", measured_at=at) for n, volts, at in ends
    ]
    events += [told(40 + n, "battery", f"B{n}") for n in range(3)]
    assert codes(folder, *events) == ["charger-ends-low"]


def test_two_people_who_say_the_same_place_agree(tmp_path: Path) -> None:
    """Two moves that did not know of each other, to one place: nothing to look after."""
    folder = folder_of(tmp_path)
    moves = [told(n, "moved", "B1", words="charger", tool="C1") for n in (2, 3)]
    assert "two-places" not in codes(folder, told(1, "battery", "B1"), *moves)
    assert "two-places" in codes(folder, told(4, "moved", "B1", words="charger", tool="C2"))


def test_a_battery_past_use_that_is_in_the_robot_is_told(tmp_path: Path) -> None:
    """Three readings agree that it is to be retired."""
    folder = folder_of(tmp_path)
    sign(folder, told(1, "battery", "B1"))
    for n, day in enumerate((2, 3, 4, 5)):
        at = f"2026-02-0{day}T09:00:00Z"
        sign(folder, told(10 + n, "charged", "B1", tool="C1", value=13.6, unit="V", measured_at=at))
        sign(folder, read(20 + n, "B1", 38.0, measured_at=f"2026-02-0{day}T21:00:00Z"))
    assert seen(folder).health_of("B1").verdict.state is State.RETIRE
    assert "retired-in-use" not in [finding.code for finding in seen(folder).findings]
    assert "retired-in-use" in codes(folder, told(30, "moved", "B1", words="robot"))
