"""Every pattern that a better answer could use: listed with a bound, so that the integer program over them is exact."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from loomwright.cutting.engine.pricing import piece_value, spool_cost
from loomwright.cutting.engine.stage import FRESH, SCRAP

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.pricing import Prices


def worthwhile(
    batch: Batch, prices: Prices, reduced: tuple[int, ...], *, slack: int, most: int
) -> tuple[Pattern, ...] | None:
    """List all patterns that a better answer could use; None where there are more than `most`.

    `slack` is what lies between the bound and a better answer [1/UNIT]. The bound counts the least reduced cost of
    each source, `reduced`, so a pattern may lie above that by the slack and no more. Of patterns that throw the same
    rest away, only those are listed to which no further piece fits.
    """
    found: dict[Pattern, None] = {}
    work = _Work(most)
    for index, source in enumerate(batch.sources):
        if source.count == 0:
            continue
        wanted_mm = sum(batch.weight_mm(need) * batch.needs[need].count for need in source.takes)
        edge_mm = source.room_mm - batch.keep_mm
        for kept, low_mm, high_mm in ((True, 0, edge_mm), (False, max(0, edge_mm + 1), source.room_mm)):
            if low_mm > wanted_mm or high_mm < low_mm:
                continue
            search = _Search(
                batch, prices, index, kept, low_mm, min(high_mm, wanted_mm), slack + min(0, reduced[index]), work
            )
            found.update(dict.fromkeys(search.run()))
            if work.spent:
                return None
    return tuple(found)


@dataclass(slots=True)
class _Work:
    """How many patterns may be listed, and how many steps that may take."""

    most: int
    done: int = 0
    listed: int = 0

    @property
    def spent(self) -> bool:
        return self.listed > self.most or self.done > 40 * self.most


@dataclass(slots=True)
class _Search:
    """Patterns of one source whose rest is kept, or is scrap: in both, cost grows evenly with the length taken."""

    batch: Batch
    prices: Prices
    index: int
    kept: bool
    low_mm: int
    high_mm: int
    slack: int
    work: _Work
    needs: list[int] = field(default_factory=list)
    values: list[int] = field(default_factory=list)
    tails: list[NDArray[np.int64]] = field(default_factory=list)

    def run(self) -> list[Pattern]:
        batch, prices = self.batch, self.prices
        source = batch.sources[self.index]
        scrap = prices.features[SCRAP]
        # Kept: trim and length taken are gone. Scrap: the whole spool is gone, whatever is taken.
        base = spool_cost(batch, self.index, prices) + scrap * (source.trim_mm if self.kept else source.length_mm)
        worth = {
            need: piece_value(batch, need, prices, offcut=source.offcut)
            - (scrap * batch.weight_mm(need) if self.kept else 0)
            for need in source.takes
            if batch.needs[need].count and batch.weight_mm(need) <= self.high_mm
        }
        self.needs = sorted(worth, key=lambda need: (-batch.weight_mm(need), need))
        self.values = [worth[need] for need in self.needs]
        self.tails = self._tails()
        counts = [0] * len(batch.needs)
        patterns: list[Pattern] = []
        self._step(0, 0, base, counts, patterns)
        return patterns

    def _tails(self) -> list[NDArray[np.int64]]:
        """For each step, the most that later needs can be worth in a given length."""
        size = self.high_mm + 1
        tail: NDArray[np.int64] = np.zeros(size, dtype=np.int64)
        tails = [tail]
        for need, value in zip(reversed(self.needs), reversed(self.values), strict=True):
            tail = tail.copy()
            weight, most, group = self.batch.weight_mm(need), self.batch.needs[need].count, 1
            while value > 0 and most > 0:
                number = min(group, most)
                shift = number * weight
                if shift < size:
                    tail[shift:] = np.maximum(tail[shift:], tail[:-shift] + number * value)
                most, group = most - number, group * 2
            tails.append(tail)
        return tails[::-1]

    def _step(self, depth: int, taken_mm: int, cost: int, counts: list[int], patterns: list[Pattern]) -> None:
        self.work.done += 1
        if self.work.spent or cost - int(self.tails[depth][self.high_mm - taken_mm]) > self.slack:
            return
        if depth == len(self.needs):
            if taken_mm >= self.low_mm and any(counts) and not self._room_for_more(counts, taken_mm):
                patterns.append((self.index, tuple(counts)))
                self.work.listed += 1
            return
        need, value = self.needs[depth], self.values[depth]
        weight = self.batch.weight_mm(need)
        for count in range(min(self.batch.needs[need].count, (self.high_mm - taken_mm) // weight), -1, -1):
            counts[need] = count
            self._step(depth + 1, taken_mm + count * weight, cost - count * value, counts, patterns)
        counts[need] = 0

    def _room_for_more(self, counts: list[int], taken_mm: int) -> bool:
        """Tell whether another piece would come from the scrap of this pattern for nothing."""
        if self.kept or self.prices.features[FRESH]:
            return False
        rest_mm = self.high_mm - taken_mm
        return any(
            self.batch.weight_mm(need) <= rest_mm and counts[need] < self.batch.needs[need].count for need in self.needs
        )
