"""The lower plot: currents stacked by mechanism, and beside it what share of the charge each of them took."""

from __future__ import annotations

from bisect import bisect_left
from itertools import accumulate
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.course import COLUMN_MM, columns, extremes, spread, thinned
from loomwright.documents.sag.frame import edge, grid
from loomwright.documents.sag.ink import EDGE, KEY_MM, WORD_MM
from loomwright.documents.sag.layers import Layer, charge_ah, currents
from loomwright.documents.sag.sheet import SagMatch
from loomwright.documents.scene import Anchor, Box, Group, Item, Move, Path, Point, Polyline, Rect, Straight
from loomwright.documents.type import Face, clean, width_mm
from loomwright.match.trace import Trace

HEAD_MM: Final = 13.6
_BAR_MM: Final = 7.0
_LEADER_MM: Final = 4.0
_ROW_MM: Final = 6.5
_SHARE_MM: Final = 5.2
_BELOW_MM: Final = 7.6  # beside the seconds, labels may use the room below the plot


def amps(match: SagMatch, layers: tuple[Layer, ...], plot: Plot, gutter: Box) -> tuple[Item, ...]:
    """Draw the plot; the gutter begins `HEAD_MM` above it."""
    outlines = stacked(match.trace, layers, plot)
    drawn = [
        Group((_area(line, plot, layer),), "current", layer.name, clean(layer.name))
        for layer, line in reversed(tuple(zip(layers, outlines, strict=True)))
    ]
    return (*grid(plot, "A", match.trace), *drawn, *edge(plot), *_shares(match, layers, plot, gutter))


def stacked(trace: Trace, layers: tuple[Layer, ...], plot: Plot) -> tuple[tuple[Point, ...], ...]:
    """Return the upper edge of each layer, from the bottom up.

    Each column of the drawing shows the moments at which all of them together took most and least, so that every
    height is one that was there.
    """
    rows = [currents(trace, layer) for layer in layers]
    heights = list(zip(*(accumulate(now) for now in zip(*rows, strict=True)), strict=True)) if rows else []
    if not heights:
        return ()
    count = max(1, round(plot.box.width / COLUMN_MM))
    parts = columns(trace.time_s, begin=plot.times.low, end=plot.times.high, count=count)
    kept = extremes(parts, heights[-1])
    return tuple(thinned([(plot.x(trace.time_s[i]), plot.y(line[i])) for i in kept]) for line in heights)


def _area(line: tuple[Point, ...], plot: Plot, layer: Layer) -> Path:
    """Draw all from the bottom of the plot up to a line; the layers below are painted over it."""
    bottom = plot.box.bottom
    start, end = (line[0][0], bottom), (line[-1][0], bottom)
    return Path((Move(start), *(Straight(point) for point in line), Straight(end)), EDGE, layer.fill)


def _shares(match: SagMatch, layers: tuple[Layer, ...], plot: Plot, gutter: Box) -> tuple[Item, ...]:
    """Draw the charge of the match as a bar in the order of the stack, each share with its name."""
    rows = [(layer, charge_ah(match, currents(match.trace, layer))) for layer in layers]
    whole = sum(charge for _, charge in rows)
    top = gutter.top
    items: list[Item] = [
        *label(
            "current, stacked",
            Box(gutter.left, top, gutter.right, top + 7),
            size_mm=KEY_MM,
            face=Face.BOLD,
            baseline_mm=top + 4.8,
        ),
        *label(
            f"shares of {whole:.2f} Ah in all" if whole else "nothing took any",
            Box(gutter.left, top + 7.0, gutter.right, top + 13.5),
            size_mm=WORD_MM,
            face=Face.TAG,
            baseline_mm=top + 11.8,
        ),
    ]
    if not whole:
        return tuple(items)
    box = plot.box
    y = box.bottom
    middles: list[float] = []
    for layer, charge in rows:
        tall = box.height * charge / whole
        y -= tall
        middles.append(y + tall / 2)
        if tall:
            items.append(Rect(gutter.left, y, _BAR_MM, tall, 0, EDGE, layer.fill))
    items.append(Rect(gutter.left, box.top, _BAR_MM, box.height, 0, EDGE))
    found = spread(list(reversed(middles)), tall=_ROW_MM, low=box.top - 1.0, high=box.bottom + _BELOW_MM)
    percents = [_percent(charge / whole) for _, charge in rows]
    left = gutter.left + _BAR_MM
    split = left + _LEADER_MM + max(width_mm(percent, Face.TAG, _SHARE_MM) for percent in percents) + 0.01
    for (layer, _), percent, middle, place in zip(rows, percents, middles, reversed(found), strict=True):
        number = Box(left + _LEADER_MM, place - _ROW_MM / 2, split, place + _ROW_MM / 2)
        name = Box(split + 1.6, number.top, gutter.right, number.bottom)
        base = place + _SHARE_MM * 0.372  # in the middle between the tallest and the deepest ink
        items.append(Polyline(((left, middle), (left + 1.2, middle), (left + _LEADER_MM - 1, place))))
        items += label(percent, number, size_mm=_SHARE_MM, face=Face.TAG, anchor=Anchor.END, baseline_mm=base)
        items += label(layer.name or "no name", name, size_mm=_SHARE_MM, face=Face.TAG, baseline_mm=base)
    return tuple(items)


def _percent(share: float) -> str:
    """Write a share in percent; what is there is never written as nothing."""
    return "< 1 %" if 0 < share < 0.01 else f"{share * 100:.0f} %"  # noqa: PLR2004  a hundredth


def height_at(trace: Trace, plot: Plot, time: float) -> float:
    """Return where the top of the stack is at a time [mm on the page]."""
    now = min(bisect_left(trace.time_s, time - 1e-9), len(trace.time_s) - 1)
    return plot.y(sum(max(0.0, row[now]) for row in trace.mechanism_a))
