"""`loomwright rack` as people and scripts type it: what is taken, refused, told, written, and with which exit code."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from loomwright.cli.main import main
from tests.journeys.program import content
from tests.robots import example_text
from tools.commands_page import JSON_KEYS

READ = (
    "--resistance",
    "11mohm",
    "--between",
    "1A,18A",
    "--rest",
    "13V",
    "--since-charge",
    "12h",
    "--temperature",
    "25C",
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with a robot, two batteries and two chargers on its rack, and no plan."""
    (tmp_path / "robot.yaml").write_text(example_text("tidepool"), encoding="utf-8")
    for words in (
        ("B1",),
        ("B2",),
        ("C1", "--charger", "--gentle", "2A", "--fast", "6A"),
        ("C2", "--charger", "--gentle", "2A"),
    ):
        assert rack(tmp_path, "add", *words).exit_code == 0
    return tmp_path


def rack(folder: Path, *words: str | Path) -> Result:
    """Run `loomwright rack WORDS -C FOLDER` in this process."""
    return CliRunner().invoke(main, ["rack", *map(str, words), "-C", str(folder)])


def told(folder: Path, *words: str) -> dict[str, Any]:
    """Return what a verb writes for a script, all keys of it on the page of commands."""
    ended = rack(folder, *words, "--json")
    found: dict[str, Any] = json.loads(ended.stdout)
    listed = {key for key, _ in JSON_KEYS[f"rack {words[0]}"]} - {""}
    assert not listed or set(found) <= listed
    return found


def good(folder: Path, *labels: str) -> None:
    """Read batteries that are as good as new and fully charged."""
    for label in labels:
        for day in ("2026-02-05 9:00", "2026-02-06 9:00"):
            assert rack(folder, "reading", label, *READ, "--when", day).exit_code == 0
        assert rack(folder, "reading", label, "--charged", "C1", "--end", "13.6V").exit_code == 0


