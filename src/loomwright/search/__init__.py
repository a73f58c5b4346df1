"""What every search shares: how long it may look, how good its answer is proved to be, and who is told meanwhile."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

_SAME = 1e-6
_TENTHS = 1000


class Effort(StrEnum):
    """How far a search goes; budgets are counted in the solver's work, so a slow machine finds the same answer."""

    FIRST = "first"
    USUAL = "usual"
    PROVE = "prove"


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """How good an answer is proved to be.

    `cost` is what the answer costs and `bound` what any answer must cost at least, both in `unit`; `baseline` is the
    cost of the plain answer that the search started from (None: there was none). `breaks` counts the wishes that the
    answer breaks, `least_breaks` what any answer must break at least: fewer breaks come before any cost.
    `baseline_breaks` counts what the plain answer breaks (None: it was not counted).
    """

    cost: float
    bound: float
    unit: str
    baseline: float | None = None
    breaks: float = 0
    least_breaks: float = 0
    baseline_breaks: float | None = None

    @property
    def gap(self) -> float:
        """How far the answer can be from the best possible, as a share of its cost (0: proved best)."""
        if self.breaks > self.least_breaks:
            return 1.0
        over = self.cost - self.bound
        return 0.0 if over <= _SAME * max(1.0, abs(self.cost)) else min(1.0, over / abs(self.cost))

    @property
    def proved(self) -> bool:
        """Whether no better answer is possible."""
        return self.gap == 0.0

    @property
    def status(self) -> str:
        """The word that papers and JSON use: "proved" or "gap"."""
        return "proved" if self.proved else "gap"


def in_words(certificate: Certificate, *, of: str = "", breaks: str = "break fewer wishes") -> str:
    """Say for people how good an answer is: "proved the best possible", "within 0.4 % of the best possible".

    What counts so little that a share of it says nothing is told by itself where `of` names it: "at most 6 mm of scrap
    above the best possible". `breaks` says what another answer may do better where even the breaks are not proved.
    No gap is told smaller than it is.
    """
    if certificate.proved:
        return "proved the best possible"
    if certificate.breaks > certificate.least_breaks:
        return f"not proved: another answer may {breaks}"
    over = certificate.cost - certificate.bound
    if not math.isfinite(over):
        return "not proved"
    if of or certificate.bound <= 0:
        counted = f"{certificate.unit} of {of}" if of else certificate.unit
        return f"at most {math.ceil(over - _SAME)} {counted} above the best possible".replace("  ", " ")
    tenths = math.ceil(certificate.gap * _TENTHS - _SAME)
    return f"within {tenths / 10:g} % of the best possible"


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """What a search tells while it looks: its stage, its best answer and bound, and the share of its budget used.

    `cost` and `bound` are None while there is no answer or no bound yet. `words` stand for them where something is
    counted instead ("312 of 1000").
    """

    stage: str
    cost: float | None = None
    bound: float | None = None
    used: float
    words: str = ""


class Watch(Protocol):
    """Somebody who looks on, and may end a search early: the best answer so far is then kept."""

    def tell(self, news: News) -> None:
        """Hear how far a search is."""

    @property
    def stopped(self) -> bool:
        """Whether the search should end now."""


class _Silent:
    def tell(self, news: News) -> None:
        """Hear nothing."""

    @property
    def stopped(self) -> bool:
        return False


#: Nobody looks on; the search ends by its budget.
SILENT: Watch = _Silent()
