"""The best step of all, where few suspects are left and every answer is certain: dynamic programming over subsets."""

from __future__ import annotations

from typing import Final

import numpy as np

from loomwright.hunting.lookahead import Option, chance_to_end, in_order, information, repair_bits
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.pool import Pool

#: More suspects have too many subsets: time and memory double with each.
MOST_SUSPECTS: Final = 18


def optimal_options(pool: Pool, state: int) -> list[Option]:
    """Return every step with the least expected time to the end that is possible after it, the best first.

    Answers are taken at their word.

    Raises
    ------
    ValueError
        There are more than 18 suspects, or an outcome is a matter of chance.
    """
    if len(pool.members) > MOST_SUSPECTS or not pool.sure:
        raise ValueError(f"{len(pool.members)} suspects: the best step is known for {MOST_SUSPECTS} with sure outcomes")
    table = _Table(pool)
    everyone = np.array([(1 << len(pool.members)) - 1], dtype=np.int64)
    told = information(pool, pool.probability[:, None])[:, 0]
    found = []
    for check in range(len(pool.checks)):
        expected_s = float(table.after_check(check, state, everyone)[0])
        if np.isfinite(expected_s):
            found.append(
                Option(
                    check=check,
                    repair=-1,
                    seconds=float(pool.seconds[state, check]),
                    bits=float(told[check]),
                    expected_s=expected_s,
                )
            )
    for one, seconds in enumerate(pool.repair_s):
        expected_s = float(table.after_repair(one, state, everyone)[0])
        bits = repair_bits(chance_to_end(pool, one))
        found.append(Option(check=-1, repair=one, seconds=float(seconds), bits=bits, expected_s=expected_s))
    return in_order(found)


class _Table:
    """The least expected time for every state of work and every subset of suspects, weighed by its probability."""

    def __init__(self, pool: Pool) -> None:
        self._pool = pool
        count = len(pool.members)
        self._outcomes = [_subsets(pool.chances[check].argmax(axis=0)) for check in range(len(pool.checks))]
        self._ends = pool.ends @ (np.int64(1) << np.arange(count, dtype=np.int64))
        self._weight = np.zeros(1)
        for probability in pool.probability:
            self._weight = np.concatenate([self._weight, self._weight + probability])
        self._least_s = np.zeros((len(pool.seconds), 1 << count))
        sizes = np.bitwise_count(np.arange(1 << count))
        split = [self._different(state) for state in range(len(pool.seconds))]
        for size in range(1, count + 1):
            subsets = np.flatnonzero(sizes == size).astype(np.int64)
            for state, checks in enumerate(split):
                self._least_s[state, subsets] = self._least(state, subsets, checks)

    def after_check(self, check: int, state: int, subsets: Ints) -> Floats:
        """Return the time with this check first [s]; infinity where it does not split the subset."""
        spent_s = self._pool.seconds[state, check] * self._weight[subsets]
        then, splits = self._least_s[self._pool.then[state, check]], np.ones(len(subsets), dtype=np.bool_)
        for outcome in self._outcomes[check]:
            left = subsets & outcome
            spent_s = spent_s + then[left]
            splits &= left != subsets
        return np.where(splits, spent_s, np.inf)

    def after_repair(self, one: int, state: int, subsets: Ints) -> Floats:
        """Return the time with this repair first [s]; infinity where it mends none of the subset."""
        mended = self._ends[one]
        spent_s = self._pool.repair_s[one] * self._weight[subsets] + self._least_s[state, subsets & ~mended]
        return np.where(subsets & mended, spent_s, np.inf)

    def _least(self, state: int, subsets: Ints, checks: list[int]) -> Floats:
        least_s = np.full(len(subsets), np.inf)
        for one in range(len(self._pool.members)):
            np.minimum(least_s, self.after_repair(one, state, subsets), out=least_s)
        for check in checks:
            np.minimum(least_s, self.after_check(check, state, subsets), out=least_s)
        return least_s

    def _different(self, state: int) -> list[int]:
        """Return the checks that part the suspects, one of those that part them alike: the quickest."""
        quickest: dict[tuple[int, tuple[int, ...]], int] = {}
        for check in np.argsort(self._pool.seconds[state], kind="stable"):
            parts = tuple(int(part) for part in self._outcomes[check])
            if len(parts) > 1:
                quickest.setdefault((int(self._pool.then[state, check]), parts), int(check))
        return list(quickest.values())


def _subsets(outcome: Ints) -> Ints:
    """Return, for every outcome that comes of any suspect, those suspects as bits."""
    bits = np.int64(1) << np.arange(len(outcome), dtype=np.int64)
    return np.unique([int(bits[outcome == one].sum()) for one in np.unique(outcome)]).astype(np.int64)
