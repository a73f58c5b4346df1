"""What nobody should ask for: it ends, every number is one, and charge still adds up."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Any

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.engine import layout as at
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.study import Study, play_study
from loomwright.match.machine import Machine, Thresholds
from tests.match.driver_strategies import drivers
from tests.match.engine.generated import machines
from tests.match.engine.machines import DOUBTS, busy_driver, one_motor, push, whole_machine


def _all(**changes: Any) -> Machine:  # noqa: ANN401  fields by name
    return replace(whole_machine(), motors=tuple(replace(one, **changes) for one in whole_machine().motors))


def _turned(**changes: Any) -> Machine:  # noqa: ANN401  fields by name
    return replace(whole_machine(), mechanisms=tuple(replace(one, **changes) for one in whole_machine().mechanisms))


def _loaded(power_w: float) -> Machine:
    return replace(whole_machine(), loads=tuple(replace(one, power_w=power_w) for one in whole_machine().loads))


BAD = {
    "hardly any inertia": _turned(inertia=1e-9),
    "a huge inertia": _turned(inertia=1e3),
    "no line": _all(line_ohm=0.0),
    "a line that burns": _all(line_ohm=5.0),
    "no limits": _all(supply_limit_a=inf, motor_limit_a=inf),
    "nothing may be taken": _all(supply_limit_a=0.0),
    "nothing may flow": _all(motor_limit_a=0.0),
    "a winding of nothing": _all(winding_ohm=1e-6),
    "no grip": _turned(grip_nm=0.0),
    "all friction": _turned(friction_nm=1e6, viscous=1e3),
    "gravity beyond all": _turned(gravity_nm=1e4),
    "a shot takes all": _turned(shot_share=1.0),
    "no way to go": _turned(way=1e-9),
    "a ramp of an hour": _turned(ramp_s=3600.0),
    "the bus collapses": _loaded(20_000.0),
    "no power": _loaded(0.0),
    "an empty battery": replace(whole_machine(), battery=replace(whole_machine().battery, capacity_ah=1e-3)),
    "a battery of no resistance": replace(
        whole_machine(), battery=replace(whole_machine().battery, ohm=0.0), main_ohm=0.0
    ),
    "a battery behind an ohm": replace(whole_machine(), battery=replace(whole_machine().battery, ohm=1.0)),
    "always off": replace(whole_machine(), thresholds=Thresholds("computer", 20.0, 21.0, 1.0, 19.0, 19.5, 0.0)),
    "on above what it gets": replace(whole_machine(), thresholds=Thresholds("computer", 8.0, 30.0, 0.0, 0.0, 0.0, 0.0)),
    "one motor": one_motor(),
}


def assert_sound(machine: Machine, made: Outcomes) -> None:
    """Assert what holds of any match: finite, no lower than 0 V, charge in order, counts that are counts."""
    for name in ("matches", "branches", "ways"):
        assert np.isfinite(getattr(made, name)).all(), name
    assert (made.lowest_v >= 0).all()
    assert (made.lowest_v <= machine.battery.rest[-1][1] + _regenerated_v(machine)).all()
    ah = made.branches[:, :, at.R_AH]
    most = np.maximum(np.sqrt(made.branches[:, :, at.R_SQUARES]).sum(axis=1), 1e-6)
    assert (np.abs(ah[:, :-1].sum(axis=1) - ah[:, -1]) <= 1e-12 * most).all()
    assert made.matches[:, at.O_AH] == pytest.approx(ah[:, -1], rel=1e-9, abs=1e-12)
    assert (made.branches[:, :, [at.R_PEAK, at.R_SQUARES, at.R_WORST, at.R_OPENED, at.R_OPENED_AT]] >= 0).all()
    assert (made.ways >= 0).all()


def _regenerated_v(machine: Machine) -> float:
    """Return how far the first step can raise the bus: what falls from the first moment on can turn motors, else 0."""
    return 0.5 if any(one.gravity_nm for one in machine.mechanisms) else 1e-9


@pytest.mark.parametrize("h", [0.001, 0.002, 0.005, 0.01, 0.02])
@pytest.mark.parametrize("bad", BAD)
def test_bad_machines(bad: str, h: float) -> None:
    """Each is played to its end with every step that divides 20 ms."""
    made = play_study(Study(BAD[bad], DOUBTS, (busy_driver(1.5),), seed=3, step_s=h), 4)
    assert_sound(BAD[bad], made)


@pytest.mark.parametrize("lasts_s", [0.0, 1e-9, 0.02, 1e9])
def test_bad_drivers(lasts_s: float) -> None:
    """Steps of no length, of hardly any, or longer than the match; one step, one wish, 100 shots, no phase's cycles."""
    step = Step("only", (lasts_s, lasts_s), (Wish("wheel", (-1.0, 1.0)),), shots=100, strokes=100)
    driver = Driver("d", "", 1.0, (Phase("all", 0.0, 0.5, (("c", 1.0),)),), (Cycle("c", (step,)),))
    assert_sound(whole_machine(), play_study(Study(whole_machine(), (), (driver,)), 3))
    still = replace(driver, phases=(Phase("still", 0.0, 0.5),), cycles=())
    made = play_study(Study(whole_machine(), (), (still,)), 3)
    assert_sound(whole_machine(), made)
    assert (made.ways[:, :2, at.Y_WAY] == 0).all()
    late = replace(driver, phases=(Phase("late", 0.3, 0.5, (("c", 1.0),)),))
    assert_sound(whole_machine(), play_study(Study(whole_machine(), (), (late,)), 3))


def test_a_driver_of_no_weight() -> None:
    """Drivers whose weights are all 0: the last one drives, and nothing breaks."""
    driver = replace(push(), weight=0.0)
    made = play_study(Study(one_motor(), (), (driver, driver)), 3)
    assert_sound(one_motor(), made)


@settings(max_examples=60)
@drawn(
    machines(), drivers(longest_s=2.0), st.integers(0, 10), st.sampled_from((0.001, 0.002, 0.004, 0.005, 0.01, 0.02))
)
def test_any_machine(machine: Machine, driver: Driver, seed: int, h: float) -> None:
    """Whatever machine with whatever driver, at whatever step."""
    assert_sound(machine, play_study(Study(machine, DOUBTS, (driver,), seed=seed, step_s=h), 3, threads=1))
