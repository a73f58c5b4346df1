"""`loomwright hunt` from the first answer to the end: what is written, told and stopped, and with which exit code."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from loomwright.cli.hunt.answers import DANGERS
from loomwright.cli.main import main
from loomwright.records.event import Event, Kind, Role
from loomwright.records.fold import State, fold
from loomwright.records.hunts import HuntRecord
from loomwright.store.peek import records_at
from tests.journeys.program import content
from tests.robots import example_text

ROCKPOOL = "Rockpool trainer"
PAGE = Path(__file__).resolve().parents[2] / "docs" / "outputs.md"


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the small trainer once."""
    folder = tmp_path_factory.mktemp("trainer")
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    assert CliRunner().invoke(main, ["plan", str(folder)]).exit_code == 0
    return folder


@pytest.fixture
def folder(planned: Path, tmp_path: Path) -> Path:
    """Give a planned folder without any records."""
    for name in ("robot.yaml", "plan.yaml"):
        shutil.copy(planned / name, tmp_path / name)
    return tmp_path


def hunt(folder: Path, *words: str) -> Result:
    """Run `loomwright hunt WORDS -C FOLDER` in this process."""
    return CliRunner().invoke(main, ["hunt", *words, "-C", str(folder)])


def state_of(folder: Path) -> State:
    """Return what the records of a folder say."""
    return fold(records_at(folder / "bench.db", ROCKPOOL))


def open_hunt(folder: Path) -> HuntRecord:
    """Return the open hunt of a folder."""
    found = state_of(folder).hunt("")
    assert found is not None
    return found


def told(event: Event) -> tuple[str, str, float | None, str]:
    """Return what an observation says."""
    return event.about, event.words, event.value, event.unit


def test_the_first_answer_begins_a_hunt_and_tells_the_next_check(folder: Path) -> None:
    """A folder without records gets them; a motor's name means its controller, where that has the light."""
    ended = hunt(folder, "--dark", "left wheel", "--lit", "robot controller, beacon", "--who", "MK")
    assert ended.exit_code == 0
    held = open_hunt(folder)
    assert [told(event)[:2] for event in held.observations] == [
        ("look left wheel controller", "dark"),
        ("look robot controller", "lit"),
        ("look beacon", "lit"),
    ]
    assert {event.who for event in (held.begun, *held.observations)} == {"MK"}
    for words in ("Written down: left wheel controller dark", "SUSPECTS", "NEXT CHECK", "It explains", "hunt --", "%"):
        assert words in ended.stdout
    again = hunt(folder)
    assert again.exit_code == 0
    assert again.stdout == ended.stdout.partition("\n")[2]  # the same standing, and nothing written down
    assert len(open_hunt(folder).observations) == 3


def test_without_anything_to_tell_nothing_is_written(folder: Path) -> None:
    """Who only looks makes no records, and is told how to begin with names of this robot."""
    before = content(folder)
    ended = hunt(folder)
    assert ended.exit_code == 0
    assert content(folder) == before
    assert "left wheel controller" in ended.stdout
    assert "--smoke" in ended.stdout


