"""Plan a robot: decide, then write plan.yaml and the sheets that follow from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.documents.csv_sheet import circuits_csv, wires_csv
from loomwright.documents.json_plan import plan_json
from loomwright.documents.plan_spine import spine_svg
from loomwright.documents.workbook import workbook
from loomwright.jobs.check import check_files
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.robotfile.plans.safe_write import write_all

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.plan.result import Plan


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan and the files that were written for it, plan.yaml last."""

    plan: Plan
    written: tuple[Path, ...]


def plan_robot(folder: Path, build: str = "") -> Planned:
    """Plan one build and write plan.yaml and out/; nothing is written before everything is made.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood.
    NotWrittenError
        Where the system refuses to write; the old plan is then untouched.
    """
    files = open_folder(folder)
    plan = check_files(files, build)
    out = files.out_path(build)
    contents = {
        out / "circuits.csv": circuits_csv(plan),
        out / "wires.csv": wires_csv(plan),
        out / "plan.xlsx": workbook(plan),
        out / "plan.json": plan_json(plan),
        out / "spine.svg": spine_svg(plan),
        files.plan_path(build): write_plan(plan),
    }
    out.mkdir(parents=True, exist_ok=True)
    write_all(contents)
    return Planned(plan, tuple(contents))
