"""Answers that do not go together are told, with the one that disagrees."""

from __future__ import annotations

import pytest

from loomwright.hunting.hunting import standing
from loomwright.hunting.problem import Observation
from tests.hunting.made_up import hunt_of

# Five checks; F1 shows low in all of them, F2 in the first two, F3 in the last.
HUNT = hunt_of([[0] * 5, [1] * 5, [1, 1, 0, 0, 0], [0, 0, 0, 0, 1]], odds=[0.1] * 3, misread=0.02)


def _seen(outcomes: str) -> list[Observation]:
    return [Observation(check=f"C{n}", outcome={"w": "well", "l": "low"}[one]) for n, one in enumerate(outcomes)]


def test_answers_in_harmony_are_not_doubted() -> None:
    """What one fault explains needs no misreading."""
    doubt = standing(HUNT, _seen("lllll")).doubt
    assert (doubt.misreads, doubt.fewest, doubt.told, doubt.disagreeing) == (0, 0, False, ())
    assert doubt.chance == 1.0


def test_a_lie_is_named() -> None:
    """Four of five answers say F1: the fifth disagrees; a misread of five has the chance 1 - 0.99^5."""
    now = standing(HUNT, _seen("lllwl"))
    assert now.suspects[0].faults == ("F1",)
    doubt = now.doubt
    assert (doubt.misreads, doubt.fewest, doubt.told) == (1, 1, True)
    assert doubt.chance == pytest.approx(1 - 0.99**5)
    assert [one.observation.check for one in doubt.disagreeing][:1] == ["C3"]
    assert doubt.disagreeing[0].misread > 0.95
    # Given the other four it is F1 nearly for sure, and then "well" comes of misreading alone: 1 in 100, not 1 in 2.
    assert doubt.disagreeing[0].ratio == pytest.approx(0.02, rel=0.1)


def test_a_misread_among_many_answers_is_nothing_strange() -> None:
    """One of 30 answers is misread in a quarter of hunts (1 - 0.99^30): it is counted and not told."""
    doubt = standing(HUNT, _seen("lllll") * 5 + _seen("lllwl")).doubt
    assert doubt.misreads == 1
    assert doubt.chance == pytest.approx(1 - 0.99**30)
    assert (doubt.told, doubt.disagreeing) == (False, ())


def test_two_faults_that_no_one_explains_are_a_contradiction() -> None:
    """Single faults only, and answers of two: whichever it is, an answer is wrong, and that is told."""
    doubt = standing(HUNT, _seen("llwwl")).doubt
    assert doubt.told
    assert doubt.fewest == 1
    pairs = hunt_of([[0] * 5, [1] * 5, [1, 1, 0, 0, 0], [0, 0, 0, 0, 1]], odds=[0.1] * 3, misread=0.02, pairs=True)
    both = standing(pairs, _seen("llwwl"))
    assert both.suspects[0].faults == ("F2", "F3")
    assert not both.doubt.told


def test_a_doubtful_answer_is_no_lie() -> None:
    """Odds of 3 to 2 for the wrong outcome need nobody to have misread."""
    seen = [*_seen("lll"), Observation(check="C3", odds=(("well", 3.0), ("low", 2.0)))]
    assert standing(HUNT, seen).doubt.misreads == 0


def test_a_fault_on_no_list_takes_over_where_nothing_fits() -> None:
    """Answers that go with nothing, again and again, speak for a fault that nobody listed."""
    hunt = hunt_of([[0] * 5, [1] * 5], odds=[0.1], misread=0.02, other_odds=0.01)
    assert standing(hunt, _seen("lwlwl") + _seen("wlwll")).suspects[0].other
    assert not standing(hunt, _seen("lllll")).suspects[0].other


def test_what_many_less_likely_faults_explain_is_no_contradiction() -> None:
    """The likeliest fault needs one answer misread; thirty others need none, and all of them together are likelier."""
    hunt = hunt_of([[0] * 5, [1, 1, 1, 0, 1], *([1] * 5,) * 30], odds=[0.5, *(0.001,) * 30], misread=0.02)
    now = standing(hunt, _seen("lllll"))
    assert now.suspects[0].faults == ("F1",)
    assert (now.doubt.misreads, now.doubt.told) == (1, False)
