"""Suspects in words' stead: who, how probable, and which answers speak for and against."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from loomwright.hunting.board import Board
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.pool import Pool
from loomwright.hunting.problem import Hunt, Observation
from loomwright.hunting.result import Evidence, Leaves, Suspect
from loomwright.hunting.weigh import OTHER, Weighed


def suspects_of(board: Board, weighed: Weighed, observations: Sequence[Observation], tell: int) -> tuple[Suspect, ...]:
    """Return the most probable explanations, each with every answer held against the best other explanation."""
    shares, likeliest = _put_together(board, weighed)
    # The likeliest degree of a fault stands for it where answers are held against each other.
    best = [int(likeliest[one]) for one in np.argsort(-shares, kind="stable")]
    shares = np.sort(shares)[::-1]
    rivals = [*best[1:2], *best[:1] * (len(best) - 1)]
    return tuple(
        Suspect(
            faults=_faults(board.hunt, weighed, one),
            probability=float(share),
            other=int(weighed.first[one]) == OTHER,
            why=_why(weighed, one, rival, observations),
        )
        for one, rival, share in list(zip(best, rivals, shares, strict=False))[:tell]
    )


def _put_together(board: Board, weighed: Weighed) -> tuple[Floats, Ints]:
    """Return explanations by the keys of their faults: the probability of each, and the likeliest one of it."""
    order = weighed.best
    first, second = weighed.first[order], weighed.second[order]
    names = np.sort(np.stack([np.where(first == OTHER, OTHER, board.name[first]), board.name[second]]), axis=0)
    _, begins, group = np.unique(names, axis=1, return_index=True, return_inverse=True)
    shares = np.bincount(group.ravel(), weights=weighed.probability[order])
    in_order = np.argsort(begins)
    return np.asarray(shares[in_order], dtype=np.float64), order[begins[in_order]]


def leaves_of(board: Board, weighed: Weighed, pool: Pool, check: int, tell: int) -> tuple[Leaves, ...]:
    """Return what each outcome of a check of the pool would leave, and how likely it comes."""
    joint = pool.chances[check] * pool.probability
    outcomes = board.hunt.checks[int(pool.checks[check])].outcomes
    return tuple(
        Leaves(outcome=name, chance=float(row.sum()), suspects=_left(board.hunt, weighed, pool, row / row.sum(), tell))
        for name, row in zip(outcomes, joint, strict=False)
    )


def faults_of(board: Board, weighed: Weighed, pool: Pool, member: int) -> tuple[str, ...]:
    """Return the faults of a member of the pool; () is no wiring fault."""
    return _faults(board.hunt, weighed, int(pool.members[member]))


def _left(hunt: Hunt, weighed: Weighed, pool: Pool, belief: Floats, tell: int) -> tuple[Suspect, ...]:
    best = np.argsort(-belief, kind="stable")[:tell]
    return tuple(
        Suspect(faults=_faults(hunt, weighed, int(pool.members[one])), probability=float(belief[one])) for one in best
    )


def _faults(hunt: Hunt, weighed: Weighed, one: int) -> tuple[str, ...]:
    numbers = (int(weighed.first[one]), int(weighed.second[one]))
    return tuple(hunt.faults[number - 1].key for number in numbers if number > 0)


def _why(weighed: Weighed, one: int, rival: int, observations: Sequence[Observation]) -> tuple[Evidence, ...]:
    contrast = weighed.log_like[one] - weighed.log_like[rival]
    found = [
        Evidence(observation=observations[answer.place], log_odds=float(log_odds))
        for answer, log_odds in zip(weighed.answers, contrast, strict=True)
    ]
    return tuple(sorted(found, key=lambda each: -abs(each.log_odds)))
