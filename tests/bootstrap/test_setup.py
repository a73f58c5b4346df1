"""`python3 loom.py WORD` on a machine with nothing: set up once, hand the words over, tell what is in the way."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.bootstrap.conftest import Checkout


def test_the_first_start_installs_by_hash_and_hands_the_words_over(checkout: Checkout) -> None:
    """The locked packages first, then the project alone; the command's own output and exit code come through."""
    done = checkout.start("check", "my robot", "--json")
    assert (done.returncode, done.stdout) == (3, "loomwright check my robot --json\n")
    packages, project = checkout.installs()
    assert "--require-hashes" in packages
    assert packages.endswith(f"-r {checkout.file('requirements/run.txt')}")
    assert project.endswith(f"--no-deps --no-build-isolation --editable {checkout.root}")


def test_the_second_start_installs_nothing(checkout: Checkout) -> None:
    """And says nothing about set-up, so that output stays the command's own."""
    checkout.start("setup")
    before = checkout.installs()
    again = checkout.start("check")
    assert (again.returncode, again.stdout, again.stderr) == (1, "loomwright check\n", "")
    assert checkout.installs() == before


def test_setup_alone_runs_nothing(checkout: Checkout) -> None:
    """It says where the environment is and ends well."""
    done = checkout.start("setup")
    assert (done.returncode, done.stdout) == (0, f"Ready in {checkout.file('.venv')}.\n")


def test_the_test_session_gets_its_own_packages_its_words_and_the_checkout_as_its_folder(checkout: Checkout) -> None:
    """After it the smaller set is current too, since the larger one holds it."""
    done = checkout.start("test", "-k", "drop")
    assert (done.returncode, done.stdout) == (7, f"session {checkout.root} test -k drop\n")
    assert checkout.installs()[0].endswith("test.txt")
    checkout.start("check")
    assert len(checkout.installs()) == 2


@pytest.mark.parametrize("words", [(), ("--help",)])
def test_a_person_who_asks_is_told_the_words_before_anything_is_installed(
    checkout: Checkout, words: tuple[str, ...]
) -> None:
    """No words, or a plea for help, cost no set-up."""
    done = checkout.start(*words)
    assert done.returncode == 0
    assert "python3 loom.py demo" in done.stdout
    assert not checkout.file(".venv").exists()


def test_a_file_in_the_robots_folder_stands_in_for_no_package(checkout: Checkout) -> None:
    """A student may well have a file called json.py or loomwright.py beside the robot file."""
    checkout.root.with_name("loomwright.py").write_text("raise SystemExit('the wrong one')")
    assert checkout.start("check").stdout == "loomwright check\n"


@pytest.mark.parametrize(
    ("file", "text", "again"),
    [
        ("requirements/run.txt", "# another version\n", True),
        ("requirements/test.txt", "# another version\n", False),
        ("pyproject.toml", '[project]\nname = "small"\nversion = "2"\n', True),
        ("pyproject.toml", '[project]\nname = "small"\nversion = "1"\n[tool.ruff]\nline-length = 90\n', False),
    ],
)
def test_set_up_is_done_again_when_what_it_installs_has_changed(
    checkout: Checkout, file: str, text: str, *, again: bool
) -> None:
    """A new lock or a new version is; the test lock and the style rules don't matter to a person who only plans."""
    checkout.start("setup")
    checkout.file(file).write_text(text)
    checkout.start("setup")
    assert (len(checkout.installs()) > 2) is again


def test_a_set_up_that_failed_is_not_counted_as_done(checkout: Checkout) -> None:
    """Not even where an older one was current: the environment may be half of each."""
    checkout.start("setup")
    checkout.file("requirements/run.txt").write_text("# another version\n")
    failed = checkout.start("check", STAND_IN_SAYS="something new under the sun")
    assert (failed.returncode, failed.stdout) == (2, "")
    assert "Set-up did not get to its end.\n    something new under the sun\nAll of it is in" in failed.stderr
    checkout.file("requirements/run.txt").write_text("# run\n")
    before = len(checkout.installs())
    assert checkout.start("check").stdout == "loomwright check\n"
    assert len(checkout.installs()) > before


