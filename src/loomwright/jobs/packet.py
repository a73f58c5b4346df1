"""Make the packet of a plan: the pages, the flags and the drawings that people take to the bench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.jobs.check import check_files
from loomwright.jobs.hands import Hands
from loomwright.jobs.papers import call_hands, packed_papers
from loomwright.robotfile.folder import open_folder
from loomwright.robotfile.plans.safe_write import make_folder, write_changed
from loomwright.search import SILENT

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.jobs.papers import Printing
    from loomwright.plan.result import Plan
    from loomwright.search import Watch


@dataclass(frozen=True, slots=True)
class Packed:
    """A packet: its plan, the files that hold it, which of them were written, and what is to be told.

    `plan` is None and nothing is made where plan.yaml is missing or too old.
    """

    plan: Plan | None
    papers: tuple[Path, ...]
    written: tuple[Path, ...]
    findings: tuple[Finding, ...]

    def as_data(self, folder: Path) -> dict[str, object]:
        """Return it as `packet --json` tells it; the keys are listed in docs/outputs.md."""
        return {
            "robot": self.plan.robot.name if self.plan else "",
            "build": self.plan.robot.build if self.plan else "",
            "revision": self.plan.revision if self.plan else "",
            "files": [_from(folder, path) for path in self.papers],
            "written": [_from(folder, path) for path in self.written],
            "findings": [finding.as_dict() for finding in self.findings],
        }


def pack_robot(
    folder: Path,
    build: str = "",
    *,
    printing: Printing,
    anyway: bool = False,
    watch: Watch = SILENT,
) -> Packed:
    """Make the packet of one build from its plan.yaml; plan.yaml itself is not touched.

    Where plan.yaml is missing, older than the files that it was made from, or not what the tool wrote, nothing is made:
    with `anyway` the packet shows what would be planned now, and says on every page that it is a draft.

    Raises
    ------
    UnreadableInputError
        For input that can't be understood.
    NotWrittenError
        Where the system refuses to write.
    """
    files = open_folder(folder)
    kept = files.plan_path(build)
    memory = files.memory(build) if kept.is_file() else None
    if memory is None:
        files.read(build)  # a build that there is not, and what can't be read, is told before a missing plan
    current = memory is not None and memory.inputs == files.digest(build)
    stale = () if current else (_stale(kept.name, build, there=memory is not None),)
    if stale and not anyway:
        return Packed(None, (), (), stale)
    with Hands() as hands:
        call_hands(hands, files, build, stale=bool(stale))
        plan = check_files(files, build, watch=watch)
        if memory is not None and current and plan.revision != memory.revision:
            stale = (_other(kept.name, build),)
            if not anyway:
                return Packed(None, (), (), stale)
        papers = packed_papers(plan, files, build, printing=printing, draft=bool(stale), hands=hands)
    make_folder(files.out_path(build))
    written = write_changed(papers)
    shown = tuple(path for path in papers if not path.name.startswith("."))
    told = by_weight([*stale, *plan.findings])
    return Packed(plan, shown, tuple(path for path in shown if path in written), told)


def _from(folder: Path, path: Path) -> str:
    return path.relative_to(folder).as_posix() if path.is_relative_to(folder) else str(path)


def _stale(file: str, build: str, *, there: bool) -> Finding:
    what = (
        f"{file} is older than what it was made from, so flags and sheets would tell of another robot."
        if there
        else f"There is no {file} yet, so there is nothing to print."
    )
    return Finding("plan-older" if there else "no-plan", Severity.MUST, Place(file), what, _plan_first(build))


def _other(file: str, build: str) -> Finding:
    what = f"{file} was edited or cut short, or another loomwright wrote it: its plan is not that of its revision."
    return Finding("plan-differs", Severity.MUST, Place(file), what, _plan_first(build))


def _plan_first(build: str) -> str:
    named = f" --build {build}" if " " not in build else f' --build "{build}"'
    return (
        f"Run `loomwright plan{named if build else ''}`, look at what it says, then make the packet. "
        "Or add `--anyway` for a draft."
    )
