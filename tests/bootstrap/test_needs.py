"""What tests need from the system is installed where that is allowed, and otherwise said in one line."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.conftest import demand
from tools.needs import Need, declared, provide

IRON = Need("iron", ("solder-iron", "solder"), ("irons",), "joins two wires")
LINE = "iron is missing (joins two wires); on Debian: apt-get install irons"

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the stand-ins are POSIX scripts")


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a PATH with nothing on it but what the test puts there, and no root."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("DEBIAN_FRONTEND", raising=False)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    return tmp_path


def put(folder: Path, name: str, script: str = "") -> Path:
    """Put a program on the test's PATH."""
    program = folder / name
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(0o755)
    return program


def apt_get(folder: Path, *, works: bool) -> Path:
    """Put an apt-get there that keeps a list of what it was asked; it brings a solder if it works."""
    asked = folder / "asked"
    brings = f'case "$1" in install) echo "#!/bin/sh" > {folder}/solder; /bin/chmod +x {folder}/solder;; esac'
    put(folder, "apt-get", f'echo "$DEBIAN_FRONTEND $*" >> {asked}\n{brings if works else "exit 100"}')
    return asked


def test_any_one_of_the_named_programs_is_enough(path: Path) -> None:
    """Systems give the same program different names."""
    assert IRON.program() is None
    solder = put(path, "solder")
    assert IRON.program() == solder
    assert provide({"iron": IRON}) == []


def test_root_on_debian_gets_what_is_missing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of packages first, then the package, without a question."""
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    asked = apt_get(path, works=True)
    assert provide({"iron": IRON}) == []
    assert asked.read_text().splitlines() == [
        "noninteractive update -qq",
        "noninteractive install -qq --no-install-recommends --yes irons",
    ]


def test_an_install_that_fails_is_told_like_one_that_was_not_tried(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No network, say: what counts is whether the program is there afterwards."""
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    apt_get(path, works=False)
    assert provide({"iron": IRON}) == [LINE]


def test_nothing_is_installed_without_the_right_to(path: Path) -> None:
    """A person's machine is theirs: one line tells what is missing."""
    asked = apt_get(path, works=True)
    assert provide({"iron": IRON}) == [LINE]
    assert not asked.exists()


@pytest.mark.usefixtures("path")
def test_a_missing_program_skips_its_tests_visibly_and_fails_them_where_ci_is_set(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A green run on a clean machine must mean that everything ran."""
    for ci, end in ((None, pytest.skip.Exception), ("true", pytest.fail.Exception)):
        monkeypatch.delenv("CI", raising=False)
        if ci:
            monkeypatch.setenv("CI", ci)
        # Both are caught: an unexpected skip would otherwise skip this very test.
        with pytest.raises((pytest.skip.Exception, pytest.fail.Exception), match="iron is missing") as caught:
            demand(IRON)
        assert type(caught.value) is end


def test_what_the_project_declares_is_complete() -> None:
    """Each need says which programs, which packages and what for."""
    for need in declared().values():
        assert need.programs
        assert need.debian
        assert need.why
