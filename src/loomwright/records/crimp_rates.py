"""How often the ends of a tool or of a person fail once they are on the robot, drawn towards the rest of the team."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.records.tolerance import SURE
from loomwright.records.tolerance_numbers import beta_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

#: What is supposed before anything is known: as if 8 ends of the team had been looked at and 1 had failed. Of a person
#: with 0 failures of 3 that leaves Beta(1, 10), at most 31 % (two-sided 95 %), where Wilson's interval says 56 %,
#: Jeffreys' 54 % and the exact one 71 %. Among Beta(1, b) with a whole b no other gives 31 % (source: own-choice).
WEIGHT: Final = 8
SUPPOSED: Final = 1


@dataclass(frozen=True, slots=True)
class Ends:
    """The fitted ends of one tool or of one person (initials): how many were judged, how many of them failed.

    Raises
    ------
    ValueError
        For a count under 0, or more failures than ends.
    """

    name: str
    n: int
    failures: int

    def __post_init__(self) -> None:
        """Refuse counts that can't be."""
        if not 0 <= self.failures <= self.n:
            raise ValueError(f"{self.name}: {self.failures} failures of {self.n} ends can't be; count them again")


@dataclass(frozen=True, slots=True)
class Rate:
    """How often the ends of one name fail: the share to expect, and the range that holds it with 95 %."""

    name: str
    estimate: float
    lower: float
    upper: float
    n: int
    failures: int
    what: str


def rates(held: Sequence[Ends]) -> tuple[Rate, ...]:
    """Return the rate of each name, in the order given.

    An empirical Bayes estimate with a prior of fixed weight: Beta(8 * r, 8 * (1 - r)), where r is the rate of all the
    *others*, so that nobody's ends count twice, and the others begin with 1 failure of 8. The limits are the 2.5 % and
    97.5 % quantiles of the posterior. The weight is a choice: so few people can't show how much people differ.
    """
    n, failures = sum(one.n for one in held), sum(one.failures for one in held)
    return tuple(_rate(one, n - one.n, failures - one.failures) for one in held)


def _rate(one: Ends, others: int, others_failed: int) -> Rate:
    share = (SUPPOSED + others_failed) / (WEIGHT + others)
    a = WEIGHT * share + one.failures
    b = WEIGHT * (1 - share) + one.n - one.failures
    tail = (1 - SURE) / 2
    lower, upper = beta_quantile(tail, a, b), beta_quantile(1 - tail, a, b)
    return Rate(one.name, a / (a + b), lower, upper, one.n, one.failures, _words(one, lower, upper))


def _words(one: Ends, lower: float, upper: float) -> str:
    seen = f"{one.failures} of {one.n} ends failed" if one.n else "no end was judged yet"
    known = "mostly what the team's ends say" if one.n < WEIGHT else "drawn a little towards the team's ends"
    return f"{one.name}: {seen}. Between {100 * lower:.0f} % and {100 * upper:.0f} % may fail (95 % sure), {known}."
