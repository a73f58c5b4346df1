"""One match from its title down to its seconds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.look import INK, RULE_MM
from loomwright.documents.sag import lanes
from loomwright.documents.sag.amps import HEAD_MM, amps
from loomwright.documents.sag.axes import Axes, Plot
from loomwright.documents.sag.events import (
    BREAKER_ROWS,
    SPAN_ROWS,
    breaker_flags,
    breakers_lane,
    lane_mm,
    span_flags,
    spans_lane,
    summary,
    unnamed,
)
from loomwright.documents.sag.flags import Flag
from loomwright.documents.sag.frame import AXIS_MM, TIMES_MM, seconds
from loomwright.documents.sag.ink import KEY_MM, WORD_MM
from loomwright.documents.sag.layers import Layer
from loomwright.documents.sag.lowest import LOWEST_MM, lowest, lowest_x
from loomwright.documents.sag.sheet import SagMatch
from loomwright.documents.sag.volts import volts
from loomwright.documents.sag.words_row import Word, row
from loomwright.documents.scene import Box, Group, Item, Line, Stroke
from loomwright.documents.type import Face, clean

_HEADING_MM: Final = 18.0
_GUTTER_MM: Final = 58.0
_LEADERS_MM: Final = 4.5  # between a plot and the words at its right
_GAP_MM: Final = 2.5
_TITLE_MM: Final = 7.4
_UPPER: Final = 0.56  # share of both plots that is voltage
LEAST_PLOTS_MM: Final = 57.0


@dataclass(frozen=True, slots=True)
class _Heights:
    """What stands around the plots of a match [mm]."""

    phases: float
    steps: float
    spans: float
    breakers: float

    @property
    def whole(self) -> float:
        return _HEADING_MM + self.phases + self.steps + self.spans + LOWEST_MM + self.breakers + TIMES_MM


def around_mm(match: SagMatch, axes: Axes, room: Box) -> float:
    """Return how much of the height of a match is around its two plots [mm]; those need `LEAST_PLOTS_MM` to be read."""
    return _heights(match, _plot(room, axes)).whole


def match_block(match: SagMatch, axes: Axes, layers: tuple[Layer, ...], box: Box) -> Group:
    """Draw a match so that it fills a box."""
    trace = match.trace
    across = _plot(box, axes)
    tall = _heights(match, across)
    spans, breakers, keep = _flags(match, across)
    plots = box.height - tall.whole
    left, right = across.box.left, across.box.right
    y = box.top + _HEADING_MM
    phases_top, steps_top = y, y + tall.phases
    spans_top = steps_top + tall.steps
    upper_top = spans_top + tall.spans
    upper = Plot(Box(left, upper_top, right, upper_top + plots * _UPPER), axes.times, axes.volts)
    breakers_top = upper.box.bottom + LOWEST_MM
    lower_top = breakers_top + tall.breakers
    lower = Plot(Box(left, lower_top, right, box.bottom - TIMES_MM), axes.times, axes.amps)
    gutter = Box(right + _LEADERS_MM, upper.box.top, box.right, upper.box.bottom)
    currents = Box(gutter.left, lower.box.top - HEAD_MM - 0.2, box.right, lower.box.bottom)
    said = summary(trace, unnamed(breakers, across, keep))
    items: tuple[Item, ...] = (
        *_heading(match, said, box),
        *lanes.phases(trace, across, phases_top),
        *lanes.steps(trace, across, steps_top, tall.steps),
        *(lanes.named("phases", gutter, phases_top, tall.phases) if tall.phases else ()),
        *(lanes.named("what the driver does", gutter, steps_top, tall.steps) if tall.steps else ()),
        *volts(match, upper, gutter),
        *spans_lane(trace, spans, upper, Box(left, spans_top, right, upper_top)),
        *amps(match, layers, lower, currents),
        *breakers_lane(trace, breakers, lower, Box(left, breakers_top, right, lower_top), keep),
        *lowest(trace, upper, lower, Box(left, upper.box.bottom + 1.0, right, breakers_top)),
        *seconds(lower),
    )
    return Group(items, "match", f"{trace.number} {match.title}", f"{clean(match.title)}: {said}")


def _plot(box: Box, axes: Axes) -> Plot:
    """Return where plots lie across a box."""
    return Plot(Box(box.left + AXIS_MM, box.top, box.right - _GUTTER_MM, box.bottom), axes.times, axes.volts)


def _flags(match: SagMatch, plot: Plot) -> tuple[list[Flag], list[Flag], tuple[float, ...]]:
    trace = match.trace
    return span_flags(trace, plot), breaker_flags(trace, plot), (lowest_x(trace, plot),)


def _heights(match: SagMatch, plot: Plot) -> _Heights:
    trace = match.trace
    spans, breakers, keep = _flags(match, plot)
    phases = lanes.PHASES_MM if trace.phases else 0.0
    steps = lanes.steps_mm(trace, plot)
    over = lane_mm(spans, plot, SPAN_ROWS)
    return _Heights(phases, steps, over or _GAP_MM, lane_mm(breakers, plot, BREAKER_ROWS, keep))


def _heading(match: SagMatch, happened: str, box: Box) -> tuple[Item, ...]:
    """Write what the match is called, who drove with which battery, and what happened."""
    trace = match.trace
    words = (Word(match.title or "match", Face.BOLD, name=True),)
    facts = [Word(f"match {trace.number}", Face.TAG)]
    facts += [Word("driver", Face.TAG, gap=1.2), Word(trace.driver, name=True)] if clean(trace.driver) else []
    facts += [Word("battery", Face.TAG, gap=1.2), Word(trace.battery, name=True)] if clean(trace.battery) else []
    facts.append(Word(f"rested at {trace.rest_v:.2f} V", Face.TAG, gap=1.2))
    middle = box.left + box.width * 0.3
    top = box.top + RULE_MM
    return (
        Line((box.left, box.top), (box.right, box.top), Stroke(INK, RULE_MM * 1.5)),
        *row(words, Box(box.left, top, middle, top + 9.2), size_mm=_TITLE_MM, baseline_mm=top + 7.2),
        *row(facts, Box(middle + 4, top, box.right, top + 9), size_mm=WORD_MM, baseline_mm=top + 7.2),
        *label(
            happened,
            Box(box.left, top + 9, box.right, top + 16.5),
            size_mm=KEY_MM,
            face=Face.BOLD,
            baseline_mm=top + 14.2,
            least_mm=4.0,
        ),
    )
