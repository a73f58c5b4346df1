"""What stands in the foot of printed pages, in one line whatever the robot is called."""

from __future__ import annotations

from typing import Final

from loomwright.documents.type import Face, shorten, width_mm
from loomwright.documents.typst.code import printable

#: The size of the foot's type (8 pt), and what a name with its build, and a build, may take of its line [mm].
_TYPE_MM, _NAME_MM, _BUILD_MM = 2.82, 50.0, 25.0
_FACE: Final = Face.TEXT


def in_the_foot(name: str, build: str) -> str:
    """Return as much of a robot's name and of its build's as one line has room for."""
    last = shorten(printable(build), _FACE, _TYPE_MM, _BUILD_MM)
    room_mm = _NAME_MM - width_mm(last, _FACE, _TYPE_MM)
    return shorten(printable(name), _FACE, _TYPE_MM, room_mm) + last
