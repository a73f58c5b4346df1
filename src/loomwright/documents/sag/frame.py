"""What every plot has: its box, a grid with numbers, and lines where a phase ends."""

from __future__ import annotations

from typing import Final

from loomwright.documents.label import label
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.ink import FRAME, GRID, TICK_MM
from loomwright.documents.scene import Anchor, Box, Item, Line, Rect
from loomwright.documents.type import Face, cap_mm
from loomwright.match.trace import Trace

AXIS_MM: Final = 15.0  # left of a plot, for its numbers
TIMES_MM: Final = 8.0  # below the last plot, for the seconds
_APART_MM: Final = 7.0
_TIMES_APART_MM: Final = 15.0
_TICK_MM: Final = 1.4
_ROUND_S: Final = (1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0)


def grid(plot: Plot, unit: str, trace: Trace) -> tuple[Item, ...]:
    """Draw the lines behind a plot, with the numbers at its left; the top one has the unit."""
    box = plot.box
    items: list[Item] = []
    ticks = plot.values.ticks(box.height, _APART_MM)
    half = cap_mm(Face.TEXT, TICK_MM) / 2
    for tick in ticks:
        y = plot.y(tick)
        if box.top < y < box.bottom:
            items.append(Line((box.left, y), (box.right, y), GRID))
        words = f"{tick:.10g} {unit}" if tick == ticks[-1] else f"{tick:.10g}"
        room = Box(box.left - AXIS_MM, y - TICK_MM, box.left - 2, y + TICK_MM)
        items += label(words, room, size_mm=TICK_MM, anchor=Anchor.END, baseline_mm=y + half, narrow=True)
        items.append(Line((box.left - _TICK_MM, y), (box.left, y), FRAME))
    for _, start, _ in trace.phases:
        if box.left < (x := plot.x(start)) < box.right:
            items.append(Line((x, box.top), (x, box.bottom), GRID))
    return tuple(items)


def edge(plot: Plot) -> tuple[Item, ...]:
    """Draw the box of a plot over what it holds."""
    box = plot.box
    return (Rect(box.left, box.top, box.width, box.height, 0, FRAME),)


def seconds(plot: Plot) -> tuple[Item, ...]:
    """Write the seconds below a plot, the last one with its unit."""
    box = plot.box
    length = plot.times.high - plot.times.low
    step = next((s for s in _ROUND_S if s * box.width >= _TIMES_APART_MM * length), _ROUND_S[-1])
    while step * box.width < _TIMES_APART_MM * length:
        step *= 2
    ticks = [i * step for i in range(round(plot.times.low // step), round(plot.times.high // step) + 1)]
    ticks = [tick for tick in ticks if plot.times.low <= tick <= plot.times.high + 1e-6]
    items: list[Item] = []
    for tick in ticks:
        x = plot.x(tick)
        words = f"{tick:.10g} s" if tick == ticks[-1] else f"{tick:.10g}"
        half = step / length * box.width / 2
        room = Box(x - half, box.bottom, x + half, box.bottom + TIMES_MM)
        items.append(Line((x, box.bottom), (x, box.bottom + _TICK_MM), FRAME))
        items += label(
            words, room, size_mm=TICK_MM, anchor=Anchor.MIDDLE, baseline_mm=box.bottom + _TICK_MM + 4.6, narrow=True
        )
    return tuple(items)
