"""Why a suspect is one, and what an answer would leave: as data that adds up."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.hunting.hunting import Pains, Tracker, standing
from loomwright.hunting.problem import Observation
from tests.hunting.made_up import answer, hunt_of, wiring

EXAMPLES = settings().max_examples


def test_each_answer_speaks_for_or_against() -> None:
    """F1 and F2 differ in C1 alone: that answer has all of the odds, 0.99 to 0.01, and the other has none."""
    hunt = hunt_of([[0, 0], [1, 1], [1, 0]], odds=[0.1, 0.1])
    seen = [Observation(check="C0", outcome="low"), Observation(check="C1", outcome="low")]
    first, second = standing(hunt, seen).suspects[:2]
    assert (first.faults, second.faults) == (("F1",), ("F2",))
    assert [one.observation.check for one in first.why] == ["C1", "C0"]
    assert [one.log_odds for one in first.why] == pytest.approx([log(99), 0])
    assert second.why[0].log_odds == pytest.approx(-log(99))


@settings(max_examples=EXAMPLES // 2)
@given(st.integers(0, 2**32 - 1))
def test_reasons_add_up_to_the_odds(seed: int) -> None:
    """The odds before, and what every answer adds, are the odds after: of the first suspect against the runner-up."""
    chance = np.random.default_rng(seed)
    hunt = wiring(chance, 12, 8, misread=0.05, pairs=True, usual_odds=0.1)
    seen = [answer(hunt, chance, f"C{n}", (3, 7), lies=0.2) for n in range(6)]
    first, second = standing(hunt, seen).suspects[:2]
    odds = {fault.key: fault.odds for fault in hunt.faults}
    before = [
        log(hunt.other_odds) if one.other else sum(log(odds[key]) for key in one.faults) for one in (first, second)
    ]
    told = before[0] - before[1] + sum(one.log_odds for one in first.why)
    assert told == pytest.approx(log(first.probability / second.probability), abs=1e-9)
    assert [abs(one.log_odds) for one in first.why] == sorted((abs(one.log_odds) for one in first.why), reverse=True)
    assert sorted(one.observation.check for one in first.why) == sorted(one.check for one in seen)


@settings(max_examples=EXAMPLES // 8)
@given(st.integers(0, 2**32 - 1))
def test_what_an_answer_would_leave_is_what_it_leaves(seed: int) -> None:
    """Each outcome's suspects, told beforehand, are those after the answer; the chances of outcomes add up to 1."""
    chance = np.random.default_rng(seed)
    hunt = wiring(chance, 5, 4, misread=0.05, pairs=True, usual_odds=0.1)
    tracker = Tracker(hunt, Pains(looked_at=1.0, tell=99))
    seen = [Observation(check="C0", outcome="low")]
    for step in tracker.standing(seen).steps:
        assert not step.check or sum(one.chance for one in step.leaves) == pytest.approx(1)
        for one in step.leaves:
            after = tracker.standing([*seen, Observation(check=step.check, outcome=one.outcome)])
            listed = {each.faults: each.probability for each in after.suspects if not each.other}
            total = sum(listed.values())
            assert {each.faults: each.probability for each in one.suspects} == pytest.approx(
                {faults: probability / total for faults, probability in listed.items()}
            )
