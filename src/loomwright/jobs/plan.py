"""Plan a robot: decide, then write plan.yaml and the sheets that follow from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.jobs.as_built import remembered_of
from loomwright.jobs.change import change_to
from loomwright.jobs.check import check_files
from loomwright.jobs.papers import papers_of
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.safe_write import make_folder, write_changed
from loomwright.search import SILENT, Effort

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.jobs.change import Change
    from loomwright.plan.result import Plan
    from loomwright.search import Watch


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan, what it changes for the last one, the files that hold it, plan.yaml last, and which of them were written.

    A file that says already what it should is left as it is.
    """

    plan: Plan
    change: Change
    papers: tuple[Path, ...]
    written: tuple[Path, ...]


def plan_robot(
    folder: Path, build: str = "", *, effort: Effort = Effort.USUAL, fresh: bool = False, watch: Watch = SILENT
) -> Planned:
    """Plan one build and write plan.yaml and out/; nothing is written before everything is made.

    With Effort.PROVE it searches until everything is proved, or until the watch is stopped: then the best plan so far
    is written. A `fresh` plan forgets the last one but for what is made.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood.
    NotWrittenError
        Where the system refuses to write; the old plan is then untouched.
    """
    files = open_folder(folder)
    plan = check_files(files, build, effort=effort, fresh=fresh, watch=watch)
    before, _ = remembered_of(files, build, plan.robot.name)
    papers = papers_of(plan, files, build)
    make_folder(files.out_path(build))
    new = write_changed(papers)
    shown = tuple(path for path in papers if not path.name.startswith("."))
    return Planned(plan, change_to(plan, before), shown, tuple(path for path in shown if path in new))
