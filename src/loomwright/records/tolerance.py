"""How much a few pulls can promise: tolerance factors for forces; numbers of pulls and limits of rates without."""

from __future__ import annotations

from functools import cache
from math import erfc, exp, sqrt
from statistics import NormalDist
from typing import Final

from loomwright.records.tolerance_numbers import beta_cdf, beta_quantile, rising_root

#: The share of crimps that has to be good, and how sure one has to be of it (source: own-choice).
GOOD: Final = 0.95
SURE: Final = 0.95
#: Chances that differ by less are equal: 1 - 0.9 is not quite 0.1 to a computer.
_ROUNDING: Final = 1e-12
#: Weights of the sum that are smaller than this share of the largest change nothing.
_NEGLIGIBLE: Final = 1e-18


@cache
def tolerance_factor(n: int, coverage: float = GOOD, confidence: float = SURE) -> float:
    """Return k, so that mean - k * (standard deviation) of n values is a lower tolerance limit.

    Of a normal distribution at least the share `coverage` lies above that limit, in the share `confidence` of all
    samples of n: k = t'(confidence; n - 1, z * sqrt(n)) / sqrt(n) with the noncentral t distribution and
    z the normal quantile of `coverage` (source: nist-handbook-7.2.6.3).

    t' is not looked up: the chance that a factor k is enough is the mean of Phi(sqrt(n) * (k * s - z)) over the
    standard deviation s of a sample. With s = exp(u / 2) that is an integral over u of a smooth function that falls
    off fast at both ends, and the plain sum with equal steps gives all digits. No term is negative, so nothing
    cancels and nothing underflows. Holds for every n from 2.

    Raises
    ------
    ValueError
        For fewer than 2 values, a coverage or a confidence under 0.5, or one that is not under 1.
    """
    if n < 2:  # noqa: PLR2004  one value has no spread
        raise ValueError(f"{n} values have no spread; a tolerance factor needs 2 or more")
    _refuse_share(coverage, "coverage")
    _refuse_share(confidence, "confidence")
    quantile = NormalDist().inv_cdf(coverage)
    spreads = _spreads(n - 1)

    def too_sure(factor: float) -> float:
        """Return how much more often than asked this factor is enough."""
        often = sum(weight * erfc(sqrt(n / 2) * (quantile - factor * spread)) for spread, weight in spreads) / 2
        return often - confidence

    high = 1.0
    while too_sure(high) < 0:
        high *= 2
    return rising_root(too_sure, 0, high)


@cache
def pulls_needed(failures: int = 0, coverage: float = GOOD, confidence: float = SURE) -> int:
    """Return how many pulls show `coverage` with `confidence`, if this many of them fail: 59 where none does.

    Exact binomial: the fewest pulls of which so few fail in at most 1 - `confidence` of all cases, where the share
    1 - `coverage` of all crimps is bad (source: clopper-pearson-1934-memory).
    """
    enough = failures + 1
    while not _shows(enough, failures, coverage, confidence):
        enough *= 2
    short = failures
    while enough - short > 1:
        middle = (short + enough) // 2
        if _shows(middle, failures, coverage, confidence):
            enough = middle
        else:
            short = middle
    return enough


def failure_limit(failures: int, n: int, confidence: float = SURE) -> float:
    """Return the exact upper limit of the share that fails: one-sided (source: clopper-pearson-1934-memory)."""
    return beta_quantile(confidence, failures + 1, n - failures) if failures < n else 1.0


def _spreads(freedom: int) -> list[tuple[float, float]]:
    """Return standard deviations of samples from a normal distribution of deviation 1, each with its chance.

    With u = ln(s * s) their density goes with exp(freedom / 2 * (u + 1 - exp(u))), largest at u = 0.
    """
    step = 0.25 / sqrt(freedom)
    weights = {0: 1.0}
    for way in (-1, 1):
        at = way
        while (weight := exp(freedom / 2 * (at * step + 1 - exp(at * step)))) > _NEGLIGIBLE:
            weights[at] = weight
            at += way
    whole = sum(weights.values())
    return [(exp(at * step / 2), weight / whole) for at, weight in sorted(weights.items())]


def _shows(n: int, failures: int, coverage: float, confidence: float) -> bool:
    """Tell whether n pulls of which so few fail would be as rare as asked if too many crimps were bad."""
    rare = beta_cdf(coverage, n - failures, failures + 1)
    return rare <= (1 - confidence) * (1 + _ROUNDING)


def _refuse_share(share: float, name: str) -> None:
    if not 0.5 <= share < 1:  # noqa: PLR2004  under one half the factor changes its sign
        raise ValueError(f"the {name} is {share:g}; give a share from 0.5 up to, but not including, 1")
