"""A hunt in numbers: names become places in arrays, and misreading is mixed in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.hunting.pairs import Floats, Ints, Pairs
from loomwright.hunting.problem import Check, Hunt, Observation
from loomwright.hunting.refusing import refuse, refuse_observations

#: How often a plain outcome comes of misreading, beside another outcome.
_PLAIN = 0.005


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Board:
    """A hunt in numbers.

    `floor[c, o]` is the chance that check `c` shows `o` by misreading alone, `trust[c]` that it is read well.
    `surest[c]` is the chance of an outcome that is certain once misreading is left out. `seat[f]` is the number of what
    fault `f` sits in, the same for faults of the very same parts, and `name[f]` that of its key; 0 is no fault.
    `states` names the states of work, and `change_s[a, b]` is how long it takes from one to the other [s]. `pairs` is
    there where two faults at a time are weighed.
    """

    hunt: Hunt
    odds: Floats
    surest: Floats
    seat: Ints
    name: Ints
    floor: Floats
    trust: Floats
    seconds: Floats
    states: tuple[str, ...]
    needs: tuple[int | None, ...]
    change_s: Floats
    pairs: Pairs | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """An observation in numbers: `weight[o]` is how likely the answer is where outcome `o` was read."""

    place: int
    check: int
    weight: Floats
    after: Ints


def board_of(hunt: Hunt) -> Board:
    """Return a hunt in numbers.

    Raises
    ------
    ValueError
        The hunt makes no sense; everything that is wrong with it is told.
    """
    refuse(hunt)
    misread = np.array([check.misread for check in hunt.checks])
    floor = np.zeros(hunt.chances.shape[1:])
    for number, check in enumerate(hunt.checks):
        floor[number, : len(check.outcomes)] = misread_shares(check)
    ends = [end for one in hunt.changes for end in (one.was, one.then)]
    states = tuple(sorted({"", *(check.needs for check in hunt.checks), *ends}))
    odds = np.array([hunt.healthy_odds, *(fault.odds for fault in hunt.faults)])
    # Without parts a fault has a seat of its own.
    seat = _numbered([frozenset(fault.parts) or fault.key for fault in hunt.faults])
    return Board(
        hunt=hunt,
        odds=odds,
        surest=1 - misread + floor.max(axis=1, initial=0.0),
        seat=seat,
        name=_numbered([fault.key for fault in hunt.faults]),
        floor=floor,
        trust=1 - misread,
        seconds=np.array([check.seconds for check in hunt.checks]),
        states=states,
        needs=tuple(states.index(check.needs) if check.needs else None for check in hunt.checks),
        change_s=_change_s(hunt, states),
        pairs=Pairs(hunt.chances, odds, seat) if hunt.pairs else None,
    )


def shown(board: Board, faults: Ints, check: int) -> Floats:
    """Return the chance of each outcome of a check under some faults `[fault, outcome]`, misreading mixed in."""
    chances = board.hunt.chances[faults, check] * board.trust[check] + board.floor[check]
    return np.asarray(chances, dtype=np.float64)


def misread_shares(check: Check) -> Floats:
    """Return the chance that a check shows each of its outcomes by misreading alone."""
    weight = np.array([_PLAIN if one in check.plain else 1.0 for one in check.outcomes])
    return np.asarray(check.misread * weight / weight.sum(), dtype=np.float64)


def entropy(chances: Floats) -> Floats:
    """Return the entropy of the last axis [nat]; a chance of 0 weighs nothing."""
    logs = np.log(chances, out=np.zeros_like(chances), where=chances > 0)
    return np.asarray(-np.einsum("...o,...o->...", chances, logs), dtype=np.float64)


def answers_of(board: Board, observations: Sequence[Observation]) -> tuple[Answer, ...]:
    """Return observations in numbers, in an order of their own: which came first is no matter, to the last digit.

    Raises
    ------
    ValueError
        An observation that the hunt does not know.
    """
    refuse_observations(board.hunt, observations)
    answers = [_answer(board, place, one) for place, one in enumerate(observations)]
    return tuple(sorted(answers, key=lambda one: (one.check, one.weight.tolist(), one.after.tolist())))


def _numbered(names: Sequence[object]) -> Ints:
    """Return a number for each name, the same for the same one; 0 comes first, for no fault."""
    numbers: dict[object, int] = {}
    return np.array([0, *(numbers.setdefault(name, len(numbers) + 1) for name in names)], dtype=np.int64)


def _change_s(hunt: Hunt, states: tuple[str, ...]) -> Floats:
    change_s = np.zeros((len(states), len(states)))
    for one in hunt.changes:
        change_s[states.index(one.was), states.index(one.then)] = one.seconds
    return change_s


def _answer(board: Board, place: int, one: Observation) -> Answer:
    number = next(number for number, check in enumerate(board.hunt.checks) if check.key == one.check)
    outcomes = board.hunt.checks[number].outcomes
    weight = np.zeros(board.hunt.chances.shape[2])
    for name, odds in one.odds or ((one.outcome, 1.0),):
        weight[outcomes.index(name)] = odds
    mended = set(one.after)
    after = [row for row, fault in enumerate(board.hunt.faults, start=1) if fault.key in mended] if mended else []
    return Answer(place=place, check=number, weight=weight / weight.sum(), after=np.array(after, dtype=np.int64))