def test_a_set_up_that_was_cut_off_is_not_counted_as_done(checkout: Checkout) -> None:
    """Ctrl-C in the middle gives one line and the exit code of a shell; the next start does all of it."""
    started = subprocess.Popen(
        [sys.executable, checkout.file("loom.py"), "check"],
        env=checkout.environment(STAND_IN_SLEEPS="yes"),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    for _ in range(600):
        if checkout.installs():
            break
        time.sleep(0.05)
    started.send_signal(signal.SIGINT)
    out, told = started.communicate(timeout=60)
    assert (started.returncode, out) == (130, "")
    assert told.splitlines()[-1] == "Stopped before the end. Start again to go on."
    assert "Traceback" not in told
    assert checkout.start("check").stdout == "loomwright check\n"


@pytest.mark.parametrize("note", ["", "[]", '{"run": "of another checkout"}', "\x00"])
def test_a_note_that_does_not_fit_is_no_note(checkout: Checkout, note: str) -> None:
    """Damaged, of another form, or copied here with the environment: set up again."""
    checkout.start("setup")
    checkout.file(".venv/loom-setup.json").write_text(note)
    assert checkout.start("check").stdout == "loomwright check\n"
    assert len(checkout.installs()) == 4
    assert set(json.loads(checkout.file(".venv/loom-setup.json").read_text())) == {"run"}


def test_an_environment_whose_python_is_gone_is_made_again(checkout: Checkout) -> None:
    """As after an upgrade of the system's Python."""
    checkout.start("setup")
    python = checkout.file(".venv/bin/python")
    python.unlink()
    python.symlink_to("/no/such/python")
    assert checkout.start("check").stdout == "loomwright check\n"


def test_an_environment_whose_python_does_not_run_is_made_again(checkout: Checkout) -> None:
    """As after a copy from a machine of another kind."""
    checkout.start("setup")
    python = checkout.file(".venv/bin/python")
    python.unlink()
    python.write_bytes(b"of another kind")
    checkout.file(".venv/loom-setup.json").unlink()
    assert checkout.start("check").stdout == "loomwright check\n"


def test_a_checkout_that_was_moved_is_set_up_again(checkout: Checkout) -> None:
    """The environment remembers the old folder; the program would run from there."""
    checkout.start("setup")
    moved = Checkout(checkout.root.rename(checkout.root.with_name("moved")), checkout.list_of_installs)
    assert moved.start("check").stdout == "loomwright check\n"
    assert moved.installs()[-1].endswith(f"--editable {moved.root}")


def test_an_environment_whose_making_was_cut_off_is_made_again(checkout: Checkout) -> None:
    """Folders are there, but no Python in them yet."""
    checkout.file(".venv/bin").mkdir(parents=True)
    assert checkout.start("check").stdout == "loomwright check\n"


def test_a_folder_that_is_no_environment_is_left_alone(checkout: Checkout) -> None:
    """Somebody's files may lie there."""
    checkout.file(".venv").mkdir()
    kept = checkout.file(".venv/homework.txt")
    kept.write_text("do not lose")
    done = checkout.start("check")
    assert done.returncode == 2
    assert done.stderr == (
        f"{checkout.file('.venv')} is there, but it is no Python environment. Move it away and start again.\n"
    )
    assert kept.read_text() == "do not lose"


def test_pip_serves_where_uv_is_not_to_be_had_and_a_missing_network_is_said_plainly(checkout: Checkout) -> None:
    """The real pip, sent to a door of this machine behind which nobody is."""
    checkout.file("requirements/run.txt").write_text(f"click==8.2.0 --hash=sha256:{'0' * 64}\n")
    nobody = {"PIP_INDEX_URL": "http://127.0.0.1:9/simple", "PIP_EXTRA_INDEX_URL": "", "PIP_FIND_LINKS": ""}
    done = checkout.start("check", LOOM_INSTALLER="pip", **nobody)
    assert done.returncode == 2
    assert "The packages could not be fetched. Set-up needs the network once" in done.stderr
    assert checkout.installs() == []


def test_an_old_python_is_refused_in_a_sentence(tmp_path: Path, checkout: Checkout) -> None:
    """Python itself can't be old here, so it is told that it is."""
    pretend = f"import runpy, sys; sys.version_info = (3, 8, 1); runpy.run_path({str(checkout.file('loom.py'))!r})"
    done = subprocess.run([sys.executable, "-c", pretend], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr.splitlines()[0] == "loomwright needs Python 3.11 or newer, and this is Python 3.8."


def test_the_checkout_may_be_read_only_once_it_is_set_up(checkout: Checkout) -> None:
    """Nothing is written when everything is current."""
    checkout.start("setup")
    shutil.copytree(checkout.root, kept := checkout.root.with_name("before"), symlinks=True)
    checkout.start("check", PYTHONDONTWRITEBYTECODE="1")
    for file in checkout.root.rglob("*"):
        assert (kept / file.relative_to(checkout.root)).lstat().st_mtime_ns == file.lstat().st_mtime_ns or file.is_dir()
