"""Studies: the same seed, the same matches, whoever plays them beside what; and each drawn from where it should."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.engine import layout as at
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.study import Study, draw, play_one, play_study
from tests.match.engine.compared import told
from tests.match.engine.machines import DOUBTS, busy_driver, one_motor, whole_machine
from tests.match.engine.plain import Given, Plain
from tests.match.engine.plain_driver import Orders

CALM_ONE = replace(busy_driver(2.0), name="second", weight=3.0)
STUDY = Study(whole_machine(), DOUBTS, (busy_driver(2.0), CALM_ONE), seed=5)


def assert_equal(first: Outcomes, second: Outcomes) -> None:
    """Assert that two lots of matches are bitwise the same."""
    for name in ("matches", "branches", "ways", "drawn", "joints"):
        assert np.array_equal(getattr(first, name), getattr(second, name)), name
        assert np.isfinite(getattr(first, name)).all(), name


def test_the_same_seed_the_same_matches() -> None:
    """Twice, with one thread or three, in lots of any size, from any match on: bitwise the same."""
    whole = play_study(STUDY, 150, threads=1)
    assert_equal(play_study(STUDY, 150, threads=3), whole)
    for first, count in ((0, 7), (7, 70), (77, 73), (149, 1)):
        assert_equal(play_study(STUDY, count, first=first, threads=2), whole.part(first, first + count))


def test_one_match_again() -> None:
    """A match that is played again with its course is the one of the study."""
    whole = play_study(STUDY, 20)
    samples, again, _ = play_one(STUDY, 13)
    assert_equal(again, whole.part(13, 14))
    assert samples[at.T_LOW].min() == again.matches[0, at.O_LOWEST]
    assert np.isfinite(samples).all()


def test_another_seed_other_matches() -> None:
    """No two matches of a study, and none of two seeds, are alike."""
    lowest = np.concatenate([play_study(replace(STUDY, seed=seed), 40).lowest_v for seed in (5, 6)])
    assert len(set(lowest.tolist())) == 80


def test_a_study_is_the_twins() -> None:
    """What is drawn for a match goes where it belongs: the twin plays five of them with it alike."""
    whole = play_study(STUDY, 5, first=30)
    for i, (row, joints) in enumerate(zip(whole.drawn.tolist(), whole.joints.tolist(), strict=True)):
        given = Given(
            joints, row[at.D_OHM], row[at.D_AH], row[at.D_CHARGE], row[at.D_TRIP], row[at.D_WARMTH], 5, 30 + i
        )
        plain = Plain(STUDY.machine, STUDY.drivers[round(row[at.D_DRIVER])], given).play()
        assert whole.matches[i] == pytest.approx(told(plain)[0], rel=1e-9, abs=1e-9)


def test_what_is_drawn_for_a_match() -> None:
    """Every doubt from its least to its most, logarithms even where it says so; drivers by their weights."""
    lot = draw(STUDY, 0, 4000)
    for doubt, column in (
        ("battery ohm", at.D_OHM),
        ("capacity", at.D_AH),
        ("charge", at.D_CHARGE),
        ("warmth", at.D_WARMTH),
    ):
        told_of = next(one for one in DOUBTS if one.key == doubt)
        drawn = lot.drawn[:, column]
        assert told_of.low <= drawn.min() < told_of.low + 0.01 * (told_of.high - told_of.low)
        assert told_of.high - 0.01 * (told_of.high - told_of.low) < drawn.max() <= told_of.high
        middle = np.sqrt(told_of.low * told_of.high) if told_of.logarithmic else (told_of.low + told_of.high) / 2
        assert abs((drawn < middle).mean() - 0.5) < 0.03
    assert abs((lot.drawn[:, at.D_DRIVER] == 1).mean() - 0.75) < 0.03
    assert ((lot.joints[:, :-1] >= 0.0008) & (lot.joints[:, :-1] <= 0.008)).all(), "four contacts each"
    assert ((lot.joints[:, -1] >= 0.0004) & (lot.joints[:, -1] <= 0.0008)).all()
    columns = np.column_stack([lot.drawn[:, : at.D_DRIVER + 1], lot.joints])
    together = np.corrcoef(columns.T) - np.eye(columns.shape[1])
    together[at.D_MAIN_JOINTS, -1] = together[-1, at.D_MAIN_JOINTS] = 0.0  # one is the other by the number of joints
    assert np.abs(together).max() < 0.08, "nothing that is drawn goes with anything else"


def test_a_change_of_the_robot_leaves_the_others_as_drawn() -> None:
    """With another fuse or wire, battery, contacts and driver of every match stay: only the robot's change is seen."""
    other = replace(STUDY, machine=replace(STUDY.machine, main_ohm=0.01, main_trip=None, air=None))
    assert np.array_equal(draw(other, 0, 50).drawn, draw(STUDY, 0, 50).drawn)
    assert np.array_equal(draw(other, 0, 50).joints, draw(STUDY, 0, 50).joints)


