"""One match as it went, sampled in even steps: what a Sag drawing shows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Done:
    """A step of the driver: its name and when it began [s]."""

    name: str
    at_s: float


@dataclass(frozen=True, slots=True)
class Trace:
    """A match: number, driver, and its course.

    Shapes: `time_s`, `bus_v`, `low_v`, `total_a` (samples); `mechanism_a` (mechanisms and loads, samples), named by
    `mechanisms`. Each sample is the mean of 20 ms, but `low_v` the least of them. `off` are the spans in which outputs
    were off [s], `restarts` those in which the computer was starting; `opened` tells which breaker opened when.
    `rest_v` is the battery's rested voltage before. `dip_a` is what each of `mechanisms` took in the very moment of the
    lowest voltage; empty where only the means of 20 ms are known.
    """

    number: int
    driver: str
    battery: str
    rest_v: float
    time_s: tuple[float, ...]
    bus_v: tuple[float, ...]
    low_v: tuple[float, ...]
    total_a: tuple[float, ...]
    mechanisms: tuple[str, ...]
    mechanism_a: tuple[tuple[float, ...], ...]
    steps: tuple[Done, ...]
    off: tuple[tuple[float, float], ...]
    restarts: tuple[tuple[float, float], ...]
    opened: tuple[tuple[str, float], ...]
    off_below_v: float
    on_above_v: float
    phases: tuple[tuple[str, float, float], ...] = ()
    dip_a: tuple[float, ...] = ()

    @property
    def lowest(self) -> tuple[float, float]:
        """When the bus was lowest [s], and how low [V]."""
        at = min(range(len(self.low_v)), key=self.low_v.__getitem__)
        return self.time_s[at], self.low_v[at]
