"""A match study's branches as a table: currents, heat, breakers."""

from __future__ import annotations

import codecs
import csv
import io
from typing import TYPE_CHECKING, Final

from loomwright.documents.tables.cells import NOT_APPLICABLE
from loomwright.documents.tables.csv_sheet import safe

if TYPE_CHECKING:
    from loomwright.match.verdict import BranchTold, Verdict

_TITLES: Final = (
    "branch",
    "circuit",
    "peak [A]",
    "rms, worst 10 s [A]",
    "rms, match [A]",
    "wire gets [C]",
    "its class [C]",
    "margin [C]",
    "breaker opens in",
    "its curve",
)


def match_csv(verdict: Verdict) -> bytes:
    """Write the branches of a study, one a line, as the other tables are written."""
    target = io.StringIO(newline="")
    writer = csv.writer(target, lineterminator="\r\n")
    writer.writerow(_TITLES)
    writer.writerows([safe(cell) for cell in branch_row(branch)] for branch in verdict.branches)
    return codecs.BOM_UTF8 + target.getvalue().encode("utf-8")


def branch_row(branch: BranchTold) -> tuple[str, ...]:
    """Return what a line says of a branch, in words."""
    warm, limit = branch.hottest_c, branch.limit_c
    return (
        branch.name,
        branch.circuit or NOT_APPLICABLE,
        f"{branch.peak_a:.1f}",
        f"{branch.worst_a:.1f}",
        f"{branch.rms_a:.1f}",
        NOT_APPLICABLE if warm is None else f"{warm:.0f}",
        NOT_APPLICABLE if limit is None else f"{limit:.0f}",
        NOT_APPLICABLE if warm is None or limit is None else f"{limit - warm:.0f}",
        "not known" if branch.opened is None else f"{branch.opened.count} of {branch.opened.of}",
        "none" if branch.opened is None else ("assumed" if branch.curve_assumed else "data sheet"),
    )
