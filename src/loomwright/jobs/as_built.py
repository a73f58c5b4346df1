"""The last plan together with what was signed since at the bench: so that a new plan keeps what is made."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.fold import fold

if TYPE_CHECKING:
    from loomwright.plan.memory import Memory
    from loomwright.robotfile.folder import RobotFolder

BENCH = "bench.db"


def remembered_of(files: RobotFolder, build: str, robot: str) -> tuple[Memory | None, list[Finding]]:
    """Return what plan.yaml remembers, with the wires of which an end was signed; None where there is no plan yet.

    Records that can't be read are no reason not to plan: a finding then says that nothing of them was minded.
    """
    memory = files.memory(build)
    if memory is None or not (files.path / BENCH).is_file():
        return memory, []
    from loomwright.store import StoreError, records_at  # noqa: PLC0415  only where there is a bench

    try:
        records = records_at(files.path / BENCH, robot)
    except UnreadableInputError as error:
        return memory, [_not_minded(error.faults[0])]
    except StoreError as error:
        return memory, [_not_minded(error.finding)]
    ends = fold(records).ends.values()
    return replace(memory, signed=frozenset(end.name[1] for end in ends if end.name[0] == build and end.made)), []


def _not_minded(why: Finding) -> Finding:
    what = f"What was signed at the bench is not minded in this plan: {why.what}"
    return Finding("bench-not-minded", Severity.SHOULD, Place(BENCH), what, why.fix)
