"""Weigh every explanation by every answer: exact Bayes over no fault, every single fault, and pairs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.hunting.board import Answer, Board, answers_of
from loomwright.hunting.pairs import Floats, Ints, PairRule
from loomwright.hunting.problem import Observation

#: Stands for a fault that is on no list.
OTHER = -1
#: Pairs are worked out in lots of this size, until those left are too unlikely to matter.
_LOT = 4096


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weighed:
    """Every explanation that was weighed, and its probability given the answers.

    An explanation is two numbers, `first` and `second`; 0 is no fault, and `OTHER` one that is on no list.
    `log_like[h, t]` is the logarithm of the chance of answer `t` under explanation `h`. The pairs that were not worked
    out have at most the share `left_out` of all: a true probability is at least 1 - `left_out` times the one here.
    """

    answers: tuple[Answer, ...]
    first: Ints
    second: Ints
    log_like: Floats
    probability: Floats
    left_out: float

    @property
    def best(self) -> Ints:
        """The explanations, the most probable first; among equals the first of the list."""
        return np.array(np.argsort(-self.probability, kind="stable"), dtype=np.int64)


def weigh(board: Board, observations: Sequence[Observation], *, most_pairs: int, enough: float) -> Weighed:
    """Weigh all explanations.

    No more than `most_pairs` pairs are worked out, the likely ones first, and no more once what is left has at most
    the share `enough`.

    Raises
    ------
    ValueError
        An observation that the hunt does not know.
    """
    answers = answers_of(board, observations)
    single = np.arange(len(board.odds), dtype=np.int64)
    like = np.stack([_single_like(board, one, single) for one in answers], axis=1) if answers else _none(len(single))
    log_weight = np.log(board.odds) + like.sum(axis=1)
    first, second = single, np.zeros_like(single)
    if board.hunt.other_odds > 0:
        first, second = np.append(first, OTHER), np.append(second, 0)
        like = np.vstack([like, _other_like(board, answers)])
        log_weight = np.append(log_weight, np.log(board.hunt.other_odds) + like[-1].sum())
    left = -np.inf
    if board.hunt.pairs is not None:
        drawn = _Drawn(board, answers, board.hunt.pairs, like[: len(single)])
        more, left = drawn.until(float(np.logaddexp.reduce(log_weight)), most_pairs, enough)
        first, second = np.append(first, more[0]), np.append(second, more[1])
        like, log_weight = np.vstack([like, more[2]]), np.append(log_weight, more[3])
    total = float(np.logaddexp.reduce(log_weight))
    return Weighed(
        answers=answers,
        first=first,
        second=second,
        log_like=like,
        probability=np.exp(log_weight - total),
        left_out=_share(left, total),
    )


def pair_chances(board: Board, rule: PairRule, first: Ints, second: Ints, check: int) -> Floats:
    """Return what a check shows under each pair, misreading mixed in."""
    return np.asarray(rule.chances(first, second, check) * board.trust[check] + board.floor[check], dtype=np.float64)


def _none(count: int) -> Floats:
    return np.zeros((count, 0))


def _single_like(board: Board, answer: Answer, single: Ints) -> Floats:
    there = _still_there(single, answer)
    return _logs(board.mixed[there, answer.check] @ answer.weight)


def _other_like(board: Board, answers: tuple[Answer, ...]) -> Floats:
    return np.array([-np.log(len(board.hunt.checks[one.check].outcomes)) for one in answers])


def _still_there(faults: Ints, answer: Answer) -> Ints:
    """Return the faults with 0 in the place of those that had been mended."""
    return np.where(np.isin(faults, answer.after), 0, faults) if len(answer.after) else faults


def _logs(chances: Floats) -> Floats:
    return np.asarray(np.log(chances), dtype=np.float64)


class _Drawn:
    """Pairs, drawn in the order of what they may be worth."""

    def __init__(self, board: Board, answers: tuple[Answer, ...], rule: PairRule, like: Floats) -> None:
        self._board, self._answers, self._rule = board, answers, rule
        self._first, self._second = _pairs(board)
        self._prior = np.log(board.odds)[self._first] + np.log(board.odds)[self._second]
        bound, guess = self._prior.copy(), self._prior.copy()
        for number, answer in enumerate(answers):
            most = self._log_chances(self._first, self._second, answer, bound=True)
            bound += most
            # A pair mostly explains an answer as well as the better of its two does.
            guess += np.minimum(most, np.maximum(like[self._first, number], like[self._second, number]))
        order = np.argsort(-guess, kind="stable")
        self._first, self._second, self._prior = self._first[order], self._second[order], self._prior[order]
        self._left = np.append(_sums_from(bound[order]), -np.inf)

    def until(self, log_total: float, most: int, enough: float) -> tuple[tuple[Ints, Ints, Floats, Floats], float]:
        """Work out pairs until few enough are left; return them, and the logarithm of what all others weigh at most."""
        begin, end = 0, min(most, len(self._first))
        likes, weights = [np.zeros((0, len(self._answers)))], [np.zeros(0)]
        while begin < end and _share(self._left[begin], log_total) > enough:
            lot = slice(begin, min(begin + _LOT, end))
            likes.append(self._like(lot))
            weights.append(self._prior[lot] + likes[-1].sum(axis=1))
            log_total = float(np.logaddexp(log_total, np.logaddexp.reduce(weights[-1])))
            begin = lot.stop
        made = (self._first[:begin], self._second[:begin], np.vstack(likes), np.concatenate(weights))
        return made, float(self._left[begin])

    def _like(self, lot: slice) -> Floats:
        first, second = self._first[lot], self._second[lot]
        columns = [self._log_chances(first, second, one, bound=False) for one in self._answers]
        return np.stack(columns, axis=1) if columns else _none(len(first))

    def _log_chances(self, first: Ints, second: Ints, answer: Answer, *, bound: bool) -> Floats:
        """Return the logarithm of an answer's chance under each pair, or a bound that it is not above."""
        first, second = _still_there(first, answer), _still_there(second, answer)
        chance = self._board.mixed[np.maximum(first, second), answer.check] @ answer.weight
        both = np.flatnonzero((first > 0) & (second > 0))
        ask = self._rule.at_most if bound else self._rule.chances
        shown = ask(first[both], second[both], answer.check)
        board, check = self._board, answer.check
        chance[both] = (shown * board.trust[check] + board.floor[check]) @ answer.weight
        return _logs(chance)


def _pairs(board: Board) -> tuple[Ints, Ints]:
    """Return every two faults that may be there together."""
    first, second = np.triu_indices(len(board.odds) - 1, k=1)
    seats: dict[frozenset[str], int] = {}
    seat = np.array(
        [
            seats.setdefault(frozenset(fault.parts), len(seats)) if fault.parts else -1 - number
            for number, fault in enumerate(board.hunt.faults)
        ],
        dtype=np.int64,
    )
    apart = seat[first] != seat[second]
    return (first[apart] + 1).astype(np.int64), (second[apart] + 1).astype(np.int64)


def _share(log_part: float, log_rest: float) -> float:
    """Return the share that a part has of itself and the rest."""
    return float(np.exp(log_part - np.logaddexp(log_part, log_rest)))


def _sums_from(logs: Floats) -> Floats:
    """Return for every place the logarithm of the sum of what stands there and after it."""
    return np.asarray(np.logaddexp.accumulate(logs[::-1])[::-1], dtype=np.float64)
