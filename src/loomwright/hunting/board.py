"""A hunt in numbers: names become places in arrays, and misreading is mixed in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from loomwright.hunting.pairs import Floats, Ints
from loomwright.hunting.problem import Hunt, Observation
from loomwright.hunting.refusing import refuse, refuse_observations


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Board:
    """A hunt in numbers.

    `floor[c, o]` is the chance that check `c` shows `o` by misreading alone, `trust[c]` that it is read well.
    `noise[f, c]` is the entropy of what check `c` shows under fault `f` [nat], and `sure[f, c]` says that its outcome
    is certain once misreading is left out; `surest[c]` is the chance that it then has.
    `states` names the states of work, and `change_s[a, b]` is how long it takes from one to the other [s].
    """

    hunt: Hunt
    odds: Floats
    mixed: Floats
    noise: Floats
    sure: npt.NDArray[np.bool_]
    surest: Floats
    floor: Floats
    trust: Floats
    seconds: Floats
    states: tuple[str, ...]
    needs: tuple[int | None, ...]
    change_s: Floats


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
        floor[number, : len(check.outcomes)] = check.misread / len(check.outcomes)
    ends = [end for one in hunt.changes for end in (one.was, one.then)]
    states = tuple(sorted({"", *(check.needs for check in hunt.checks), *ends}))
    mixed = hunt.chances * (1 - misread)[:, None] + floor
    most = 1 - misread + floor.max(axis=1, initial=0.0)
    return Board(
        hunt=hunt,
        odds=np.array([1.0, *(fault.odds for fault in hunt.faults)]),
        mixed=mixed,
        noise=entropy(mixed),
        sure=np.isclose(mixed.max(axis=2, initial=0.0), most),
        surest=most,
        floor=floor,
        trust=1 - misread,
        seconds=np.array([check.seconds for check in hunt.checks]),
        states=states,
        needs=tuple(states.index(check.needs) if check.needs else None for check in hunt.checks),
        change_s=_change_s(hunt, states),
    )


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
    keys = [fault.key for fault in board.hunt.faults]
    after = sorted({keys.index(key) + 1 for key in one.after})
    return Answer(place=place, check=number, weight=weight / weight.sum(), after=np.array(after, dtype=np.int64))
