"""The plain answer: longest piece first, each onto the started spool where it leaves the least."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.cutting.batch import tidy

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Pattern


@dataclass(slots=True)
class _Open:
    """A spool that is being cut."""

    source: int
    counts: list[int]
    rest_mm: int


def first_fit(batch: Batch) -> tuple[Pattern, ...]:
    """Cut the longest pieces first, each from the tightest place: a started spool, an off-cut, a spool, a new one.

    A new spool is the longest on offer; at the end each is changed for the cheapest, then shortest, that holds its
    pieces.
    """
    started: list[_Open] = []
    stored = [source.count for source in batch.sources]
    order = sorted(range(len(batch.needs)), key=lambda n: (-batch.needs[n].length_mm, n))
    for need in order:
        for _ in range(batch.needs[need].count):
            spool = _tightest(batch, started, need) or _from_store(batch, stored, need)
            if spool is None:
                break
            if not any(spool.counts):
                started.append(spool)
            spool.counts[need] += 1
            spool.rest_mm -= batch.weight_mm(need)
    return tidy(tuple(_smallest_new(batch, spool) for spool in started))


def _tightest(batch: Batch, started: list[_Open], need: int) -> _Open | None:
    weight = batch.weight_mm(need)
    fitting = [s for s in started if s.rest_mm >= weight and need in batch.sources[s.source].takes]
    return min(fitting, key=lambda s: s.rest_mm, default=None)


def _from_store(batch: Batch, stored: list[int | None], need: int) -> _Open | None:
    """Take an off-cut or spool on hand, the shortest that holds the piece, else the longest new one."""
    weight = batch.weight_mm(need)
    fitting = [
        s
        for s, source in enumerate(batch.sources)
        if stored[s] != 0 and source.room_mm >= weight and need in source.takes
    ]
    on_hand = [s for s in fitting if not batch.sources[s].new]
    if on_hand:
        chosen = min(on_hand, key=lambda s: (not batch.sources[s].offcut, batch.sources[s].room_mm, s))
        stored[chosen] = (stored[chosen] or 0) - 1
    elif fitting:
        chosen = max(fitting, key=lambda s: (batch.sources[s].room_mm, -s))
    else:
        return None
    return _Open(chosen, [0] * len(batch.needs), batch.sources[chosen].room_mm)


def _smallest_new(batch: Batch, spool: _Open) -> Pattern:
    counts = tuple(spool.counts)
    if not batch.sources[spool.source].new:
        return (spool.source, counts)
    fitting = [s for s, source in enumerate(batch.sources) if source.new and batch.fits((s, counts))]
    return (min(fitting, key=lambda s: (batch.sources[s].cents, batch.sources[s].length_mm, s)), counts)
