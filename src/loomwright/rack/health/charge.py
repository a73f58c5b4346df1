"""How full a battery is, as chances over its charge and over how far its own rest curve lies from the named one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.rack.day.practice import usual_practice
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
#: The chances of lying below one standard deviation under the middle, the middle, and one over it.
_ONE_SIGMA: Final = (0.1587, 0.5, 0.8413)


@dataclass(frozen=True, slots=True)
class Held:
    """What a battery held at a moment: the middle of its charge, its doubt, the chance that it was enough.

    `doubt` is half of the range that holds it with 68 %. A mean and a standard deviation would be those of the few that
    a charge failed on.
    """

    middle: float
    doubt: float
    enough: float


class Charge:
    """The chances of every charge (rows) and every offset of the rest curve (columns), moved along a line of days.

    Whatever it should hold, there is a small chance that it holds anything else: a charge that did not take, a cell
    gone, another battery's label. So a rest voltage far from what is expected is believed, at the latest when a second
    one agrees.
    """

    def __init__(self, capacity_ah: float) -> None:
        """Begin knowing next to nothing; `capacity_ah` is what the battery really holds."""
        self._capacity_ah = capacity_ah
        self._stood = 0.0
        self._chance = np.ones((_CELLS, 1)) * _offset_chance()
        self._reset(practice("untold charge"), practice("untold charge doubt"))
        self._day: float | None = None

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
        elif moment.rest_v is not None:
            self._rested(moment.rest_v, *not_yet_rested(moment.since_charge_h, moment.since_load_h))
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
        low, middle, high = self._with(*_ONE_SIGMA)
        enough = self._chance.sum(axis=1)[_charges() >= practice("charged enough")].sum()
        return Held(middle, (high - low) / 2, float(enough))

    def estimate(self) -> Estimate:
        """Tell the middle and the 90 % range of its charge."""
        low, middle, high = self._with(0.05, 0.5, 0.95)
        return Estimate(middle, low, high)

    def _with(self, *shares: float) -> tuple[float, ...]:
        """Return the charges that are not reached with these chances."""
        below = np.concatenate([[0.0], np.cumsum(self._chance.sum(axis=1))])
        edges = np.clip((np.arange(_CELLS + 1) - 0.5) / (_CELLS - 1), 0.0, 1.0)
        return tuple(float(np.interp(share, below, edges)) for share in shares)

    def _charged(self, end_v: float | None) -> None:
        short = 0.0 if end_v is None else max(practice("full end") - end_v, 0.0)
        doubt = practice("untold end doubt") if end_v is None else practice("charged to doubt")
        self._reset(practice("charged to") - practice("short of full") * short, doubt + practice("short doubt") * short)

    def _played(self, moment: Moment) -> None:
        reading = moment.reading
        if moment.rest_v is not None:
            self._rested(moment.rest_v, *not_yet_rested(moment.since_charge_h, moment.since_load_h))
        used_ah, doubt_ah = usual_practice().match_ah, practice("match charge doubt")
        if (told := reading.said("used_ah")) is not None:
            used_ah, doubt_ah = told, practice("told charge doubt") * told
        self._take(used_ah / self._capacity_ah, doubt_ah / self._capacity_ah)
        if (after_v := reading.said("after_v")) is not None:
            self._rested(after_v, *not_yet_rested(None, practice("dip time")))

    def _reset(self, middle: float, doubt: float) -> None:
        """Put the charge where a charge or a test left it, if it did; the battery's own curve stays what it was."""
        self._stood = 0.0
        bell = _bell(_charges(), middle, doubt)
        self._chance = np.outer(bell / bell.sum(), self._chance.sum(axis=0))
        self._fail(practice("charge failed"))

    def _fail(self, chance: float) -> None:
        """Leave a chance that it holds anything: any charge alike, or nothing, where a cell is gone."""
        anything = np.full(_CELLS, (1 - practice("cell gone")) / _CELLS)
        anything[0] += practice("cell gone")
        self._chance = (1 - chance) * self._chance + chance * np.outer(anything, self._chance.sum(axis=0))
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
        """Take in a rest voltage; one below the curve's lowest point means empty, one above its highest full.

        Its error is spread as the logistic curve: as wide as Student's t, but a lower voltage never speaks for more
        charge, as it does in Student's tails. What is left for a slip of the pen is the same everywhere.
        """
        self._fail(practice("failed since"))
        own_v = np.clip(rest_v - above_v - _offsets(), _rest_voltages()[0], _rest_voltages()[-1])
        width_v = practice("rest width") * (practice("rest noise") ** 2 + doubt_v**2) ** 0.5
        off = (own_v[None, :] - _rest_voltages()[:, None]) / width_v
        slip = practice("blunder")
        self._chance = self._chance * (
            (1 - slip) / (4 * width_v * np.cosh(np.clip(off / 2, -300, 300)) ** 2) + slip / practice("blunder span")
        )
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
