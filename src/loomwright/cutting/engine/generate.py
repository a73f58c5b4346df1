"""Column generation: price patterns until none would help; every round gives a true bound."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.cutting.engine.master import Master
from loomwright.cutting.engine.pricing import UNIT, Prices, bound, cheapest

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.stage import Stage
    from loomwright.search import Watch

_USED = 1e-9
# A reduced cost above this is rounding, not a saving.
_SAVING = -(UNIT >> 14)


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The linear answer: how often each pattern is used, the best bound [1/UNIT], and the prices that it rests on.

    `reduced` holds the least reduced cost of each source at these prices [1/UNIT].
    """

    use: tuple[tuple[Pattern, float], ...]
    exact: int
    prices: Prices | None
    reduced: tuple[int, ...]

    @property
    def bound(self) -> int:
        """What the goal must come to at least: the bound rounded up, because every goal is a whole number."""
        return -(-self.exact // UNIT)


def generate(
    batch: Batch,
    stage: Stage,
    pool: dict[Pattern, None],
    *,
    rounds: int,
    watch: Watch,
    rescue: float | None = None,
    enough: int | None = None,
) -> Relaxed:
    """Solve the linear program over all patterns, starting from a pool; new ones are added to it.

    Stops early once the bound reaches `enough`. `rescue` is the price at which a piece may stay open (None: it can't).
    """
    master = Master(batch, stage, rescue=rescue)
    for pattern in pool:
        if batch.fits(pattern):
            master.add(pattern)
    use: tuple[tuple[Pattern, float], ...] = ()
    best = Relaxed((), -(1 << 60), None, ())
    for _ in range(rounds):
        solved = master.solve()
        if solved is None:
            break
        use = tuple(p for p in zip(master.patterns, solved.patterns, strict=True) if p[1] > _USED)
        prices = Prices.of(stage, solved.duals)
        priced = cheapest(batch, prices)
        found = bound(batch, stage, prices, priced)
        if found > best.exact:
            best = Relaxed((), found, prices, priced.reduced)
        if watch.stopped or (enough is not None and best.bound >= enough):
            break
        helpful = [
            pattern
            for pattern, reduced, scarce in zip(priced.patterns, priced.reduced, prices.sources, strict=True)
            if reduced - scarce < _SAVING and any(pattern[1])
        ]
        added = [master.add(pattern) for pattern in helpful]
        if not any(added):
            break
        pool.update(dict.fromkeys(helpful))
    return replace(best, use=use)
