"""The next step is the one that ends the hunt soonest: beside every step tried, and beside plainer ways."""

from __future__ import annotations

import os
import statistics
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.hunting.optimal import optimal_options
from loomwright.hunting.pool import Pool
from tests.hunting.made_up import part_of, small_pool
from tests.hunting.ways import WAYS, Act, Left, halving, least_s, looking_ahead, per_second, takes_s, without_cost

EXAMPLES = settings().max_examples
_HUNTS = 400 if "LOOM_LONG" in os.environ else 16


def _pool(seed: int, most: int = 12) -> Pool:
    chance = np.random.default_rng(seed)
    return small_pool(chance, int(chance.integers(2, most + 1)), int(chance.integers(3, 25)))


@given(st.integers(0, 2**32 - 1))
def test_the_best_is_the_best_of_every_step_tried(seed: int) -> None:
    """Dynamic programming over subsets and a plain recursion find the same least time."""
    pool = _pool(seed, most=8)
    assert optimal_options(pool, 0)[0].expected_s == pytest.approx(least_s(pool), rel=1e-9)


@settings(max_examples=EXAMPLES // 4)
@given(st.integers(0, 2**32 - 1))
def test_who_takes_the_best_step_each_time_takes_the_least_time(seed: int) -> None:
    """Not the time alone but the steps are right: followed to every end, they take what was told."""
    pool = _pool(seed, most=7)

    def best(whole: Pool, left: Left) -> Act:
        step = optimal_options(part_of(whole, left), 0)[0]
        return (step.check, None) if step.check >= 0 else (None, left[step.repair])

    assert takes_s(pool, best) == pytest.approx(optimal_options(pool, 0)[0].expected_s, rel=1e-9)


def test_looking_ahead_is_within_two_percent_of_the_best() -> None:
    """On made-up hunts of 2 to 12 suspects; information per second, without its cost, and halving do worse by far."""
    over: dict[str, list[float]] = {name: [] for name in WAYS}
    for seed in range(_HUNTS):
        pool = _pool(seed)
        best_s = optimal_options(pool, 0)[0].expected_s
        for name, way in WAYS.items():
            over[name].append(takes_s(pool, way) / best_s - 1)
    means = {name: statistics.mean(shares) for name, shares in over.items()}
    assert set(WAYS.values()) == {looking_ahead, per_second, without_cost, halving}
    assert min(min(shares) for shares in over.values()) > -1e-9
    assert means["looking ahead"] < 0.0005
    assert max(over["looking ahead"]) < 0.02
    assert means["information per second"] > 0.05
    assert min(means["information without its cost"], means["halving"]) > means["information per second"]


def test_the_best_step_has_its_limits() -> None:
    """More than 18 suspects, or outcomes of chance, are refused: nothing would prove the step."""
    with pytest.raises(ValueError, match="2 suspects"):
        optimal_options(replace(small_pool(np.random.default_rng(0), 2, 3), sure=False), 0)
    with pytest.raises(ValueError, match="19 suspects"):
        optimal_options(small_pool(np.random.default_rng(0), 19, 3), 0)
