"""The lowest point: marked in the voltage, tied to the currents of that moment, and told in words between the two."""

from __future__ import annotations

from typing import Final

from loomwright.documents.look import INK, LINE_MM, WHITE
from loomwright.documents.sag.amps import height_at
from loomwright.documents.sag.axes import Plot
from loomwright.documents.sag.ink import GUIDE, KEY_MM
from loomwright.documents.sag.words_row import Word, row, row_mm
from loomwright.documents.scene import Anchor, Box, Circle, Group, Item, Line, Stroke
from loomwright.documents.type import Face, clean
from loomwright.match.trace import Trace

LOWEST_MM: Final = 17.5
_RING_MM: Final = 1.5
_GAP_MM: Final = 2.4
_LARGEST: Final = 3
_LEAST_A: Final = 0.5
_LEAST_MM: Final = 5.0
_FLAT_V: Final = 0.05
_NOTHING: Final = "nothing took more than half an ampere"


def lowest_x(trace: Trace, plot: Plot) -> float:
    """Return where along the plots the lowest point is [mm]."""
    return plot.x(trace.lowest[0])


def lowest(trace: Trace, upper: Plot, lower: Plot, lane: Box) -> tuple[Item, ...]:
    """Draw a ring at the voltage and one at the current, the guide between them, and the words beside it."""
    time, volt = trace.lowest
    if max(trace.bus_v) - volt < _FLAT_V:
        return _flat(trace, lane)
    x, y = upper.x(time), upper.y(volt)
    right, left = (
        Box(x + _GAP_MM, lane.top, lane.right, lane.bottom),
        Box(lane.left, lane.top, x - _GAP_MM, lane.bottom),
    )
    lines = ((*_when(trace), *_during(trace, time)), _took(trace))
    need = max(row_mm(line, KEY_MM) for line in lines)
    size = max(_LEAST_MM, min(KEY_MM, KEY_MM * max(right.width, left.width) / need))
    beside, anchor = (right, Anchor.START) if need <= right.width or right.width >= left.width else (left, Anchor.END)
    said = [
        text
        for line, share in zip(lines, (0.0, 0.5), strict=True)
        for text in row(
            line,
            Box(beside.left, lane.top + share * lane.height, beside.right, lane.top + (share + 0.5) * lane.height),
            size_mm=size,
            baseline_mm=lane.top + share * lane.height + 6.0,
            anchor=anchor,
        )
    ]
    stack = _height(trace, lower, time)
    flows = stack < lower.y(_LEAST_A)
    guide = Line((x, y), (x, stack if flows else lower.box.top), GUIDE)
    places = (y, stack) if flows else (y,)
    rings = [Circle((x, at), _RING_MM, Stroke(INK, LINE_MM * 1.6), WHITE) for at in places]
    return (Group((guide, *rings, *said), "lowest", "", f"lowest: {volt:.2f} V at {time:.1f} s"),)


def _height(trace: Trace, lower: Plot, time: float) -> float:
    """Return where what flowed in that moment stands [mm on the page], at most at the plot's top."""
    if not trace.dip_a:
        return height_at(trace, lower, time)
    return max(lower.box.top, lower.y(sum(max(0.0, ampere) for ampere in trace.dip_a)))


def _flat(trace: Trace, lane: Box) -> tuple[Item, ...]:
    """Say of a voltage that does not move how high it is; there is no lowest point to mark."""
    words = (Word(f"never below {trace.lowest[1]:.2f} V", Face.BOLD), *_took(trace, ""))
    said = row(words, lane, size_mm=KEY_MM, baseline_mm=lane.top + 6.0)
    return (Group(said, "lowest", "", f"never below {trace.lowest[1]:.2f} V"),)


def _when(trace: Trace) -> tuple[Word, ...]:
    time, volt = trace.lowest
    return (Word(f"lowest: {volt:.2f} V at {time:.1f} s", Face.BOLD),)


def _during(trace: Trace, time: float) -> tuple[Word, ...]:
    """Name what the driver did then."""
    begun = [step for step in trace.steps if step.at_s <= time]
    name = max(begun, key=lambda step: step.at_s).name if begun else ""
    return (Word("during", gap=0.4), Word(f"“{name}”", name=True, gap=0.3)) if clean(name) else ()


def _took(trace: Trace, then: str = " then") -> tuple[Word, ...]:
    """Name the mechanisms that took most, largest first, with their amperes."""
    now = trace.low_v.index(min(trace.low_v))
    amperes = trace.dip_a or tuple(row[now] for row in trace.mechanism_a)
    drawn = sorted(zip(amperes, trace.mechanisms, strict=True), key=_most)
    words: list[Word] = []
    for ampere, name in drawn[:_LARGEST]:
        if ampere >= _LEAST_A:
            words += [Word(f"{ampere:.0f} A", Face.BOLD, gap=0.9), Word(name or "no name", name=True)]
    return tuple(words) or (Word(f"{_NOTHING}{then}", gap=0.9),)


def _most(pair: tuple[float, str]) -> float:
    return -pair[0]
