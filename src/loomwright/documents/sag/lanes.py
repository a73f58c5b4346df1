"""Above the plots: the phases of the match, and what the driver did, step by step."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.look import HAIR_MM, INK, SAND, WHITE
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.ink import FRAME, STEP_MM, WORD_MM
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Stroke, Text
from loomwright.documents.type import Face, clean, ink_mm, width_mm
from loomwright.match.trace import Trace

PHASES_MM: Final = 7.6
STEPS_MM: Final = 6.6
_INSET_MM: Final = 0.8
_CLOSE_MM: Final = 0.3
_TALLEST_MM: Final = 15.0


def phases(trace: Trace, plot: Plot, top: float) -> tuple[Item, ...]:
    """Draw a box for each phase, named where its name fits or can be shortened in reason."""
    items: list[Item] = []
    done = plot.box.left
    for name, start, end in sorted(trace.phases, key=lambda phase: phase[1:]):
        left, right = max(done, plot.x(start)), plot.x(end)
        if right <= left:
            continue
        done = right
        inside = Box(left + 1.2, top, max(left + 1.2, right - 1.2), top + PHASES_MM)
        said = label(name, inside, size_mm=WORD_MM, face=Face.BOLD, anchor=Anchor.MIDDLE, narrow=True)
        told = tuple(text for text in said if text.text == text.full or inside.width > 4 * WORD_MM)
        box = Rect(left, top, right - left, PHASES_MM, 0, FRAME, WHITE)
        items.append(Group((box, *told), "phase", name, clean(name)))
    return tuple(items)


def step_cells(trace: Trace, plot: Plot) -> tuple[tuple[str, float, float], ...]:
    """Return the steps with the times at which they begin and end; equal ones that follow each other are one."""
    begun: list[tuple[str, float]] = []
    for step in sorted(trace.steps, key=lambda step: step.at_s):
        if not begun or begun[-1][0] != step.name or any(begun[-1][1] < p[1] <= step.at_s for p in trace.phases):
            begun.append((step.name, step.at_s))
    ends = [start for _, start, _ in trace.phases] + [end for _, _, end in trace.phases] + [plot.times.high]
    cells: list[tuple[str, float, float]] = []
    for (name, start), (_, follows) in pairwise([*begun, ("", plot.times.high)]):
        end = min([follows, *(end for end in ends if end > start + 1e-6)])
        if end > start:
            cells.append((name, start, end))
    return tuple(cells)


def steps_mm(trace: Trace, plot: Plot) -> float:
    """Return how tall the strip of steps is: low where words can lie in it, as tall as they are long where they stand.

    Words that would make the strip too tall are not said.
    """
    cells = step_cells(trace, plot)
    if not cells or _lie(cells, plot):
        return STEPS_MM if cells else 0.0
    return max([STEPS_MM, *(wide + 2 * _INSET_MM for name, _, _ in cells if (wide := _wide(name)) <= _TALLEST_MM)])


def steps(trace: Trace, plot: Plot, top: float, tall: float) -> tuple[Item, ...]:
    """Draw the steps as a strip of cells, every second one on sand; a cell says its word where that fits whole."""
    box = plot.box
    cells = step_cells(trace, plot)
    lie = _lie(cells, plot)
    items: list[Item] = []
    for i, (name, start, end) in enumerate(cells):
        left, right = plot.x(start), plot.x(end)
        cell = Rect(left, top, right - left, tall, 0, None, SAND if i % 2 == 0 else WHITE)
        said = _lying(name, cell.body) if lie else _standing(name, cell.body)
        mark = Line((left, top), (left, top + tall), Stroke(INK, HAIR_MM))
        items.append(Group((cell, *said, mark), "step", name, clean(name)))
    rule = Line((box.left, top + tall), (box.right, top + tall), Stroke(INK, HAIR_MM))
    end_mark = Line((box.right, top), (box.right, top + tall), Stroke(INK, HAIR_MM))
    return (*items, rule, end_mark) if items else ()


def _lie(cells: tuple[tuple[str, float, float], ...], plot: Plot) -> bool:
    """Tell whether words lie: where half of the cells hold theirs so, or few would hold it standing."""
    sizes = [(name, plot.x(end) - plot.x(start)) for name, start, end in cells]
    lying = sum(_wide(name) + 2 * _INSET_MM <= width for name, width in sizes)
    standing = sum(width >= STEP_MM and _wide(name) <= _TALLEST_MM for name, width in sizes)
    return 2 * lying >= len(cells) or 3 * standing < len(cells)


def _wide(name: str) -> float:
    return width_mm(clean(name), Face.TAG, STEP_MM)


def _lying(name: str, cell: Box) -> tuple[Item, ...]:
    if _wide(name) + 2 * _INSET_MM > cell.width:
        return ()
    return label(name, cell, size_mm=STEP_MM, face=Face.TAG, anchor=Anchor.MIDDLE)


def _standing(name: str, cell: Box) -> tuple[Item, ...]:
    """Write a word from the bottom up, in the middle of its cell."""
    words = clean(name)
    below, above = ink_mm(words, Face.TAG, STEP_MM)
    # Their own ink decides how narrow a cell may be, since most words have few letters that reach below the line.
    room = cell.width - below - above
    if not words or room < _CLOSE_MM or _wide(name) + 2 * _INSET_MM > cell.height + 1e-6:
        return ()
    foot = (cell.left + room / 2 + above, cell.bottom - _INSET_MM)
    return (Text(foot, words, STEP_MM, Face.TAG, Anchor.START, INK, words, cell, -90.0),)


def named(words: str, gutter: Box, top: float, tall: float) -> tuple[Item, ...]:
    """Say at the right what a lane shows."""
    room = Box(gutter.left, top, gutter.right, top + tall)
    return label(words, room, size_mm=WORD_MM, face=Face.TAG)
