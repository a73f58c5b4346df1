"""The upper plot: bus voltage, the mean of each sample as a line, shaded down to the lowest in it."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.course import COLUMN_MM, columns, extremes, greatest, least, spread, thinned
from loomwright.documents.sag.frame import edge, grid
from loomwright.documents.sag.ink import EDGE, HALO, KEY_MM, OFF, OFF_LINE, ON_LINE, RESTART, SHADE, TRACE, WORD_MM
from loomwright.documents.sag.sheet import SagMatch
from loomwright.documents.scene import Box, Fill, Group, Hatch, Item, Line, Move, Path, Point, Polyline, Rect, Straight
from loomwright.documents.type import Face
from loomwright.match.trace import Trace

_LEAST_SPAN_MM: Final = 0.9
_WIDE_SPAN_MM: Final = 3.0  # under a narrower one a line can be seen without a white edge
_LINE_MM: Final = 6.8


def volts(match: SagMatch, plot: Plot, gutter: Box) -> tuple[Item, ...]:
    """Draw the plot, and in the gutter at its right what the lines are."""
    trace = match.trace
    box = plot.box
    bands = spans(trace, plot)
    line = voltage_line(trace, plot)
    shade = Path(_closed(voltage_shade(trace, plot)), None, SHADE)
    off, on = plot.y(trace.off_below_v), plot.y(trace.on_above_v)
    limits = (
        Line((box.left, on), (box.right, on), ON_LINE),
        Line((box.left, off), (box.right, off), OFF_LINE),
    )
    return (
        *(Group((Rect(b.left, b.top, b.width, b.height, 0, EDGE, fill),), role) for b, fill, role in bands),
        *grid(plot, "V", trace),
        *limits,
        Group((shade, *(Polyline(piece, HALO) for piece in _over(line, bands)), Polyline(line, TRACE)), "voltage"),
        *edge(plot),
        *_named(match, plot, gutter),
    )


def spans(trace: Trace, plot: Plot) -> tuple[tuple[Box, Fill, str], ...]:
    """Return where outputs were off and where a restart ran, wide enough to be seen, restarts last."""
    found: list[tuple[Box, Fill, str]] = []
    kinds: tuple[tuple[tuple[tuple[float, float], ...], Hatch, str], ...] = (
        (trace.off, OFF, "off"),
        (trace.restarts, RESTART, "restart"),
    )
    for told, fill, role in kinds:
        for start, end in told:
            left, right = plot.x(start), plot.x(end)
            wide = max(right - left, _LEAST_SPAN_MM)
            left = max(plot.box.left, min(left, plot.box.right - wide))
            found.append((Box(left, plot.box.top, left + wide, plot.box.bottom), fill, role))
    return tuple(found)


def voltage_line(trace: Trace, plot: Plot) -> tuple[Point, ...]:
    """Return the line of means: the highest and the lowest of each column of the drawing."""
    kept = extremes(_columns(trace, plot), trace.bus_v)
    return thinned([(plot.x(trace.time_s[i]), plot.y(trace.bus_v[i])) for i in kept])


def voltage_shade(trace: Trace, plot: Plot) -> tuple[Point, ...]:
    """Return the outline from the highest mean of each column, and back along its lowest value."""
    parts = _columns(trace, plot)
    above = [(i, trace.bus_v[i]) for i in (greatest(part, trace.bus_v) for part in parts)]
    below = [(i, trace.low_v[i]) for i in (least(part, trace.low_v) for part in parts)]
    points = [(plot.x(trace.time_s[i]), plot.y(value)) for i, value in (*above, *reversed(below))]
    return thinned(points)


def _columns(trace: Trace, plot: Plot) -> tuple[range, ...]:
    count = max(1, round(plot.box.width / COLUMN_MM))
    return columns(trace.time_s, begin=plot.times.low, end=plot.times.high, count=count)


def _closed(points: tuple[Point, ...]) -> tuple[Move | Straight, ...]:
    return (Move(points[0]), *(Straight(point) for point in points[1:]))


def _over(line: tuple[Point, ...], bands: tuple[tuple[Box, Fill, str], ...]) -> list[tuple[Point, ...]]:
    """Return the pieces of a line that run over hatched bands: there it gets a white edge to stand out."""
    wide = [band for band, _, _ in bands if band.width >= _WIDE_SPAN_MM]
    pieces: list[list[Point]] = []
    for a, b in pairwise(line):
        if not any(band.left <= b[0] and a[0] <= band.right for band in wide):
            continue
        if pieces and pieces[-1][-1] == a:
            pieces[-1].append(b)
        else:
            pieces.append([a, b])
    return [tuple(piece) for piece in pieces]


def _named(match: SagMatch, plot: Plot, gutter: Box) -> tuple[Item, ...]:
    """Write what the plot shows at the top of the gutter, and beside its limits what they are."""
    trace = match.trace
    head = Box(gutter.left, gutter.top, gutter.right, gutter.top + KEY_MM * 1.2)
    items: list[Item] = [*label("bus voltage", head, size_mm=KEY_MM, face=Face.BOLD, baseline_mm=gutter.top + 4.6)]
    told = (f"line: mean of each {match.step_s * 1000:.0f} ms", "shade: down to its lowest")
    wanted = sorted(
        (
            (plot.y(trace.on_above_v), f"on again above {trace.on_above_v:.4g} V"),
            (plot.y(trace.off_below_v), f"outputs off below {trace.off_below_v:.4g} V"),
        )
    )
    free = gutter.top + 6.6
    for words in told:
        end = free + _LINE_MM * 0.9
        if gutter.bottom - end < len(wanted) * _LINE_MM:
            break
        items += label(words, Box(gutter.left, free, gutter.right, end), size_mm=WORD_MM, face=Face.TAG)
        free = end
    middles = spread([y for y, _ in wanted], tall=_LINE_MM, low=free, high=gutter.bottom + 1.2)
    for (y, words), middle in zip(wanted, middles, strict=True):
        cell = Box(gutter.left, middle - _LINE_MM / 2, gutter.right, middle + _LINE_MM / 2)
        items.append(Polyline(((plot.box.right, y), (plot.box.right + 1, y), (gutter.left - 0.8, middle))))
        items += label(words, cell, size_mm=WORD_MM, face=Face.TAG, least_mm=3.6)
    return tuple(items)
