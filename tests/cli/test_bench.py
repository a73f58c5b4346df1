"""`loomwright bench`: served until Ctrl-C, shared in plain words, and its records handed on, taken in and copied."""

from __future__ import annotations

import http.client
import io
import json
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from click.testing import CliRunner, Result

from loomwright.cli import bench as bench_command
from loomwright.cli.bench_records import open_records
from loomwright.cli.bench_words import lonely, served, served_data
from loomwright.cli.main import main
from loomwright.jobs.plan import plan_robot
from loomwright.records.event import Role
from loomwright.records.reading import read_event
from tests.robots import example_plan, example_text
from tests.web.people import ALONE, SECRETS, SHARED, event
from tools.commands_page import JSON_KEYS

NAME = "Rockpool trainer"


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with a robot and its plan."""
    return robot_in(tmp_path_factory.mktemp("robot"))


def robot_in(folder: Path) -> Path:
    """Write the bench trainer into a folder and plan it."""
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    return folder


def run(*words: str | Path) -> Result:
    """Run `loomwright bench WORDS` in this process."""
    return CliRunner().invoke(main, ["bench", *map(str, words)])


def sign(folder: Path, *numbers: int) -> None:
    """Write events into the records of a folder."""
    with open_records(folder, NAME) as store:
        events = [read_event(event(number)) for number in numbers]
        store.append(events, role=Role.STUDENT, received_at="2026-02-07T09:32:00Z")


# ------------------------------------------------------------------ served


@contextmanager
def serving(*words: str | Path) -> Iterator[tuple[subprocess.Popen[str], dict[str, Any]]]:
    """Serve as a script does, in a process of its own, and give it with what it said."""
    command = [sys.executable, "-m", "loomwright", "bench", *map(str, words), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            told = ""
            while not told.endswith("}\n"):
                line = process.stdout.readline()
                assert line, process.stderr and process.stderr.read()
                told += line
            yield process, json.loads(told)
        finally:
            if process.poll() is None:
                process.kill()


def ask(url: str, method: str, name: str, body: str | None = None) -> http.client.HTTPResponse:
    """Ask the API of a bench that is served; the answer closes its connection."""
    connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=20)
    fields = {"Content-Type": "application/json", "X-Bench": "1", "Connection": "close"}
    connection.request(method, f"/api/v1/{name}", body, fields)
    return connection.getresponse()


def test_it_is_served_until_ctrl_c_and_ends_well(planned: Path) -> None:
    """It says where it is, answers there and nowhere else, and Ctrl-C with a stream open ends it with exit code 0."""
    with serving(planned) as (process, told):
        assert told == {
            "robot": NAME,
            "build": "",
            "revision": told["revision"],
            "url": told["url"],
            "phone_url": "",
            "join_url": "",
            "join_code": "",
            "mentor_code": "",
        }
        assert json.load(ask(told["url"], "GET", "bench"))["role"] == "mentor"
        with ask(told["url"], "GET", "stream") as stream:
            assert stream.readline().startswith(b"retry")
            process.send_signal(signal.SIGINT)
            _, said = process.communicate(timeout=20)
            assert stream.read().endswith(b"event: stopping\ndata: {}\n\n")
    assert process.returncode == 0
    assert said == "Stopped. Whatever was signed is in bench.db.\n"
    assert "bench.db*" in (planned / ".gitignore").read_text(encoding="utf-8").splitlines()


def test_what_was_answered_is_there_after_the_end(planned: Path, tmp_path: Path) -> None:
    """Signed over HTTP, stopped, exported: the event is in the records once."""
    with serving(planned) as (process, told):
        body = json.dumps({"events": [event(77)]})
        assert json.load(ask(told["url"], "POST", "events", body))["answers"][0]["outcome"] == "added"
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=20)
    assert run(planned, "--export", tmp_path / "all.jsonl").exit_code == 0
    assert (tmp_path / "all.jsonl").read_text(encoding="utf-8").count(f'"{77:032x}"') == 1


def test_without_a_plan_it_says_to_plan_first(tmp_path: Path) -> None:
    """Only ends of a plan that is written are signed."""
    (tmp_path / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    ended = run(tmp_path)
    assert ended.exit_code == 2
    assert "[plan-first]" in ended.stderr
    assert not (tmp_path / "bench.db").exists()


# ------------------------------------------------------------------ what it says


class Terminal(io.StringIO):
    """A terminal."""

    def isatty(self) -> bool:
        """Say that it is one."""
        return True


def test_alone_it_says_where_it_is_and_no_code() -> None:
    """Nobody else can come, so there is nothing to join with."""
    said = served(example_plan("rockpool"), ALONE, io.StringIO())
    assert said == f"The bench of {NAME}: http://127.0.0.1:8340/\nCtrl-C stops it."


def test_shared_it_says_how_phones_join_and_what_is_for_mentors() -> None:
    """The address as a line and, at a terminal, as a large code; the mentor's code apart."""
    said = served(example_plan("rockpool"), SHARED, io.StringIO())
    assert said.splitlines()[1:3] == [
        "Phones: http://192.168.7.2:8340/  code 7k3-m9q",
        "For mentors alone: code vw4-t2r-8xh-p6n",
    ]
    large = served(example_plan("rockpool"), SHARED, Terminal())
    assert len(large.splitlines()) > len(said.splitlines()) + 10
    assert "▀" in large


