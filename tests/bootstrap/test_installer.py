"""What went wrong is told as what a person can do about it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tools.installer import SetupError, install, make_environment, reason

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("NewConnectionError('<pip._vendor.urllib3.connection>: Failed to establish a new connection')", "fetched"),
        ("  Caused by: dns error\n  failed to lookup address information", "fetched"),
        ("Could not fetch: Temporary failure in name resolution\nERROR: No matching distribution found", "fetched"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "not the one that was locked"),
        ("error: Hash mismatch for `click==8.2.0`", "not the one that was locked"),
        ("OSError: [Errno 28] No space left on device", "The disk is full"),
        ("PermissionError: [Errno 13] Permission denied: '/opt/.venv'", "can't be written to"),
        ("/usr/bin/python3: No module named ensurepip", "sudo apt install python3."),
        ("ERROR: No matching distribution found for numpy==9", "does not exist for this Python (3."),
    ],
)
def test_what_an_installer_says_becomes_what_a_person_can_do(said: str, told: str) -> None:
    """One cause, the first that fits: a missing network also looks like a missing package."""
    assert told in reason(said)


def test_words_that_nobody_knows_get_no_made_up_cause() -> None:
    """A wrong cause costs a student an hour."""
    assert not reason("something new under the sun")


def test_a_step_that_cannot_write_tells_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The whole way from a real program's output to the sentence, with its last lines."""
    program = tmp_path / "uv"
    program.write_text("#!/bin/sh\necho one; echo '[Errno 13] Permission denied: .venv' >&2; exit 1\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path), prepend=":")
    monkeypatch.delenv("LOOM_INSTALLER", raising=False)
    with pytest.raises(SetupError) as caught:
        install(tmp_path / "no-such-folder" / "bin" / "python", lock=tmp_path / "run.txt", project=tmp_path)
    assert str(caught.value) == (
        "Set-up did not get to its end.\n"
        "This folder can't be written to. Put the project into a folder of your own and start again.\n"
        "    one\n"
        "    [Errno 13] Permission denied: .venv"
    )


def test_a_file_called_like_the_environment_is_left_alone(tmp_path: Path) -> None:
    """Not only a folder can be in the way."""
    (tmp_path / ".venv").write_text("mine")
    with pytest.raises(SetupError, match="is no Python environment"):
        make_environment(tmp_path / ".venv", tmp_path / ".venv" / "bin" / "python")
    assert (tmp_path / ".venv").read_text() == "mine"


def test_loom_py_holds_nothing_that_an_old_python_cannot_read() -> None:
    """It must come as far as its own refusal: plain ASCII, no f-string, no annotation, no newer word."""
    tree = ast.parse((ROOT / "loom.py").read_bytes().decode("ascii"))
    newer = (
        ast.JoinedStr,
        ast.AnnAssign,
        ast.NamedExpr,
        ast.Match,
        ast.FunctionDef,
        ast.ClassDef,
        ast.AsyncFunctionDef,
    )
    assert [type(node).__name__ for node in ast.walk(tree) if isinstance(node, newer)] == []
    imports = [node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)]
    check = next(number for number, node in enumerate(tree.body) if isinstance(node, ast.If))
    assert [ast.unparse(node) for node in imports if tree.body.index(node) < check] == ["import sys"]
