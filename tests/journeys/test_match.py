"""`loomwright match` from the robot file to words, files and what the next plan makes of them."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from typing import Any

import pexpect
import pytest

from tests.documents_plan.test_outputs_page import keys, paths
from tests.journeys.match_folders import BUSY, copied, edit, played
from tests.journeys.program import content, loomwright
from tests.robots import EXAMPLES

FEW = ("--matches", "16")
#: A plan rests on no fewer.
ENOUGH = ("--matches", "100")
WRITTEN = {"duty.json", "out/match.csv", "out/match.json", "out/sag.svg", "out/sag.pdf"}


@pytest.fixture(autouse=True)
def few_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a plan rest on few matches, so that tests need not play a hundred."""
    monkeypatch.setattr("loomwright.jobs.match.LEAST_FOR_DUTY", 1)


@pytest.fixture
def trainer(tmp_path: Path) -> Path:
    """Copy the bench trainer, planned."""
    return copied("rockpool", tmp_path)


@pytest.fixture
def tidepool(tmp_path: Path) -> Path:
    """Copy the demo robot, planned."""
    return copied("tidepool", tmp_path)


@pytest.fixture
def busy(tmp_path: Path) -> Path:
    """Copy a robot with a bit of everything, planned."""
    return copied(BUSY, tmp_path)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_is_played_and_told_in_words_first(name: str, tmp_path: Path) -> None:
    """The odds come first, then volts, branches and what it rests on; four files, and nothing else changes."""
    folder = copied(name, tmp_path)
    before = content(folder)
    ended = played("match", str(folder), *FEW)
    assert ended.exit_code == 0, ended.output
    lines = ended.stdout.splitlines()
    assert re.fullmatch(r".+: 16 matches, battery fresh, seed 1\. Plan [0-9a-f]{8}\.", lines[0])
    assert lines[2].startswith("Brown-out (outputs off): 0 of 16 matches, so 0.0% to 19.4%.")
    assert lines[3].startswith("Lowest bus voltage: ")
    places = [ended.stdout.index(words) for words in ("Lowest bus", "One battery lasts", "branch  ", "This rests on:")]
    assert places == sorted(places)
    after = content(folder)
    assert set(after) - set(before) == WRITTEN
    assert all(after[file] == data for file, data in before.items())
    rows = list(csv.DictReader(io.StringIO(after["out/match.csv"].decode("utf-8-sig"))))
    told = json.loads(after["out/match.json"])
    assert [row["branch"] for row in rows] == [branch["name"] for branch in told["verdict"]["branches"]]
    assert rows[-1]["branch"] == "main leads"
    assert set(rows[0]) == keys("## out/match.csv")
    assert f"plan {told['revision']}" in after["out/sag.svg"].decode()


def test_json_has_the_keys_that_the_page_lists_and_no_other(busy: Path) -> None:
    """--json alone on stdout, equal to the file; a what-if has the same keys; both ways with docs/outputs.md."""
    ended = played("match", str(busy), *FEW, "--rank", "--advise", "--json")
    told = json.loads(ended.stdout)
    assert told == json.loads((busy / "out" / "match.json").read_text(encoding="utf-8"))
    asked = played("match", str(busy), *FEW, "--set", "lift.supply_limit=20A", "--compare", "--json")
    other = json.loads(asked.stdout)
    assert told.keys() == other.keys()
    effect = keys("### An effect")
    assert set(other["what_if"]) == effect
    assert all(set(one) == effect for one in told["what_helps"])
    assert all(set(one) - {"supply_limit_a", "cost"} == effect for one in told["limits"])
    chance = told["verdict"]["brown_out"]
    assert set(chance) == {"count", "of", "share", "from", "to"}
    found = {_plain(path) for path in paths(told)} - {None}
    assert found == keys("## out/match.json")
    duty = json.loads((busy / "duty.json").read_text(encoding="utf-8"))
    each = {f"branches.{key}" for branch in duty["branches"].values() for key in branch}
    assert {*duty, *each} == keys("## duty.json")