def test_shared_without_a_network_it_says_what_to_do() -> None:
    """No line and no code that lead nowhere; the words fit the terminal."""
    said = served(example_plan("rockpool"), replace(SHARED, address=""), Terminal())
    assert "hotspot" in said
    assert "Phones:" not in said
    assert "▀" not in said


def test_a_script_gets_the_codes_of_a_shared_bench() -> None:
    """And the address with the code in it that the large code holds."""
    told = served_data(example_plan("rockpool"), SHARED)
    assert (told["join_code"], told["mentor_code"]) == (SECRETS.join_code, SECRETS.mentor_code)
    assert told["join_url"] == "http://192.168.7.2:8340/join#7k3m9q"


def test_the_keys_for_scripts_are_on_the_commands_page(planned: Path, tmp_path: Path) -> None:
    """Those of serving and those of handing records on, and no other."""
    keys = [
        *served_data(example_plan("rockpool"), SHARED),
        *json.loads(run(planned, "--export", tmp_path / "all.jsonl", "--json").output),
        *json.loads(run(planned, "--import", tmp_path / "all.jsonl", "--json").output),
    ]
    assert set(keys) == {key for key, _ in JSON_KEYS["bench"]}


def test_when_nobody_comes_it_says_how_to_find_out_why() -> None:
    """With the address to try."""
    assert "http://192.168.7.2:8340/" in lonely(SHARED, io.StringIO())


@pytest.mark.parametrize(("share", "host"), [(False, "127.0.0.1"), (True, "0.0.0.0")])  # noqa: S104  what --share does
def test_only_share_listens_to_others(share: bool, host: str) -> None:  # noqa: FBT001  a parameter of the test
    """And only then has it names and an address of the network."""
    settings = bench_command.settings_for(8340, share=share)
    assert settings.host == host
    assert bool(settings.names) <= share
    assert bool(settings.phone_url) <= share


