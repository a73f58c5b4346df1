"""Check a robot file: read, derive, decide, judge - and write nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.documents.names_in_print import names_in_print
from loomwright.findings import by_weight
from loomwright.jobs.as_built import remembered_of
from loomwright.jobs.planning import make_plan
from loomwright.robotfile.folder import open_folder
from loomwright.search import SILENT, Effort

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.plan.result import Plan
    from loomwright.robotfile.folder import RobotFolder
    from loomwright.search import Watch


def check(folder: Path, build: str = "", *, watch: Watch = SILENT) -> Plan:
    """Return the plan of one build with all findings, as it would be made now.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood, with every fault.
    """
    return check_files(open_folder(folder), build, watch=watch)


def check_files(
    files: RobotFolder, build: str = "", *, effort: Effort = Effort.USUAL, fresh: bool = False, watch: Watch = SILENT
) -> Plan:
    """Do the same for a folder that is open already; a `fresh` plan forgets the last one but for what is made."""
    robot, rules = files.read(build)
    duty = files.duty(build)
    memory, about_bench = remembered_of(files, build, robot.name)
    plan = make_plan(
        robot,
        rules,
        find_part=files.library.part,
        memory=memory,
        net=files.net(build),
        duties=duty.duties if duty is not None else {},
        inputs=files.digest(build),
        effort=effort,
        fresh=fresh,
        watch=watch,
    )
    beside = (*files.about_duty(build), *files.match_findings(build), *about_bench, *names_in_print(robot))
    kept = (*files.library.noticed(), *beside)
    return replace(plan, findings=by_weight([*plan.findings, *kept]))
