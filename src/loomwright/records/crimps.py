"""The verdict on sets of sample crimps, in the order they were declared: none before a set is full, none forgotten."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from loomwright.records import crimp_words as words
from loomwright.records.crimp_claim import Claim, claim_of
from loomwright.records.crimp_set import Pool, SampleSet, pooled
from loomwright.records.tolerance import GOOD, SURE, pulls_needed

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Outcome", "SampleSet", "Verdict", "judge"]


class Outcome(StrEnum):
    """What came of a set."""

    TOO_FEW = "too few yet"
    TOO_MANY = "too many"
    PASSES = "passes"
    OPEN = "nothing failed, too few to tell"
    FAILS = "does not pass"
    NOT_ASKED = "no force is required"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What can be said after one set; `what` is a plain sentence, `fix` what to do next, "" where nothing is to do.

    The claim is of all sets that are `counted` (numbers from 1): this one and those before it back to the last change.
    `limit_n` is the force [N] that 95 % of such crimps hold, `upper` the largest share that may fail, each with the
    `confidence`; `more` how many further pulls without a failure would show 95 %, where pulls are only counted.
    `beside` tells what came of the earlier sets, `odd` what to look at, `rests_on` what nobody has shown.
    """

    number: int
    outcome: Outcome
    what: str
    fix: str = ""
    counted: tuple[int, ...] = ()
    pulls: int = 0
    bad: int = 0
    confidence: float = SURE
    limit_n: float | None = None
    required_n: float | None = None
    upper: float | None = None
    more: int = 0
    beside: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    could_pass: bool = False

    @property
    def left_bad(self) -> bool:
        """Whether it has no verdict and bad pulls all the same: it is not full, or it grew."""
        return self.outcome in (Outcome.TOO_FEW, Outcome.TOO_MANY) and self.bad > 0


def judge(sets: Sequence[SampleSet]) -> tuple[Verdict, ...]:
    """Return a verdict for each set of one tool, terminal and gauge, in the order in which the sets were declared.

    A set has a verdict when it is full, not before and not with more pulls than declared: who looks after every pull
    and stops at the first good one lets bad crimping through. For the same reason sets are judged together unless
    a change was recorded between them, and each time that the same crimping could have passed and did not, half as
    much luck is allowed the next time: 5 %, 2.5 %, 1.25 %, together under 10 % (source: own-choice).
    """
    told: list[Verdict] = []
    for number in range(1, len(sets) + 1):
        told.append(_verdict(sets[:number], told))
    return tuple(told)


def _verdict(sets: Sequence[SampleSet], before: Sequence[Verdict]) -> Verdict:
    newest, number = sets[-1], len(sets)
    start = max((i for i, one in enumerate(sets) if one.adjusted_before), default=0)
    looks = sum(1 for verdict in before[start:] if verdict.could_pass and verdict.outcome is not Outcome.PASSES)
    # One that was left before it was full, with bad pulls in it, did not pass either.
    starts = sum(1 for verdict in before[:start] if verdict.outcome is Outcome.FAILS or verdict.left_bad)
    pool = pooled(sets[start:])
    claim = claim_of(pool, 1 - (1 - SURE) / 2**looks)
    beside = _beside(before, start)
    if newest.left:
        return _not_full(newest, number, beside, could_pass=newest.left < 0 and claim.could_show)
    outcome = _outcome(claim, pool)
    more = 0 if claim.needed is None or claim.shown or pool.blunders else _more(claim, pool, looks)
    return Verdict(
        number=number,
        outcome=outcome,
        what=words.claim_words(claim, pool),
        fix=_fix(outcome, more),
        counted=tuple(range(start + 1, number + 1)),
        pulls=pool.pulls,
        bad=pool.bad,
        confidence=claim.confidence,
        limit_n=claim.limit_n,
        required_n=pool.required_n,
        upper=claim.upper,
        more=more,
        beside=beside,
        odd=words.odd_words(pool),
        rests_on=words.rests_on(claim, pool, looks=looks, starts=starts),
        could_pass=claim.could_show,
    )


def _not_full(newest: SampleSet, number: int, beside: tuple[str, ...], *, could_pass: bool) -> Verdict:
    """Return that there is no verdict; a set with too many pulls was a look at them all the same."""
    few = newest.left > 0
    what = f"too few yet: {newest.pulled} of {newest.planned} pulled, no verdict before the set is full"
    many = f"too many: {newest.pulled} pulled, {newest.planned} declared, no verdict on a set that grew on the way"
    own = pooled([newest])
    return Verdict(
        number=number,
        outcome=Outcome.TOO_FEW if few else Outcome.TOO_MANY,
        what=what if few else many,
        pulls=own.pulls,
        bad=own.bad,
        fix=f"Pull {newest.left} more." if few else "Declare a new set; all pulls of this one stay counted with it.",
        required_n=newest.required_n,
        beside=beside,
        could_pass=could_pass,
    )


def _outcome(claim: Claim, pool: Pool) -> Outcome:
    if claim.shown:
        return Outcome.PASSES
    if pool.blunders:
        return Outcome.FAILS
    if pool.required_n is None:
        return Outcome.NOT_ASKED
    return Outcome.FAILS if pool.by_force or pool.bad else Outcome.OPEN


def _more(claim: Claim, pool: Pool, looks: int) -> int:
    """Return how many more have to hold; if these could have shown it, the next look is a stricter one."""
    stricter = 1 - (1 - SURE) / 2 ** (looks + claim.could_show)
    return pulls_needed(pool.bad, GOOD, stricter) - pool.pulls


def _fix(outcome: Outcome, more: int) -> str:
    if outcome is Outcome.OPEN:
        return words.more_words(more)
    return words.change_words(more) if outcome is Outcome.FAILS else ""


def _beside(before: Sequence[Verdict], start: int) -> tuple[str, ...]:
    """Tell what came of the earlier sets, and whether they count with this one."""
    if not before:
        return ()
    told = [f"This is set {len(before) + 1} with this tool, terminal and gauge."]
    told += [f"Set {one.number}: {one.outcome}{f', {one.bad} bad' if one.left_bad else ''}." for one in before]
    if start:
        gone = words.numbers(range(1, start + 1))
        told.append(f"A change was recorded after {gone}: not counted here.")
    if len(before) > start:
        kept = words.numbers(range(start + 1, len(before) + 1))
        told.append(f"No change was recorded after {kept}: counted together with this one.")
    return tuple(told)