@pytest.mark.parametrize("option", DANGERS)
def test_a_danger_stops_everything_whatever_it_is(option: str, tmp_path: Path) -> None:
    """No plan, no place, no name is needed: it is told first and alone, and written down."""
    (tmp_path / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    ended = hunt(tmp_path, f"--{option}")
    assert ended.exit_code == 1
    assert ended.stdout.startswith("STOP.")
    for words in ("Main breaker off", "if that is safe", "Stand clear", "mentor"):
        assert words in ended.stdout
    assert not re.search("SUSPECTS|NEXT CHECK|Red on|Written down: ", ended.stdout)
    assert [event.words for event in open_hunt(tmp_path).dangers] == [DANGERS[option]]
    again = hunt(tmp_path)
    assert (again.exit_code, again.stdout.startswith("STOP.")) == (1, True)


def test_only_a_mentor_with_a_name_clears_a_danger(folder: Path) -> None:
    """The record is a mentor's, and the hunt goes on where it stood."""
    assert hunt(folder, "--dark", "beacon", "--smoke", "under the deck").exit_code == 1
    assert [event.about for event in open_hunt(folder).dangers] == ["under the deck"]
    assert hunt(folder, "--cleared").exit_code == 2
    assert open_hunt(folder).dangers
    ended = hunt(folder, "--cleared", "--who", "Ada")
    assert ended.exit_code == 0
    assert "NEXT CHECK" in ended.stdout
    cleared = [one for one in records_at(folder / "bench.db", ROCKPOOL) if one.event.kind is Kind.CLEARED]
    assert [(one.role, one.event.who) for one in cleared] == [(Role.MENTOR, "Ada")]
    assert not open_hunt(folder).dangers


def test_a_danger_is_kept_where_the_rest_is_refused(folder: Path) -> None:
    """A slip in a name beside it does not lose it; of the rest nothing is written."""
    ended = hunt(folder, "--smoke", "--dark", "beakon")
    assert ended.exit_code == 2
    assert "STOP." in ended.stdout
    assert "The danger is written down. The rest is not" in ended.stderr
    assert open_hunt(folder).dangers
    assert not open_hunt(folder).observations


def test_a_burnt_smell_that_a_check_finds_is_a_danger_too(folder: Path) -> None:
    """It is kept as an answer, and stops the hunt."""
    ended = hunt(folder, "--saw", "smell robot controller=burnt")
    assert ended.exit_code == 1
    assert "STOP." in ended.stdout
    held = open_hunt(folder)
    assert [(one.about, one.words) for one in held.dangers] == [("robot controller", "burnt smell")]
    assert [told(one)[:2] for one in held.observations] == [("smell robot controller", "burnt")]


def test_ending_a_hunt_does_not_end_its_danger(folder: Path) -> None:
    """Somebody who gives up has not looked at what smokes."""
    assert hunt(folder, "--heat", "battery").exit_code == 1
    assert hunt(folder, "--give-up").exit_code == 1
    assert "STOP." in hunt(folder).stdout


def test_wrong_input_ends_with_2_and_writes_nothing(folder: Path) -> None:
    """An unknown device is answered with the nearest names."""
    before = content(folder)
    ended = hunt(folder, "--lit", "beacon", "--dark", "left weel")
    assert ended.exit_code == 2
    assert "`left wheel`" in ended.stderr
    assert content(folder) == before


def test_a_repair_is_tested_before_anything_else(folder: Path) -> None:
    """Found and not mended ends with 1; mended asks for the old checks; well again, the hunt can end as found."""
    assert hunt(folder, "--dark", "robot controller", "--lit", "left wheel").exit_code == 0
    found = hunt(folder, "--saw", "tug W10 B=comes off", "--read", "plus robot controller=0.1V", "--json")
    data = json.loads(found.stdout)
    assert (found.exit_code, data["found"], data["fixes"][0]["seat"]) == (1, True, "W10 B")
    shown = hunt(folder)
    for words in ("FOUND", "battery plug apart", "out/packet.pdf", 'hunt --mended "W10 B"', "Test"):
        assert words in shown.stdout
    mended = hunt(folder, "--mended", "w10 b")
    assert mended.exit_code == 0
    assert "MAKE AGAIN" in mended.stdout
    assert "SUSPECTS" not in mended.stdout
    event = open_hunt(folder).mended[-1]
    assert (event.about, event.words, event.wire, event.end) == ("W10 B", "open", "W10", "B")
    well = hunt(
        folder,
        "--saw",
        "tug W10 B=holds",
        "--read",
        "plus robot controller=12.6V",
        "--lit",
        "robot controller, left wheel",
    )
    assert well.exit_code == 0
    assert "IT HELPED" in well.stdout
    assert all(event.key in one.of for one in open_hunt(folder).observations[-4:])
    over = hunt(folder, "--found")
    assert over.exit_code == 0
    assert "screen Ends" in over.stdout
    ended = state_of(folder).hunts[""][-1].ended
    assert ended is not None
    assert (ended.words, ended.about, ended.wire, ended.end) == ("found", "W10 B", "W10", "B")


def test_answers_told_together_with_a_repair_come_after_it(folder: Path) -> None:
    """What is lit is lit because of what was mended; both ends of a wire that was swapped count as mended."""
    hunt(folder, "--dark", "beacon")
    hunt(folder, "--mended", "W10", "--lit", "beacon")
    held = open_hunt(folder)
    assert [event.about for event in held.mended] == ["W10 A", "W10 B"]
    assert {event.key for event in held.mended} < set(held.observations[-1].of)


def test_another_hunt_gives_the_open_one_up(folder: Path) -> None:
    """The first stays in the records, ended; the second has the words that it was begun with."""
    hunt(folder, "--dark", "beacon")
    ended = hunt(folder, "--new", "the left side is slow", "--weak", "left wheel")
    first, second = state_of(folder).hunts[""]
    assert first.ended is not None
    assert first.ended.words == "given up"
    assert (second.open, second.begun.words) == (True, "the left side is slow")
    assert [one.about for one in second.observations] == ["drove left wheel"]
    assert ended.exit_code == 0


def test_a_wrong_answer_is_replaced_by_the_right_one(folder: Path) -> None:
    """The old one stays in the records and counts no more; the log tells who said what."""
    hunt(folder, "--dark", "beacon", "--who", "MK")
    ended = hunt(folder, "--wrong", "look beacon", "--lit", "beacon", "--who", "JB", "--log")
    assert [told(one)[:2] for one in open_hunt(folder).observations] == [("look beacon", "lit")]
    assert re.search(r"\d\d-\d\d \d\d:\d\d  JB +beacon lit", ended.stdout)


def test_answers_that_do_not_go_together_are_told(folder: Path) -> None:
    """With what to look at again, and how the right answer is told."""
    hunt(folder, "--lit", "robot controller, beacon, left wheel, right wheel", "--read", "rest=12.8V")
    ended = hunt(
        folder, "--saw", "ohms W10=open", "--read", "volts robot controller B=12.6V", "--saw", "across left wheel=short"
    )
    assert "ANSWERS DISAGREE" in ended.stdout
    assert "--wrong" in ended.stdout


def test_a_number_is_told_with_what_it_means(folder: Path) -> None:
    """Who reads 9 V is told at once that this is low."""
    ended = hunt(folder, "--dark", "left wheel", "--read", "volts left wheel B=9V")
    assert "volts left wheel B 9 V, that is low" in ended.stdout


@pytest.mark.parametrize("edited", [True, False])
def test_without_a_plan_of_these_very_files_nobody_hunts(folder: Path, edited: bool) -> None:  # noqa: FBT001  a case
    """It is refused as the bench refuses it, with what to type; a danger is told and kept all the same."""
    if edited:
        text = (folder / "robot.yaml").read_text(encoding="utf-8")
        (folder / "robot.yaml").write_text(text.replace("[530 mm, 400 mm]", "[530 mm, 405 mm]"), encoding="utf-8")
    else:
        (folder / "plan.yaml").unlink()
    ended = hunt(folder, "--dark", "beacon")
    assert ended.exit_code == 2
    assert f"plan{folder}" in "".join(ended.stderr.split())
    assert not (folder / "bench.db").exists()
    assert hunt(folder, "--hiss", "battery").exit_code == 1
    assert open_hunt(folder).dangers


def test_the_json_has_the_keys_of_its_page_and_no_clock(folder: Path) -> None:
    """Every key stands under `hunt --json` on the page of outputs, nested ones with dots; twice it is the same."""
    hunt(folder, "--dark", "robot controller", "--halt", "20s")
    first, second = hunt(folder, "--json"), hunt(folder, "--json")
    assert first.stdout == second.stdout
    assert not re.search(r"\d\d:\d\d", first.stdout)
    section = PAGE.read_text(encoding="utf-8").partition("## hunt --json")[2].partition("\n## ")[0]
    listed = set(re.findall(r"^\| `([^`]+)`", section, re.MULTILINE))
    assert keys(json.loads(first.stdout)) <= listed
    assert {one for one in listed if "." not in one} == set(json.loads(first.stdout))


def keys(data: dict[str, Any], before: str = "") -> set[str]:
    """Return every key of nested data, with dots."""
    found = set()
    for name, value in data.items():
        found.add(before + name)
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, dict):
                found |= keys(one, f"{before}{name}.")
    return found


