"""The plan that stands in plan.yaml, where that is the plan of what the robot's files say now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.jobs.check import check_files
from loomwright.robotfile.folder import open_folder

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder


def planned(folder: Path, build: str = "") -> Plan:
    """Return the plan that stands in plan.yaml; only ends of a plan that is written are signed.

    Raises
    ------
    UnreadableInputError
        For input that can't be read, and where there is no plan yet or it is older than the robot's files.
    """
    files = open_folder(folder)
    if not is_current(files, build):
        told = f" --build {build}" if build else ""
        place = Place(str(files.plan_path(build)), thing=build)
        fix = f"Run `loomwright plan{told}`, look at what it says, and start the bench again."
        what = "There is no plan yet." if files.memory(build) is None else "The robot's files have changed since."
        raise UnreadableInputError([Finding("plan-first", Severity.MUST, place, what, fix)])
    return check_files(files, build)


def is_current(files: RobotFolder, build: str) -> bool:
    """Tell whether the plan of a build was made from what the files say now."""
    memory = files.memory(build)
    return memory is not None and memory.inputs == files.digest(build)
