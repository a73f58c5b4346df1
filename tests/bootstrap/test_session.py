"""One run tells everything: all gates and all tests run, and any failure makes the session fail."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from tools.session import failing_gates

ROOT: Final = Path(__file__).resolve().parents[2]
GOOD: Final = ("python", "-c", "print('looked')")
BAD: Final = ("python", "-c", "raise SystemExit(3)")

# The real session with gates of its own, as a process of its own: pytest can't run inside itself.
SESSION: Final = """
import sys
from tools import session
session.GATES = {gates!r}
session.COVERAGE = ()
session.needs.provide = lambda needs: ["soldering iron is missing"]
sys.exit(session.main(["test", {folder!r}, "--confcutdir", {folder!r}, "--rootdir", {folder!r}, "-pno:cacheprovider"]))
"""


def session(folder: Path, gate: tuple[str, ...], *, test: str) -> subprocess.CompletedProcess[str]:
    """Run the session with one gate and one test."""
    (folder / "test_it.py").write_text(f"def test_it():\n    {test}\n")
    program = SESSION.format(gates={"gate": gate}, folder=str(folder))
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("COV_", "PYTEST_"))}
    return subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, env=kept, capture_output=True, text=True, check=False, timeout=120
    )


@pytest.mark.parametrize(
    ("gate", "test", "code"), [(GOOD, "pass", 0), (BAD, "pass", 1), (GOOD, "assert 0", 1), (BAD, "assert 0", 1)]
)
def test_the_session_is_well_only_if_gates_and_tests_are(
    tmp_path: Path, gate: tuple[str, ...], test: str, code: int
) -> None:
    """A failed gate keeps no test from running, and pytest's own count is the last line in any case."""
    ended = session(tmp_path, gate, test=test)
    last = ended.stdout.strip().splitlines()[-1]
    assert (ended.returncode, "1 passed" in last, "1 failed" in last) == (code, test == "pass", test != "pass")


def test_a_failed_gate_is_repeated_where_a_person_looks_last(tmp_path: Path) -> None:
    """Its own output is far up by then; so is the line about what the machine lacks."""
    ended = session(tmp_path, BAD, test="pass")
    assert ended.stdout.index("soldering iron is missing\n") < ended.stdout.index("test session starts")
    heading, name, last = [line for line in ended.stdout.splitlines() if line][-3:]
    assert (heading.strip("= "), name) == ("gates that failed (see the top of this output)", "gate")
    assert "1 passed" in last


def test_every_gate_runs_whatever_the_others_say(capfd: pytest.CaptureFixture[str]) -> None:
    """Also after one that failed and one that is not even installed."""
    gates = {"first": BAD, "second": ("no-such-gate",), "third": GOOD}
    assert failing_gates(gates) == ["first", "second"]
    assert capfd.readouterr().out.endswith(
        "no-such-gate is not installed\n== third: python -c print('looked')\nlooked\n"
    )