#: Objects that are told once on the page: a chance, an effect, a finding; and those whose keys are the robot's names.
_CHANCES = ("brown_out", "restart", "main_breaker_opens", "breaker_opens")
_ENDS = ("what_helps", "what_if", "findings", "verdict.dips.currents_a", "limits.supply_limit_a")


def _plain(path: str) -> str | None:
    """Return a path as the page has it, None below what the page tells once."""
    above, _, last = path.rpartition(".")
    if above.rpartition(".")[2] in _CHANCES or any(above == end or above.startswith(f"{end}.") for end in _ENDS):
        return None
    return path if above != "limits" or last in {"supply_limit_a", "cost"} else None  # the rest is an effect


def test_the_same_bytes_twice_and_no_clock(trainer: Path) -> None:
    """A second run writes nothing; a process of its own makes the same bytes; no date or time is in any of them."""
    played("match", str(trainer), *ENOUGH)
    first = content(trainer)
    again = played("match", str(trainer), *ENOUGH)
    assert "Written" not in again.stdout
    assert content(trainer) == first
    for file in WRITTEN:
        (trainer / file).unlink()
    ended = loomwright("match", str(trainer), *ENOUGH)
    assert ended.code == 0, ended.err
    assert content(trainer) == first
    for file in ("out/match.json", "duty.json", "out/match.csv"):
        assert not re.search(rb"\d\d:\d\d|20\d\d-\d\d", first[file])
    other = played("match", str(trainer), *ENOUGH, "--seed", "2")
    assert "Written" in other.stdout
    assert content(trainer)["out/match.json"] != first["out/match.json"]


def test_what_helps_most_and_which_limits(busy: Path) -> None:
    """Numbered changes with their gain and their cost; sets of limits behind them."""
    ended = played("match", str(busy), *FEW, "--rank", "--advise", "--battery", "used")
    assert ended.exit_code == 0, ended.output
    assert re.search(
        r"What helps most, each by itself, on the first 16 of these matches:\n  1\. .+ V at the dips, .+% driven",
        ended.stdout,
    )
    assert re.search(r"a battery that is fresh: \+.+ V at the dips", ended.stdout)
    assert "Supply-side limits a motor, from least risk to least loss:\n" in ended.stdout
    assert ended.stdout.index("What helps most") < ended.stdout.index("Supply-side limits")


def test_a_what_if_uses_the_same_drivers_and_writes_nothing(busy: Path) -> None:
    """What is there already gives exactly nothing; a lower limit lifts the dips and costs way."""
    before = content(busy)
    same = played("match", str(busy), *FEW, "--set", "drive.supply_limit=40A", "--compare", "--json")
    told = json.loads(same.stdout)["what_if"]
    numbers = ("saved", "lost", "lowest_v", "lowest_5_percent_v", "driven", "late_s")
    assert [told[key] for key in numbers] == [0] * 6
    lower = played("match", str(busy), *FEW, "--set", "drive.supply_limit=20A", "--compare")
    assert lower.exit_code == 0
    assert "with drive.supply_limit=20A" in lower.stdout
    told_v = re.search(r"drive\.supply_limit=20A: \+(\d\.\d\d) V at the dips, -\d", lower.stdout)
    assert told_v is not None
    assert float(told_v[1]) > 0.3
    assert content(busy) == before


def _verdict(folder: Path, *words: str) -> dict[str, Any]:
    ended = played("match", str(folder), *FEW, "--json", *words)
    assert ended.exit_code == 0, ended.output
    verdict: dict[str, Any] = json.loads(ended.stdout)["verdict"]
    return verdict


