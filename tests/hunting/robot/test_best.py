"""The steps of a hunt on the examples are the best there is where outcomes are sure, and hardly worse looking ahead.

Every symptom class with few suspects: one device dark, missing or dead alone. The least expected time comes from
dynamic programming over subsets in tests/hunting/ways.py, which shares no code with the program.
"""

from __future__ import annotations

import statistics
from functools import lru_cache

import pytest

from loomwright.hunting.board import board_of
from loomwright.hunting.hunting import Pains
from loomwright.hunting.optimal import optimal_options
from loomwright.hunting.pool import Pool
from loomwright.hunting.robot.robot_hunt import robot_hunt
from tests.hunting.robot.classes import small_pool_of, symptom_classes
from tests.hunting.ways import halving, least_s, looking_ahead, takes_s, without_cost
from tests.robots import EXAMPLES, example_plan

#: Plain Python needs its time for more; `python -m benchmarks.hunting_robots` goes to 18.
MOST = 12
#: To follow a way to its end takes longer than to find the best.
MOST_FOLLOWED = 8


@lru_cache(maxsize=1)
def pools() -> dict[str, Pool]:
    """Return one pool for each class of symptoms that has other suspects or odds than those before it."""
    found: dict[tuple[object, ...], tuple[str, Pool]] = {}
    for name in EXAMPLES:
        robot = robot_hunt(example_plan(name))
        board = board_of(robot.hunt)
        for what, seen in symptom_classes(robot):
            pool = small_pool_of(board, seen, MOST)
            if pool is not None:
                alike = (pool.chances.shape, *pool.probability.round(6), *pool.repair_s, *pool.seconds[0])
                found.setdefault(alike, (f"{name}: {what}", pool))
    return dict(found.values())


def test_there_are_classes_of_symptoms_on_the_examples() -> None:
    """Else the tests below show nothing."""
    assert len(pools()) >= 50
    assert max(len(pool.members) for pool in pools().values()) >= 11


def test_where_outcomes_are_sure_the_step_is_the_best_there_is() -> None:
    """What the program uses there, dynamic programming of its own, finds the least expected time to nine digits."""
    assert Pains().optimal_up_to >= MOST
    for what, pool in pools().items():
        assert optimal_options(pool, 0)[0].expected_s == pytest.approx(least_s(pool), rel=1e-9), what


def test_looking_ahead_takes_at_most_2_percent_longer_on_average() -> None:
    """What the program uses where outcomes are not sure; at worst 5 percent; far ahead of plain ways."""
    over: dict[str, list[float]] = {"ahead": [], "halving": [], "without cost": []}
    for pool in (one for one in pools().values() if len(one.members) <= MOST_FOLLOWED):
        best_s = least_s(pool)
        for name, way in (("ahead", looking_ahead), ("halving", halving), ("without cost", without_cost)):
            over[name].append(takes_s(pool, way) / best_s - 1)
    assert statistics.mean(over["ahead"]) < 0.02
    assert max(over["ahead"]) < 0.05
    assert statistics.mean(over["halving"]) > 2 * statistics.mean(over["ahead"])
    assert statistics.mean(over["without cost"]) > 2 * statistics.mean(over["ahead"])
