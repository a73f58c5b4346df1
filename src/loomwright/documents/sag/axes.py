"""The axes, the same for all matches of a sheet so that one can be held against the other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import chain
from typing import Final

from loomwright.documents.sag.sheet import SagSheet
from loomwright.documents.scene import Box

_LEAST_A: Final = 20.0
_ROOM_V: Final = 0.2  # what is left free above the highest and below the lowest


@dataclass(frozen=True, slots=True)
class Axis:
    """A range of values."""

    low: float
    high: float

    def ticks(self, length_mm: float, apart_mm: float) -> tuple[float, ...]:
        """Return round values along the axis, at least so far apart when it is drawn so long."""
        step = _round_up((self.high - self.low) * apart_mm / length_mm)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return tuple(i * step for i in range(first, last + 1))


@dataclass(frozen=True, slots=True)
class Axes:
    """The axes of time [s], voltage [V] and current [A]."""

    times: Axis
    volts: Axis
    amps: Axis


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot on the page: its box, and what its sides mean."""

    box: Box
    times: Axis
    values: Axis

    def x(self, time: float) -> float:
        """Return the place of a time [mm]; what lies outside comes to stand at the side."""
        share = (time - self.times.low) / (self.times.high - self.times.low)
        return self.box.left + min(1.0, max(0.0, share)) * self.box.width

    def y(self, value: float) -> float:
        """Return the place of a value [mm]; what lies outside comes to stand at the side."""
        share = (value - self.values.low) / (self.values.high - self.values.low)
        return self.box.bottom - min(1.0, max(0.0, share)) * self.box.height


def axes_of(sheet: SagSheet) -> Axes:
    """Return the axes that hold all matches of a sheet."""
    traces = [match.trace for match in sheet.matches]
    ends = [*(m.trace.time_s[-1] + m.step_s for m in sheet.matches), *(end for t in traces for _, _, end in t.phases)]
    begin = min(0.0, *(trace.time_s[0] for trace in traces))
    high = max(max(trace.rest_v, trace.on_above_v, *trace.bus_v) for trace in traces)
    low = min(min(trace.off_below_v, *trace.low_v) for trace in traces)
    most = max((sum(max(0.0, a) for a in now) for t in traces for now in zip(*t.mechanism_a, strict=True)), default=0.0)
    return Axes(
        Axis(begin, round(max(ends), 6)),
        Axis(math.floor(low - _ROOM_V), math.ceil(high + _ROOM_V)),
        Axis(0.0, _full(max(_LEAST_A, most))),
    )


def _full(value: float) -> float:
    """Return the end of an axis from 0 that holds a value with little left over."""
    step = _round_up(value / 8)
    return math.ceil(value / step - 1e-9) * step


def _round_up(value: float) -> float:
    """Return the next of 1, 2, 5, 10, 20 and so on."""
    power = 10.0 ** math.floor(math.log10(value))
    return next(power * times for times in chain((1, 2, 5), (10,)) if power * times >= value * (1 - 1e-9))