def test_batteries_drivers_gaps_and_steps(busy: Path) -> None:
    """A tired battery dips lower, a hard driver takes more; the gap changes the row alone; 1 ms tells what 5 ms do."""
    fresh = _verdict(busy, "--gap", "0 s")
    duty = json.loads((busy / "duty.json").read_text(encoding="utf-8"))["branches"]["left front"]
    assert duty.pop("row_a") == duty["match_a"]
    assert _verdict(busy, "--gap", "30 min") == fresh
    later = json.loads((busy / "duty.json").read_text(encoding="utf-8"))["branches"]["left front"]
    assert later.pop("row_a") < duty["match_a"] / 3
    assert later == duty
    assert _verdict(busy, "--battery", "tired")["lowest_median_v"] < fresh["lowest_median_v"] - 0.3
    calm, hard = (_verdict(busy, "--driver", name) for name in ("calm", "hard"))
    assert calm["charge_ah"] < fresh["charge_ah"] < hard["charge_ah"]
    assert calm["lowest_median_v"] > fresh["lowest_median_v"] > hard["lowest_median_v"]
    assert "battery tired" in json.loads((busy / "duty.json").read_text(encoding="utf-8"))["of"]  # not of one driver
    fine = _verdict(busy, "--step", "1")
    assert fine["lowest_median_v"] == pytest.approx(fresh["lowest_median_v"], abs=0.05)
    assert fine["charge_ah"] == pytest.approx(fresh["charge_ah"], rel=0.01)


def test_what_a_study_found_is_told_by_check_until_the_file_changes(busy: Path) -> None:
    """A brown-out is saved and told again; check plays nothing; an edited robot file forgets it, and says so."""
    part = "part: computer/robot-controller\n"
    edit(busy, part, f"{part}    outputs off below: 7.45 V\n")
    edit(busy, "part: battery/agm-12v-18ah\n", "part: battery/agm-12v-7ah\n")
    ended = played("match", str(busy), *FEW, "--battery", "tired")
    assert ended.exit_code == 0, ended.output
    assert "[match-brown-out] should" in ended.stdout
    assert "Outputs go off in" in ended.stdout
    assert "[match-brown-out] should" in played("check", str(busy)).stdout
    edit(busy, "carries: 6 kg", "carries: 7 kg")
    later = played("check", str(busy)).stdout
    assert "match-brown-out" not in later
    assert "[duty-older] consider" in later


IMPORTED = """
import sys
from loomwright.cli.main import main
for words in (["check", {0!r}], ["plan", {0!r}], ["packet", {0!r}]):
    try:
        main(words, standalone_mode=False)
    except SystemExit as end:
        assert end.code in (0, None), end.code
assert "loomwright.jobs.packet" in sys.modules
assert not any(name.split(".")[0] == "numba" for name in sys.modules), "somebody plays matches"
"""


def test_check_plan_and_packet_never_play(trainer: Path) -> None:
    """With a study's duty beside the robot file, none of the three loads what plays matches."""
    played("match", str(trainer), *FEW)
    words = [sys.executable, "-c", IMPORTED.format(str(trainer))]
    ended = subprocess.run(words, capture_output=True, text=True, timeout=120, check=False)
    assert ended.returncode == 0, ended.stderr


def test_plan_and_match_settle(tidepool: Path) -> None:
    """plan, match, plan, match: the second study finds what the first found, and a third plan has nothing to write.

    Where the first plan with duties takes a thinner wire, the study after it may move a current by half an ampere: then
    plan.yaml tells another digest of its inputs, and nothing that is built changes.
    """
    bare = json.loads((tidepool / "out" / "plan.json").read_text(encoding="utf-8"))
    assert "until a match study tells" in _reasons(bare)
    played("match", str(tidepool), *FEW)
    stale = played("packet", str(tidepool))
    assert "older" in stale.output
    played("plan", str(tidepool))
    told = json.loads((tidepool / "out" / "plan.json").read_text(encoding="utf-8"))
    assert "peak of the match study; its limit is 40 A" in _reasons(told)
    assert "until a match study tells" not in _reasons(told)
    played("match", str(tidepool), *FEW)
    played("plan", str(tidepool))
    second = content(tidepool)
    again = json.loads(second["out/plan.json"])
    assert again["revision"] == told["revision"]
    played("match", str(tidepool), *FEW)
    last = played("plan", str(tidepool))
    assert "Written" not in last.stdout
    assert content(tidepool) == second


