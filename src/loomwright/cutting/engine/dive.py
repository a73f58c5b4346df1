"""Diving: settle what the linear answer is surest of, price again for what is left, until everything is cut."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.cutting.batch import tidy, uncut
from loomwright.cutting.engine.first_fit import first_fit
from loomwright.cutting.engine.generate import generate
from loomwright.cutting.engine.stage import wire_mm

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.stage import Stage
    from loomwright.search import Watch

_WHOLE = 1 - 1e-6
_ROUNDS = 60


def dive(batch: Batch, stage: Stage, pool: dict[Pattern, None], *, watch: Watch) -> tuple[Pattern, ...]:
    """Return an answer found by diving; what the dive can't place is cut first-fit, so it may break earlier numbers."""
    left, ahead = batch, stage
    settled: list[Pattern] = []
    price = float(4 * (wire_mm(batch) + sum(s.length_mm for s in batch.sources)))
    while any(need.count for need in left.needs) and not watch.stopped:
        mine = dict.fromkeys(p for p in pool if _usable(left, p))
        relaxed = generate(left, ahead, mine, rounds=_ROUNDS, watch=watch, rescue=price)
        pool.update(mine)
        chosen = _surest(relaxed.use)
        if not chosen:
            break
        for pattern in chosen:
            settled.append(pattern)
            ahead = ahead.less(left, pattern)
            left = without(left, pattern)
    return tidy((*settled, *first_fit(left)))


def without(batch: Batch, pattern: Pattern) -> Batch:
    """Return what is left of needs and sources once a pattern is cut."""
    source, counts = pattern
    needs = tuple(replace(need, count=need.count - count) for need, count in zip(batch.needs, counts, strict=True))
    stored = batch.sources[source].count
    sources = list(batch.sources)
    sources[source] = replace(sources[source], count=None if stored is None else stored - 1)
    return replace(batch, needs=needs, sources=tuple(sources))


def trimmed(batch: Batch, patterns: tuple[Pattern, ...]) -> tuple[Pattern, ...]:
    """Leave out pieces that are cut once too often, the last patterns first."""
    over = [-left for left in uncut(batch, patterns)]
    kept: list[Pattern] = []
    for source, counts in reversed(tidy(patterns)):
        drop = [max(0, min(count, extra)) for count, extra in zip(counts, over, strict=True)]
        over = [extra - less for extra, less in zip(over, drop, strict=True)]
        kept.append((source, tuple(count - less for count, less in zip(counts, drop, strict=True))))
    return tidy(tuple(kept))


def _usable(batch: Batch, pattern: Pattern) -> bool:
    source, counts = pattern
    stored = batch.sources[source].count
    return stored != 0 and all(count <= need.count for count, need in zip(counts, batch.needs, strict=True))


def _surest(use: tuple[tuple[Pattern, float], ...]) -> list[Pattern]:
    """Take all whole uses, else the pattern that is used the most."""
    whole = [pattern for pattern, times in use for _ in range(int(times + 1 - _WHOLE))]
    if whole or not use:
        return whole
    return [max(use, key=lambda told: (told[1], told[0]))[0]]
