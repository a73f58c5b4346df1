"""One question of cutting in whole millimetres: how many of each length, from which spools, counted in one way.

A cut is made to the millimetre: pieces, kerf, trim and the shortest off-cut kept are rounded up, spools down.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

#: What one spool is cut into: which source it is, and how many of each need.
Pattern: TypeAlias = tuple[int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Need:
    """How many pieces of one length [mm] and colour are wanted."""

    length_mm: int
    colours: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Source:
    """Spools of one length [mm] that are alike: on hand (`count` of them), or on offer (`count` is None).

    `cents` is the price of one in hundredths of the team's money, 0 where it is not known. `takes` are the needs
    whose colour it has.
    """

    length_mm: int
    trim_mm: int
    count: int | None
    takes: tuple[int, ...]
    offcut: bool = False
    cents: int = 0

    @property
    def room_mm(self) -> int:
        """What is left of it to cut from once it is trimmed [mm]."""
        return self.length_mm - self.trim_mm

    @property
    def new(self) -> bool:
        """Whether it has to be bought."""
        return self.count is None


@dataclass(frozen=True, slots=True)
class Batch:
    """Needs and sources that hang together, with what a cut loses and the shortest rest that is kept [mm]."""

    needs: tuple[Need, ...]
    sources: tuple[Source, ...]
    kerf_mm: int
    keep_mm: int

    def weight_mm(self, need: int) -> int:
        """Tell what one piece takes from a spool: its length and the cut [mm]."""
        return self.needs[need].length_mm + self.kerf_mm

    def taken_mm(self, pattern: Pattern) -> int:
        """Tell what all pieces of a pattern take from their spool [mm]."""
        return sum(count * self.weight_mm(need) for need, count in enumerate(pattern[1]) if count)

    def gone_mm(self, source: int, taken_mm: int) -> int:
        """Tell how much of a spool is gone once `taken_mm` is cut from it: all of it but an off-cut worth keeping."""
        spool = self.sources[source]
        rest = spool.room_mm - taken_mm
        return spool.length_mm - (rest if rest >= self.keep_mm else 0)

    def fits(self, pattern: Pattern) -> bool:
        """Tell whether a pattern has only colours of its source, and room for all of them."""
        source = self.sources[pattern[0]]
        colours = all(need in source.takes for need, count in enumerate(pattern[1]) if count)
        return colours and self.taken_mm(pattern) <= source.room_mm


class Score(NamedTuple):
    """How good an answer is; what stands first counts first, and less is better.

    Pieces without a spool, new spools, their price [hundredths], scrap [mm], wire cut from spools instead of
    off-cuts [mm].
    """

    missing: int
    bought: int
    cents: int
    scrap_mm: int
    fresh_mm: int


def uncut(batch: Batch, patterns: tuple[Pattern, ...]) -> tuple[int, ...]:
    """Count what patterns leave of each need."""
    return tuple(need.count - sum(pattern[1][index] for pattern in patterns) for index, need in enumerate(batch.needs))


def score(batch: Batch, patterns: tuple[Pattern, ...]) -> Score:
    """Tell how good an answer is."""
    new = [batch.sources[source] for source, _ in patterns if batch.sources[source].new]
    pieces = sum(
        count * need.length_mm for _, counts in patterns for need, count in zip(batch.needs, counts, strict=True)
    )
    fresh = sum(
        count * need.length_mm
        for source, counts in patterns
        if not batch.sources[source].offcut
        for need, count in zip(batch.needs, counts, strict=True)
    )
    gone = sum(batch.gone_mm(pattern[0], batch.taken_mm(pattern)) for pattern in patterns)
    return Score(sum(uncut(batch, patterns)), len(new), sum(s.cents for s in new), gone - pieces, fresh)


def tidy(patterns: tuple[Pattern, ...]) -> tuple[Pattern, ...]:
    """Put patterns in their one order, without those that cut nothing."""
    return tuple(sorted((p for p in patterns if any(p[1])), key=lambda p: (p[0], [-count for count in p[1]])))
