"""Which step ends the hunt soonest, looking some steps ahead: by information per second, and by what comes after."""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

import numpy as np

from loomwright.hunting.mending import repairs_s
from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.pool import Pool

#: Less than this tells nothing [nat]: rounding.
_NOTHING = 1e-9
#: Outcomes that are less likely than this are not followed.
_RARE = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Width:
    """How far to look: `steps` ahead, with so many `checks` and `repairs` tried at each."""

    steps: int
    checks: int
    repairs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A step that can be taken: check number `check` of the pool, or (-1) the repair of explanation `repair`."""

    check: int
    repair: int
    seconds: float
    bits: float
    expected_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Act:
    """A check or a repair, how long it takes [s], and the state of work after it."""

    check: int
    repair: int
    seconds: float
    then: int


def options(pool: Pool, state: int, width: Width) -> list[Option]:
    """Return the steps that were looked at, the one that ends the hunt soonest on average first."""
    found = _tried(pool, pool.probability, state, width.steps, width)
    told = information(pool, pool.probability[:, None])[:, 0]
    return in_order(
        [
            Option(
                check=one.check,
                repair=one.repair,
                seconds=one.seconds,
                bits=float(told[one.check]) if one.check >= 0 else repair_bits(chance_to_end(pool, one.repair)),
                expected_s=expected_s,
            )
            for one, expected_s in found
        ]
    )


def in_order(found: list[Option]) -> list[Option]:
    """Return options, the one that ends the hunt soonest first; what differs by less than nine digits tell is equal.

    Among equals a check goes before a repair, and the earlier one of the list before the later.
    """
    return sorted(found, key=lambda one: (float(f"{one.expected_s:.8e}"), one.check < 0, one.check, one.repair))


def information(pool: Pool, beliefs: Floats) -> Floats:
    """Return what each check tells on average [bit], for each column of beliefs, weighed by its sum."""
    checks, outcomes, members = pool.chances.shape
    shown = (pool.chances.reshape(checks * outcomes, members) @ beliefs).reshape(checks, outcomes, beliefs.shape[1])
    total = beliefs.sum(axis=0)
    told = -(shown * _log(shown / total)).sum(axis=1) - pool.noise @ beliefs
    return np.asarray(np.where(told > _NOTHING * total, told, 0.0) / np.log(2), dtype=np.float64)


def chance_to_end(pool: Pool, repair: int) -> float:
    """Return the probability that a repair ends the hunt."""
    return float(pool.probability[pool.ends[repair]].sum())


def repair_bits(probability: float) -> float:
    """Return what a repair tells that ends the hunt with this probability [bit]."""
    return -sum(share * log2(share) for share in (probability, 1 - probability) if share > 0)


def _tried(pool: Pool, belief: Floats, state: int, steps: int, width: Width) -> list[tuple[_Act, float]]:
    """Return what seems worth doing, and the expected time to the end with it [s], weighed by the belief's sum."""
    acts = _acts(pool, belief, state, width)
    ends = [(number, one, act.then) for number, act in enumerate(acts) for one in _afterwards(pool, belief, act)]
    expected_s = np.array([act.seconds for act in acts]) * belief.sum()
    if steps > 1:
        left_s = [_ahead(pool, one, then, steps - 1, width) for _, one, then in ends]
    elif ends:
        left_s = list(_estimates(pool, np.stack([one for _, one, _ in ends], axis=1), [then for _, _, then in ends]))
    else:
        left_s = []
    np.add.at(expected_s, [number for number, _, _ in ends], left_s)
    return list(zip(acts, expected_s.tolist(), strict=True))


def _ahead(pool: Pool, belief: Floats, state: int, steps: int, width: Width) -> float:
    """Return the least expected time among the steps that seem worth it and repairs alone [s], weighed as well."""
    alone_s = float(repairs_s(belief[:, None], pool.repair_s)[0])
    return min([alone_s, *(expected_s for _, expected_s in _tried(pool, belief, state, steps, width))])


def _acts(pool: Pool, belief: Floats, state: int, width: Width) -> list[_Act]:
    """Return the checks that tell most per second, and the repairs with the most probability per second."""
    told = information(pool, belief[:, None])[:, 0]
    checks = [
        _Act(check=int(one), repair=-1, seconds=float(pool.seconds[state, one]), then=int(pool.then[state, one]))
        for one in _largest(told / pool.seconds[state], width.checks)
    ]
    repairs = [
        _Act(check=-1, repair=int(one), seconds=float(pool.repair_s[one]), then=state)
        for one in _largest(belief / pool.repair_s, width.repairs)
    ]
    return checks + repairs


def _afterwards(pool: Pool, belief: Floats, act: _Act) -> list[Floats]:
    """Return what would be believed after each way that an act may end, unless it ends the hunt."""
    if act.check >= 0:
        joint = pool.chances[act.check] * belief
    else:
        joint = belief[None, :].copy()
        joint[0, pool.ends[act.repair]] = 0.0
    return list(joint[joint.sum(axis=1) > _RARE * belief.sum()])


def _estimates(pool: Pool, beliefs: Floats, states: list[int]) -> Floats:
    """Guess the time to the end for each column of beliefs [s]: repairs alone, or first find out, then mend.

    Repairs alone can be done, so that it is never more. To find out takes as long as the best check would need for all
    of what checks can tell, at its bits per second; explanations that they show alike are mended one after the other.
    """
    alone_s = repairs_s(beliefs, pool.repair_s)
    if not len(pool.checks):
        return alone_s
    per_s = (information(pool, beliefs) / pool.seconds[states].T).max(axis=0)
    told_apart = int(pool.alike.max()) + 1 == len(pool.members)
    mending_s = beliefs.T @ pool.repair_s if told_apart else repairs_s(beliefs, pool.repair_s, pool.alike)
    unknown = _unknown(beliefs if told_apart else _by_kind(pool.alike, beliefs))
    finding_s = np.divide(unknown, per_s, out=np.full_like(unknown, np.inf), where=per_s > 0) * beliefs.sum(axis=0)
    return np.asarray(np.minimum(alone_s, mending_s + finding_s), dtype=np.float64)


def _by_kind(alike: Ints, beliefs: Floats) -> Floats:
    """Return the beliefs with what is alike added up."""
    kinds = np.zeros((int(alike.max()) + 1, beliefs.shape[1]))
    np.add.at(kinds, alike, beliefs)
    return kinds


def _unknown(beliefs: Floats) -> Floats:
    """Return the entropy of each column [bit], weighed by its sum."""
    return np.asarray(-(beliefs * _log(beliefs / beliefs.sum(axis=0))).sum(axis=0) / np.log(2), dtype=np.float64)


def _largest(values: Floats, most: int) -> Ints:
    """Return where the largest values above 0 stand."""
    order = np.argsort(-values, kind="stable")[:most].astype(np.int64)
    return order[values[order] > 0]


def _log(values: Floats) -> Floats:
    return np.log(values, out=np.zeros_like(values), where=values > 0)
