"""What any answer must cost at least, counted by length alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cutting.batch import Score

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Source


def plain_bound(batch: Batch, *, missing: int) -> Score:
    """Bound an answer from below by room and length, where `missing` pieces stay without a spool at best.

    Each number holds for answers that are as good as can be in the numbers before it.
    """
    need_mm = _wanted_mm(batch, missing)
    hand_mm = sum((s.count or 0) * s.room_mm for s in batch.sources)
    offers = [s for s in batch.sources if s.new]
    longest = max((s.room_mm for s in offers), default=0)
    bought = -(-max(0, need_mm - hand_mm) // longest) if longest else 0
    cents = bought * min((s.cents for s in offers), default=0)
    trims = started_at_least(batch, missing=missing)
    kerfs = batch.kerf_mm * max(0, sum(need.count for need in batch.needs) - missing)
    return Score(
        _homeless(batch), bought, cents, trims * min((s.trim_mm for s in _trimmed(batch)), default=0) + kerfs, 0
    )


def started_at_least(batch: Batch, *, missing: int) -> int:
    """Count the spools that have to be started and trimmed at least, the off-cuts used up."""
    left = _wanted_mm(batch, missing) - sum((s.count or 0) * s.room_mm for s in batch.sources if s.trim_mm == 0)
    started = 0
    for source in sorted(_trimmed(batch), key=lambda s: -s.room_mm):
        if left <= 0:
            break
        wanted = -(-left // source.room_mm)
        used = wanted if source.count is None else min(wanted, source.count)
        started, left = started + used, left - used * source.room_mm
    return started


def _trimmed(batch: Batch) -> list[Source]:
    return [s for s in batch.sources if s.trim_mm and s.room_mm > 0]


def _wanted_mm(batch: Batch, missing: int) -> int:
    """Add up what is cut at least: all but the longest `missing` pieces [mm]."""
    lengths = sorted((batch.weight_mm(n) for n, need in enumerate(batch.needs) for _ in range(need.count)))
    return sum(lengths[: max(0, len(lengths) - missing)])


def _homeless(batch: Batch) -> int:
    """Count the pieces that no source is long enough for."""
    return sum(
        need.count
        for n, need in enumerate(batch.needs)
        if not any(n in s.takes and s.room_mm >= batch.weight_mm(n) for s in batch.sources)
    )
