"""A title with what it is under it, on one line or, where that is too short, on two."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.documents.label import label
from loomwright.documents.look import NAME_MM, SMALL_MM
from loomwright.documents.scene import Box, Text
from loomwright.documents.type import Face, clean, ink_mm, width_mm

_BETWEEN_MM = 0.05
_BELOW_TITLE_MM = 0.95  # what letters of the title reach below its line


@dataclass(frozen=True, slots=True)
class Baselines:
    """How far below the top of a box its lines stand [mm]: title and detail, or title and a detail of two lines."""

    one: tuple[float, float]
    two: tuple[float, float, float]


def titled(title: str, detail: str, room: Box, at: Baselines) -> tuple[Text, ...]:
    """Write a title and its detail into a box; a title alone stands in its middle."""
    words = clean(detail)
    if not words:
        return label(title, room, size_mm=NAME_MM, face=Face.BOLD)
    lines = _lines(words, room.width)
    first, *others = at.two if len(lines) > 1 and _clear(lines, at.two) else at.one
    told = lines if len(others) > 1 else (words,)
    said = [label(title, room, size_mm=NAME_MM, face=Face.BOLD, baseline_mm=room.top + first)]
    said += [
        label(line, room, size_mm=SMALL_MM, baseline_mm=room.top + down, narrow=True, face=_face(told, room.width))
        for line, down in zip(told, others, strict=True)
    ]
    return tuple(text for texts in said for text in texts)


def _face(lines: tuple[str, ...], wide_mm: float) -> Face:
    """Return the face of a detail: both of its lines have the same one."""
    return Face.TEXT if all(width_mm(line, Face.TEXT, SMALL_MM) <= wide_mm for line in lines) else Face.TAG


def _lines(words: str, wide_mm: float) -> tuple[str, ...]:
    """Break words in two where one condensed line is too short for them, behind a comma if both parts then fit."""

    def fits(line: str) -> bool:
        return width_mm(line, Face.TAG, SMALL_MM) <= wide_mm

    if fits(words):
        return (words,)
    breaks = [i for i, char in enumerate(words) if char == " " and fits(words[:i])]
    at_commas = [i for i in breaks if words[i - 1] == "," and fits(words[i + 1 :])]
    at = (at_commas or breaks or [0])[-1]
    return (words[:at], words[at + 1 :]) if at else (words,)


def _clear(lines: tuple[str, ...], at: tuple[float, float, float]) -> bool:
    """Tell whether the ink of two lines keeps apart, which letters of other fonts may not."""
    below, above = ink_mm(lines[0], Face.TAG, SMALL_MM)
    return (
        above + _BELOW_TITLE_MM <= at[1] - at[0]
        and below + ink_mm(lines[1], Face.TAG, SMALL_MM)[1] + _BETWEEN_MM <= at[2] - at[1]
    )