# ---------------------------------------------------------------- the drivers' steps
def test_cycles_by_their_weights() -> None:
    """Over 3000 cycles each is met as often as its weight says; one of weight 0 never (by the kernel's steps)."""
    step = Step("x", (0.02, 0.02), (Wish("wheel", (0.0, 0.0)),))
    names = {"one": 1.0, "three": 3.0, "never": 0.0, "two": 2.0}
    cycles = tuple(Cycle(name, (replace(step, name=name),)) for name in names)
    driver = Driver("d", "", 1.0, (Phase("all", 0.0, 60.0, tuple(names.items())),), cycles)
    study = Study(one_motor(), (), (driver,), seed=2)
    samples, out, arrays = play_one(study, 0)
    met = [arrays.step_names[int(i)] for i in samples[at.T_STEP]]
    assert out.matches[0, at.O_STEPS] == len(met) == 3000
    for name, weight in names.items():
        assert abs(met.count(name) / 3000 - weight / 6) < 0.03
    assert met.count("never") == 0


def test_steps_as_a_twin_has_them() -> None:
    """Phases, cycles in order, lengths in their ranges, pauses: the course names the steps that the twin has."""
    driver = busy_driver(30.0)
    study = Study(whole_machine(), DOUBTS, (driver,), seed=4)
    for number in (0, 3):
        samples, _, arrays = play_one(study, number)
        orders = Orders(study.machine, driver, 4, number)
        for tick, at_step in enumerate(samples[at.T_STEP].astype(int)):
            before = len(orders.begun)
            orders.follow(tick * 0.02)
            paused = driver.phases[1].start_s <= tick * 0.02 + 1e-9 < driver.phases[1].end_s - 1e-6
            assert bool(at_step == -1) is paused, tick
            if len(orders.begun) > before:
                assert arrays.step_names[at_step] == orders.begun[-1][1]
        began = [at_s for at_s, _ in orders.begun]
        lengths = {step.name: step.lasts_s for cycle in driver.cycles for step in cycle.steps}
        for (start, name), (end, _) in pairwise(orders.begun):
            cut = any(start < phase.end_s <= end + 0.02 for phase in driver.phases)
            assert cut or lengths[name][0] - 1e-9 <= end - start <= lengths[name][1] + 0.02
        assert began == sorted(began)


def test_goals_are_drawn_evenly() -> None:
    """A range of goals is met from end to end; both sides of a drive share a goal and are turned against each other."""
    driver = busy_driver(600.0)
    orders = Orders(whole_machine(), driver, 1, 0)
    left, right = [], []
    for tick in range(30000):
        before = len(orders.begun)
        orders.follow(tick * 0.02)
        if len(orders.begun) > before and orders.begun[-1][1] == "sprint":
            left.append(orders.goals[0])
            right.append(orders.goals[1])
    turn, goal = (np.array(left) - right) / 2, (np.array(left) + right) / 2
    free = (np.array(left) < 1) & (np.array(right) < 1)
    assert free.sum() > 50
    assert -0.1 <= turn[free].min() < -0.07
    assert 0.07 < turn[free].max() <= 0.1
    assert 0.8 <= goal[free].min() < 0.82
    assert 0.95 < goal[free].max() <= 1.0


def test_watched_to_the_end() -> None:
    """A study of none is empty, and all are counted."""
    assert len(play_study(STUDY, 0)) == 0
    assert len(play_study(STUDY, 3)) == 3
