"""What happened: spans with outputs off, restarts and opened breakers, as flags above the plots and as a sentence."""

from __future__ import annotations

from typing import Final

from loomwright.documents.look import INK
from loomwright.documents.sag.amps import height_at
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.flags import ROW, Flag, Placed, flags, places, rows_needed
from loomwright.documents.sag.ink import GUIDE, WORD_MM
from loomwright.documents.sag.words_row import Word
from loomwright.documents.scene import Box, Group, Item, Line, Move, Path, Rect, Straight
from loomwright.documents.type import Face
from loomwright.match.trace import Trace

MARKS_MM: Final = 3.0
SPAN_ROWS: Final = 2
BREAKER_ROWS: Final = 3
_LEAST_MARK_MM: Final = 0.9
_END_S: Final = 0.03  # what ends in the last sample or two was not over
#: What lasts less than this is told in milliseconds.
_MOMENT_S: Final = 0.95


def lane_mm(wanted: list[Flag], plot: Plot, most: int, keep: tuple[float, ...] = ()) -> float:
    """Return how tall a lane of flags has to be, with its marks [mm]; nothing where there are none."""
    rows = rows_needed(_placed(wanted, plot, most, keep))
    return rows * WORD_MM * ROW + MARKS_MM if wanted else 0.0


def unnamed(wanted: list[Flag], plot: Plot, keep: tuple[float, ...]) -> int:
    """Count the breakers whose names find no room."""
    return len(wanted) - len(_placed(wanted, plot, BREAKER_ROWS, keep))


def _placed(wanted: list[Flag], plot: Plot, rows: int, keep: tuple[float, ...]) -> tuple[Placed, ...]:
    across = (plot.box.left, plot.box.right)
    return places(wanted, across, size_mm=WORD_MM, rows=rows, keep=keep)


def span_flags(trace: Trace, plot: Plot) -> list[Flag]:
    """Return what is said of spans: restarts before outputs that are off, long ones before short ones."""
    found: list[Flag] = []
    for told, word in ((trace.restarts, "restart"), (trace.off, "off")):
        for start, end in sorted(told, key=lambda span: (span[0] - span[1], span[0])):
            lasts = f"{_long(end - start)}{', to the end' if end >= plot.times.high - _END_S else ''}"
            found.append(Flag(plot.x(start), (Word(word, Face.TAG), Word(lasts, Face.TAG)), word))
    return found


def breaker_flags(trace: Trace, plot: Plot) -> list[Flag]:
    """Return what is said of breakers that opened, first ones first."""
    found: list[Flag] = []
    for name, time in _opened(trace):
        words = (Word(name or "no name", name=True), Word(f"{time:.1f} s", Face.TAG))
        found.append(Flag(plot.x(time), (Word("opened:", Face.TAG), *words), name, words))
    return found


def spans_lane(trace: Trace, wanted: list[Flag], plot: Plot, lane: Box) -> tuple[Item, ...]:
    """Draw a bar over each span, and what is said of it."""
    if not wanted:
        return ()
    room = Box(plot.box.left, lane.top, plot.box.right, lane.bottom - MARKS_MM)
    bars: list[Item] = []
    for start, end in (*trace.off, *trace.restarts):
        left, right = plot.x(start), plot.x(end)
        wide = max(right - left, _LEAST_MARK_MM)
        left = max(plot.box.left, min(left, plot.box.right - wide))
        bars.append(Rect(left, lane.bottom - MARKS_MM, wide, MARKS_MM - 0.9, 0, None, INK))
    return (
        Group(tuple(bars), "span-marks"),
        *flags(_placed(wanted, plot, SPAN_ROWS, ()), room, size_mm=WORD_MM, role="span"),
    )


def breakers_lane(trace: Trace, wanted: list[Flag], plot: Plot, lane: Box, keep: tuple[float, ...]) -> tuple[Item, ...]:
    """Draw a wedge and a line at each opened breaker, and its name where there is room."""
    if not wanted:
        return ()
    room = Box(plot.box.left, lane.top, plot.box.right, lane.bottom - MARKS_MM)
    top, tip = lane.bottom - MARKS_MM, lane.bottom - 0.4
    marks: list[Item] = []
    for flag, (_, time) in zip(wanted, _opened(trace), strict=True):
        wedge = (Move((flag.x - 1.5, top)), Straight((flag.x + 1.5, top)), Straight((flag.x, tip)))
        marks.append(Path(wedge, None, INK))
        marks.append(Line((flag.x, plot.box.top), (flag.x, height_at(trace, plot, time)), GUIDE))
    said = flags(_placed(wanted, plot, BREAKER_ROWS, keep), room, size_mm=WORD_MM, role="breaker")
    return (Group(tuple(marks), "breaker-marks"), *said)


def _opened(trace: Trace) -> list[tuple[str, float]]:
    return sorted(trace.opened, key=lambda pair: pair[1])


def summary(trace: Trace, unnamed_breakers: int = 0) -> str:
    """Say in a sentence how often outputs were off, how often it restarted, how many breakers opened."""
    if not (trace.off or trace.restarts or trace.opened):
        return "Outputs never off, no restart, no breaker opened."
    told = [
        _times("outputs off", trace.off) if trace.off else "outputs never off",
        _times("restart", trace.restarts) if trace.restarts else "no restart",
    ]
    count = len(trace.opened)
    told.append(f"{count} breaker{'s' if count > 1 else ''} opened" if count else "no breaker opened")
    told += [f"{unnamed_breakers} of them without room for a name"] if unnamed_breakers else []
    words = ", ".join(told)
    return f"{words[0].upper()}{words[1:]}."


def _long(seconds: float) -> str:
    """Write how long something lasts: a moment in milliseconds."""
    return f"{seconds:.1f} s" if seconds >= _MOMENT_S else f"{1000 * seconds:.0f} ms"


def _times(words: str, spans: tuple[tuple[float, float], ...]) -> str:
    """Write "restart 12.4 s" or "outputs off 3 times for 4.2 s"."""
    whole = sum(end - start for start, end in spans)
    return f"{words} {len(spans)} times for {_long(whole)}" if len(spans) > 1 else f"{words} once for {_long(whole)}"
