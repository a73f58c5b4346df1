"""Which one line in the robot file would make the plan better next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Severity

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.plan.result import Plan

#: What is asked first, because most else depends on it.
_FIRST = ("no-battery", "no-block", "no-source", "device-missing")


def next_line(plan: Plan) -> str:
    """Return the place and what to write there next, empty when nothing is asked.

    What must be fixed comes first, then what most hangs on, then the questions in the order of the file.
    """
    asked = [f for f in plan.findings if f.severity is not Severity.CONSIDER]
    if not asked:
        return ""
    best = min(asked, key=lambda f: (f.severity.rank, _rank(f), -_reach(f), f.place.line, f.place.column))
    spot = f"{best.place.file}:{best.place.line} " if best.place.line else ""
    where = f"{spot}{best.place.thing}: " if best.place.thing else ""
    return f"{where}{best.fix}"


def _rank(finding: Finding) -> int:
    return _FIRST.index(finding.code) if finding.code in _FIRST else len(_FIRST)


def _reach(finding: Finding) -> int:
    """Count roughly how many things a question is about: the names that it lists."""
    return finding.what.count(",") + finding.what.count(" and ")
