"""Ways to hunt, what each takes on average, and the least that is possible: by plain recursion, apart from the program.

A way gets the suspects that are left and names a check, or a suspect to mend.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from loomwright.hunting.hunting import width_for
from loomwright.hunting.lookahead import options
from loomwright.hunting.pool import Pool
from tests.hunting.made_up import part_of

Left = tuple[int, ...]
#: The number of a check, or (second) of a suspect to mend.
Act = tuple[int | None, int | None]
Way = Callable[[Pool, Left], Act]


def least_s(pool: Pool) -> float:
    """Return the least expected time [s]: every step is tried in every set of suspects, from the small sets on."""
    weights, repairs_s = pool.probability.tolist(), pool.repair_s.tolist()
    checks = [(float(s), _outcome_bits(pool, check)) for check, s in enumerate(pool.seconds[0])]
    everyone = (1 << len(weights)) - 1
    # Weighed by the probability of the set: what comes after a step then simply adds up.
    least, weight = [0.0] * (everyone + 1), [0.0] * (everyone + 1)
    for left in range(1, everyone + 1):
        low = left & -left
        weight[left] = whole = weight[left ^ low] + weights[low.bit_length() - 1]
        best, rest = float("inf"), left
        while rest:
            one = rest & -rest
            rest ^= one
            best = min(best, repairs_s[one.bit_length() - 1] * whole + least[left ^ one])
        for seconds, outcomes in checks:
            parts = [left & bits for bits in outcomes]
            if left not in parts:
                best = min(best, seconds * whole + sum(least[part] for part in parts))
        least[left] = best
    return least[everyone] / weight[everyone]


def _outcome_bits(pool: Pool, check: int) -> list[int]:
    """Return the suspects that show each outcome of a check, as bits; only outcomes that any shows."""
    held = [sum(1 << int(one) for one in np.flatnonzero(row > 0.5)) for row in pool.chances[check]]
    return [bits for bits in held if bits]


def takes_s(pool: Pool, way: Way) -> float:
    """Return what a way takes on average [s], every suspect followed to its end."""
    known: dict[Left, float] = {(): 0.0}

    def takes(left: Left) -> float:
        if left not in known:
            known[left] = _after(pool, left, way(pool, left), takes)
        return known[left]

    return takes(tuple(range(len(pool.members))))


def looking_ahead(pool: Pool, left: Left) -> Act:
    """Take the step that the program takes, without its dynamic programming."""
    here = part_of(pool, left)
    best = options(here, 0, width_for(here))[0]
    return (best.check, None) if best.check >= 0 else (None, left[best.repair])


def per_second(pool: Pool, left: Left) -> Act:
    """Take the most information per second, of checks and repairs."""
    told = {check: _bits(pool, left, check) / pool.seconds[0, check] for check in range(len(pool.checks))}
    best = max(told, key=lambda check: told[check])
    weight = pool.probability[list(left)].sum()
    mends = {
        one: _entropy([pool.probability[one], weight - pool.probability[one]]) / pool.repair_s[one] for one in left
    }
    mend = max(mends, key=lambda one: mends[one])
    if told[best] < 1e-9 or mends[mend] > told[best]:
        return None, mend
    return best, None


def without_cost(pool: Pool, left: Left) -> Act:
    """Take the check that tells most, however long it takes."""
    return _best(pool, left, lambda check: _bits(pool, left, check))


def halving(pool: Pool, left: Left) -> Act:
    """Take the check that parts the number of suspects most evenly."""
    return _best(pool, left, lambda check: _entropy([float(len(part)) for part in _parts(pool, left, check)]))


WAYS: dict[str, Way] = {
    "looking ahead": looking_ahead,
    "information per second": per_second,
    "information without its cost": without_cost,
    "halving": halving,
}


def _best(pool: Pool, left: Left, worth: Callable[[int], float]) -> Act:
    best = max(range(len(pool.checks)), key=worth)
    if worth(best) < 1e-9:
        return None, max(left, key=lambda one: pool.probability[one] / pool.repair_s[one])
    return best, None


def _after(pool: Pool, left: Left, act: Act, then: Callable[[Left], float]) -> float:
    check, mend = act
    weight = pool.probability[list(left)].sum()
    if mend is not None:
        rest = tuple(one for one in left if one != mend)
        return float(pool.repair_s[mend]) + (1 - float(pool.probability[mend] / weight)) * then(rest) * bool(rest)
    assert check is not None
    parts = list(_parts(pool, left, check))
    return float(pool.seconds[0, check]) + sum(
        float(pool.probability[list(part)].sum() / weight) * then(part) for part in parts
    )


def _parts(pool: Pool, left: Left, check: int) -> Iterator[Left]:
    for outcome in range(pool.chances.shape[1]):
        part = tuple(one for one in left if pool.chances[check, outcome, one] > 0.5)
        if part:
            yield part


def _bits(pool: Pool, left: Left, check: int) -> float:
    return _entropy([float(pool.probability[list(part)].sum()) for part in _parts(pool, left, check)])


def _entropy(weights: list[float]) -> float:
    shares = np.array([weight for weight in weights if weight > 0]) / sum(weights)
    return float(-(shares * np.log2(shares)).sum())
