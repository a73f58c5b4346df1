"""What the Sag drawing shows, and nothing else: what the study found, and the matches that show it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loomwright.match.trace import Trace


@dataclass(frozen=True, slots=True)
class SagMatch:
    """A match with what it is called ("worst match").

    Raises ValueError where a trace can't be drawn: under two samples, rows of unequal length, times that do not grow,
    a value that is no finite number.
    """

    title: str
    trace: Trace

    def __post_init__(self) -> None:
        """Check that the trace can be drawn."""
        trace = self.trace
        name = f"match {trace.number}"
        rows = (trace.bus_v, trace.low_v, trace.total_a, *trace.mechanism_a)
        if len(trace.time_s) < 2:  # noqa: PLR2004  a line takes two
            raise ValueError(f"{name} has {len(trace.time_s)} samples; a drawing needs two")
        if any(len(row) != len(trace.time_s) for row in rows):
            raise ValueError(f"{name} has rows of unequal length")
        if len(trace.mechanisms) != len(trace.mechanism_a):
            raise ValueError(f"{name} names {len(trace.mechanisms)} mechanisms and has {len(trace.mechanism_a)}")
        if any(after <= before for before, after in zip(trace.time_s, trace.time_s[1:], strict=False)):
            raise ValueError(f"the times of {name} do not grow")
        if not all(map(math.isfinite, (value for row in (trace.time_s, *rows) for value in row))):
            raise ValueError(f"{name} has a value that is no finite number")

    @property
    def step_s(self) -> float:
        """Time from one sample to the next [s]."""
        times = self.trace.time_s
        return (times[-1] - times[0]) / (len(times) - 1)


@dataclass(frozen=True, slots=True)
class SagSheet:
    """Everything that the Sag drawing shows.

    `headline` says in a few words what the study found, `rests_on` in a line each what that rests on. `played` is how
    many matches the study has, drawn from `seed`. Raises ValueError where there is no match to show.
    """

    robot: str
    build: str
    revision: str
    headline: str
    matches: tuple[SagMatch, ...]
    rests_on: tuple[str, ...]
    seed: int
    played: int

    def __post_init__(self) -> None:
        """Check that there is something to draw."""
        if not self.matches:
            raise ValueError("a Sag drawing needs a match")
