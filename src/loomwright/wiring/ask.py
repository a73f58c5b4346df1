"""Questions that the wiring has to put to people, in one form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity

if TYPE_CHECKING:
    from loomwright.model.mark import Mark


def question(code: str, mark: Mark | None, path: str, what: str, fix: str) -> Finding:
    """Make a question (severity should) at a place of the robot file."""
    place = Place(mark.file, mark.line, mark.column, path) if mark else Place(thing=path)
    return Finding(code, Severity.SHOULD, place, what, fix, asks=True)