def _reasons(plan: dict[str, object]) -> str:
    return json.dumps(plan["circuits"], ensure_ascii=False)


def test_a_build_has_its_own_study(tidepool: Path) -> None:
    """duty.practice.json and out/practice/; the design has none, and its plan stays current."""
    before = content(tidepool)
    assert played("plan", str(tidepool), "--build", "practice").exit_code == 0
    ended = played("match", str(tidepool), "--build", "practice", *FEW)
    assert ended.exit_code == 0
    assert ended.stdout.startswith("Tidepool, build practice: 16 matches")
    after = content(tidepool)
    assert {"duty.practice.json", "out/practice/match.json"} <= set(after)
    assert not WRITTEN & set(after)
    assert all(after[file] == data for file, data in before.items())
    assert json.loads(after["out/practice/match.json"])["build"] == "practice"
    assert "climber" not in after["out/practice/match.csv"].decode()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--step", "20"), "'20' is not one of '5', '2', '1'"),
        (("--matches", "10000000"), "10000000 matches would not fit in memory"),
        (("--matches", "0"), "0 is not in the range"),
        (("--gap=-1 min",), "below zero"),
        (("--gap", "8"), "--gap"),
        (("--compare",), "--compare goes with --set"),
        (("--set", "lift.supply_limit=3A", "--rank"), "Take one of them"),
        (("--battery", "flat"), "[no-such-battery] must"),
        (("--driver", "nobody"), "There is no driver `nobody`"),
        (("--set", "nobody.supply_limit=3A", "--set", "x"), "Nothing is set to anything."),
    ],
)
def test_what_can_not_be_meant_ends_with_2(trainer: Path, words: tuple[str, ...], told: str) -> None:
    """In plain words on stderr, nothing on stdout, nothing written."""
    before = content(trainer)
    ended = played("match", str(trainer), *words)
    assert ended.exit_code == 2
    assert ended.stdout == ""
    assert told in ended.stderr
    assert content(trainer) == before


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("mass: 54 kg, wheel", "mass: 0 kg, wheel", "`0 kg` is nothing, and this has to be more than nothing."),
        ("gearing: 8.5", "gearing: 0", "robot.yaml"),
        ("gearing: 8.5", "gearing: nan", "robot.yaml"),
    ],
)
def test_a_robot_that_can_not_be_is_refused(tmp_path: Path, old: str, new: str, told: str) -> None:
    """No mass, no gearing, no number: every place is told, and nothing is played."""
    folder = copied("tidepool", tmp_path)
    edit(folder, old, new)
    before = content(folder)
    ended = played("match", str(folder), *FEW)
    assert ended.exit_code == 2
    assert told in ended.stderr
    assert content(folder) == before


@pytest.mark.parametrize("said", ["nan mohm", "inf mohm", ".nan", "-.inf"])
def test_a_part_that_says_no_number_is_refused(trainer: Path, said: str) -> None:
    """NaN and infinity in a part of the team's own: told with file and line, nothing is played."""
    whole = (files("loomwright") / "data" / "parts" / "battery" / "agm-12v-18ah.yaml").read_text(encoding="utf-8")
    (trainer / "parts" / "battery").mkdir(parents=True)
    ours = trainer / "parts" / "battery" / "ours.yaml"
    ours.write_text(whole.replace("value: 11 mohm", f"value: {said}"), encoding="utf-8")
    edit(trainer, "battery: {part: battery/agm-12v-7ah", "battery: {part: battery/ours")
    ended = played("match", str(trainer), *FEW)
    assert ended.exit_code == 2
    assert "ours.yaml:6:" in ended.stderr
    assert "duty.json" not in content(trainer)


