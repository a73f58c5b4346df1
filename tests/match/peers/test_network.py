"""The kernel against two solvers that share nothing with it, on a network of 16 branches without events."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.match.peers import lsoda, spice
from tests.match.peers import network as net


@pytest.fixture(scope="module")
def by_lsoda() -> net.Course:
    """Give LSODA's answer at a tolerance of 1e-9, in the middle of each step of 5 ms."""
    return lsoda.by_lsoda(net.middles(0.005))


def off_mv(one: net.Course, other: net.Course) -> tuple[float, float]:
    """Return how far two bus voltages are apart at the times of the first: root of mean square, and most [mV]."""
    apart = 1e3 * (one.bus_v - np.interp(one.time_s, other.time_s, other.bus_v))
    return float(np.sqrt(np.mean(apart**2))), float(np.max(np.abs(apart)))


def test_the_network_meets_what_a_match_has(by_lsoda: net.Course) -> None:
    """Supply-side limits, motor-side limits of both signs, currents that come back, and a voltage that sinks by 3 V."""
    found = [
        lsoda.motors(volts, by_lsoda.speed[:, k], lsoda.duties(by_lsoda.time_s[k]))
        for k, volts in enumerate(by_lsoda.bus_v)
    ]
    supply, motor = (np.array(side) for side in zip(*found, strict=True))
    roller = [one.name for one in net.owners()].index("roller")
    assert np.mean(supply[:, 0] == 40.0) > 0.05
    assert np.mean(motor[:, roller] == 36.0) > 0.02
    assert np.mean(motor[:, roller] == -36.0) > 0.02
    assert np.min(supply) < -10.0
    assert np.ptp(by_lsoda.bus_v) > 3.0
    assert np.max(np.sum(supply, axis=1)) > 200.0


def test_lsoda_finds_the_same(by_lsoda: net.Course) -> None:
    """At 5 ms: a millivolt in the mean, three at most; speeds to half a radian a second."""
    ours = net.by_kernel(0.005)
    mean, most = off_mv(ours, by_lsoda)
    assert mean < 1.0
    assert most < 3.0
    middles = 0.5 * (ours.speed[:, 1:] + ours.speed[:, :-1])
    assert np.max(np.abs(middles - by_lsoda.speed[:, 1:])) < 0.5


def test_a_step_of_half_the_length_is_four_times_as_near(by_lsoda: net.Course) -> None:
    """The kernel is of second order, in duty, friction, battery and motors: whatever is of first order halves only."""
    coarse, _ = off_mv(net.by_kernel(0.005), by_lsoda)
    finer, _ = off_mv(net.by_kernel(0.0025), lsoda.by_lsoda(net.middles(0.0025)))
    assert 3.0 < coarse / finer < 5.0


def test_a_circuit_simulator_finds_the_same(needs_ngspice: Path) -> None:
    """Ngspice in steps of at most 1 ms, from a deck with copper as resistors: five millivolts at most."""
    theirs, _ = spice.by_spice(needs_ngspice, 0.001)
    _, most = off_mv(net.by_kernel(0.005), theirs)
    assert most < 5.0
