"""The kernel against a twin: one match in plain numbers, written from the equations."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, settings
from hypothesis import given as drawn
from hypothesis import strategies as st

from loomwright.match.driver import Driver
from loomwright.match.engine import layout as at
from loomwright.match.machine import Machine, Trip
from tests.match.driver_strategies import drivers
from tests.match.engine.compared import assert_same, both, told
from tests.match.engine.generated import machines
from tests.match.engine.machines import TOUCHY, busy_driver, contacts, one_motor, push, whole_machine
from tests.match.engine.plain import Given, Plain


@pytest.mark.parametrize("h", [0.001, 0.002, 0.004, 0.005, 0.01, 0.02])
def test_a_match_with_everything(h: float) -> None:
    """Slip, stops, shots, gravity, a pump, electronics, all limits: the same course at every step, by every seed."""
    machine, met = whole_machine(), set()
    for seed in range(3):
        given = Given(contacts(machine, 0.003), 1.2, 0.8, 0.9, 0.3, 31.0, seed, 3 * seed)
        kernel, plain = both(machine, busy_driver(3.5), given, h)
        assert_same(kernel, plain)
        met |= {name for name, lost in plain.energy_j().items() if lost > 0}
        met |= {"pump"} if plain.pump_s > 0 else set()
    assert met > {"slip", "stops", "shots", "friction", "pump"}


def test_a_match_with_every_event() -> None:
    """Outputs go off, computers restart, breakers open and close, the main breaker ends it: all at the same steps."""
    given = Given(contacts(TOUCHY, 0.003), 1.6, 0.8, 0.5, 0.9, 35.0, 5, 11)
    kernel, plain = both(TOUCHY, busy_driver(6.0), given)
    assert_same(kernel, plain)
    assert plain.offs > 1
    assert plain.restarts > 1
    assert max(one.opened for one in plain.coppers) > 1, "a breaker opens again"
    dies = replace(TOUCHY, main_trip=Trip(120, 30, 3.0, (1.0, 1.0), resets=False, assumed=True))
    kernel, plain = both(dies, busy_driver(6.0), given)
    assert_same(kernel, plain)
    assert 0.1 < plain.dead_at_s < 5
    assert kernel.samples[at.T_TOTAL, -1] == 0


def test_who_starts_gets_nowhere_below_the_voltage_for_it() -> None:
    """With a start above the rested battery the computer never comes back; with one just above its stop it does."""
    given = Given(contacts(TOUCHY, 0.003), 1.6, 0.8, 0.5, 0.9, 35.0, 5, 11)
    never = replace(TOUCHY, thresholds=replace(TOUCHY.thresholds, start_v=13.9))
    kernel, plain = both(never, busy_driver(6.0), given)
    assert_same(kernel, plain)
    assert plain.restarts == 1
    assert kernel.samples[at.T_ON, -1] == 2
    kernel, plain = both(TOUCHY, busy_driver(6.0), given)
    assert plain.restarts > 1


def test_a_whole_match() -> None:
    """150 s of one motor with a driver who goes to and fro: nothing drifts apart."""
    machine = one_motor(kind="drive", moved=2e-3, grip_nm=3.0, friction_nm=0.04, metres_per_rad=0.01)
    driver = busy_driver(150.0)
    kernel, plain = both(machine, driver, Given([0.002, 0.001], seed=9))
    assert_same(kernel, plain)
    assert plain.orders.count > 50


@settings(max_examples=40)
@drawn(machines(), drivers(longest_s=2.0), st.integers(0, 10), st.sampled_from((0.002, 0.005, 0.01)))
def test_any_machine_with_any_driver(machine: Machine, driver: Driver, seed: int, h: float) -> None:
    """Whatever is drawn, the two agree, unless a match is chaos: a hair more charge, and the twin itself differs."""
    driver = replace(driver, phases=driver.phases[:2])
    given = Given(contacts(machine, 0.002), seed=seed)
    kernel, plain = both(machine, driver, given, h)
    hair = Plain(machine, driver, replace(given, charge=1 + 1e-13, ohm=1 + 1e-13), h).play()
    for found, wanted in zip(told(hair), told(plain), strict=True):
        assume(found == pytest.approx(wanted, rel=1e-8, abs=1e-8))
    assert_same(kernel, plain, close=1e-6)


def test_backwards_behind_the_start() -> None:
    """What has no stops goes backwards from where it began; what has stops does not."""
    for way, moves in ((float("inf"), True), (50.0, False)):
        kernel, plain = both(one_motor(way=way), push(-1.0, 0.5), Given([0.0, 0.0]))
        assert_same(kernel, plain)
        assert (plain.turnings[0].place < -10) is moves
        assert bool(kernel.ways[0, 0, at.Y_WAY] > 10) is moves


def test_what_coasts_does_so_both_ways() -> None:
    """A roller that does not brake is let go: forward or backward, it takes no current and runs on."""
    ways = []
    for goal in (1.0, -1.0):
        driver = push(goal, 1.0)
        driver = replace(
            driver,
            phases=(
                replace(driver.phases[0], end_s=0.4),
                replace(driver.phases[0], name="end", start_s=0.4, cycles=()),
            ),
        )
        kernel, plain = both(one_motor(brakes=False), driver, Given([0.0, 0.0]))
        assert_same(kernel, plain)
        assert plain.steps[-1].motor_a == [0.0]
        ways.append(kernel.ways[0, 0, at.Y_WAY])
    assert ways[0] == pytest.approx(ways[1], rel=1e-12)
