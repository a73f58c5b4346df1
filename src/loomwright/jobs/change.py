"""What an edited robot file would undo and make; nothing is written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.jobs.as_built import remembered_of
from loomwright.jobs.check import check_files
from loomwright.plan.fitted import made_wires
from loomwright.plan.memory import Memory
from loomwright.plan.renaming import carried_over
from loomwright.plan.rework import Rework, rework
from loomwright.robotfile.folder import open_folder
from loomwright.search import SILENT

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.search import Watch


@dataclass(frozen=True, slots=True)
class Change:
    """The plan as it would be made now, and what it means for the last one; `before` is None where there was none."""

    before: Memory | None
    plan: Plan
    rework: Rework


def change(folder: Path, build: str = "", *, watch: Watch = SILENT) -> Change:
    """Compare what would be planned now with plan.yaml.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood, plan.yaml too, with every fault.
    """
    files = open_folder(folder)
    plan = check_files(files, build, watch=watch)
    return change_to(plan, remembered_of(files, build, plan.robot.name)[0])


def change_to(plan: Plan, before: Memory | None) -> Change:
    """Tell what a new plan means for the wires of the last one (None: there was none, so all of it is to make)."""
    memory = carried_over(before or Memory(), plan.wiring, plan.robot)
    return Change(before, plan, rework(memory, plan, made_wires(plan.robot, plan.wiring, memory)))
