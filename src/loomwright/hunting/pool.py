"""The explanations that count when a step is chosen, and what every check shows under them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from loomwright.hunting.board import Board, entropy
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.weigh import OTHER, Weighed

#: A check whose chances differ by less from one explanation to the next tells nothing.
_NOTHING = 1e-4
_GOLDEN = (1 + 5**0.5) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pool:
    """What would be mended, with its probability (they add up to 1) and time, and the checks that can still be made.

    A member stands for all explanations with the same seats, the likeliest of which is `members[h]`: what kind of fault
    a seat has need not be found out. `ends[h, g]` says that mending `h` ends the hunt where `g` is so, for it is all of
    `g`. `chances[c, o, h]` is the chance of outcome `o` of check `c` under member `h`, and `noise[c, h]` the entropy of
    that [nat]. `alike` gives the same number to members that no check tells apart, and `sure` says that every outcome
    is certain once misreading is left out. `seconds[s, c]` is how long check `c` takes from the state of work `s`, with
    the change, and `then[s, c]` the state after it.
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
    """Return what explanations with this share of the probability would mend, and the share that they have.

    At most so many explanations are looked at. A fault that is on no list is left out: no check finds it. So are
    explanations that are mended, whole.
    """
    gone = [number for number, fault in enumerate(board.hunt.faults, start=1) if fault.key in mended]
    kept, shown = _kept(weighed, share, most, gone)
    known = float(weighed.probability[weighed.first != OTHER].sum()) + weighed.untold
    first, second = _unmended(weighed.first[kept], weighed.second[kept], gone)
    groups = _groups(board, first, second)
    likeliest = np.unique(groups, return_index=True)[1]
    probability = np.bincount(groups, weights=shown)
    checks = _left(board, weighed)
    chances = _chances(board, first, second, shown, groups, checks)
    telling = (
        np.ptp(chances, axis=2).max(axis=1, initial=0.0) > _NOTHING
        if len(likeliest) > 1
        else np.ones(len(checks), bool)
    )
    checks, chances = checks[telling], chances[telling]
    needs = [board.needs[check] for check in checks]
    then = np.array(
        [[state if need is None else need for need in needs] for state in range(len(board.states))], dtype=np.int64
    )
    repair_s = np.array([board.hunt.healthy_s, *(fault.repair_s for fault in board.hunt.faults)])
    each_s = repair_s[first] + np.where(second > 0, repair_s[second], 0.0)
    pool = pool_from(
        members=kept[likeliest],
        probability=probability / probability.sum(),
        repair_s=np.bincount(groups, weights=shown * each_s) / probability,
        chances=chances,
        checks=checks,
        seconds=board.seconds[checks] + np.take_along_axis(board.change_s, then, axis=1),
        then=then,
        sure=bool(np.allclose(chances.max(axis=1, initial=0.0), board.surest[checks][:, None])),
        ends=_ends(board.seat[first[likeliest]], board.seat[second[likeliest]]),
    )
    return pool, float(probability.sum()) / known


def _kept(weighed: Weighed, share: float, most: int, gone: Sequence[int]) -> tuple[Ints, Floats]:
    """Return the explanations that are looked at, the likeliest first, with their probabilities."""
    best = weighed.best
    best = best[weighed.first[best] != OTHER]
    best = best[~(np.isin(weighed.first[best], gone) & np.isin(weighed.second[best], [0, *gone]))]
    few = 1 + int((weighed.probability[best].cumsum() < share * weighed.probability[best].sum()).sum())
    kept = best[: most if share >= 1 else min(most, few)]
    return kept, weighed.probability[kept]


def _unmended(first: Ints, second: Ints, gone: Sequence[int]) -> tuple[Ints, Ints]:
    """Return what explanations leave to be mended: of a pair whose one fault is mended the other, alone."""
    one, other = (np.where(np.isin(faults, gone), 0, faults) for faults in (first, second))
    return np.where(one > 0, one, other), np.where(one > 0, other, 0)


def _groups(board: Board, first: Ints, second: Ints) -> Ints:
    """Return a number for each explanation, the same for those with the same seats; the likeliest has the least."""
    seats = np.sort(np.stack([board.seat[first], board.seat[second]]), axis=0)
    _, first, groups = np.unique(seats[0] * (board.seat.max() + 1) + seats[1], return_index=True, return_inverse=True)
    return np.argsort(np.argsort(first))[groups].astype(np.int64)


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
    """Tell which repairs mend all of which members, by their seats; to settle that the wiring is well mends nothing."""
    inside = [(one == 0) | (one == first[:, None]) | (one == second[:, None]) for one in (first, second)]
    healthy = first == 0
    return np.asarray(inside[0] & inside[1] & (healthy[:, None] == healthy), dtype=np.bool_)


def _left(board: Board, weighed: Weighed) -> Ints:
    """Return the checks that nothing spoilt."""
    made = [board.hunt.checks[answer.check] for answer in weighed.answers]
    spoilt = {key for check in made for key in check.spoils}
    left = [number for number, check in enumerate(board.hunt.checks) if check.key not in spoilt]
    return np.array(left, dtype=np.int64)


def _chances(board: Board, first: Ints, second: Ints, shares: Floats, groups: Ints, checks: Ints) -> Floats:
    """Return what each check shows under each group of explanations `[check, outcome, group]`, misreading mixed in."""
    chances = board.hunt.chances[np.ix_(first, checks)]
    both = np.flatnonzero(second > 0)
    if board.pairs is not None and len(both):
        chances[both] = board.pairs.chances(first[both], second[both], checks)
    order = np.argsort(groups, kind="stable")
    begins = np.flatnonzero(np.diff(groups[order], prepend=-1))
    chances = (
        np.add.reduceat(chances[order] * shares[order, None, None], begins)
        / np.add.reduceat(shares[order], begins)[:, None, None]
    )
    return (chances * board.trust[checks, None] + board.floor[checks]).transpose(1, 2, 0)
