"""A robot that is wired already gets in: from a list of what is on each slot to a robot file to go on from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, UnreadableInputError
from loomwright.robotfile.lists.circuit_list import WANTED, CircuitList, circuit_list, is_head
from loomwright.robotfile.lists.draft_rows import Drafting
from loomwright.robotfile.lists.headings import names_of
from loomwright.robotfile.lists.near_parts import NearParts
from loomwright.robotfile.lists.robot_text import RobotText, all_lines
from loomwright.robotfile.lists.typed_table import read_tables
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.stockfile import read_stock
from loomwright.wording import quoted

if TYPE_CHECKING:
    from loomwright.robotfile.lists.typed_table import TypedTable
    from loomwright.robotfile.parts.library import Library

_ROBOT: Final = "robot.yaml"


def robot_from_list(data: bytes, *, file: str, robot: str, library: Library) -> bytes:
    """Return a robot file with one entry for each thing of a list; what the list does not say is unknown or left out.

    `file` is the name of the list, `robot` that of the robot. A fault points to a row and a column of the list.

    Raises
    ------
    UnreadableInputError
        For a list that is no table, and with every row that can't be understood.
    """
    table, *_ = read_tables(data, file=file, is_head=is_head, wanted=WANTED)
    held = circuit_list(table)
    near = NearParts(library)
    drafting = Drafting(table, near, states="state" in names_of(table.titles))
    text = RobotText(near)
    text.write(drafting.fill(held.rows), head=_head(file, held), robot=robot)
    written = "".join(all_lines(text)).encode()
    faults = [*held.faults, *drafting.faults, *_unreadable(written, text, table, library)]
    if faults:
        raise UnreadableInputError(sorted(faults, key=lambda fault: (fault.place, fault.code)))
    return written


def _head(file: str, held: CircuitList) -> list[str]:
    lines = [
        f"Made from {quoted(file)}. What it does not say is unknown or left out, and `loomwright check` asks for it.",
        "Comments hold what the list says and this file has no key for. docs/parts.md lists the part classes.",
        "Wiring work: battery out, main breaker off. Look, don't assume.",
    ]
    if held.left_out:
        lines.insert(2, f"Left out, since `loomwright plan` works it out: {', '.join(held.left_out)}.")
    return lines


def _unreadable(written: bytes, text: RobotText, table: TypedTable, library: Library) -> list[Finding]:
    """Read the robot file as everybody will, and tell its faults where they stand in the list."""
    try:
        read_robot(written, library=library, stock=read_stock(None), file=_ROBOT)
    except UnreadableInputError as error:
        return [_in_list(fault, text, table) for fault in error.faults]
    return []


def _in_list(fault: Finding, text: RobotText, table: TypedTable) -> Finding:
    if fault.place.file != _ROBOT or not 1 <= fault.place.line <= len(text.lines):
        return fault
    _, origin = text.lines[fault.place.line - 1]
    said = origin.said
    column = said.heading.column if said is not None else 0
    words = ", ".join(word for word in (origin.thing, said.heading.title if said is not None else "") if word)
    place: Place = table.place(said.line if said is not None else origin.line, column, words)
    return replace(fault, place=place)
