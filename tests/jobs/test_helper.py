"""Another Python beside this one: it answers what it is told, imports little, and is not led astray by files around."""

from __future__ import annotations

import os
import sys
from functools import partial
from pathlib import Path

import pytest

from loomwright.jobs.helper import LOST, Helper


def loud(kept: object) -> str:
    """Print, and say what is kept."""
    sys.stdout.write("nobody listens\n")
    os.write(1, b"nor here\n")
    return f"kept {kept}"


def modules(_kept: object) -> frozenset[str]:
    """Say what is imported by now."""
    return frozenset(sys.modules)


def fails(_kept: object) -> str:
    """Fail."""
    raise ValueError("no")


def started() -> Helper:
    """Start one; there is room for a process in a test."""
    helper = Helper.started()
    assert helper is not None
    return helper


def test_it_answers_in_order_whatever_is_printed() -> None:
    """What it keeps is there for each call, and a call that fails answers None."""
    helper = started()
    try:
        helper.tell(loud)
        helper.keep("this")
        for act in (loud, fails, partial(sorted, [3, 1])):
            helper.tell(act)
        assert [helper.answer() for _ in range(3)] == ["kept None", "kept this", None]
    finally:
        helper.let_go()
    with pytest.raises(LOST):
        helper.answer()


def test_it_reads_neither_the_command_line_nor_what_it_was_not_told(tmp_path: Path) -> None:
    """A file of the folder around is no module of Python; what is not there to import is no fault."""
    (tmp_path / "signal.py").write_text("raise SystemExit('led astray')\n", encoding="utf-8")
    before = Path.cwd()
    os.chdir(tmp_path)
    try:
        helper = started()
    finally:
        os.chdir(before)
    try:
        helper.tell(modules)
        told = helper.answer()
        helper.know(["no_such_module", "colorsys"])
        helper.tell(modules)
        later = helper.answer()
    finally:
        helper.let_go()
    assert told.isdisjoint({"click", "multiprocessing", "loomwright.cli.main", "loomwright.jobs.planning", "colorsys"})
    assert "colorsys" in later
