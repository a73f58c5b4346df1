"""Names that no sheet can print: the shipped fonts have Latin letters, and a square stands for every other sign."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Final

from loomwright.documents.typst.code import NO_SIGN, printable
from loomwright.findings import Finding, Place, Severity
from loomwright.wording import listed, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot

_FIX: Final = "Write it in Latin letters, with or without accents, and figures."


def names_in_print(robot: Robot) -> Iterator[Finding]:
    """Tell of each name that would not be the same on paper; it must be changed where another prints alike, or nothing.

    Who works from paper finds a wire by the names of what it joins. Names of devices, mechanisms, buses and trunks.
    """
    told: set[str] = set()
    for names in _sorts(robot):
        alike: dict[str, list[str]] = defaultdict(list)
        for name in names:
            alike[printable(name)].append(name)
        for name, mark in names.items():
            printed = printable(name)
            if name not in told and _loses(name, printed):
                told.add(name)
                yield _finding(name, printed, mark, [other for other in alike[printed] if other != name])


def _sorts(robot: Robot) -> Iterator[dict[str, Mark]]:
    """Give the names of one sort with their marks, sort by sort; those of a motor and its controller are one."""
    yield {device.called: device.mark for device in reversed(robot.devices)}
    yield {one.name: one.mark for one in robot.mechanisms}
    yield {one.name: one.mark for one in robot.buses}
    yield {one.name: one.mark for one in robot.trunks}


def _loses(name: str, printed: str) -> bool:
    """Tell whether a sign becomes a square; one that is only put together anew, or left out unseen, does not."""
    return printed.count(NO_SIGN) > name.count(NO_SIGN)


def _finding(name: str, printed: str, mark: Mark, others: list[str]) -> Finding:
    place = Place(mark.file, mark.line, mark.column, name)
    what = f"{quoted(name)} is printed as {quoted(printed)}: the sheets' fonts have no other letters than Latin ones."
    if others:
        what += f" So is {listed([quoted(other) for other in others], 'and')}: nobody could tell them apart."
        return Finding("prints-alike", Severity.MUST, place, what, _FIX)
    blank = not any(sign.isalnum() for sign in printed)
    return Finding("not-printable", Severity.MUST if blank else Severity.SHOULD, place, what, _FIX)
