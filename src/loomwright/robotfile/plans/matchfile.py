"""out/match.json as the next run reads it: what the last study had to tell of these very files."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from loomwright.findings import Finding, Place, Severity

if TYPE_CHECKING:
    from pathlib import Path

NAME: Final = "match.json"
_LARGEST: Final = 10_000_000


def match_findings(path: Path, inputs: str) -> tuple[Finding, ...]:
    """Return the findings of a study of these inputs; none where it is of others, not there, or can't be read.

    It can always be made again, so nothing that is wrong with it is a fault of the robot file. What the study asks is
    asked there.
    """
    try:
        held = json.loads(path.read_bytes()) if path.stat().st_size <= _LARGEST else {}
        if held.get("inputs") != inputs:
            return ()
        return tuple(_finding(row) for row in held["findings"] if not row["asks"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return ()


def _finding(row: dict[str, Any]) -> Finding:
    place = Place(str(row["file"]), int(row["line"]), int(row["column"]), str(row["thing"]))
    rests_on = tuple(map(str, row["rests_on"]))
    words = (str(row["code"]), Severity(row["severity"]), place, str(row["what"]), str(row["fix"]))
    return Finding(*words, source=str(row["source"]), rests_on=rests_on)