def test_every_danger_is_told_to_scripts_on_stderr(folder: Path) -> None:
    """Standard output stays one JSON document, with the danger in it."""
    ended = hunt(folder, "--smoke", "battery", "--json")
    assert ended.exit_code == 1
    assert ended.stderr.startswith("STOP.")
    data = json.loads(ended.stdout)
    assert [(one["about"], one["words"]) for one in data["dangers"]] == [("battery", "smoke")]
    assert (data["must_fix"], data["checks"], data["suspects"]) == (True, [], [])


@pytest.mark.parametrize(
    "beside",
    [
        ("--who", "somebody with a very long name"),
        ("--since", "nothing"),
        ("--weak-points",),
        ("--found", "--give-up"),
        ("--cleared", "--who", "ADA"),
    ],
)
def test_a_danger_is_told_and_kept_beside_what_can_not_be_read(folder: Path, beside: tuple[str, ...]) -> None:
    """A name that is too long, an unknown word, options that don't go together: the danger stands all the same."""
    ended = hunt(folder, "--smoke", "arm", *beside)
    assert ended.exit_code == 2
    assert ended.output.index("STOP") < ended.output.index("Main breaker off")
    assert [(one.words, one.about) for one in state_of(folder).dangers] == [("smoke", "arm")]
    assert "NOT WRITTEN DOWN" not in ended.output


def test_where_a_danger_can_not_be_written_down_that_is_said(tmp_path: Path, folder: Path) -> None:
    """A folder without a robot, a word that no option is: what to do stands first, and that nothing is kept."""
    empty = tmp_path / "empty"
    empty.mkdir()
    lost = hunt(empty, "--smoke", "arm")
    assert lost.exit_code == 2
    assert "STOP" in lost.output
    assert "NOT WRITTEN DOWN" in lost.output
    mistyped = hunt(folder, "--smoke", "arm", "--bogus")
    assert mistyped.exit_code == 2
    assert "Main breaker off" in mistyped.stderr
    assert "NOT written down" in mistyped.stderr
    assert "STOP" not in hunt(folder, "--bogus").output


def test_nothing_is_found_that_nobody_mended(folder: Path) -> None:
    """The hunt stays open, and the way on is told; with a repair it ends."""
    hunt(folder, "--dark", "beacon")
    ended = hunt(folder, "--found")
    assert ended.exit_code == 2
    assert "--mended SEAT" in ended.stderr
    assert open_hunt(folder).open
    assert hunt(folder, "--mended", "W12 A", "--found").exit_code == 0
    assert state_of(folder).hunt("") is None
