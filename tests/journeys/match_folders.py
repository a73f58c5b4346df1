"""Robots to play matches of: planned once for all journeys, copied for each."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from click.testing import CliRunner, Result

from loomwright.cli.main import main
from loomwright.jobs.plan import plan_robot
from tests.match.studies import busy_robot
from tests.robots import as_text, example_text

#: A robot with a bit of everything and no places, so that it is planned in no time.
BUSY = "busy"


def played(*words: str) -> Result:
    """Run `loomwright WORDS` in this process, where the kernel is loaded already."""
    return CliRunner().invoke(main, list(words))


@cache
def _planned(name: str) -> Path:
    folder = Path(mkdtemp(prefix=f"loomwright-{name}-"))
    text = as_text(busy_robot()) if name == BUSY else example_text(name)
    (folder / "robot.yaml").write_text(text, encoding="utf-8")
    plan_robot(folder)
    return folder


def copied(name: str, to: Path) -> Path:
    """Copy the folder of a shipped example, or of the busy robot, with its plan, and return it."""
    return shutil.copytree(_planned(name), to / name)


def edit(folder: Path, old: str, new: str) -> None:
    """Change the robot file in one place."""
    robot = folder / "robot.yaml"
    text = robot.read_text(encoding="utf-8")
    assert old in text
    robot.write_text(text.replace(old, new), encoding="utf-8")