@pytest.mark.parametrize(
    ("drivers", "told"),
    [
        ("drivers:\n  usual: {weight: 0}\n", "Every driver has the weight 0, so nobody drives."),
        ("drivers: {}\n", "This file has no drivers."),
        ("drivers:\n  ours: {weight: 1}\n", "drivers.yaml:2"),
    ],
)
def test_no_driver_is_told(trainer: Path, drivers: str, told: str) -> None:
    """Where nobody drives, nothing is played."""
    (trainer / "drivers.yaml").write_text(drivers, encoding="utf-8")
    ended = played("match", str(trainer), *FEW)
    assert ended.exit_code == 2
    assert told in ended.stderr


def test_a_limit_above_its_breaker_is_told_by_check(busy: Path) -> None:
    """100 A behind 40 A: check says how long the breaker bears that; the match goes on, and no limit is invented."""
    edit(busy, "supply: 40 A", "supply: 100 A")
    assert "[limit-above-protection]" in played("check", str(busy)).stdout
    told = _verdict(busy)
    assert max(branch["peak_a"] for branch in told["branches"][:4]) > 45


def test_ctrl_c_keeps_what_was_played(trainer: Path) -> None:
    """Half-way through very many matches: those that were played count, are written and said; exit code 130."""
    words = ["-m", "loomwright", "match", str(trainer), "--matches", "400000"]
    child = pexpect.spawn(sys.executable, words, encoding="utf-8", timeout=120, dimensions=(50, 160))
    child.expect(r"matches: \d+ of 400000.*Ctrl-C keeps what is done")
    child.sendintr()
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    assert "Stopped before the end: this is what was played until then." in (child.before or "")
    told = json.loads((trainer / "out" / "match.json").read_text(encoding="utf-8"))
    assert told["stopped"] is True
    assert 0 < told["verdict"]["matches"] < 400000
    assert told["verdict"]["matches"] % 64 == 0
    assert told["asked"]["matches"] == 400000
    assert set(content(trainer)) >= WRITTEN


def test_a_file_in_the_way_of_out_is_told(trainer: Path) -> None:
    """What can't be written is named in a plain line, and nothing half-written is left."""
    for path in sorted((trainer / "out").rglob("*"), reverse=True):
        path.unlink() if path.is_file() else path.rmdir()
    (trainer / "out").rmdir()
    (trainer / "out").write_text("mine", encoding="utf-8")
    before = content(trainer)
    ended = played("match", str(trainer), *FEW)
    assert ended.exit_code == 2
    assert "out" in ended.stderr
    assert content(trainer) == before


def test_a_plan_rests_on_no_thin_study(busy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Few matches, one driver, or a mechanism that is left out: the study is told, and duty.json stays as it was."""
    before = content(busy)
    one = played("match", str(busy), *FEW, "--driver", "calm")
    monkeypatch.setattr("loomwright.jobs.match.LEAST_FOR_DUTY", 100)
    few = played("match", str(busy), *FEW)
    for ended in (one, few):
        assert re.search(r"it wants \d+ matches of all drivers\. duty\.json is left as it was\.", ended.stdout)
    monkeypatch.setattr("loomwright.jobs.match.LEAST_FOR_DUTY", 1)
    edit(busy, "carries: 6 kg", "note: light")
    less = played("match", str(busy), *FEW)
    assert less.exit_code == 0
    assert less.stdout.splitlines()[1] == (
        "NOT played, for the file says too little: lift. All numbers are without it."
    )
    assert "a mechanism is left out. duty.json is left as it was." in less.stdout
    assert "without lift" in (busy / "out" / "sag.svg").read_text(encoding="utf-8")
    assert "duty.json" not in set(content(busy)) - set(before)
