"""The explanations that count when a step is chosen, and what every check shows under them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.hunting.board import Board
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.weigh import OTHER, Weighed, pair_chances


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pool:
    """Explanations with their probabilities (they add up to 1) and repairs, and the checks that can still be made.

    `chances[c, o, h]` is the chance of outcome `o` of check `c` under explanation `h`, and `noise[c, h]` the entropy
    of that [nat]. `seconds[s, c]` is how long check `c` takes from the state of work `s`, with the change, and
    `then[s, c]` the state after it.
    `sure` says that every outcome is certain once misreading is left out.
    """

    members: Ints
    probability: Floats
    repair_s: Floats
    chances: Floats
    noise: Floats
    checks: Ints
    seconds: Floats
    then: Ints
    sure: bool


def pool_of(board: Board, weighed: Weighed, *, share: float, most: int) -> tuple[Pool, float]:
    """Return the explanations with this share of the probability, at most so many, and the share that they have.

    A fault that is on no list is left out: no check finds it.
    """
    best = weighed.best
    best = best[weighed.first[best] != OTHER]
    kept = best[: most if share >= 1 else min(most, 1 + int((weighed.probability[best].cumsum() < share).sum()))]
    first, second, probability = weighed.first[kept], weighed.second[kept], weighed.probability[kept]
    known = 1 - float(weighed.probability[weighed.first == OTHER].sum())
    checks = _left(board, weighed)
    repair_s = np.array([board.hunt.healthy_s, *(fault.repair_s for fault in board.hunt.faults)])
    chances = _chances(board, first, second, checks)
    needs = [board.needs[check] for check in checks]
    then = np.array(
        [[state if need is None else need for need in needs] for state in range(len(board.states))], dtype=np.int64
    )
    pool = pool_from(
        members=kept,
        probability=probability / probability.sum(),
        repair_s=repair_s[first] + np.where(second > 0, repair_s[second], 0.0),
        chances=chances,
        checks=checks,
        seconds=board.seconds[checks] + np.take_along_axis(board.change_s, then, axis=1),
        then=then,
        sure=bool(np.allclose(chances.max(axis=1), (board.trust + board.floor.max(axis=1))[checks][:, None])),
    )
    return pool, float(probability.sum()) / known


def pool_from(
    *,
    members: Ints,
    probability: Floats,
    repair_s: Floats,
    chances: Floats,
    checks: Ints,
    seconds: Floats,
    then: Ints,
    sure: bool,
) -> Pool:
    """Return a pool of these explanations, with the entropies added."""
    noise = -(chances * _safe_log(chances)).sum(axis=1)
    return Pool(
        members=members,
        probability=probability,
        repair_s=repair_s,
        chances=np.ascontiguousarray(chances),
        noise=noise,
        checks=checks,
        seconds=seconds,
        then=then,
        sure=sure,
    )


def _left(board: Board, weighed: Weighed) -> Ints:
    """Return the checks that nothing spoilt."""
    made = [board.hunt.checks[answer.check] for answer in weighed.answers]
    spoilt = {key for check in made for key in check.spoils}
    left = [number for number, check in enumerate(board.hunt.checks) if check.key not in spoilt]
    return np.array(left, dtype=np.int64)


def _chances(board: Board, first: Ints, second: Ints, checks: Ints) -> Floats:
    chances = board.mixed[np.ix_(first, checks)]
    both = np.flatnonzero(second > 0)
    rule = board.hunt.pairs
    if rule is not None and len(both):
        for place, check in enumerate(checks):
            chances[both, place] = pair_chances(board, rule, first[both], second[both], int(check))
    return chances.transpose(1, 2, 0)


def _safe_log(chances: Floats) -> Floats:
    """Return logarithms, and 0 where the chance is 0: it weighs nothing there."""
    return np.log(chances, out=np.zeros_like(chances), where=chances > 0)
