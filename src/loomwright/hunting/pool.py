"""The explanations that count when a step is chosen, and what every check shows under them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from loomwright.hunting.board import Board, entropy
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.weigh import OTHER, Weighed, pair_chances

#: A check whose chances differ by less from one explanation to the next tells nothing.
_NOTHING = 1e-4
_GOLDEN = (1 + 5**0.5) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pool:
    """Explanations with their probabilities (they add up to 1) and repairs, and the checks that can still be made.

    `ends[h, g]` says that mending `h` ends the hunt where `g` is so, for it is all of `g`. `chances[c, o, h]` is the
    chance of outcome `o` of check `c` under explanation `h`, and `noise[c, h]` the entropy of that [nat]. `alike` gives
    the same number to explanations that no check tells apart, and `sure` says that every outcome is certain once
    misreading is left out. `seconds[s, c]` is how long check `c` takes from the state of work `s`, with the change, and
    `then[s, c]` the state after it.
    """

    members: Ints
    probability: Floats
    repair_s: Floats
    ends: npt.NDArray[np.bool_]
    chances: Floats
    noise: Floats
    alike: Ints
    checks: Ints
    seconds: Floats
    then: Ints
    sure: bool


def pool_of(
    board: Board, weighed: Weighed, *, share: float, most: int, mended: Collection[str] = ()
) -> tuple[Pool, float]:
    """Return the explanations with this share of the probability, at most so many, and the share that they have.

    A fault that is on no list is left out: no check finds it. So are explanations that are mended, whole, unless
    nothing else is left.
    """
    best = weighed.best
    best = best[weighed.first[best] != OTHER]
    gone = np.array([0, *(number for number, f in enumerate(board.hunt.faults, start=1) if f.key in set(mended))])
    over = np.isin(weighed.first[best], gone[1:]) & np.isin(weighed.second[best], gone)
    best = best[~over] if not over.all() else best
    known = float(weighed.probability[best].sum())
    few = 1 + int((weighed.probability[best].cumsum() < share * known).sum())
    kept = best[: most if share >= 1 else min(most, few)]
    first, second, probability = weighed.first[kept], weighed.second[kept], weighed.probability[kept]
    checks = _left(board, weighed)
    repair_s = np.array([board.hunt.healthy_s, *(fault.repair_s for fault in board.hunt.faults)])
    chances = _chances(board, first, second, checks)
    telling = (
        np.ptp(chances, axis=2).max(axis=1, initial=0.0) > _NOTHING if len(kept) > 1 else np.ones(len(checks), bool)
    )
    checks, chances = checks[telling], chances[telling]
    paired = second > 0
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
        sure=_sure(board, first, checks, chances, paired),
        noise=_noise(board, first, checks, chances, paired),
        ends=_ends(first, second),
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
    ends: npt.NDArray[np.bool_] | None = None,
    noise: Floats | None = None,
) -> Pool:
    """Return a pool of these explanations; where not said a repair ends itself alone, and entropies are worked out."""
    return Pool(
        members=members,
        probability=probability,
        repair_s=repair_s,
        ends=np.eye(len(members), dtype=np.bool_) if ends is None else ends,
        chances=np.ascontiguousarray(chances),
        noise=entropy(chances.transpose(0, 2, 1)) if noise is None else noise,
        alike=_alike(chances),
        checks=checks,
        seconds=seconds,
        then=then,
        sure=sure,
    )


def _alike(chances: Floats) -> Ints:
    """Return a number for each explanation; those that every check shows alike have the same.

    A sum with weights that have nothing to do with each other stands for the whole column.
    """
    rows = chances.reshape(-1, chances.shape[2])
    weights = np.modf(np.arange(1, len(rows) + 1) * _GOLDEN)[0]
    return np.unique(np.round(weights @ rows, 9), return_inverse=True)[1].astype(np.int64)


def _ends(first: Ints, second: Ints) -> npt.NDArray[np.bool_]:
    """Tell which repairs mend all of which explanations; to settle that the wiring is well mends nothing else."""
    inside = [(one == 0) | (one == first[:, None]) | (one == second[:, None]) for one in (first, second)]
    healthy = first == 0
    return np.asarray(inside[0] & inside[1] & (healthy[:, None] == healthy), dtype=np.bool_)


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


def _sure(board: Board, first: Ints, checks: Ints, chances: Floats, paired: npt.NDArray[np.bool_]) -> bool:
    """Tell whether every outcome is as likely as misreading lets the likeliest be."""
    most = chances[:, :, paired].max(axis=1, initial=0.0)
    return bool(board.sure[np.ix_(first[~paired], checks)].all() and np.allclose(most, board.surest[checks][:, None]))


def _noise(board: Board, first: Ints, checks: Ints, chances: Floats, paired: npt.NDArray[np.bool_]) -> Floats:
    """Return the entropies `[check, explanation]`: those of single faults are known, pairs are worked out."""
    noise = board.noise[np.ix_(first, checks)].T.copy()
    if paired.any():
        noise[:, paired] = entropy(chances[:, :, paired].transpose(0, 2, 1))
    return noise
