"""The order in which to mend, where nothing is left to check: by probability over cost."""

from __future__ import annotations

import numpy as np

from loomwright.hunting.pairs import Floats, Ints


def repair_order(probability: Floats, repair_s: Floats) -> Ints:
    """Return the order of repairs that ends soonest on average, where one fault is there and a look says if it is gone.

    The most probability for each second comes first; no other order is better (source: kadane-simon-1977-memory,
    heckerman-1995-memory).
    """
    return np.argsort(-probability / repair_s, axis=0, kind="stable")


def repairs_s(probability: Floats, repair_s: Floats, kind: Ints | None = None) -> Floats:
    """Return the time to the end when only repairs are made, for each column of probabilities [s].

    Where the `kind` of fault is known, only faults of that kind are mended. A column that does not add up to 1 is
    weighed by its sum.
    """
    order = repair_order(probability, repair_s[:, None])
    if kind is None:
        spent_s = np.cumsum(repair_s[order], axis=0)
    else:
        order = np.take_along_axis(order, np.argsort(kind[order], axis=0, kind="stable"), axis=0)
        begins = np.searchsorted(np.sort(kind), np.sort(kind))
        until_s = np.cumsum(repair_s[order], axis=0)
        spent_s = until_s - (until_s - repair_s[order])[begins]
    return np.asarray((np.take_along_axis(probability, order, axis=0) * spent_s).sum(axis=0), dtype=np.float64)
