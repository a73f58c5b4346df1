"""How often something happened in so many tries, with its range."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

#: Two-sided 95 % of a normal distribution.
_Z: Final = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Chance:
    """How often something happened, with the range that holds its probability in 95 of 100 studies (Wilson's)."""

    count: int
    of: int

    @property
    def share(self) -> float:
        """The share of the tries in which it happened."""
        return self.count / self.of

    @property
    def span(self) -> tuple[float, float]:
        """Wilson's score interval (source: wilson-1927-memory)."""
        n, p = self.of, self.share
        middle = (p + _Z * _Z / (2 * n)) / (1 + _Z * _Z / n)
        half = _Z / (1 + _Z * _Z / n) * sqrt(p * (1 - p) / n + _Z * _Z / (4 * n * n))
        return max(0.0, middle - half), min(1.0, middle + half)