def test_every_reading_that_can_be_typed_is_in_the_records(folder: Path) -> None:
    """Each with its value in the records' unit and its conditions."""
    typed = [
        ("--rest", "12.8V", "--since-charge", "90min"),
        ("--resistance", "13.2 mohm", "--between", "1A, 18A"),
        ("--volts", "12.4V", "--load", "5A", "--other-volts", "12.0V", "--other-load", "20A"),
        ("--load-test", "200A", "--lasted", "10s", "--end", "10.8V"),
        ("--capacity-test", "7.5A", "--lasted", "1.6h", "--down-to", "10.5V"),
        ("--warm", "31C"),
        ("--look", "sound"),
        ("--charged", "c1", "--end", "13.4V", "--lasted", "2h", "--amps", "6A"),
        ("--played", "Q1", "--before", "12.9V", "--after", "12.3V"),
    ]
    for words in typed:
        ended = rack(folder, "reading", "b 1", *words)
        assert (ended.exit_code, ended.output) == (0, f"B1: {ended.output.split(': ')[1]}")
    exported = folder / "all.jsonl"
    assert CliRunner().invoke(main, ["bench", str(folder), "--export", str(exported)]).exit_code == 0
    events = [json.loads(line) for line in exported.read_text(encoding="utf-8").splitlines()]
    found = {one["record"]["kind"] if "record" in one else one.get("kind"): one for one in events}
    held = {kind: one.get("record", one) for kind, one in found.items()}
    assert held["rested"]["conditions"] == {"since_charge_h": 1.5}
    assert held["resistance"]["value"] == pytest.approx(0.0132)
    assert held["resistance"]["conditions"] == {"high_a": 18, "low_a": 1}
    assert held["loaded"]["conditions"] == {"load_a": 5, "other_load_a": 20, "other_v": 12}
    assert held["load test"]["conditions"] == {"load_a": 200, "seconds": 10}
    assert held["capacity"]["value"] == pytest.approx(1.6)
    assert held["charged"]["tool"] == "C1"
    assert held["charged"]["conditions"] == {"amps": 6, "hours": 2}
    assert held["played"]["words"] == "Q1"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("reading",), "Say which battery"),
        (("reading", "B1"), "Say what was read"),
        (("reading", "B1", "--rest", "12.8"), "12.8"),
        (("reading", "B1", "--rest", "12.8A"), "12.8A"),
        (("reading", "B1", "--between", "1A,18A"), "--between goes with --resistance"),
        (("reading", "B1", "--resistance", "12mohm", "--between", "18A"), "Write both currents"),
        (("reading", "B1", "--volts", "12V"), "--load and --volts go together"),
        (("reading", "B1", "--other-volts", "12V", "--other-load", "3A"), "comes after a first"),
        (("reading", "B1", "--load-test", "200A"), "needs --lasted and --end"),
        (("reading", "B1", "--capacity-test", "7.5A"), "needs --lasted and --down-to"),
        (("reading", "B1", "--down-to", "10.5V"), "goes with --capacity-test"),
        (("reading", "B1", "--lasted", "10s"), "go with --load-test"),
        (("reading", "B1", "--amps", "6A"), "goes with --charged"),
        (("reading", "B1", "--before", "12V"), "go with --played"),
        (("reading", "B1", "--rest", "12V", "--when", "2099-01-01 9:00"), "still to come"),
        (("reading", "B1", "--rest", "12V", "--when", "noon"), "can't be read"),
        (("reading", "B1", "--tester", "x"), "goes with --import"),
        (("reading", "B4", "--rest", "12V"), "Did you mean"),
        (("reading", "B1", "--charged", "C3"), "There is no charger"),
        (("move", "B1", "charger"), "Name the charger"),
        (("move", "B1", "robot", "C1"), "No other place has one"),
        (("move", "B1", "shelf"), "shelf"),
        (("release", "B1"), "in no quarantine"),
        (("add", "B9", "--gentle", "2A"), "add --charger"),
        (("add", "C9", "--charger"), "Say the charger's gentle current"),
        (("add", "C9", "--charger", "--gentle", "2A", "--cycles", "3"), "leave --charger out"),
        (("add", "B9", "--part", "battery/agm-12v-18"), "Did you mean battery/agm-12v-18ah"),
        (("add", "B9", "--bought", "last year"), "Write the month as 2025-09"),
        (("fit", "B4"), "There is no battery"),
        (("day", "--at", "Q1 9:05", "--matches", "robot.yaml"), "robot.yaml"),
        (("day",), "There is no list of matches"),
        (("day", "--at", "Q1 9:05", "--slip", "Q1"), "--slip Q1 can't be read"),
        (("day", "--at", "Q1 9:05", "--slip", "Q2=9:10"), "There is no match `Q2`"),
        (("day", "--at", "Q1 9:05", "--now", "late"), "--now late can't be read"),
        (("day", "--at", "Q1 9:05", "--now", "10:00"), "No match is still to come"),
    ],
)
def test_what_can_not_be_understood_says_what_to_write_and_changes_nothing(
    folder: Path, words: tuple[str, ...], said: str
) -> None:
    """Exit code 2, one sentence, and no record more."""
    before = {name: held for name, held in content(folder).items() if not name.startswith("bench.db")}
    count = len(told(folder, "fit")["batteries"])
    ended = rack(folder, *words)
    assert ended.exit_code == 2
    assert said in ended.output
    assert {name: held for name, held in content(folder).items() if not name.startswith("bench.db")} == before
    fit = told(folder, "fit")
    assert len(fit["batteries"]) == count
    assert all(one["readings"] == {"resistance": 0, "capacity": 0} for one in fit["batteries"])


def test_a_reading_outside_physics_is_kept_told_and_counts_for_nothing(folder: Path) -> None:
    """Exit code 1: somebody has to measure again; `fit` goes on telling it."""
    ended = rack(folder, "reading", "B1", "--rest", "3V")
    assert ended.exit_code == 1
    assert "3 V for a rest voltage is outside what is possible" in ended.stderr
    assert "counts for nothing" in rack(folder, "fit").output
    assert told(folder, "reading", "B1", "--rest", "40V")["rejected"] == [
        "40 V for a rest voltage is outside what is possible: 5 to 16 V."
    ]


def test_a_resistance_without_its_test_currents_gives_no_verdict(folder: Path) -> None:
    """It is written down, and the rack asks for the currents."""
    assert rack(folder, "reading", "B1", "--resistance", "11mohm").exit_code == 0
    first = told(folder, "fit")["batteries"][0]
    assert first["verdict"] == "unmeasured"
    assert len(first["set_aside"]) == 1
    assert "current" in first["set_aside"][0]["why"]


def test_the_best_battery_is_next_and_the_dropped_one_is_not(folder: Path) -> None:
    """With reasons; a mentor's release lets it back, with words."""
    good(folder, "B1", "B2")
    assert [one["label"] for one in told(folder, "next")["next"]] == ["B1", "B2"]
    assert rack(folder, "reading", "B1", "--look", "dropped").exit_code == 0
    ended = rack(folder, "next")
    assert (ended.exit_code, ended.output.splitlines()[0]) == (0, "Next: B2.")
    assert rack(folder, "move", "B1", "robot").exit_code == 0
    ended = rack(folder, "fit")
    assert ended.exit_code == 1
    assert "Dropped, swollen, leaking or hot: stop." in ended.output
    assert "[quarantined-in-use] must" in ended.output
    assert rack(folder, "release", "B1").exit_code == 2
    assert told(folder, "release", "B1", "--words", "fell on foam, case whole, tested")["released"] == ["dropped"]
    assert rack(folder, "fit").exit_code == 0


