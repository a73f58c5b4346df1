"""What is said of sample pulls, in plain sentences: the claim, what it rests on, what is odd about the forces."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING, Final

from loomwright.records.crimp_forces import FEWEST_TO_SEE, looks_normal, outlier_n
from loomwright.records.tolerance import GOOD, SURE, failure_limit
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.records.crimp_claim import Claim
    from loomwright.records.crimp_set import Pool

#: As few different readings as this among more pulls mean that the gauge is read in steps (source: own-choice).
_STEPS: Final = 2


def claim_words(claim: Claim, pool: Pool) -> str:
    """Return what may be said of all such crimps, in one or two sentences."""
    told = [_blunder_words(pool)] if pool.blunders else []
    if claim.limit_n is not None:
        told.append(_force_words(claim.limit_n, claim, pool))
    elif claim.upper is not None:
        told.append(_rate_words(claim.upper, claim, pool))
    elif not pool.blunders:
        told.append("No force is required for such crimps, and there are no two forces that differ: nothing to judge.")
    return " ".join(told)


def more_words(more: int) -> str:
    """Return what to do when nothing failed and the pulls are too few to show 95 %."""
    return (
        f"Declare one set of {more} more and have none fail, "
        "or pull the next set with a gauge and write down every force: 5 forces can be enough."
    )


def change_words(more: int) -> str:
    """Return what to do when crimps do not pass; without a change `more` pulls would have to hold (0: not counted)."""
    hold = f", and {more} more pulls have to hold" if more else ""
    return (
        "Change something (adjust or mend the tool, another terminal, another way of working), record the change, "
        f"and declare a new set. Without a recorded change the new set counts together with this one{hold}."
    )


def rests_on(claim: Claim, pool: Pool, *, looks: int, starts: int) -> tuple[str, ...]:
    """Return the assumptions under a claim; `looks` and `starts` count what did not pass before it."""
    told = []
    if claim.limit_n is not None:
        told.append(_normal_words(pool.forces_n))
        if not pool.blunders:
            most = share_up(failure_limit(0, pool.pulls, claim.confidence))
            told.append(
                f"no such crimp being a blunder: {pool.pulls} pulls without one show only that under {most} are"
            )
    if looks:
        told.append(_look_words(claim, looks))
    if starts:
        told.append(
            f"what was changed having changed something: before a change such crimps did not pass ({times(starts)}), "
            f"and every fresh start lets bad crimping through in {percent(1 - SURE)} of cases"
        )
    return tuple(told)


def odd_words(pool: Pool) -> tuple[str, ...]:
    """Return what is odd about some pulls: told, and never a reason to leave a pull out."""
    told = []
    if (odd_n := outlier_n(pool.forces_n)) is not None:
        told.append(f"One force, {odd_n:g} N, lies far from the others (Grubbs' test at 1 %). Look why; it stays in.")
    if looks_normal(pool.forces_n) is False:
        told.append("The forces are not spread as one kind of crimp gives them. Look whether two kinds are among them.")
    if 1 <= len(set(pool.forces_n)) <= _STEPS < len(pool.forces_n):
        told.append("The forces show no more than two readings. Read the gauge finer, or the spread is not seen.")
    if pool.mixed:
        told.append("Some pulls of a set have no force, so all of them are only counted. Write down every force.")
    if pool.mute:
        told.append(f"Pulls that say nothing: {pool.mute}, with neither their own force nor as much required as now.")
    return tuple(told)


def percent(share: float) -> str:
    """Write a share in percent: "95 %", "97.5 %"."""
    return f"{100 * share:.4g} %"


def share_up(share: float) -> str:
    """Write an upper limit in percent, rounded up to a tenth, so that it promises no more than is known."""
    return f"{ceil(round(1000 * share, 6)) / 10:g} %"


def times(count: int) -> str:
    """Write "once", "twice", "3 times"."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def numbers(held: Iterable[int]) -> str:
    """Write "set 1", "sets 1 and 2"."""
    words = [str(number) for number in held]
    return f"set{'s' if len(words) > 1 else ''} {listed(words, 'and')}"


def _blunder_words(pool: Pool) -> str:
    """No force can make up for a blunder: it is another kind of failure."""
    made = "was a blunder" if pool.blunders == 1 else "were blunders"
    return f"{pool.blunders} of {pool.pulls} {made} (came off by hand, strands out), whatever the others hold."


def _force_words(limit_n: float, claim: Claim, pool: Pool) -> str:
    if limit_n <= 0:
        return f"The {len(pool.forces_n)} forces differ too much to promise any force."
    least_n = floor(round(10 * limit_n, 6)) / 10
    sure = f"{percent(GOOD)} of such crimps hold at least {least_n:g} N, with {percent(claim.confidence)} confidence"
    asked = "" if pool.required_n is None else f"; {pool.required_n:g} N are required"
    return f"{sure}{asked}."


def _rate_words(upper: float, claim: Claim, pool: Pool) -> str:
    stood = f"{pool.pulls - pool.bad} of {pool.pulls} held {pool.required_n:g} N"
    return f"{stood}: up to {share_up(upper)} of such crimps may fail, with {percent(claim.confidence)} confidence."


def _look_words(claim: Claim, looks: int) -> str:
    """Tell how strict a later look is: 5 % of luck for the first, half as much for each after it."""
    most = percent((1 - SURE) * (2 - 0.5**looks))
    return (
        f"the same crimping not being judged until it passes: it did not pass before ({times(looks)}), so now it is "
        f"judged with {percent(claim.confidence)} confidence, and bad crimping gets through in at most {most} of cases"
    )


def _normal_words(forces_n: tuple[float, ...]) -> str:
    told = "the forces having a normal distribution, which"
    if len(forces_n) < FEWEST_TO_SEE:
        return f"{told} {len(forces_n)} forces can't show (from {FEWEST_TO_SEE} on it is looked at)"
    if looks_normal(forces_n):
        return f"{told} {len(forces_n)} forces do not contradict (Anderson-Darling test at 1 %)"
    return f"{told} these {len(forces_n)} forces contradict (Anderson-Darling test at 1 %)"
