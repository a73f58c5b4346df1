"""What forces of sample pulls look like: their lower tolerance limit, one that lies far off, a spread not normal."""

from __future__ import annotations

from functools import cache
from math import erfc, log, sqrt
from statistics import fmean, stdev
from typing import TYPE_CHECKING, Final

from loomwright.records.tolerance import GOOD, SURE, tolerance_factor
from loomwright.records.tolerance_numbers import beta_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

#: How often a test may raise its voice about forces that are as they should be.
FALSE_ALARM: Final = 0.01
#: With fewer forces nobody can see how they are spread (source: own-choice).
FEWEST_TO_SEE: Final = 10
#: The largest Anderson-Darling statistic that one in a hundred normal samples exceeds (source: stephens-1986).
_NOT_NORMAL: Final = 1.035
#: Two values always lie equally far from their mean.
_FEWEST_FOR_OUTLIER: Final = 3
#: The smallest chance that has a logarithm.
_LEAST: Final = 5e-324
#: Forces that lie closer together are the same to every gauge [N] (source: own-choice).
_SAME_N: Final = 1e-6


def differ(forces_n: Sequence[float]) -> bool:
    """Tell whether there are forces, and not all of them are the same."""
    return bool(forces_n) and max(forces_n) - min(forces_n) > _SAME_N


def lower_limit_n(forces_n: Sequence[float], confidence: float = SURE) -> float:
    """Return the force [N] that 95 % of such crimps stand, with this confidence: mean - k * (standard deviation).

    It holds for forces with a normal distribution (source: nist-handbook-7.2.6.3). It may be under 0: then the forces
    promise nothing.
    """
    return fmean(forces_n) - tolerance_factor(len(forces_n), GOOD, confidence) * stdev(forces_n)


def outlier_n(forces_n: Sequence[float]) -> float | None:
    """Return the force [N] that lies too far from the others by Grubbs' test at 1 %, both sides; None where none does.

    (source: nist-handbook-1.3.5.17.1)
    """
    if len(forces_n) < _FEWEST_FOR_OUTLIER or not differ(forces_n):
        return None
    mean_n = fmean(forces_n)
    farthest_n = max(forces_n, key=lambda force_n: abs(force_n - mean_n))
    far = abs(farthest_n - mean_n) / stdev(forces_n)
    return farthest_n if far > grubbs_limit(len(forces_n)) else None


@cache
def grubbs_limit(n: int, false_alarm: float = FALSE_ALARM) -> float:
    """Return how many standard deviations from the mean one of n values may lie, to either side.

    (n - 1) / sqrt(n) * sqrt(t * t / (n - 2 + t * t)) with t the Student quantile at false_alarm / (2 * n) and n - 2
    degrees of freedom; the last quotient has a Beta(1/2, (n - 2) / 2) distribution, so no t is needed
    (source: nist-handbook-1.3.5.17.1).
    """
    return (n - 1) / sqrt(n) * sqrt(beta_quantile(1 - false_alarm / n, 0.5, (n - 2) / 2))


def looks_normal(forces_n: Sequence[float]) -> bool | None:
    """Tell whether forces may have a normal distribution; None where they are too few or all alike to see it.

    The Anderson-Darling test at 1 %, with mean and deviation from the forces themselves (source: stephens-1986). Two
    kinds of crimps among the pulls, a skew or a far one show here.
    """
    if len(forces_n) < FEWEST_TO_SEE or not differ(forces_n):
        return None
    n = len(forces_n)
    return anderson_darling(forces_n) * (1 + 0.75 / n + 2.25 / (n * n)) <= _NOT_NORMAL


def anderson_darling(values: Sequence[float]) -> float:
    """Return the Anderson-Darling statistic of values against the normal distribution fitted to them."""
    n, mean, deviation = len(values), fmean(values), stdev(values)
    below = [_log_chance_below((value - mean) / deviation) for value in sorted(values)]
    above = [_log_chance_below((mean - value) / deviation) for value in sorted(values, reverse=True)]
    return -n - sum((2 * i + 1) * (below[i] + above[i]) for i in range(n)) / n


def _log_chance_below(z: float) -> float:
    return log(max(erfc(-z / sqrt(2)) / 2, _LEAST))