def test_without_a_fit_battery_next_ends_with_1(folder: Path) -> None:
    """A script at the cart can tell."""
    assert rack(folder, "next").exit_code == 1


def test_the_chargers_are_shared_out_with_cautions_first(folder: Path) -> None:
    """What was moved on a charger is told there, and the charger is taken."""
    ended = rack(folder, "charge")
    assert ended.output.startswith("Charger in its mode for sealed lead-acid.")
    assert told(folder, "move", "B1", "charger", "c 1", "--amps", "6A") == {
        "label": "B1",
        "place": "charger",
        "charger": "C1",
    }
    now = told(folder, "charge")
    assert {one["battery"]: one["why"] for one in now["leave"]}["B1"] == "on C1 already"
    assert all(one["charger"] != "C1" for one in now["put"])
    assert all(not one["fast"] for one in told(folder, "charge", "--home")["put"])


def test_a_list_of_readings_is_taken_once(folder: Path, tmp_path: Path) -> None:
    """The same file again adds nothing; units are required."""
    source = tmp_path / "list.csv"
    source.write_text("battery,when,rest voltage [V],since charge [h]\nB1,2026-02-06 9:00,12.9,12\n", encoding="utf-8")
    assert told(folder, "reading", "--import", str(source)) == {"added": 1, "known": 0, "rejected": []}
    assert told(folder, "reading", "--import", str(source)) == {"added": 0, "known": 1, "rejected": []}
    source.write_text("battery,when,rest voltage\nB1,2026-02-06 9:00,12.9\n", encoding="utf-8")
    ended = rack(folder, "reading", "--import", source)
    assert ended.exit_code == 2
    assert "`12.9` has no unit." in ended.output


def test_a_day_is_planned_written_and_planned_again_with_few_swaps(folder: Path) -> None:
    """day.json, day.svg and day.pdf; where a match slips, the batteries stay where they can."""
    good(folder, "B1", "B2")
    matches = "Q1 9:05, Q7 10:20, Q12 11:00, Q20 13:30"
    day = told(folder, "day", "--at", matches, "--now", "8:00", "--days", "20")
    assert [use["match"] for use in day["uses"]] == ["Q1", "Q7", "Q12", "Q20"]
    assert (day["holds"], day["proved"], day["slips"]["days"], day["more"]) == (True, True, 20, None)
    assert max(rule["worst"] for rule in day["rules"] if not rule["short_mah"]) <= day["worst"] + 0.001
    written = {path.name: path.read_bytes() for path in (folder / "out").iterdir()}
    assert set(written) == {"day.json", "day.svg", "day.pdf"}
    assert json.loads(written["day.json"]) == day
    again = told(folder, "day", "--at", matches, "--now", "8:00", "--days", "20")
    assert {path.name: path.read_bytes() for path in (folder / "out").iterdir()} == written
    assert again == day
    slipped = told(folder, "day", "--at", matches, "--now", "8:00", "--slip", "Q12=11:25", "--days", "0")
    assert slipped["swaps"] == 0
    assert [use["at_min"] for use in slipped["uses"]] == [545, 620, 685, 810]
    ended = rack(folder, "day", "--at", matches, "--now", "8:00", "--anew", "--days", "20")
    assert ended.exit_code == 0
    assert "it holds in" in ended.output
    assert "At the cart next:" in ended.output


def test_a_day_that_can_not_hold_says_what_would_do(folder: Path) -> None:
    """Each match with what it lacks, and how many more batteries or chargers would do."""
    good(folder, "B1")
    rack(folder, "move", "B2", "away")
    matches = ", ".join(f"F{n} 9:{5 + n * 8:02}" for n in range(6))
    ended = rack(folder, "day", "--at", matches, "--now", "9:00", "--days", "0")
    assert ended.exit_code == 0
    assert "It does not hold: F2, F3, F4, F5 short or late." in ended.output
    assert "It would hold with 1 more battery like the best one, charged full." in ended.output
    assert ended.output.count("[rack-day-short] should") == 4


def test_an_empty_rack_says_how_to_begin(tmp_path: Path) -> None:
    """No battery, no error."""
    (tmp_path / "robot.yaml").write_text(example_text("tidepool"), encoding="utf-8")
    ended = rack(tmp_path, "fit")
    assert (ended.exit_code, ended.output) == (0, "No battery is on the rack yet: loomwright rack add B1\n")
    assert rack(tmp_path, "day", "--at", "Q1 23:59").exit_code == 2
