"""Two faults at a time: they show the worse of what each would show, and every pair is weighed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: A pair with a smaller share of all pairs is not told.
_NOTHING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """An answer as pairs need it: `weight[o]` is how likely it is where outcome `o` was read.

    It is read well in the share `well`; what misreading adds is `misread`. `after` are faults that had been mended, and
    `healthy` is the chance of the answer where both are.
    """

    check: int
    weight: Floats
    well: float
    misread: float
    after: Ints
    healthy: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LikelyPairs:
    """The likeliest pairs, and all of them added up.

    `weight` goes with `first` and `second`, the greatest first. `total` is the weight of all pairs, and `with_fault[f]`
    of those that fault `f` is in.
    """

    first: Ints
    second: Ints
    weight: Floats
    total: float
    with_fault: Floats


class Pairs:
    """Every two faults that may be there together, by the numbers of the hunt's table; row 0 is no fault.

    A check names its outcomes from the best to the worst, and two faults show the worse of what each would show.
    """

    def __init__(self, table: Floats, odds: Floats, seat: Ints) -> None:
        """Take the table of chances `[fault, check, outcome]`, and the odds and seats of its rows.

        Faults of the very same seat are never there together.
        """
        self._up_to = np.minimum(np.cumsum(table, axis=2), 1.0)
        self._prior = np.zeros((len(odds), len(odds)))
        self._prior[1:, 1:] = np.triu(np.outer(odds[1:], odds[1:]) * (seat[1:, None] != seat[1:]), k=1)

    def chances(self, first: Ints, second: Ints, checks: Ints) -> Floats:
        """Return the chance of each outcome `[pair, check, outcome]`, read well."""
        both = self._up_to[np.ix_(first, checks)] * self._up_to[np.ix_(second, checks)]
        both[:, :, 1:] -= both[:, :, :-1].copy()
        return np.asarray(np.maximum(both, 0.0), dtype=np.float64)

    def likely(self, answers: Sequence[Told], most: int) -> LikelyPairs:
        """Weigh every pair by its odds and all answers, and return the likeliest, at most so many."""
        weights = self._weights([_Terms.of(self._up_to[:, one.check].copy(), one) for one in answers])
        flat, total = weights.ravel(), float(weights.sum())
        kept = np.flatnonzero(flat > _NOTHING * total)
        kept = kept[np.argpartition(-flat[kept], most)[:most]] if most < len(kept) else kept
        kept = kept[np.lexsort((kept, -flat[kept]))]
        first, second = np.divmod(kept, len(weights))
        return LikelyPairs(
            first=first.astype(np.int64),
            second=second.astype(np.int64),
            weight=flat[kept],
            total=total,
            with_fault=weights.sum(axis=0) + weights.sum(axis=1),
        )

    def _weights(self, answers: Sequence[_Terms]) -> Floats:
        """Return the weight of every pair, the first fault by row and the second by column.

        Most checks do not feel most faults: what all answers feel alike is worked out once.
        """
        if not answers:
            return self._prior.copy()
        first, kind = _kinds(np.vstack([one.features() for one in answers]))
        chances = np.ones((len(first), len(first)))
        for one in answers:
            chances *= one.chances(first)
        return np.asarray(self._prior * chances[np.ix_(kind, kind)], dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Terms:
    """An answer as sums: its chance is what is `added`, and a `share` of each product of both faults' `up_to`.

    Where both are `mended` it is `healthy`.
    """

    share: Floats
    up_to: Floats
    added: float
    mended: npt.NDArray[np.bool_]
    healthy: float

    @classmethod
    def of(cls, up_to: Floats, told: Told) -> _Terms:
        """Return an answer's sums: two are no worse than an outcome where both are no worse."""
        falls = told.well * (told.weight - np.append(told.weight[1:], 0.0))
        mended = np.zeros(len(up_to), dtype=np.bool_)
        mended[told.after] = True
        up_to[told.after] = 1.0
        sure = up_to.min(axis=0) > 1 - 1e-12
        telling = (falls != 0) & ~sure
        return cls(
            share=falls[telling],
            up_to=np.ascontiguousarray(up_to[:, telling].T),
            added=told.misread + float(falls[sure].sum()),
            mended=mended,
            healthy=told.healthy,
        )

    def features(self) -> Floats:
        """Return what the answer feels of each fault `[feature, fault]`."""
        return np.vstack([self.up_to, self.mended[None, :]])

    def chances(self, faults: Ints) -> Floats:
        """Return the chance of the answer under each pair of these faults."""
        found = np.full((len(faults), len(faults)), self.added)
        for share, up_to in zip(self.share, self.up_to[:, faults], strict=True):
            found += np.multiply.outer(share * up_to, up_to)
        mended = np.flatnonzero(self.mended[faults])
        found[np.ix_(mended, mended)] = self.healthy
        return found


def _kinds(features: Floats) -> tuple[Ints, Ints]:
    """Return one fault of every kind that has the same features, and the number of each fault's kind."""
    _, first, kind = np.unique(features, axis=1, return_index=True, return_inverse=True)
    return first.astype(np.int64), kind.astype(np.int64)
