"""Every way a command can end has its words on stderr and its exit code, and nothing else."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.cli.samples import samples

ROOT = Path(__file__).resolve().parents[2]
UNREADABLE = """\
robot.yaml:3:1  [tab] must
  Line 3 starts with a tab.
  Fix: Use spaces.
robot.yaml:9:7  lift  [unit-missing] must
  `40` has no unit.
  Fix: Write `40 A`.
"""


def start(words: Sequence[str], *, encoding: str = "utf-8", threads: str = "") -> subprocess.CompletedProcess[bytes]:
    """Start the sample program as a person would, in a process of its own; `threads` is what the person set."""
    usual = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    told = {"OPENBLAS_NUM_THREADS": threads} if threads else {}
    return subprocess.run(
        [sys.executable, "-m", "tests.cli.samples", *words],
        cwd=ROOT,
        env={**usual, **told, "PYTHONIOENCODING": encoding},
        capture_output=True,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize(
    ("command", "code", "words"),
    [
        ("unreadable", 2, UNREADABLE),
        ("interrupted", 130, "Stopped before the end.\n"),
        ("refused", 2, "Error: The folder is not ours.\n"),
        ("unwritable", 2, f"{Path(os.devnull, 'plan.yaml')} can't be used: Not a directory.\n"),
    ],
)
def test_what_a_person_can_cause_ends_in_plain_words(command: str, code: int, words: str) -> None:
    """All faults at once, no traceback, nothing on stdout."""
    ended = CliRunner().invoke(samples, [command])
    assert (ended.exit_code, ended.stderr, ended.stdout) == (code, words, "")


def test_our_own_mistakes_keep_their_traceback() -> None:
    """Hiding them would make them impossible to report."""
    ended = CliRunner().invoke(samples, ["mistaken"])
    assert isinstance(ended.exception, ZeroDivisionError)


def test_ctrl_c_ends_a_real_process_with_130_and_one_line() -> None:
    """The exit code that shells give to a program stopped with Ctrl-C."""
    ended = start(["interrupted"])
    assert (ended.returncode, ended.stdout, ended.stderr) == (130, b"", b"Stopped before the end.\n")


def test_a_console_of_another_habit_still_gets_utf_8() -> None:
    """The sign for ohm must neither stop the work nor come out as another sign."""
    ended = start(["fine"], encoding="ascii")
    assert (ended.returncode, ended.stdout, ended.stderr) == (0, "12 AWG, 0.3 Ω\n".encode(), b"")


@pytest.mark.parametrize(("threads", "told"), [("", b"1"), ("3", b"3")])
def test_one_thread_inverts_a_matrix_unless_a_person_says_otherwise(threads: str, told: bytes) -> None:
    """It is said before numpy is imported, which looks only then."""
    assert start(["algebra"], threads=threads).stdout == told + b" False\n"


@pytest.mark.skipif(os.name == "nt", reason="the test uses a POSIX shell's way to close a pipe early")
@pytest.mark.parametrize(("command", "code"), [("talkative", 141), ("fine", 0)])
def test_a_reader_that_goes_away_is_met_in_silence(command: str, code: int) -> None:
    """Long output ends as a shell counts it; short output was complete, so its verdict stands."""
    reading, writing = os.pipe()
    os.close(reading)
    words = [sys.executable, "-m", "tests.cli.samples", command]
    usual = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    ended = subprocess.run(words, cwd=ROOT, env=usual, stdout=writing, stderr=subprocess.PIPE, check=False, timeout=60)
    os.close(writing)
    assert (ended.returncode, ended.stderr) == (code, b"")


@pytest.mark.skipif(os.name == "nt", reason="the test uses a POSIX shell's way to close a stream")
@pytest.mark.parametrize(("stream", "left"), [("1>&-", (b"", b"")), ("2>&-", ("12 AWG, 0.3 Ω\n".encode(), b""))])
def test_a_stream_that_was_closed_before_the_start_stops_nothing(stream: str, left: tuple[bytes, bytes]) -> None:
    """A job that runs without a console gets its verdict all the same."""
    words = f'"{sys.executable}" -m tests.cli.samples fine {stream}'
    ended = subprocess.run(["/bin/sh", "-c", words], cwd=ROOT, capture_output=True, check=False, timeout=60)
    assert (ended.returncode, (ended.stdout, ended.stderr)) == (0, left)
