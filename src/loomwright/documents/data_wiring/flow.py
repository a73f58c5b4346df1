"""How the pieces of the Data drawing flow down columns: which stay together, and what a new column begins with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from loomwright.documents.scene import Box, Item

Run = tuple["Piece", ...]
"""Pieces that no column parts."""

_STEP_MM = 1.0
_SLACK_MM = 0.01


@dataclass(frozen=True, slots=True)
class Piece:
    """Something as wide as its column that draws itself from the top of a room.

    `draw` is told whether the piece is the first and the last one of its column. At the head of a column it is taller
    by `again_mm` [mm], for what has to be said again there. A `gap` is left out at the head of a column.
    """

    height_mm: float
    draw: Callable[[Box, bool, bool], tuple[Item, ...]]
    again_mm: float = 0.0
    gap: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """What a column holds, and the height on the page where it ends [mm]."""

    items: tuple[Item, ...]
    end_mm: float


def gap(height_mm: float) -> Run:
    """Return white space between two runs."""
    return (Piece(height_mm, lambda _room, _first, _last: (), gap=True),)


def fill(runs: Sequence[Run], room: Box, *, fresh: bool) -> tuple[Column, tuple[Run, ...]]:
    """Put as many runs into a column as it takes, and return it with the runs that are left.

    A `fresh` column, as tall as a page lets it be, takes one run whatever its height.
    """
    placed: list[tuple[Piece, float]] = []
    y = room.top
    left = list(runs)
    while left:
        run = left[0]
        if not placed and run[0].gap:
            left.pop(0)
            continue
        need = sum(piece.height_mm for piece in run) + (0.0 if placed else run[0].again_mm)
        if (placed or not fresh) and y + need > room.bottom + _SLACK_MM:
            break
        left.pop(0)
        for piece in run:
            placed.append((piece, y))
            y += piece.height_mm + (piece.again_mm if len(placed) == 1 else 0.0)
    while placed and placed[-1][0].gap:
        y = placed.pop()[1]
    last = len(placed) - 1
    items = tuple(
        item
        for i, (piece, top) in enumerate(placed)
        for item in piece.draw(Box(room.left, top, room.right, room.bottom), i == 0, i == last)
    )
    return Column(items, y), tuple(left)


def fill_all(runs: Sequence[Run], columns: Sequence[Box], *, fresh: bool) -> tuple[tuple[Column, ...], tuple[Run, ...]]:
    """Let runs flow through columns of one height, none longer than it has to be; return what is left over too."""
    low, high = columns[0].top, columns[0].bottom
    found = _through(runs, columns, high, fresh=fresh)
    if found[1]:
        return found
    while high - low > _STEP_MM:
        middle = (low + high) / 2
        tried = _through(runs, columns, middle, fresh=False)
        if tried[1]:
            low = middle
        else:
            found, high = tried, middle
    return found


def _through(
    runs: Sequence[Run], columns: Sequence[Box], bottom: float, *, fresh: bool
) -> tuple[tuple[Column, ...], tuple[Run, ...]]:
    left: tuple[Run, ...] = tuple(runs)
    filled: list[Column] = []
    for column in columns:
        made, left = fill(left, Box(column.left, column.top, column.right, bottom), fresh=fresh)
        filled.append(made)
    return tuple(filled), left