@pytest.mark.parametrize(
    ("words", "screen", "opened"),
    [((), ":0", 1), (("--no-open",), ":0", 0), (("--json",), ":0", 0), ((), "", 0)],
)
def test_the_browser_is_opened_where_a_person_sits(
    planned: Path, words: tuple[str, ...], screen: str, opened: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a terminal with a screen, unless told not to; never for a script."""
    calls: list[str] = []
    monkeypatch.setenv("DISPLAY", screen)
    monkeypatch.setenv("WAYLAND_DISPLAY", "")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr("webbrowser.open", calls.append)
    monkeypatch.setattr(
        "loomwright.web.serving.serve", lambda _, listening, *, ready, **__: (listening.close(), ready())
    )
    monkeypatch.setattr("threading.Thread.start", lambda thread: thread.run())
    monkeypatch.setattr("click.testing._NamedTextIOWrapper.isatty", lambda _: True, raising=False)
    assert run(planned, *words).exit_code == 0
    assert len(calls) == opened


# ------------------------------------------------------------------ records


def test_records_go_to_another_laptop_and_to_take_them_in_twice_changes_nothing(tmp_path: Path) -> None:
    """Exported on one, imported on the other: added once, then known; told in words and in numbers."""
    one, other = robot_in(_made(tmp_path / "one")), _made(tmp_path / "other")
    (other / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    sign(one, 1, 2)
    sign(other, 3)
    file = tmp_path / "all.jsonl"
    assert "Wrote 2 records" in run(one, "--export", file).output
    assert "Took in 2 records" in run(other, "--import", file).output
    told = json.loads(run(other, "--import", file, "--json").output)
    assert {name: told[name] for name in ("added", "known")} == {"added": 0, "known": 2}
    assert json.loads(run("-C", other, "--export", file, "--json").output)["records"] == 3
    robot = other / "robot.yaml"
    for option in ("--export", "--backup"):
        assert run(other, option, robot).exit_code == 1
        assert robot.read_text(encoding="utf-8") == example_text("rockpool")


def test_a_pull_sheet_that_was_typed_in_is_taken_in_once(tmp_path: Path) -> None:
    """A CSV file is paper, not an export: its rows become records, and again they are known; a wrong row says where."""
    folder = robot_in(_made(tmp_path / "one"))
    file = tmp_path / "pulls.csv"
    file.write_text("wire,end,made by,tool,pulled by,held,date,note\nW6,A,Kim,crimper,Lee,yes,2026-02-07,\n", "utf-8")
    assert "Took in 2 records" in run(folder, "--import", file).output
    told = json.loads(run(folder, "--import", file, "--json").output)
    assert {name: told[name] for name in ("added", "known")} == {"added": 0, "known": 2}
    file.write_text("wire,end,made by\nW600,A,Kim\n", "utf-8")
    ended = run(folder, "--import", file)
    assert ended.exit_code == 2
    assert "pulls.csv:2" in ended.stderr


def test_an_export_that_was_edited_is_refused_whole(planned: Path, tmp_path: Path) -> None:
    """With the line at fault, exit code 2, and nothing taken in."""
    other = _made(tmp_path / "other")
    (other / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    sign(planned, 11, 12)
    file = tmp_path / "all.jsonl"
    run(planned, "--export", file)
    file.write_text(file.read_text(encoding="utf-8").replace("Kim", "Tim"), encoding="utf-8")
    ended = run(other, "--import", file)
    assert ended.exit_code == 2
    assert "all.jsonl:" in ended.stderr
    assert json.loads(run(other, "--export", file, "--json").output)["records"] == 0


def test_a_backup_goes_where_it_is_told_or_gets_a_date(planned: Path, tmp_path: Path) -> None:
    """A dated one lies in the robot's folder, kept out of git by the same line as bench.db itself."""
    sign(planned, 21)
    copy = tmp_path / "copy.db"
    assert "Copied" in run(planned, "--backup", copy).output
    assert copy.read_bytes().startswith(b"SQLite format 3")
    told = json.loads(run(planned, "--json", "--backup").output)
    assert Path(told["file"]).parent == planned / "bench.db-backups"
    assert Path(told["file"]).is_file()


def test_a_backup_over_the_records_themselves_is_refused(planned: Path) -> None:
    """With the fault in words and exit code 1; the records are as they were."""
    sign(planned, 31)
    ended = run(planned, "--backup", planned / "bench.db")
    assert ended.exit_code == 1
    assert "[backup-in-use]" in ended.stderr
    assert run(planned, "--backup").exit_code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--export", "a", "--import", "b"), "stand alone"),
        (("--export", "a", "--share"), "stand alone"),
        (("--import", "a", "--port", "8340"), "stand alone"),
        (("--port", "0"), "not in the range"),
    ],
)
def test_what_does_not_go_together_is_said(words: tuple[str, ...], said: str) -> None:
    """Before anything is opened."""
    ended = run(*words)
    assert ended.exit_code == 2
    assert said in " ".join(ended.stderr.split())


def test_a_file_that_is_not_there_is_said(planned: Path) -> None:
    """By its name."""
    ended = run(planned, "--import", planned / "gone.jsonl")
    assert ended.exit_code == 2
    assert "gone.jsonl" in ended.stderr


def test_the_ignore_file_gets_one_line_and_keeps_its_own(tmp_path: Path) -> None:
    """However often the records are opened, and whether or not the last line was ended."""
    (tmp_path / ".gitignore").write_text("out/", encoding="utf-8")
    for _ in range(2):
        open_records(tmp_path, NAME).close()
    assert (tmp_path / ".gitignore").read_text(encoding="utf-8") == "out/\nbench.db*\n"


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder
