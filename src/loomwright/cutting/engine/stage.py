"""One step of the search: what it makes small, and what the steps before it have settled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Pattern

#: The numbers of a score, and one more that only bounds the others: how many spools are started and trimmed.
MISSING, BOUGHT, CENTS, SCRAP, FRESH, STARTED = range(6)


@dataclass(frozen=True, slots=True)
class Stage:
    """Make number `goal` of the score small, while the numbers before it stay between `floors` and `limits`.

    A floor is a proved bound, so it holds for every answer and makes the linear program tighter. `started` is how many
    spools have to be started and trimmed in any answer; `new` how many a better answer can buy.
    """

    goal: int
    floors: tuple[int, ...]
    limits: tuple[int, ...]
    started: int
    new: int

    def less(self, batch: Batch, pattern: Pattern) -> Stage:
        """Return the stage that is left once a pattern is settled."""
        told = features(batch, pattern)
        limits = tuple(limit - told[number] for number, limit in enumerate(self.limits))
        return Stage(self.goal, (-wire_mm(batch),) * len(limits), limits, 0, self.new - told[BOUGHT])


def features(batch: Batch, pattern: Pattern) -> tuple[int, ...]:
    """Tell what a pattern adds to each number of the score; its scrap is all of the spool that is gone [mm].

    Counted so, a piece cut once too often never makes a pattern cheaper, and pieces may be covered instead of met
    exactly. The wire of the pieces themselves, `wire_mm`, is taken off the sum.
    """
    index, counts = pattern
    source = batch.sources[index]
    fresh = 0 if source.offcut else sum(c * n.length_mm for c, n in zip(counts, batch.needs, strict=True) if c)
    gone = batch.gone_mm(index, batch.taken_mm(pattern))
    return 0, int(source.new), source.cents, gone, fresh, int(source.trim_mm > 0)


def features_of_missing(batch: Batch, need: int) -> tuple[int, ...]:
    """Tell what a piece without a spool adds to each number of the score."""
    return 1, 0, 0, batch.needs[need].length_mm, 0, 0


def wire_mm(batch: Batch) -> int:
    """Add up the length of all pieces [mm]."""
    return sum(need.count * need.length_mm for need in batch.needs)


def span(batch: Batch, stage: Stage, number: int) -> tuple[int, int]:
    """Tell what the sum of one feature comes to at least, and may come to at most."""
    wire = wire_mm(batch) if number == SCRAP else 0
    return stage.floors[number] + wire, stage.limits[number] + wire
