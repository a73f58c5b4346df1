"""The three example robots, each with a rack of its own, from the first reading to the day and the match."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from loomwright.jobs.match import Asked, study_robot
from loomwright.jobs.rack.day import planned_day
from loomwright.jobs.rack.day_papers import steps_today
from loomwright.jobs.rack.risk import risks_of
from loomwright.jobs.rack.signing import state_of
from loomwright.jobs.rack.view import RackView, rack_view
from loomwright.rack.charging import charging_now
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.next_up import next_up
from loomwright.rack.readings import day_of
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.lists.match_list import typed_matches
from tests.jobs.rack.team import folder_of, good_and_bad, read, sign, store_of, told
from tests.records.events import NOON
from tests.robots import EXAMPLES

MIDNIGHT = day_of("2026-02-07T00:00:00Z")


def seen(folder: Path) -> RackView:
    """Return the rack of a folder at noon."""
    files = open_folder(folder)
    robot, _ = files.read()
    with store_of(folder) as store:
        return rack_view(state_of(store), robot, files.library.part, day_of(NOON))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_goes_the_whole_way(name: str, tmp_path: Path) -> None:
    """A good battery and one twice as bad by its class: the better one is next, the day holds, the match sags less."""
    folder = folder_of(tmp_path, name)
    robot, _ = open_folder(folder).read()
    device = robot.device("battery")
    assert device is not None
    mohm = 1000 * (device.part.number("internal resistance") or 0.011)
    high = device.part.number("high test current") or 18.0
    at = {"low_a": 1.0, "high_a": high, "rest_v": 13.0, "since_charge_h": 12.0, "temperature_c": 25.0}
    events = [told(1, "charger", "C1", conditions={"gentle_a": 1.0, "fast_a": 4.0})]
    for label, factor in (("B1", 1.0), ("B2", 2.2)):
        events.append(told(len(events) + 1, "battery", label))
        for day in (3, 4, 5):
            n, moment = len(events) + 1, f"2026-02-0{day}T09:00:00Z"
            events.append(read(n, label, factor * mohm, conditions=at, measured_at=moment))
            events.append(told(n + 1, "charged", label, tool="C1", value=13.6, unit="V", measured_at=moment))
    assert sign(folder, *events).rejected == ()
    view = seen(folder)
    first, second = next_up(view.batteries, view.health, usual_practice(), view.day)
    assert (first.label, first.ready, second.fit) == ("B1", True, False)
    assert charging_now(view.batteries, view.health, view.chargers, usual_practice(), view.day).put
    matches = typed_matches("Q1 12:40, Q2 14:30, Q3 16:00")
    done = planned_day(view, matches, midnight=MIDNIGHT, now_min=720, days=10)
    assert {use.battery for use in done.plan.uses} == {"B1"}
    assert done.plan.proof.proved
    risks = risks_of(folder, "", view, (first, second), matches=16)
    assert [one.label for one in risks] == ["B1", "B2"]
    assert risks[0].low_v > risks[1].low_v
    sign(folder, told(90, "moved", "B1", words="robot"))
    study = study_robot(folder, asked=replace(Asked(), matches=16))
    assert study.asked.battery == "B1"


def test_a_battery_on_a_charger_in_a_robot_or_nowhere_begins_the_day_as_it_is(tmp_path: Path) -> None:
    """On its charger since a minute, in the robot, cooling: the day takes each up where it stands."""
    folder = folder_of(tmp_path)
    events = [
        told(1, "charger", "C1", conditions={"gentle_a": 2.0, "fast_a": 6.0}),
        told(2, "charger", "C2"),
        *(told(10 + n, "battery", f"B{n}") for n in range(1, 6)),
        told(
            21, "moved", "B1", words="charger", tool="C1", conditions={"amps": 5.5}, measured_at="2026-02-07T11:30:00Z"
        ),
        told(22, "moved", "B2", words="robot", measured_at="2026-02-07T11:50:00Z"),
        told(23, "moved", "B3", words="cooling", measured_at="2026-02-07T11:55:00Z"),
        told(24, "looked over", "B4", words="swollen"),
        told(25, "moved", "B5", words="away"),
    ]
    sign(folder, *events)
    done = planned_day(seen(folder), typed_matches("Q1 12:30, Q2 14:30"), midnight=MIDNIGHT, now_min=720)
    by_label = {one.label: one for one in done.day.batteries}
    assert sorted(by_label) == ["B1", "B2", "B3"]
    on = by_label["B1"].on
    assert on is not None
    assert (on.charger, on.amps, on.from_min) == ("C1", 6.0, 690)
    assert done.day.in_robot == "B2"
    assert by_label["B2"].free_min == 735
    assert (by_label["B3"].free_min, by_label["B3"].ready_min) == (730, 730)
    assert [one.label for one in done.day.chargers] == ["C1"]
    codes = [finding.code for finding in done.findings]
    assert codes[:2] == ["charger-current-unknown", "battery-unmeasured"]


def test_a_practice_battery_is_played_only_where_there_is_no_fit_one(tmp_path: Path) -> None:
    """Left out beside a fit one; alone it is planned, and that it had better not be is said."""
    folder = good_and_bad(folder_of(tmp_path))
    matches = typed_matches("Q1 12:40, Q2 14:30")
    both = planned_day(seen(folder), matches, midnight=MIDNIGHT, now_min=720)
    assert [one.label for one in both.day.batteries] == ["B1"]
    sign(folder, told(60, "moved", "B1", words="away"))
    alone = planned_day(seen(folder), matches, midnight=MIDNIGHT, now_min=720)
    assert [one.label for one in alone.day.batteries] == ["B2"]
    assert "no-fit-battery" in [finding.code for finding in alone.findings]


def test_what_sits_on_a_charger_and_is_not_played_is_told_where_to_put(tmp_path: Path) -> None:
    """A dropped one into quarantine, a practice one on the rack; a hot one waits until it is cool."""
    folder = good_and_bad(folder_of(tmp_path))
    sign(
        folder,
        told(60, "battery", "B3"),
        told(61, "looked over", "B3", words="dropped"),
        told(62, "moved", "B3", words="charger", tool="C1"),
        told(63, "moved", "B2", words="charger", tool="C2"),
        told(64, "warmth", "B1", value=60.0, unit="C", measured_at="2026-02-07T11:55:00Z"),
    )
    done = planned_day(seen(folder), typed_matches("Q1 12:40"), midnight=MIDNIGHT, now_min=720)
    fixes = {finding.place.thing: finding.fix for finding in done.findings if finding.code == "charger-occupied"}
    assert fixes["C1"].endswith("rack move B3 quarantine")
    assert fixes["C2"].endswith("rack move B2 rack")
    (battery,) = done.day.batteries
    assert (battery.free_min, battery.ready_min) == (735, 735)


def test_only_the_steps_of_today_are_shown(tmp_path: Path) -> None:
    """Of a day that was planned for tomorrow nothing, of one that began yesterday what is of today."""
    folder = folder_of(tmp_path)
    (folder / "out").mkdir()
    steps = [{"at_min": 600, "words": "first"}, {"at_min": 1440 + 30, "words": "after midnight"}]
    told_day = {"format": 1, "date": "2026-02-07", "steps": steps}
    (folder / "out" / "day.json").write_text(json.dumps(told_day), encoding="utf-8")
    assert steps_today(folder, date(2026, 2, 6)) == ()
    assert steps_today(folder, date(2026, 2, 7)) == ((600, "first"),)
    assert steps_today(folder, date(2026, 2, 8)) == ((30, "after midnight"),)
    (folder / "out" / "day.json").write_text("[", encoding="utf-8")
    assert steps_today(folder, date(2026, 2, 7)) == ()
