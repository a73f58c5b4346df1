"""Weigh every explanation by every answer: exact Bayes over no fault, every single fault, and every pair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.hunting.board import Answer, Board, answers_of, shown
from loomwright.hunting.pairs import Floats, Ints, LikelyPairs, Pairs, Told
from loomwright.hunting.problem import Observation

#: Stands for a fault that is on no list.
OTHER = -1
_NO_FAULT = np.zeros(1, dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weighed:
    """What is believed given the answers: explanations with their probabilities, and how likely each fault is there.

    An explanation is two numbers, `first` and `second`; 0 is no fault, and `OTHER` one that is on no list.
    `log_like[h, t]` is the logarithm of the chance of answer `t` under explanation `h`. All pairs are weighed, and the
    likeliest are told; the others have the share `untold` of all together. `there[f]` is the probability that fault
    `f` is there, alone or with another; `there[0]` that none is.
    """

    answers: tuple[Answer, ...]
    first: Ints
    second: Ints
    log_like: Floats
    probability: Floats
    there: Floats
    untold: float

    @property
    def best(self) -> Ints:
        """The explanations, the most probable first; among equals the first of the list."""
        return np.array(np.argsort(-self.probability, kind="stable"), dtype=np.int64)


def weigh(board: Board, observations: Sequence[Observation], *, most_pairs: int) -> Weighed:
    """Weigh all explanations; no more than `most_pairs` pairs are told, the likeliest.

    Raises
    ------
    ValueError
        An observation that the hunt does not know.
    """
    answers = answers_of(board, observations)
    single = np.arange(len(board.odds), dtype=np.int64)
    like = np.stack([_single_like(board, one, single) for one in answers], axis=1) if answers else _none(len(single))
    log_weight = np.log(board.odds) + like.sum(axis=1)
    first, second, there = single, np.zeros_like(single), log_weight
    if board.hunt.other_odds > 0:
        first, second = np.append(first, OTHER), np.append(second, 0)
        like = np.vstack([like, _other_like(board, answers)])
        log_weight = np.append(log_weight, np.log(board.hunt.other_odds) + like[-1].sum())
    log_total, untold = float(np.logaddexp.reduce(log_weight)), 0.0
    if board.pairs is not None:
        # The best single fault sets the scale: what is far less likely than it may well be 0.
        scales = like[int(log_weight[: len(single)].argmax())]
        found, log_scale = _likely(board, board.pairs, answers, scales, most_pairs), float(scales.sum())
        first, second = np.append(first, found.first), np.append(second, found.second)
        like = np.vstack([like, _pair_like(board, board.pairs, answers, found)])
        log_weight = np.append(log_weight, np.log(found.weight) + log_scale)
        there = np.logaddexp(there, _log(found.with_fault) + log_scale)
        log_total = float(np.logaddexp(log_total, _log(np.array(found.total)) + log_scale))
        rest = np.array(max(0.0, found.total - float(found.weight.sum())))
        untold = float(np.exp(_log(rest) + log_scale - log_total))
    return Weighed(
        answers=answers,
        first=first,
        second=second,
        log_like=like,
        probability=np.exp(log_weight - log_total),
        there=np.exp(there - log_total),
        untold=untold,
    )


def _none(count: int) -> Floats:
    return np.zeros((count, 0))


def _single_like(board: Board, answer: Answer, single: Ints) -> Floats:
    return _log(shown(board, _still_there(single, answer), answer.check) @ answer.weight)


def _other_like(board: Board, answers: tuple[Answer, ...]) -> Floats:
    return np.array([-np.log(len(board.hunt.checks[one.check].outcomes)) for one in answers])


def _still_there(faults: Ints, answer: Answer) -> Ints:
    """Return the faults with 0 in the place of those that had been mended."""
    return np.where(np.isin(faults, answer.after), 0, faults) if len(answer.after) else faults


def _likely(board: Board, pairs: Pairs, answers: tuple[Answer, ...], scales: Floats, most: int) -> LikelyPairs:
    """Return the likely pairs, their weights divided by these scales, for many answers grow small [log]."""
    told = [
        Told(
            check=one.check,
            weight=one.weight,
            well=float(board.trust[one.check] / scale),
            misread=float(board.floor[one.check] @ one.weight / scale),
            after=one.after,
            healthy=float(shown(board, _NO_FAULT, one.check)[0] @ one.weight / scale),
        )
        for one, scale in zip(answers, np.exp(scales), strict=True)
    ]
    return pairs.likely(told, most)


def _pair_like(board: Board, pairs: Pairs, answers: tuple[Answer, ...], found: LikelyPairs) -> Floats:
    """Return the logarithm of each answer's chance under each pair."""
    columns = [_log(_pair_chance(board, pairs, one, found)) for one in answers]
    return np.stack(columns, axis=1) if columns else _none(len(found.first))


def _pair_chance(board: Board, pairs: Pairs, answer: Answer, likely: LikelyPairs) -> Floats:
    first, second = _still_there(likely.first, answer), _still_there(likely.second, answer)
    chance = shown(board, np.maximum(first, second), answer.check) @ answer.weight
    both = np.flatnonzero((first > 0) & (second > 0))
    found = pairs.chances(first[both], second[both], np.array([answer.check]))[:, 0]
    chance[both] = (found * board.trust[answer.check] + board.floor[answer.check]) @ answer.weight
    return np.asarray(chance, dtype=np.float64)


def _log(values: Floats) -> Floats:
    return np.log(values, out=np.full(values.shape, -np.inf), where=values > 0)
