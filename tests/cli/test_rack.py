"""`loomwright rack` as people and scripts type it: what is taken, refused, told, written, and with which exit code."""

from __future__ import annotations

import json
from datetime import date, timedelta
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
        assert (ended.exit_code, ended.output.startswith("B1: written down: ")) == (0, True)
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
    assert {one["label"] for one in told(folder, "next")["next"]} == {"B1", "B2"}
    seen = rack(folder, "reading", "B1", "--look", "dropped")
    assert (seen.exit_code, "Dropped, swollen, leaking or hot: stop." in seen.output) == (1, True)
    ended = rack(folder, "next")
    assert (ended.exit_code, ended.output.splitlines()[0]) == (0, "Next: B2.")
    moved = rack(folder, "move", "B1", "robot")
    assert (moved.exit_code, "[quarantined-in-use] must" in moved.stderr) == (1, True)
    for verb in (("next",), ("charge",), ("day", "--at", "Q1 23:30", "--now", "8:00", "--days", "0")):
        assert rack(folder, *verb).exit_code == 1, verb
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


def test_a_battery_that_was_put_into_quarantine_stays_there_until_it_is_released(folder: Path) -> None:
    """By a move as by a look: putting it back on the rack does not end it."""
    good(folder, "B1", "B2")
    moved = rack(folder, "move", "B1", "quarantine")
    assert "never on a charger, never in a robot" in moved.output
    assert rack(folder, "move", "B1", "rack").exit_code == 0
    assert told(folder, "fit", "B1")["batteries"][0]["verdict"] == "quarantine"
    assert told(folder, "release", "B1", "--words", "was the wrong one")["released"] == ["quarantine"]
    assert told(folder, "fit", "B1")["batteries"][0]["verdict"] == "fit"


def test_what_is_described_anew_keeps_what_is_not_said_again(folder: Path) -> None:
    """Cycles and month stay, in the spelling of before; what can't be is refused and changes nothing."""
    assert rack(folder, "add", "B5", "--cycles", "120", "--bought", "2025-03").exit_code == 0
    assert rack(folder, "add", "b 5", "--capacity", "12Ah").exit_code == 0
    one = told(folder, "fit", "B5")["batteries"][0]
    assert (one["label"], one["cycles"]) == ("B5", 120)
    assert abs(one["age_days"] - (date.today() - date(2025, 3, 15)).days) <= 1  # noqa: DTZ011  the laptop's own day
    for words in (
        ("B5", "--bought", "1970"),
        ("B5", "--bought", "2026-13"),
        ("B5", "--cycles", "99999"),
        ("C1", "--charger", "--gentle", "1mA"),
        ("C1", "--charger", "--gentle", "6A", "--fast", "2A"),
        ("B5", "--part", "breaker/main-120a"),
        ("B\u200b5",),
    ):
        ended = rack(folder, "add", *words)
        assert ended.exit_code == 2, words
    assert told(folder, "fit", "B5")["batteries"][0]["cycles"] == 120
    assert [one["gentle_a"] for one in told(folder, "fit")["chargers"]] == [2, 2]


def test_what_is_too_strong_is_told_and_not_used(folder: Path) -> None:
    """A charger that gives 100 A, and a charger that is set to 90."""
    good(folder, "B1")
    assert rack(folder, "add", "C9", "--charger", "--gentle", "100A").exit_code == 0
    ended = rack(folder, "fit")
    assert (ended.exit_code, "[charger-too-strong] must" in ended.output) == (1, True)
    assert all(one["charger"] != "C9" for one in told(folder, "charge")["put"])
    day = told(folder, "day", "--at", "Q1 23:30", "--now", "8:00", "--days", "0")
    assert "charger-strong" in [finding["code"] for finding in day["findings"]]
    assert all(stint["charger"] != "C9" for stint in day["stints"])
    moved = rack(folder, "move", "B1", "charger", "C1", "--amps", "90A")
    assert (moved.exit_code, "[charged-too-fast] must" in moved.stderr) == (1, True)


def test_heat_is_told_where_it_matters(folder: Path) -> None:
    """60 C in the robot must be stopped."""
    good(folder, "B1")
    assert rack(folder, "reading", "B1", "--warm", "60C").exit_code == 0
    assert "[battery-hot] should" in rack(folder, "fit").output
    moved = rack(folder, "move", "B1", "robot")
    assert (moved.exit_code, "[battery-hot] must" in moved.stderr) == (1, True)


def test_a_day_can_be_planned_right_after_a_tap_and_ahead_of_it(folder: Path) -> None:
    """A battery was put on a charger this very minute; or it is planned as if it were earlier."""
    good(folder, "B1", "B2")
    assert rack(folder, "move", "B1", "charger", "C1", "--amps", "6A").exit_code == 0
    assert rack(folder, "move", "B2", "charger", "C1", "--amps", "6A").exit_code == 0
    for now in (("--now", "0:05"), ("--now", "23:00")):
        ended = rack(folder, "day", "--at", "Q1 23:40", "--days", "0", *now)
        assert ended.exit_code == 0, ended.output
        assert "[one-too-many] should" in ended.stderr


