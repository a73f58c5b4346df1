"""What wants to be written on a plate, and where it was put."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomwright.documents.scene import Box, Point
from loomwright.documents.type import Face, cap_mm, ink_mm, width_mm

Leader = tuple[Point, Point]
"""A line from a label's edge to the thing that it names."""

PAD_MM = 0.5
LEADING = 1.22
_LEAST_BELOW = 0.1


@dataclass(frozen=True, slots=True)
class Words:
    """One line of a label; `full` is the whole of it where it had to be shortened."""

    text: str
    size_mm: float
    face: Face = Face.TEXT
    full: str = ""


@dataclass(frozen=True, slots=True)
class Wish:
    """A label that wants a place.

    `forms` are the ways it can be set, best first, each of one or more lines. `on` are the places for its middle that
    it prefers to all others, best first; a `bound` label stands on one of them or nowhere. `about` is the box of the
    thing that it names, on which it may stand where it fits (`inside`), which it may touch (`beside`) and to which a
    leader goes; `body` is the name of that thing's box, empty where it has none. `own` is the weight per mm2 that the
    thing itself has in the ink. `extra` is the size of a label without words.
    """

    key: str
    forms: tuple[tuple[Words, ...], ...]
    about: Box
    on: tuple[Point, ...] = ()
    bound: bool = False
    extra: Point = (0.0, 0.0)
    inside: bool = True
    beside: bool = True
    body: str = ""
    own: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with its place: the box of its ground, its lines, and the leader to its thing.

    A leader may end under a `soft` one, such as a badge that sits on the very thing.
    """

    key: str
    box: Box
    lines: tuple[Words, ...]
    leader: Leader | None = None
    soft: bool = False


def size_of(lines: Sequence[Words], extra: Point = (0.0, 0.0)) -> Point:
    """Return width and height of a label with its ground [mm]."""
    if not lines:
        return extra
    wide = max(width_mm(line.text, line.face, line.size_mm) for line in lines)
    tall = above_mm(lines[0]) + sum(line.size_mm * LEADING for line in lines[1:]) + _below_mm(lines[-1])
    return (wide + 2 * PAD_MM + extra[0], max(tall + 2 * PAD_MM, extra[1]))


def above_mm(line: Words) -> float:
    """Return what a line takes above its baseline: its capitals, or more where its ink is taller [mm]."""
    return max(cap_mm(line.face, line.size_mm), ink_mm(line.text, line.face, line.size_mm)[1])


def _below_mm(line: Words) -> float:
    """Return what a line takes below its baseline [mm]."""
    return max(_LEAST_BELOW * line.size_mm, ink_mm(line.text, line.face, line.size_mm)[0])
