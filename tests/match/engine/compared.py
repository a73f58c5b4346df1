"""What the twin and the kernel say of one match, laid side by side."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.match.driver import Driver
from loomwright.match.engine import layout as at
from loomwright.match.engine.hot import Floats
from loomwright.match.machine import Machine
from tests.match.engine.plain import Given, Plain
from tests.match.engine.played import Played, kernel_plays


def told(plain: Plain) -> tuple[Floats, Floats, Floats]:
    """Return what the kernel would write down of a plain match: of the match, its branches and its mechanisms."""
    match = np.zeros(at.O_COLUMNS)
    match[at.O_LOWEST], match[at.O_LOWEST_AT] = plain.lowest_v, plain.lowest_at_s
    match[at.O_OFF], match[at.O_OFF_S], match[at.O_RESTARTS] = plain.offs, plain.off_s, plain.restarts
    match[at.O_DEAD_AT], match[at.O_AH], match[at.O_JOULE] = plain.dead_at_s, plain.cell.coulomb / 3600, plain.bus_j
    match[at.O_CHARGE], match[at.O_PUMP_S], match[at.O_STEPS] = plain.cell.charge, plain.pump_s, plain.orders.count
    drives = [one for one in plain.turnings if one.made.moved > 0]
    match[at.O_METRES] = sum(one.metres_way * one.made.metres_per_rad for one in drives)
    coppers = [*plain.coppers, plain.main]
    branches = np.zeros((len(coppers), at.R_COLUMNS))
    for row, one in zip(branches, coppers, strict=True):
        row[at.R_PEAK], row[at.R_SQUARES] = one.peak_a, sum(one.squares) / len(one.squares)
        row[at.R_WORST], row[at.R_WARM], row[at.R_WARMEST] = one.worst_aa(), one.warm_c, one.warmest_c
        row[at.R_OPENED], row[at.R_OPENED_AT], row[at.R_DIP] = one.opened, one.opened_at_s, one.dip_a
        row[at.R_AH] = one.all_a * plain.h / 3600
    ways = [(one.way, one.late_s, moves) for one, moves in zip(plain.turnings, plain.orders.moves, strict=True)]
    return match, branches, np.array(ways)


def assert_same(kernel: Played, plain: Plain, *, close: float = 1e-9) -> None:
    """Assert that a match came out alike, and that every 20 ms of it were alike."""
    sub = round(0.02 / plain.h)
    bus = np.array([step.bus_v for step in plain.steps]).reshape(-1, sub)
    currents = (
        np.array([[*step.branch_a, step.total_a] for step in plain.steps]).reshape(len(bus), sub, -1).mean(axis=1)
    )
    assert kernel.samples[at.T_BUS] == pytest.approx(bus.mean(axis=1), rel=close, abs=close)
    assert kernel.samples[at.T_LOW] == pytest.approx(bus.min(axis=1), rel=close, abs=close)
    assert kernel.samples[at.T_TOTAL] == pytest.approx(currents[:, -1], rel=close, abs=close)
    assert pytest.approx(currents[:, :-1], rel=close, abs=close) == kernel.samples[at.T_ROWS :].T
    for found, wanted in zip((kernel.matches[0], kernel.branches[0], kernel.ways[0]), told(plain), strict=True):
        assert found == pytest.approx(wanted, rel=close, abs=close)


def both(machine: Machine, driver: Driver, given: Given, h: float = 0.005) -> tuple[Played, Plain]:
    """Play a match with the kernel and plainly."""
    return kernel_plays(machine, driver, [given], h), Plain(machine, driver, given, h).play()
