"""Hunts that are made up from a seed: a few faults, a whole robot's worth, and answers that a liar gives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from loomwright.hunting.pairs import Ints
from loomwright.hunting.pool import Pool, pool_from
from loomwright.hunting.problem import Check, Fault, Hunt, Observation

OUTCOMES = ("well", "low", "none", "burnt")


def hunt_of(
    table: list[list[int]] | Ints,
    *,
    odds: list[float] | None = None,
    repair_s: list[float] | None = None,
    seconds: list[float] | None = None,
    misread: float = 0.02,
    pairs: bool = False,
    other_odds: float = 0.0,
) -> Hunt:
    """Return a hunt where each row (the first is healthy) says which outcome every check shows for sure."""
    numbers = np.array(table, dtype=np.int64)
    rows, columns = numbers.shape
    widths = np.maximum(numbers.max(axis=0) + 1, 2)
    chances = np.zeros((rows, columns, int(widths.max())))
    np.put_along_axis(chances, numbers[:, :, None], 1.0, axis=2)
    return Hunt(
        faults=tuple(
            Fault(key=f"F{row}", odds=odds[row - 1] if odds else 0.01, repair_s=repair_s[row - 1] if repair_s else 60.0)
            for row in range(1, rows)
        ),
        checks=tuple(
            Check(
                key=f"C{column}",
                seconds=seconds[column] if seconds else 10.0,
                outcomes=OUTCOMES[: widths[column]],
                misread=misread,
            )
            for column in range(columns)
        ),
        chances=chances,
        healthy_s=120.0,
        other_odds=other_odds,
        pairs=pairs,
    )


def wiring(
    chance: np.random.Generator, faults: int, checks: int, *, misread: float, pairs: bool, usual_odds: float = 0.0015
) -> Hunt:
    """Return a hunt as a robot has it: every check feels some of the faults, in two to four outcomes.

    Check 0 is what somebody complains of: every fault causes it, and it is hardly ever misread.
    """
    table = np.zeros((faults + 1, checks), dtype=np.int64)
    for column in range(checks):
        outcomes = int(chance.integers(2, 5))
        feels = chance.random(faults) < chance.uniform(0.03, 0.4)
        table[1:, column] = np.where(feels, chance.integers(1, outcomes, faults), 0)
    table[1:, 0] = 1
    made = hunt_of(
        table,
        odds=list(usual_odds * chance.lognormal(0.0, 1.0, faults)),
        repair_s=list(chance.uniform(30, 600, faults)),
        seconds=list(chance.uniform(5, 180, checks)),
        misread=misread,
        pairs=pairs,
        other_odds=1e-3,
    )
    return replace(made, checks=(replace(made.checks[0], misread=1e-4), *made.checks[1:]))


def answer(hunt: Hunt, chance: np.random.Generator, key: str, there: tuple[int, ...], lies: float = 0.0) -> Observation:
    """Return what a check shows while these faults are there, the worse of what each shows; a share of answers lies."""
    place = [check.key for check in hunt.checks].index(key)
    outcomes = hunt.checks[place].outcomes
    right = max((int(hunt.chances[fault, place].argmax()) for fault in there), default=0)
    if chance.random() < lies:
        right = (right + int(chance.integers(1, len(outcomes)))) % len(outcomes)
    return Observation(check=key, outcome=outcomes[right])


def small_pool(chance: np.random.Generator, suspects: int, checks: int) -> Pool:
    """Return a few suspects with sure outcomes, uneven odds, checks of 5 to 180 s and repairs of up to 600 s."""
    chances = np.zeros((checks, 3, suspects))
    for check in range(checks):
        if chance.random() < 0.5:
            shown = chance.integers(0, chance.integers(2, 4), suspects)
        else:
            shown = (chance.random(suspects) < chance.uniform(0.1, 0.5)).astype(np.int64)
        chances[check, shown, np.arange(suspects)] = 1.0
    odds = chance.exponential(1.0, suspects) ** 1.5
    shortest_s = float(chance.choice([10.0, 60.0]))
    return part_of(
        pool_from(
            members=np.arange(suspects),
            probability=odds,
            repair_s=chance.uniform(shortest_s, 10 * shortest_s, suspects),
            chances=chances,
            checks=np.arange(checks),
            seconds=chance.uniform(5, 180, (1, checks)),
            then=np.zeros((1, checks), dtype=np.int64),
            sure=True,
        ),
        tuple(range(suspects)),
    )


def part_of(pool: Pool, suspects: tuple[int, ...]) -> Pool:
    """Return the pool with these suspects only."""
    kept = list(suspects)
    probability = pool.probability[kept]
    return pool_from(
        members=pool.members[kept],
        probability=probability / probability.sum(),
        repair_s=pool.repair_s[kept],
        chances=pool.chances[:, :, kept],
        checks=pool.checks,
        seconds=pool.seconds,
        then=pool.then,
        sure=pool.sure,
        ends=pool.ends[np.ix_(kept, kept)],
    )
