"""Batteries with a history, told in few words."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from loomwright.rack.battery import BatteryClass, RackBattery, class_of
from loomwright.rack.health.health import health_of
from loomwright.rack.readings import Reading
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.rack.health.result import BatteryHealth, Health, Verdict

DAY = 20000.0
NOW = DAY + 120
OF_18 = class_of(None)
TESTER = {"low_a": 1.0, "high_a": 18.0, "temperature_c": 25.0}


@dataclass
class Story:
    """One battery's history; every line is a reading on a day after `DAY`."""

    label: str = "B1"
    of: BatteryClass = OF_18
    cycles_before: int = 0
    readings: list[Reading] = field(default_factory=list)
    charges: list[Reading] = field(default_factory=list)
    matches: list[Reading] = field(default_factory=list)
    alarms: list[Reading] = field(default_factory=list)

    def _one(self, kind: Kind, day: float, value: float | None, said: Mapping[str, float], words: str = "") -> Reading:
        tool = "C1" if kind is Kind.CHARGED else ""
        key = f"{kind}{day:010.4f}"
        return Reading(
            key=key, kind=kind, day=DAY + day, who="AB", value=value, conditions=dict(said), tool=tool, words=words
        )

    def charged(self, day: float, end_v: float | None = 13.9) -> Story:
        """End a charge."""
        self.charges.append(self._one(Kind.CHARGED, day, end_v, {}))
        return self

    def played(self, day: float, **said: float) -> Story:
        """Play a match."""
        self.matches.append(self._one(Kind.PLAYED, day, None, said, "Q1"))
        return self

    def rested(self, day: float, volts: float, **said: float) -> Story:
        """Read a rest voltage."""
        self.readings.append(self._one(Kind.RESTED, day, volts, said))
        return self

    def tested(self, day: float, mohm: float, *, charged: bool = True, **said: float) -> Story:
        """Read a resistance with the usual tester, a day after a charge that ended as it should."""
        if charged:
            self.charged(day - 0.9)
        self.readings.append(self._one(Kind.RESISTANCE, day, mohm / 1000, TESTER | said))
        return self

    def tests(self, mohms: Sequence[float], first: float = 1.0) -> Story:
        """Read several resistances, every second day."""
        for n, mohm in enumerate(mohms):
            self.tested(first + 2 * n, mohm)
        return self

    def loaded(self, day: float, volts: float, **said: float) -> Story:
        """Read a voltage under load."""
        self.readings.append(self._one(Kind.LOADED, day, volts, said))
        return self

    def load_test(self, day: float, volts: float, *, load_a: float = 200, seconds: float = 10, **said: float) -> Story:
        """Do a load test a day after a charge."""
        self.charged(day - 0.9)
        told = {"load_a": load_a, "seconds": seconds} | said
        self.readings.append(self._one(Kind.LOAD_TEST, day, volts, told))
        return self

    def discharged(self, day: float, hours: float, *, load_a: float = 7.5, **said: float) -> Story:
        """Do a capacity test to 10.5 V, a day after a charge."""
        self.charged(day - 0.9)
        told = {"load_a": load_a, "cutoff_v": 10.5, "temperature_c": 25.0} | said
        self.readings.append(self._one(Kind.CAPACITY, day, hours, told))
        return self

    def looked(self, day: float, words: str) -> Story:
        """Look it over."""
        self.alarms.append(self._one(Kind.LOOKED_OVER, day, None, {}, words))
        return self

    def battery(self) -> RackBattery:
        """Return the battery."""
        return RackBattery(
            label=self.label,
            of=self.of,
            cycles_before=self.cycles_before,
            readings=tuple(self.readings),
            charges=tuple(self.charges),
            matches=tuple(self.matches),
            alarms=tuple(self.alarms),
        )

    def judged(self, now: float = NOW) -> BatteryHealth:
        """Return what is known of it, alone in its team."""
        (found,) = health_of([self.battery()], now)
        return found

    def health(self) -> Health:
        """Return the estimates."""
        return self.judged().health

    def verdict(self) -> Verdict:
        """Return the verdict."""
        return self.judged().verdict


def noisy(rng: np.random.Generator, value: float, share: float = 0.07) -> float:
    """Return a reading of a value, off as readings are: Student's t of 4 degrees."""
    return float(value * np.exp(share * rng.standard_t(4)))