def test_a_plan_of_another_day_binds_nobody(folder: Path) -> None:
    """Of the same date matches keep their batteries, and it says so; of another date they are planned anew."""
    good(folder, "B1", "B2")
    source = folder / "m.csv"
    day = date.today() + timedelta(days=2)  # noqa: DTZ011  the laptop's own day, as people write it
    source.write_text(f"match,time\nQ1,{day} 9:00\nQ2,{day} 9:40\n", encoding="utf-8")
    first = told(folder, "day", "--matches", str(source), "--days", "0")
    assert first["date"] == day.isoformat()
    assert min(stint["from_min"] for stint in first["stints"]) >= 540 - 10 - 120
    again = rack(folder, "day", "--matches", source, "--days", "0")
    assert "It keeps to the plan that hangs on the wall: no match gets another battery." in again.output
    assert "with so few batteries swapped" in again.output
    source.write_text(
        f"match,time\nQ1,{day + timedelta(days=1)} 9:00\nQ2,{day + timedelta(days=1)} 9:40\n", encoding="utf-8"
    )
    assert "It keeps to the plan" not in rack(folder, "day", "--matches", source, "--days", "0").output
    for garbage in (
        "[" * 200000,
        "{}",
        '{"format": 99, "date": "2026-02-07", "uses": []}',
        "null",
        '{"format": 1, "uses": 3}',
    ):
        (folder / "out" / "day.json").write_text(garbage, encoding="utf-8")
        assert rack(folder, "day", "--matches", source, "--days", "0").exit_code == 0


def test_one_day_is_planned_at_a_time(folder: Path) -> None:
    """What is past, and what comes after a night, is told and not planned: nobody leaves a charger alone."""
    good(folder, "B1", "B2")
    source = folder / "m.csv"
    source.write_text("match,time,day\nQ1,9:00,1\nQ2,9:40,1\nQ3,15:00,1\nF1,9:00,2\n", encoding="utf-8")
    assert "--date 2026-02-07" in rack(folder, "day", "--matches", source).output
    today = date.today().isoformat()  # noqa: DTZ011  the laptop's own day, as people write it
    words = ("--matches", str(source), "--date", today, "--now", "9:20", "--days", "0")
    planned = told(folder, "day", *words)
    assert [use["match"] for use in planned["uses"]] == ["Q2", "Q3"]
    found = {finding["code"]: finding["what"] for finding in planned["findings"]}
    assert found["match-past"].startswith("Q1:")
    assert found["match-later"].startswith("F1:")


def test_a_list_with_days_of_the_week_begins_on_the_nearest_of_them(folder: Path) -> None:
    """In the middle of an event the first day was yesterday."""
    good(folder, "B1")
    source = folder / "m.csv"
    today = date.today()  # noqa: DTZ011  the laptop's own day, as people write it
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    for ahead in (-2, 0, 3):
        first = today + timedelta(days=ahead)
        later = first + timedelta(days=6 - ahead if ahead < 0 else 1)
        source.write_text(
            f"match,time,day\nQ1,9:00,{names[first.weekday()]}\nQ9,23:59,{names[later.weekday()]}\n", encoding="utf-8"
        )
        planned = told(folder, "day", "--matches", str(source), "--days", "0", "--now", "0:01")
        assert planned["date"] == first.isoformat()


def test_a_resistance_without_its_currents_says_at_once_that_it_tells_nothing(folder: Path) -> None:
    """While the tester is still in the hand."""
    ended = rack(folder, "reading", "B1", "--resistance", "12mohm")
    assert "Without the tester's two currents it gives no verdict" in ended.stderr


def test_batteries_that_a_day_leaves_out_are_named(folder: Path) -> None:
    """A practice battery beside a fit one; a label that only a reading knows is in no day at all."""
    good(folder, "B1")
    for day in ("2026-02-04 9:00", "2026-02-05 9:00", "2026-02-06 9:00"):
        assert (
            rack(
                folder, "reading", "B2", *("23mohm" if word == "11mohm" else word for word in READ), "--when", day
            ).exit_code
            == 0
        )
    rack(folder, "reading", "B2", "--charged", "C1", "--end", "13.6V")
    planned = told(folder, "day", "--at", "Q1 23:30", "--now", "8:00", "--days", "0")
    found = {finding["code"]: finding["what"] for finding in planned["findings"]}
    assert found["not-in-the-day"] == "Not planned: B2 (practice only)."


def test_years_that_no_battery_knew_are_refused_in_words(folder: Path) -> None:
    """No traceback for the year 1."""
    assert rack(folder, "reading", "B1", "--rest", "12.8V", "--when", "0001-01-01 00:00").exit_code == 2
    source = folder / "m.csv"
    source.write_text("match,time\nQ1,0001-01-01 12:00\n", encoding="utf-8")
    ended = rack(folder, "day", "--matches", source)
    assert (ended.exit_code, "far from today" in ended.output) == (2, True)
