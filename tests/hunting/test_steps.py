"""What is proposed next, from the front door: checks, repairs, states of work, and what decides nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from loomwright.hunting.hunting import Pains, Tracker, standing
from loomwright.hunting.problem import Change, Check, Hunt, Observation
from tests.hunting.made_up import hunt_of, wiring

EXAMPLES = settings().max_examples
SEEN = [Observation(check="C0", outcome="low")]


def _hunt(seed: int, *, pairs: bool = False) -> Hunt:
    chance = np.random.default_rng(seed)
    return wiring(chance, int(chance.integers(2, 25)), int(chance.integers(2, 8)), misread=0.02, pairs=pairs)


def _added(hunt: Hunt, shown: np.ndarray[tuple[int], np.dtype[np.int64]]) -> Hunt:
    """Return the hunt with a cheap check more, that shows these outcomes."""
    more = Check(key="more", seconds=0.5, outcomes=("well", "low"), misread=0.02)
    chances = np.concatenate([hunt.chances, np.zeros((len(shown), 1, hunt.chances.shape[2]))], axis=1)
    chances[np.arange(len(shown)), -1, shown] = 1.0
    return replace(hunt, checks=(*hunt.checks, more), chances=chances)


@settings(max_examples=EXAMPLES // 3)
@given(st.integers(0, 2**32 - 1))
def test_a_check_that_tells_nothing_changes_nothing(seed: int) -> None:
    """However cheap, a check that always shows the same is never proposed, and no other step changes for it."""
    hunt = _hunt(seed)
    more = _added(hunt, np.ones(len(hunt.faults) + 1, dtype=np.int64))
    assert [(step.check, step.repair) for step in standing(more, SEEN).steps] == [
        (step.check, step.repair) for step in standing(hunt, SEEN).steps
    ]


@settings(max_examples=EXAMPLES // 3)
@given(st.integers(0, 2**32 - 1), st.sampled_from([0.25, 60.0, 3600.0]))
def test_the_unit_of_time_decides_nothing(seed: int, factor: float) -> None:
    """All times longer by a factor: every expected time is longer by it, and nothing else changes."""
    hunt = _hunt(seed)
    slow = replace(
        hunt,
        faults=tuple(replace(one, repair_s=one.repair_s * factor) for one in hunt.faults),
        checks=tuple(replace(one, seconds=one.seconds * factor) for one in hunt.checks),
        healthy_s=hunt.healthy_s * factor,
    )
    mine, theirs = standing(hunt, SEEN), standing(slow, SEEN)
    assert [one.expected_s for one in theirs.steps] == pytest.approx([one.expected_s * factor for one in mine.steps])
    assert (mine.steps[0].check, mine.steps[0].repair) == (theirs.steps[0].check, theirs.steps[0].repair)
    assert mine.suspects == theirs.suspects


@settings(max_examples=EXAMPLES // 3)
@given(st.integers(0, 2**32 - 1))
@example(5867)  # what no check tells apart is no entropy that a check takes away
def test_the_best_step_and_looking_ahead_agree_on_what_it_takes(seed: int) -> None:
    """Where both can be had, looking ahead promises no less than is possible, and hardly more."""
    hunt = replace(_hunt(seed), other_odds=0.0)
    most = Pains(looked_at=1.0, most_looked_at=10)
    best = standing(hunt, SEEN, pains=most).steps[0]
    ahead = standing(hunt, SEEN, pains=replace(most, optimal_up_to=0)).steps[0]
    assert best.exact
    assert not ahead.exact
    # The best of all takes answers at their word; looking ahead doubts them, and so may need a little longer.
    assert ahead.expected_s == pytest.approx(best.expected_s, rel=0.25)


def test_information_per_second_is_told() -> None:
    """Healthy, F1, F2 and F3 are as likely; a check of 5 s parts them two and two: 1 bit, 0.2 bit a second."""
    hunt = hunt_of([[0], [0], [1], [1]], odds=[1.0] * 3, seconds=[5.0], misread=1e-9)
    step = next(step for step in standing(hunt, []).steps if step.check)
    assert step.bits == pytest.approx(1.0, abs=1e-6)
    assert step.bits_per_s == pytest.approx(0.2, abs=1e-6)


def test_a_sure_suspect_is_mended() -> None:
    """Where the answers leave one fault, the step is its repair, and how likely it helps is told."""
    hunt = hunt_of([[0, 0], [1, 0], [1, 1]], odds=[9.0, 9.0], repair_s=[30.0, 30.0])
    step = standing(hunt, [*SEEN, *[Observation(check="C1", outcome="well")] * 3]).steps[0]
    assert step.repair == ("F1",)
    assert step.ends > 0.99
    assert step.expected_s == pytest.approx(30.0, rel=0.02)


def test_who_mends_two_faults_has_mended_each_of_them() -> None:
    """The repair of a pair ends the hunt with the probability of either fault alone as well."""
    hunt = hunt_of([[0, 0], [1, 0], [0, 1]], odds=[0.3, 0.3], pairs=True)
    now = standing(hunt, [Observation(check="C0", outcome="low")], pains=Pains(looked_at=1.0))
    told = {one.faults: one.probability for one in now.suspects}
    both = next(step for step in now.steps if step.repair == ("F1", "F2"))
    assert both.ends == pytest.approx(told["F1",] + told["F2",] + told["F1", "F2"])
    assert both.seconds == 120.0


def test_a_change_of_the_state_of_work_costs_its_time() -> None:
    """Two checks tell the same; the quick one needs the battery out. It comes first only where it is out already."""
    hunt = hunt_of([[0, 0, 0], [1, 1, 1], [1, 0, 0]], odds=[0.1, 0.1], repair_s=[600.0, 600.0], seconds=[9.0, 9.0, 5.0])
    checks = (hunt.checks[0], replace(hunt.checks[1], needs="on"), replace(hunt.checks[2], needs="out"))
    change = Change(was="on", then="out", seconds=40.0), Change(was="out", then="on", seconds=40.0)
    tracker = Tracker(replace(hunt, checks=checks, changes=change))
    on, out = tracker.standing(SEEN, "on").steps, tracker.standing(SEEN, "out").steps
    assert (on[0].check, on[0].seconds) == ("C1", 9.0)
    assert (out[0].check, out[0].seconds) == ("C2", 5.0)
    assert next(step for step in on if step.check == "C2").seconds == 45.0


@pytest.mark.parametrize("optimal_up_to", [0, 12])
def test_states_of_work_are_looked_at_ahead(optimal_up_to: int) -> None:
    """Two checks of 10 s part four faults; C2 needs the battery out, which takes 40 s each way, and C3 the power on."""
    table = [[0, 0, 0, 0], [1, 0, 0, 0], [1, 0, 0, 1], [1, 0, 1, 0], [1, 0, 1, 1]]
    hunt = hunt_of(table, odds=[1e6] * 4, repair_s=[1e4] * 4, seconds=[10.0] * 4, misread=1e-9)
    changes = (Change(was="on", then="out", seconds=40.0), Change(was="out", then="on", seconds=40.0))

    def takes_s(*needs: str) -> dict[str, float]:
        checks = tuple(replace(check, needs=need) for check, need in zip(hunt.checks, needs, strict=True))
        asked = replace(hunt, checks=checks, changes=changes)
        steps = standing(asked, [], "on", Pains(optimal_up_to=optimal_up_to)).steps
        return {step.check: step.expected_s - 1e4 for step in steps if step.check}

    assert takes_s("on", "on", "out", "on") == pytest.approx({"C3": 10 + 50, "C2": 50 + 50}, rel=0.01)
    assert takes_s("on", "on", "out", "out") == pytest.approx({"C2": 50 + 10, "C3": 50 + 10}, rel=0.01)


def test_a_spoilt_check_is_not_proposed() -> None:
    """Once the joint has been wiggled, how it stood tells nothing any more."""
    hunt = hunt_of([[0, 0, 0], [1, 1, 1], [1, 0, 0]], odds=[0.1, 0.1], repair_s=[600.0, 600.0])
    checks = (replace(hunt.checks[0], spoils=("C1",)), *hunt.checks[1:])
    assert "C1" in {step.check for step in standing(hunt, SEEN).steps}
    assert "C1" not in {step.check for step in standing(replace(hunt, checks=checks), SEEN).steps}


def test_no_check_at_all_leaves_repairs() -> None:
    """A hunt without checks, or without faults, has its steps as well."""
    hunt = hunt_of([[0]] * 6, odds=[3.0, 9.0, 5.0, 7.0, 8.0])
    bare = replace(hunt, checks=(), chances=np.zeros((6, 0, 0)))
    for most in (0, 12):
        steps = standing(bare, [], pains=Pains(optimal_up_to=most)).steps
        assert [one.repair for one in steps][:2] == [("F2",), ("F5",)]
    assert standing(replace(bare, faults=(), chances=np.zeros((1, 0, 0))), []).steps[0].repair == ()
