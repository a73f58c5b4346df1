"""Where nothing is left to check, repairs go by probability over cost."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.hunting.hunting import Pains, standing
from loomwright.hunting.mending import repair_order, repairs_s
from tests.hunting.made_up import hunt_of

_REPAIRS = st.lists(st.tuples(st.floats(0.01, 1.0), st.floats(5.0, 600.0)), min_size=1, max_size=6)


def _takes_s(order: tuple[int, ...], probability: list[float], repair_s: list[float]) -> float:
    """Return the expected time of an order, repair after repair until the right one."""
    spent_s, expected_s = 0.0, 0.0
    for one in order:
        spent_s += repair_s[one]
        expected_s += probability[one] * spent_s
    return expected_s


@given(_REPAIRS)
def test_no_order_is_better(repairs: list[tuple[float, float]]) -> None:
    """Probability over cost, the largest first (kadane-simon-1977-memory): the best of all orders tried."""
    probability, repair_s = [one / sum(p for p, _ in repairs) for one, _ in repairs], [cost for _, cost in repairs]
    least_s = min(_takes_s(order, probability, repair_s) for order in permutations(range(len(repairs))))
    order = tuple(int(one) for one in repair_order(np.array(probability), np.array(repair_s)))
    assert _takes_s(order, probability, repair_s) == pytest.approx(least_s)
    assert repairs_s(np.array(probability)[:, None], np.array(repair_s)) == pytest.approx([least_s])


@given(_REPAIRS, st.sampled_from([0, 12]))
def test_the_hunt_mends_in_that_order(repairs: list[tuple[float, float]], optimal_up_to: int) -> None:
    """With no check that tells anything the next step is the first of that order, whichever way is looked."""
    odds, repair_s = [1e6 * one for one, _ in repairs], [cost for _, cost in repairs]
    hunt = hunt_of([[0]] * (1 + len(repairs)), odds=odds, repair_s=repair_s)
    step = standing(hunt, [], pains=Pains(optimal_up_to=optimal_up_to, looked_at=1.0)).steps[0]
    ratios = [one / cost for one, cost in repairs]
    assert ratios[int(step.repair[0][1:]) - 1] == pytest.approx(max(ratios), rel=1e-6)


@given(_REPAIRS, st.lists(st.integers(0, 2), min_size=6, max_size=6))
def test_where_the_kind_is_known_only_its_repairs_count(repairs: list[tuple[float, float]], kinds: list[int]) -> None:
    """Kinds 0, 1 and 2 told apart: the time is that of each kind alone, added up."""
    probability, repair_s = np.array([one for one, _ in repairs]), np.array([cost for _, cost in repairs])
    kind = np.array(kinds[: len(repairs)])
    alone_s = [repairs_s(probability[kind == one][:, None], repair_s[kind == one])[0] for one in range(3)]
    assert repairs_s(probability[:, None], repair_s, kind) == pytest.approx([sum(alone_s)])
