"""The beta distribution, and where a rising function crosses zero: plain Python, as scipy is there in tests only."""

from __future__ import annotations

from math import exp, lgamma, log, log1p
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

#: A step of the continued fraction that changes less is the last one.
_STILL: Final = 1e-16
#: Stands for zero where Lentz's method would divide by it.
_TINY: Final = 1e-300
_MOST_STEPS: Final = 10_000


def beta_cdf(x: float, a: float, b: float) -> float:
    """Return the chance that a Beta(a, b) quantity is at most x: the regularized incomplete beta function.

    The continued fraction converges quickly left of the mean; right of it the mirror image is taken
    (source: dlmf-8.17-memory, 8.17.4 and 8.17.22).
    """
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _left(1 - x, b, a)
    return _left(x, a, b)


def beta_quantile(chance: float, a: float, b: float) -> float:
    """Return the x that a Beta(a, b) quantity stays under with this chance."""
    return rising_root(lambda x: beta_cdf(x, a, b) - chance, 0, 1)


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function crosses zero between two points, to the last digit, by halving."""
    while low < (middle := (low + high) / 2) < high:
        if function(middle) < 0:
            low = middle
        else:
            high = middle
    return high


def _left(x: float, a: float, b: float) -> float:
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    return front * _fraction(x, a, b) / a


def _fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of 8.17.22 by Lentz's method."""
    above, below = 1.0, 1 / _not_zero(1 - (a + b) * x / (a + 1))
    value = below
    for m in range(1, _MOST_STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            below = 1 / _not_zero(1 + term * below)
            above = _not_zero(1 + term / above)
            value *= below * above
        if abs(below * above - 1) <= _STILL:
            break
    return value


def _not_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
