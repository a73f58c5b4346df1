"""Plan a robot: decide, then write plan.yaml and the sheets that follow from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.documents.csv_sheet import circuits_csv, wires_csv
from loomwright.documents.json_plan import plan_json
from loomwright.documents.plan_plate import plate_svg
from loomwright.documents.plan_spine import spine_svg
from loomwright.documents.workbook import workbook
from loomwright.jobs.change import change_to
from loomwright.jobs.check import check_files
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.safe_write import write_all
from loomwright.search import SILENT, Effort

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.jobs.change import Change
    from loomwright.plan.result import Plan
    from loomwright.search import Watch


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan, what it changes for the last one, and the files that were written for it, plan.yaml last."""

    plan: Plan
    change: Change
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
    before = files.memory(build)
    plan = check_files(files, build, effort=effort, fresh=fresh, watch=watch)
    out = files.out_path(build)
    contents = {
        out / "circuits.csv": circuits_csv(plan),
        out / "wires.csv": wires_csv(plan),
        out / "plan.xlsx": workbook(plan),
        out / "plan.json": plan_json(plan),
        out / "spine.svg": spine_svg(plan),
        out / "plate.svg": plate_svg(plan),
        files.plan_path(build): write_plan(plan),
    }
    out.mkdir(parents=True, exist_ok=True)
    write_all(contents)
    return Planned(plan, change_to(plan, before), tuple(contents))
