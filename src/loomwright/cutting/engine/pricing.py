"""The most valuable patterns: a bounded knapsack over whole millimetres, in whole numbers, so that bounds are exact."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import starmap
from typing import TYPE_CHECKING

import numpy as np

from loomwright.cutting.engine.stage import (
    BOUGHT,
    CENTS,
    FRESH,
    MISSING,
    SCRAP,
    STARTED,
    features_of_missing,
    span,
    wire_mm,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.master import Duals
    from loomwright.cutting.engine.stage import Stage

#: Prices are counted in this part of a unit.
UNIT = 1 << 20
_NOTHING = -(1 << 60)
_Take = tuple[int, int, int, "NDArray[np.bool_]"]


@dataclass(frozen=True, slots=True)
class Prices:
    """Whole-number prices [1/UNIT]: of a piece of each need, of each feature, of a start, of a source's scarcity."""

    needs: tuple[int, ...]
    features: tuple[int, ...]
    started: int
    sources: tuple[int, ...]

    @classmethod
    def of(cls, stage: Stage, duals: Duals) -> Prices:
        """Round the duals of a linear program to prices of the right sign; any such prices give a true bound."""
        features = [(UNIT if number == stage.goal else 0) for number in range(6)]
        for number, dual in enumerate(duals.limits):
            features[number] = -math.floor(dual * UNIT)
        return cls(
            tuple(max(0, math.floor(dual * UNIT)) for dual in duals.needs),
            tuple(features),
            max(0, math.floor(duals.started * UNIT)),
            tuple(min(0, math.ceil(dual * UNIT)) for dual in duals.sources),
        )


@dataclass(frozen=True, slots=True)
class Priced:
    """The cheapest pattern of each source at these prices, with its reduced cost [1/UNIT] before scarcity."""

    patterns: tuple[Pattern, ...]
    reduced: tuple[int, ...]


def cheapest(batch: Batch, prices: Prices) -> Priced:
    """Find the pattern of least reduced cost for every source; sources that take alike share one table."""
    tables: dict[tuple[tuple[int, ...], bool], _Table] = {}
    patterns: list[Pattern] = []
    reduced: list[int] = []
    for index, source in enumerate(batch.sources):
        key = (source.takes, source.offcut)
        if key not in tables:
            rooms = [s.room_mm for s in batch.sources if (s.takes, s.offcut) == key]
            tables[key] = _Table(batch, prices, source.takes, offcut=source.offcut, room_mm=max(rooms))
        table = tables[key]
        cost = spool_cost(batch, index, prices)
        counts, least = table.best(batch, index, cost, prices.features[SCRAP])
        patterns.append((index, counts))
        reduced.append(least)
    return Priced(tuple(patterns), tuple(reduced))


def spool_cost(batch: Batch, index: int, prices: Prices) -> int:
    """Tell what starting a spool costs at these prices, whatever is cut from it [1/UNIT]."""
    source = batch.sources[index]
    bought = prices.features[BOUGHT] + prices.features[CENTS] * source.cents if source.new else 0
    return bought + (prices.features[STARTED] - prices.started if source.trim_mm else 0)


def piece_value(batch: Batch, need: int, prices: Prices, *, offcut: bool) -> int:
    """Tell what one piece of a need is worth at these prices [1/UNIT]."""
    return prices.needs[need] - (0 if offcut else prices.features[FRESH] * batch.needs[need].length_mm)


def bound(batch: Batch, stage: Stage, prices: Prices, priced: Priced) -> int:
    """Tell what the goal must come to at least: the Lagrangian bound, in whole numbers throughout.

    Needs are paid their price, limits theirs; each spool can then lower the sum by its reduced cost at most. What a
    better answer can use of a source bounds how often. In parts of a unit [1/UNIT].
    """
    total = sum(need.count * price for need, price in zip(batch.needs, prices.needs, strict=True))
    for number in range(len(stage.limits)):
        total += min(-prices.features[number] * end for end in span(batch, stage, number))
    total += stage.started * prices.started
    for source, reduced in zip(batch.sources, priced.reduced, strict=True):
        total += min(0, reduced) * (stage.new if source.count is None else source.count)
    if stage.goal == MISSING or stage.limits[MISSING] > 0:
        for need, wanted in enumerate(batch.needs):
            told = features_of_missing(batch, need)
            cost = sum(starmap(int.__mul__, zip(prices.features, told, strict=True)))
            total += min(0, cost - prices.needs[need]) * wanted.count
    if stage.goal == SCRAP:
        total -= wire_mm(batch) * UNIT
    return total


class _Table:
    """The best value for every exact length taken, for one set of needs."""

    def __init__(self, batch: Batch, prices: Prices, takes: tuple[int, ...], *, offcut: bool, room_mm: int) -> None:
        weights = {need: batch.weight_mm(need) for need in takes}
        wanted = sum(weights[need] * batch.needs[need].count for need in takes)
        self.step = math.gcd(*weights.values()) if weights else 1
        size = min(room_mm, wanted) // self.step + 1
        self.best_value: NDArray[np.int64] = np.full(max(1, size), _NOTHING, dtype=np.int64)
        self.best_value[0] = 0
        self.takes: list[_Take] = []
        self.needs = len(batch.needs)
        for need in takes:
            value = piece_value(batch, need, prices, offcut=offcut)
            weight = weights[need] // self.step
            self._offer(need, value, weight, min(batch.needs[need].count, (size - 1) // weight))

    def _offer(self, need: int, value: int, weight: int, most: int) -> None:
        """Let up to `most` of a need be taken, in groups of 1, 2, 4 ... and the rest."""
        group = 1
        while most > 0:
            number = min(group, most)
            shift = number * weight
            with_it = self.best_value[:-shift] + number * value
            better = np.zeros(len(self.best_value), dtype=np.bool_)
            better[shift:] = with_it > self.best_value[shift:]
            self.best_value[shift:] = np.maximum(self.best_value[shift:], with_it)
            self.takes.append((need, number, shift, better))
            most -= number
            group *= 2

    def best(self, batch: Batch, index: int, cost: int, scrap_price: int) -> tuple[tuple[int, ...], int]:
        """Return the counts of the cheapest pattern of a source that cuts something, and its reduced cost [1/UNIT]."""
        source = batch.sources[index]
        length = min(len(self.best_value), max(0, source.room_mm) // self.step + 1)
        taken = np.arange(length, dtype=np.int64) * self.step
        rest = source.room_mm - taken
        gone = source.length_mm - np.where(rest >= batch.keep_mm, rest, 0)
        reduced = cost + scrap_price * gone - self.best_value[:length]
        counts = [0] * self.needs
        if length <= 1:
            return tuple(counts), 0
        spot = int(np.argmin(reduced[1:])) + 1
        least = int(reduced[spot])
        for need, number, shift, better in reversed(self.takes):
            if better[spot]:
                counts[need] += number
                spot -= shift
        return tuple(counts), least
