"""The kernel asked for one or many matches of a machine, with all that is drawn for them given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.match.driver import Driver
from loomwright.match.engine import layout as at
from loomwright.match.engine.hot import Floats
from loomwright.match.engine.kernel import play
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.pack import packed
from loomwright.match.machine import Machine
from tests.match.engine.plain import Given


@dataclass
class Played:
    """What came out: arrays as in `layout`, and the course of the first match."""

    matches: Floats
    branches: Floats
    ways: Floats
    samples: Floats


def drawn_of(given: Given) -> list[float]:
    """Return the row of what is drawn."""
    row = [0.0] * at.D_COLUMNS
    row[at.D_OHM], row[at.D_AH], row[at.D_CHARGE] = given.ohm, given.capacity, given.charge
    row[at.D_TRIP], row[at.D_WARMTH] = given.trip, given.warmth_c
    return row


def kernel_plays(
    machine: Machine, driver: Driver, givens: Sequence[Given], h: float = 0.005, lanes: int = at.LANES
) -> Played:
    """Play a match for each of `givens`, which count on from the first one's number; keep the first one's course."""
    arrays = packed(machine, [driver], h)
    joints = np.array([given.joints_ohm for given in givens], dtype=float)
    drawn = np.array([drawn_of(given) for given in givens])
    room = Outcomes.empty(drawn, joints, len(arrays.machine.heat), len(arrays.machine.mechs))
    samples = np.full((round(arrays.lasts_s / 0.02), at.T_ROWS + joints.shape[1] - 1), np.nan)
    seed, first = givens[0].seed, givens[0].match
    play(seed, first, arrays.machine, arrays.drivers, room.arrays, h, arrays.lasts_s, 0, samples, lanes)
    return Played(room.matches, room.branches, room.ways, samples.T)
