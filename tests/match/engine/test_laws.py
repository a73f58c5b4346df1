"""Laws that every match keeps: charge, energy, Kirchhoff, and what may not matter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf
from typing import Any, TypeVar

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from loomwright.match.driver import Driver
from loomwright.match.engine import layout as at
from loomwright.match.machine import Gravity, LoadKind, Machine
from tests.match.driver_strategies import drivers
from tests.match.engine.generated import machines
from tests.match.engine.machines import CALM, busy_driver, contacts, motor, one_motor, push, whole_machine
from tests.match.engine.plain import Given, Plain
from tests.match.engine.played import kernel_plays

_T = TypeVar("_T")
GIVEN = Given(contacts(whole_machine(), 0.003), 1.2, 0.8, 0.9, 0.3, 31.0, 2, 8)


def _charge_gap(machine: Machine, driver: Driver, given: Given) -> float:
    """Return what the branches' charges miss of the battery's, by the charge that flowed either way."""
    made = kernel_plays(machine, driver, [given])
    ah = made.branches[0, :, at.R_AH]
    assert ah[-1] == pytest.approx(made.matches[0, at.O_AH], rel=1e-12, abs=1e-15)
    flowed = np.abs(made.samples[at.T_ROWS :]).sum() * 0.02 / 3600
    return float(abs(ah[:-1].sum() - made.matches[0, at.O_AH]) / max(flowed, 1e-9))


def test_charge() -> None:
    """What the battery gave is what the branches took, to 1e-12, over a whole match; so is its state of charge."""
    machine = whole_machine()
    assert _charge_gap(machine, busy_driver(150.0), GIVEN) <= 1e-12
    made = kernel_plays(machine, busy_driver(150.0), [GIVEN])
    left = 0.9 - made.matches[0, at.O_AH] / (17 * 0.8)
    assert made.matches[0, at.O_CHARGE] == pytest.approx(left, rel=1e-12)


@settings(max_examples=30)
@drawn(machines(), drivers(longest_s=2.0))
def test_charge_of_any_machine(machine: Machine, driver: Driver) -> None:
    """So it is whatever is drawn."""
    assert _charge_gap(machine, driver, Given(contacts(machine, 0.002))) <= 1e-12


@settings(max_examples=30)
@drawn(machines(), drivers(longest_s=1.0))
def test_kirchhoff_at_every_step(machine: Machine, driver: Driver) -> None:
    """Currents add up to the battery's, and the bus has what its inside leaves to it (by the twin's states)."""
    plain = Plain(machine, driver, Given(contacts(machine, 0.002))).play()
    for step in plain.steps:
        assert sum(step.branch_a) == pytest.approx(step.total_a, rel=1e-12, abs=1e-12)
        assert not step.met or step.bus_v == pytest.approx(step.inner_v - step.inner_ohm * step.total_a, abs=2e-3)


def test_kirchhoff_to_the_last_digit() -> None:
    """Where no line is at its end, bus and battery agree to 1e-12 V in each of 10,000 steps."""
    plain = Plain(whole_machine(), busy_driver(50.0), GIVEN).play()
    assert all(one.met for one in plain.steps)
    assert max(abs(one.bus_v - one.inner_v + one.inner_ohm * one.total_a) for one in plain.steps) < 1e-12


def test_kirchhoff_in_the_kernel() -> None:
    """With a step of 20 ms each sample is one step: the kernel's own currents add up, and fit the twin's inside."""
    made = kernel_plays(whole_machine(), busy_driver(30.0), [GIVEN], 0.02)
    plain = Plain(whole_machine(), busy_driver(30.0), GIVEN, 0.02).play()
    assert made.samples[at.T_ROWS :].sum(axis=0) == pytest.approx(made.samples[at.T_TOTAL], rel=1e-12, abs=1e-12)
    for bus, total, step in zip(made.samples[at.T_BUS], made.samples[at.T_TOTAL], plain.steps, strict=True):
        assert bus == pytest.approx(step.inner_v - step.inner_ohm * total, abs=1e-8)


# ---------------------------------------------------------------- energy, by the twin's books
@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"ramp_s": 0.1, "viscous": 1e-4},
        {"gravity": Gravity.STEADY, "gravity_nm": 0.1},
        {"kind": "drive", "moved": 2e-3, "grip_nm": 0.6},
    ],
)
def test_energy_of_one_motor(changes: dict[str, Any]) -> None:
    """Without dry friction every joule is found again, to 1e-13: the midpoint of current and speed loses none."""
    plain = Plain(one_motor(**changes), push(1.0, 2.0), Given([0.002, 0.001])).play()
    assert plain.cell.given_j > 500
    assert abs(plain.missing_j()) <= 1e-13 * plain.cell.given_j


def test_energy_of_everything() -> None:
    """With all of it the steps make up less than 5e-4, and where a piece stalls a light roller, 8e-4; it goes with h.

    All of it is known: dry friction and stops, which the motors do not reckon with, and currents along slopes.
    """
    rollers_go = replace(whole_machine(), mechanisms=tuple(replace(m, work_nm=0.0) for m in whole_machine().mechanisms))
    for machine, h, most in (
        (rollers_go, 0.005, 5e-4),
        (whole_machine(), 0.005, 8e-4),
        (whole_machine(), 0.001, 1.6e-4),
    ):
        plain = Plain(machine, busy_driver(3000 * h), GIVEN, h, watched=False).play()
        assert plain.cell.given_j > 3_000
        assert abs(plain.missing_j()) <= most * plain.cell.given_j
        assert abs(plain.missing_j() - plain.known_error_j()) <= 1e-12 * plain.cell.given_j


@settings(max_examples=30)
@drawn(machines(), drivers(longest_s=1.0))
def test_energy_of_any_machine(machine: Machine, driver: Driver) -> None:
    """Whatever is drawn, no joule gets lost unseen (where the bus is found, which a hopeless one may not be)."""
    plain = Plain(machine, driver, Given(contacts(machine, 0.002))).play()
    turned = sum(abs(j) for j in plain.energy_j().values()) + abs(plain.known_error_j())
    assert abs(plain.missing_j() - plain.known_error_j() - _unsolved_j(plain)) <= 1e-9 * max(1.0, turned)


def _unsolved_j(plain: Plain) -> float:
    """Return what a bus that was not found exactly has in volts too many or too few, as energy [J]."""
    gaps = ((one.inner_v - one.inner_ohm * one.total_a - one.bus_v) * one.total_a for one in plain.steps)
    return sum(gaps) * plain.h


# ---------------------------------------------------------------- what may not matter
def _shuffled(items: Sequence[_T], order: Sequence[int]) -> tuple[_T, ...]:
    return tuple(items[i] for i in order)


@settings(max_examples=15)
@drawn(st.permutations(range(9)), st.permutations(range(3)))
def test_the_order_of_branches_does_not_matter(motors: list[int], loads: list[int]) -> None:
    """Motors and loads listed otherwise: the same match to 1e-9."""
    machine = whole_machine()
    both = [*motors, *(9 + i for i in loads)]
    other = replace(machine, motors=_shuffled(machine.motors, motors), loads=_shuffled(machine.loads, loads))
    moved = replace(GIVEN, joints_ohm=[*_shuffled(GIVEN.joints_ohm, both), GIVEN.joints_ohm[-1]])
    first, second = kernel_plays(machine, busy_driver(3.0), [GIVEN]), kernel_plays(other, busy_driver(3.0), [moved])
    assert second.matches == pytest.approx(first.matches, rel=1e-9, abs=1e-9)
    assert second.ways == pytest.approx(first.ways, rel=1e-9, abs=1e-9)
    assert second.branches[0, :-1] == pytest.approx(first.branches[0, both], rel=1e-9, abs=1e-9)


def test_mates_do_not_matter() -> None:
    """A match is bitwise the same alone, among the others of its pack, and in another place of it."""
    machine, driver = whole_machine(), busy_driver(5.0)
    joints = contacts(machine, 0.003)
    givens = [Given(joints, 0.8 + i / 20, charge=1 - i / 60, trip=i / 40, seed=3, match=i) for i in range(40)]
    together = kernel_plays(machine, driver, givens)
    for i in (0, 5, 17, 39):
        alone = kernel_plays(machine, driver, [givens[i]])
        assert np.array_equal(alone.matches[0], together.matches[i])
        assert np.array_equal(alone.branches[0], together.branches[i])
        assert np.array_equal(alone.ways[0], together.ways[i])
    later = kernel_plays(machine, driver, givens[5:])
    assert np.array_equal(later.branches, together.branches[5:])


@pytest.mark.parametrize(("supply_a", "motor_a"), [(inf, inf), (40.0, inf), (inf, 90.0), (50.0, 90.0)])
def test_two_halves_are_one(supply_a: float, motor_a: float) -> None:
    """Two motors of twice the resistance on twice the line, each with half the limits, are one motor, to 1e-9."""
    one = motor(0, supply_limit_a=supply_a, motor_limit_a=motor_a, trip=None, wire=None)
    half = replace(
        one,
        winding_ohm=2 * one.winding_ohm,
        line_ohm=2 * one.line_ohm,
        supply_limit_a=supply_a / 2,
        motor_limit_a=motor_a / 2,
    )
    single = replace(one_motor(friction_nm=0.1, ramp_s=0.1), motors=(one,))
    double = replace(one_motor(friction_nm=0.1, ramp_s=0.1, motors=2), motors=(half, half))
    first = kernel_plays(single, push(), [Given([0.002, 0.001])])
    second = kernel_plays(double, push(), [Given([0.004, 0.004, 0.001])])
    assert second.samples[: at.T_ROWS] == pytest.approx(first.samples[: at.T_ROWS], rel=1e-9, abs=1e-9)
    assert second.samples[at.T_ROWS] * 2 == pytest.approx(first.samples[at.T_ROWS], rel=1e-9, abs=1e-9)
    assert second.ways == pytest.approx(first.ways, rel=1e-9)
    assert first.branches[0, 0, at.R_PEAK] > 30


def test_half_the_step_a_quarter_of_the_error() -> None:
    """Where nothing happens but motion, the bus voltage is of second order in the step."""
    machine = replace(one_motor(ramp_s=0.1, viscous=1e-5), thresholds=CALM)
    given = Given([0.002, 0.001])

    def bus(h: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array(kernel_plays(machine, push(1.0, 0.6), [given], h).samples[at.T_BUS])

    exact = bus(0.0002)
    errors = [np.abs(bus(h) - exact).max() for h in (0.01, 0.005, 0.0025)]
    assert errors[1] < 2e-3
    for coarse, fine in pairwise(errors):
        assert 3.5 < coarse / fine < 4.5


def test_loads_without_power_take_nothing() -> None:
    """A machine whose loads are of 0 W plays as one without loads."""
    idle = [replace(load, power_w=0.0, current_a=0.0, start_a=0.0) for load in whole_machine().loads]
    with_idle = replace(whole_machine(), loads=tuple(load for load in idle if load.kind is LoadKind.POWER))
    without = replace(whole_machine(), loads=())
    less = replace(GIVEN, joints_ohm=[*GIVEN.joints_ohm[:9], GIVEN.joints_ohm[-1]])
    more = replace(GIVEN, joints_ohm=[*GIVEN.joints_ohm[:11], GIVEN.joints_ohm[-1]])
    first, second = kernel_plays(without, busy_driver(), [less]), kernel_plays(with_idle, busy_driver(), [more])
    assert second.matches == pytest.approx(first.matches, rel=1e-9, abs=1e-9)
