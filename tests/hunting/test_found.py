"""Hunts played to their end on made-up wiring: the fault is found, and with lies among the answers as well."""

from __future__ import annotations

import os

import numpy as np
import pytest

from loomwright.hunting.hunting import Pains
from tests.hunting.played import found

_HUNTS = 200 if "LOOM_LONG" in os.environ else 8
_PAINS = Pains(most_looked_at=150)


@pytest.mark.parametrize(
    ("faults", "lies", "first", "among_five"),
    [(1, 0.0, 0.95, 1.0), (2, 0.0, 0.8, 0.9), (1, 0.05, 0.9, 0.95), (2, 0.05, 0.6, 0.9)],
)
def test_the_truth_is_found(faults: int, lies: float, first: float, among_five: float) -> None:
    """One fault or two, no lies or one answer in twenty: it is first in most hunts, and nearly always among five.

    Answers that disagree are told where somebody lied, and then the first one named is a lie.
    """
    ends = [found(np.random.default_rng(seed), faults=faults, lies=lies, pains=_PAINS) for seed in range(_HUNTS)]
    assert sum(end.place == 0 for end in ends) >= first * _HUNTS
    assert sum(end.place < 5 for end in ends) >= among_five * _HUNTS
    named = [(end.standing.doubt.disagreeing[0].observation, end.lies) for end in ends if end.standing.doubt.told]
    assert sum(any(one is lie for lie in told) for one, told in named) >= 0.8 * len(named)
    assert len(named) <= sum(bool(end.lies) for end in ends) + 0.1 * _HUNTS
