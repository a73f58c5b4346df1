"""Readings that depend on two things at once, such as a charger and a battery: what each of the two adds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_ROUNDS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What is supposed: the common level and its doubt, how different either thing makes it, noise, Student's tail."""

    level: float
    level_doubt: float
    first_doubt: float
    second_doubt: float
    noise: float
    tail: float


@dataclass(frozen=True, slots=True)
class Part:
    """What one of the first things reads with a usual second one, and how far it lies from the mean of its fellows.

    Each with its standard deviation. Without fellows it lies 0 from them, and nobody knows how far.
    """

    level: float
    doubt: float
    beside: float
    beside_doubt: float


def parts_of(readings: Sequence[tuple[int, int, float]], count: int, spread: Spread) -> tuple[Part, ...]:
    """Return the part of each of `count` first things, from readings (first, second, value).

    A linear model with normal effects of both things and Student's errors, by reweighting: one odd reading moves
    little, and what a second thing does everywhere is put down to it.
    """
    seconds = max((second for _, second, _ in readings), default=-1) + 1
    size = 1 + count + seconds
    columns = np.zeros((len(readings), size))
    for row, (first, second, _) in enumerate(readings):
        columns[row, [0, 1 + first, 1 + count + second]] = 1.0
    doubts = [spread.level_doubt, *[spread.first_doubt] * count, *[spread.second_doubt] * seconds]
    prior = np.diag(1 / np.array(doubts) ** 2)
    off = np.array([value for *_, value in readings]) - spread.level
    weight = np.ones(len(readings))
    doubt: Floats = np.linalg.inv(prior).astype(np.float64)
    middle: Floats = np.zeros(size)
    for _ in range(_ROUNDS):
        weighted = columns * (weight / spread.noise**2)[:, None]
        doubt = np.linalg.inv(prior + columns.T @ weighted).astype(np.float64)
        middle = doubt @ (weighted.T @ off)
        weight = (spread.tail + 1) / (spread.tail + ((off - columns @ middle) / spread.noise) ** 2)
    return tuple(_part(n, count, middle, doubt, spread.level) for n in range(count))


def _part(n: int, count: int, middle: Floats, doubt: Floats, level: float) -> Part:
    own, beside = np.zeros(len(middle)), np.zeros(len(middle))
    own[[0, 1 + n]] = 1.0
    if count > 1:
        beside[1 : 1 + count] = -1 / (count - 1)
        beside[1 + n] = 1.0
    return Part(
        level=float(level + own @ middle),
        doubt=float((own @ doubt @ own) ** 0.5),
        beside=float(beside @ middle),
        beside_doubt=float((beside @ doubt @ beside) ** 0.5),
    )
