"""What the pulls of one way of crimping allow to be said of all such crimps, by forces or by pass and fail."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.records.crimp_forces import lower_limit_n
from loomwright.records.tolerance import GOOD, failure_limit, pulls_needed

if TYPE_CHECKING:
    from loomwright.records.crimp_set import Pool


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What holds of such crimps with this `confidence`.

    `limit_n` is the force [N] that 95 % of them stand, where there are forces to judge. Otherwise `upper` is the
    largest share that may fail, and `needed` the pulls that would show 95 % with as many failures. All are None where
    no force is required and none was measured. `could_show` says that so many pulls could have shown 95 %, had they
    been good; `shown` that they do.
    """

    confidence: float
    limit_n: float | None = None
    upper: float | None = None
    needed: int | None = None
    could_show: bool = False
    shown: bool = False


def claim_of(pool: Pool, confidence: float) -> Claim:
    """Return what some pulls allow to be said. A blunder is no matter of force: with one nothing is shown."""
    if pool.by_force:
        limit_n = lower_limit_n(pool.forces_n, confidence)
        enough = pool.required_n is not None and limit_n >= pool.required_n
        return Claim(confidence=confidence, limit_n=limit_n, could_show=True, shown=enough and not pool.blunders)
    if pool.required_n is None:
        return Claim(confidence=confidence)
    needed = pulls_needed(pool.bad, GOOD, confidence)
    return Claim(
        confidence=confidence,
        upper=failure_limit(pool.bad, pool.pulls, confidence),
        needed=needed,
        could_show=pool.pulls >= pulls_needed(0, GOOD, confidence),
        shown=pool.pulls >= needed and not pool.blunders,
    )
