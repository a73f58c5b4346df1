"""What two faults at a time show: by a rule, or solved by the caller when it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


class PairRule(Protocol):
    """Says what a check shows while two faults are there; faults and checks are numbers, the first fault is 1."""

    def chances(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return the chance of each outcome, read well: a row for every pair, padded as the hunt's own table."""

    def at_most(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return what no chance is above, cheaply: a row for every pair. The closer, the fewer pairs are worked out."""


@dataclass(frozen=True, slots=True, eq=False)
class WorseOfTwo:
    """Two faults show the worse of what each would show; a check names its outcomes from the best to the worst.

    `table` is the hunt's own.
    """

    table: Floats
    _up_to: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Add the chances up once, outcome by outcome."""
        object.__setattr__(self, "_up_to", np.minimum(np.cumsum(self.table, axis=2), 1.0))

    def chances(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return the chance of each outcome: the worse of two is no worse where both are no worse."""
        up_to = self._up_to[:, check]
        both = up_to[first] * up_to[second]
        both[:, 1:] -= both[:, :-1].copy()
        return np.maximum(both, 0.0)

    def at_most(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return the chances themselves: they are cheap."""
        return self.chances(first, second, check)


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """Pairs that the caller works out one by one, with a network solver say, and only those that are asked for.

    `solve` gets the numbers of two faults, the smaller one first, and returns `[checks, outcomes]`. `above` may give a
    cheap bound as `PairRule.at_most` does; without it nothing is known before a pair is solved.
    """

    solve: Callable[[int, int], Floats]
    outcomes: int
    above: Callable[[Ints, Ints, int], Floats] | None = None
    known: dict[tuple[int, int], Floats] = field(default_factory=dict, repr=False)

    def chances(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return the chances, each pair solved the first time that it is asked for."""
        rows = [self._pair(int(one), int(other))[check] for one, other in zip(first, second, strict=True)]
        return np.array(rows, dtype=np.float64).reshape(len(rows), self.outcomes)

    def at_most(self, first: Ints, second: Ints, check: int) -> Floats:
        """Return the caller's bound, or 1."""
        return np.ones((len(first), self.outcomes)) if self.above is None else self.above(first, second, check)

    def _pair(self, one: int, other: int) -> Floats:
        key = (min(one, other), max(one, other))
        if key not in self.known:
            self.known[key] = self.solve(*key)
        return self.known[key]
