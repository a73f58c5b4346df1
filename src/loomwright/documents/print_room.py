"""The room that a drawing has on a printed page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

#: Short and long side of a sheet [mm]: ISO 216 for A4, 8.5 by 11 inches for Letter.
_SHEETS: Final = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN_MM: Final = 12.0


@dataclass(frozen=True, slots=True)
class PrintRoom:
    """What is left of a page for a drawing: the paper's name, width and height inside the margins [mm]."""

    paper: str
    width_mm: float
    height_mm: float


def lying_mm(paper: str) -> tuple[float, float]:
    """Return width and height of a page that lies [mm]; raise KeyError for a paper other than "A4" and "Letter"."""
    short, long = _SHEETS[paper]
    return long, short


def print_room(paper: str, *, upright: bool = False, margin_mm: float = MARGIN_MM, foot_mm: float = 0.0) -> PrintRoom:
    """Return the room on a page that lies, or stands `upright`, less margins and what the page's own foot takes.

    Raises
    ------
    KeyError
        For a paper other than "A4" and "Letter".
    """
    short, long = _SHEETS[paper]
    wide, tall = (short, long) if upright else (long, short)
    return PrintRoom(paper, round(wide - 2 * margin_mm, 3), round(tall - 2 * margin_mm - foot_mm, 3))
