"""How full a battery is, as chances over its charge and over how far its own rest curve lies from the named one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.rack.health.practice import practice
from loomwright.rack.health.rest_curve import not_yet_rested, rest_voltage
from loomwright.rack.health.result import Estimate
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from loomwright.rack.health.timeline import Moment


_CELLS: Final = 81
_OFFSETS: Final = 9
_MONTH_DAYS: Final = 30.44
#: A grid can't move by less than this well.
_LEAST_DAYS: Final = 3.0


@dataclass(frozen=True, slots=True)
class Held:
    """What a battery held at a moment: mean and standard deviation of its charge, the chance that it was enough."""

    middle: float
    doubt: float
    enough: float


class Charge:
    """The chances of every charge (rows) and every offset of the rest curve (columns), moved along a line of days."""

    def __init__(self, capacity_ah: float) -> None:
        """Begin knowing next to nothing; `capacity_ah` is what the battery really holds."""
        self._capacity_ah = capacity_ah
        self._chance = np.outer(
            _bell(_charges(), practice("untold charge"), practice("untold charge doubt")), _offset_chance()
        )
        self._even()
        self._day: float | None = None
        self._stood = 0.0

    def meet(self, moment: Moment) -> Held:
        """Take in one thing that happened, and tell what the battery held: after it, but before a capacity test."""
        reading = moment.reading
        self.stand_until(reading.day)
        before = self.held() if reading.kind is Kind.CAPACITY else None
        if reading.kind is Kind.CHARGED:
            self._charged(reading.value)
        elif reading.kind is Kind.PLAYED:
            self._played(moment)
        elif reading.kind is Kind.CAPACITY:
            self._reset(practice("left after test"), practice("left after test doubt"))
        elif (rest_v := reading.value if reading.kind is Kind.RESTED else reading.said("rest_v")) is not None:
            self._rested(rest_v, *not_yet_rested(moment.since_charge_h, moment.since_load_h))
        return before or self.held()

    def stand_until(self, day: float) -> None:
        """Let it stand until a day: some charge goes, at a rate that nobody knows well."""
        if self._day is None:
            self._day = day
        if day - self._day < _LEAST_DAYS:
            return
        months = (day - self._day) / _MONTH_DAYS
        # One battery keeps its own rate: doubts of its days add up, not their squares.
        before, self._stood = self._stood, self._stood + months
        doubt = practice("standing doubt") * (self._stood**2 - before**2) ** 0.5
        self._take(practice("standing") * months, doubt)
        self._day = day

    def held(self) -> Held:
        """Tell what it holds."""
        chance = self._chance.sum(axis=1)
        middle = float(chance @ _charges())
        spread = float(chance @ (_charges() - middle) ** 2) ** 0.5
        return Held(middle, spread, float(chance[_charges() >= practice("charged enough")].sum()))

    def estimate(self) -> Estimate:
        """Tell the middle and the 90 % range of its charge."""
        below = np.concatenate([[0.0], np.cumsum(self._chance.sum(axis=1))])
        edges = np.clip((np.arange(_CELLS + 1) - 0.5) / (_CELLS - 1), 0.0, 1.0)
        low, middle, high = (float(np.interp(share, below, edges)) for share in (0.05, 0.5, 0.95))
        return Estimate(middle, low, high)

    def _charged(self, end_v: float | None) -> None:
        short = 0.0 if end_v is None else max(practice("full end") - end_v, 0.0)
        doubt = practice("untold end doubt") if end_v is None else practice("charged to doubt")
        self._reset(practice("charged to") - practice("short of full") * short, doubt + practice("short doubt") * short)

    def _played(self, moment: Moment) -> None:
        reading = moment.reading
        if (before_v := reading.said("before_v")) is not None:
            self._rested(before_v, *not_yet_rested(moment.since_charge_h, moment.since_load_h))
        used_ah, doubt_ah = practice("match charge"), practice("match charge doubt")
        if (told := reading.said("used_ah")) is not None:
            used_ah, doubt_ah = told, practice("told charge doubt") * told
        self._take(used_ah / self._capacity_ah, doubt_ah / self._capacity_ah)
        if (after_v := reading.said("after_v")) is not None:
            self._rested(after_v, *not_yet_rested(None, practice("dip time")))

    def _reset(self, middle: float, doubt: float) -> None:
        """Put the charge where a charge or a test left it; the battery's own curve stays what it was."""
        self._stood = 0.0
        self._chance = np.outer(_bell(_charges(), middle, doubt), self._chance.sum(axis=0))
        self._even()

    def _take(self, share: float, doubt: float) -> None:
        """Take a share of a full charge out: below empty is empty, above full is full."""
        steps = np.arange(1 - _CELLS, _CELLS) / (_CELLS - 1)
        kernel = _bell(steps, -share, max(doubt, 0.5 / (_CELLS - 1)))
        kernel /= kernel.sum()
        rows = np.arange(_CELLS)
        moved = kernel[rows[:, None] - rows[None, :] + _CELLS - 1]
        below = np.cumsum(kernel)
        moved[0] = below[_CELLS - 1 - rows]
        moved[-1] = 1.0 - np.concatenate([[0.0], below])[2 * _CELLS - 2 - rows]
        self._chance = moved @ self._chance
        self._even()

    def _rested(self, rest_v: float, above_v: float, doubt_v: float) -> None:
        expected = _rest_voltages()[:, None] + _offsets()[None, :]
        spread = (practice("rest noise") ** 2 + doubt_v**2) ** 0.5
        off = (rest_v - above_v - expected) / spread
        tail = practice("tail")
        self._chance = self._chance * (1 + off**2 / tail) ** (-(tail + 1) / 2)
        self._even()

    def _even(self) -> None:
        self._chance /= self._chance.sum()


def charge_along(events: Iterable[Moment], now_day: float, capacity_ah: float) -> tuple[tuple[Held, ...], Estimate]:
    """Return what a battery held at each moment, and the estimate of what it holds now."""
    charge = Charge(capacity_ah)
    held = tuple(charge.meet(moment) for moment in events)
    charge.stand_until(now_day)
    return held, charge.estimate()


@cache
def _charges() -> NDArray[np.float64]:
    return np.linspace(0.0, 1.0, _CELLS)


@cache
def _rest_voltages() -> NDArray[np.float64]:
    return np.array([rest_voltage(float(charge)) for charge in _charges()])


@cache
def _offsets() -> NDArray[np.float64]:
    return np.linspace(-2.0, 2.0, _OFFSETS) * practice("curve doubt")


@cache
def _offset_chance() -> NDArray[np.float64]:
    chance = _bell(_offsets(), 0.0, practice("curve doubt"))
    found: NDArray[np.float64] = chance / chance.sum()
    return found


def _bell(at: NDArray[np.float64], middle: float, doubt: float) -> NDArray[np.float64]:
    found: NDArray[np.float64] = np.exp(-0.5 * ((at - middle) / doubt) ** 2) + 1e-12
    return found
