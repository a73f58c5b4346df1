"""Many matches of one machine: what is drawn for each, and threads that play them in lots."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from threading import Event
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine.arrays import DriverArrays, MachineArrays
from loomwright.match.engine.hot import SLOW_S, is_kept
from loomwright.match.engine.kernel import play
from loomwright.match.engine.outcomes import Outcomes
from loomwright.match.engine.pack import packed
from loomwright.match.engine.shares import shares
from loomwright.search import SILENT, News

if TYPE_CHECKING:
    from loomwright.match.driver import Driver
    from loomwright.match.engine.hot import Floats
    from loomwright.match.engine.pack import Packed
    from loomwright.match.machine import Doubt, Machine
    from loomwright.search import Watch

STEP_S: Final = 0.005
#: Matches that a thread plays before it looks up: a fifth of a second.
LOT: Final = 2 * at.LANES
_DOUBTS, _JOINTS, _DRIVERS = 1, 2, 3
COLUMN: Final = {
    "battery ohm": at.D_OHM,
    "capacity": at.D_AH,
    "charge": at.D_CHARGE,
    "main joint ohm": at.D_MAIN_JOINTS,
    "trip": at.D_TRIP,
    "warmth": at.D_WARMTH,
}
_SURE: Final = {at.D_OHM: 1.0, at.D_AH: 1.0, at.D_CHARGE: 1.0, at.D_TRIP: 0.5, at.D_WARMTH: 25.0}


@dataclass(frozen=True)
class Study:
    """A machine, what is in doubt, who drives, and the seed that all chance comes from."""

    machine: Machine
    doubts: tuple[Doubt, ...]
    drivers: tuple[Driver, ...]
    seed: int = 1
    step_s: float = STEP_S

    @property
    def lasts_s(self) -> float:
        """How long its matches last [s]."""
        return max(driver.lasts_s for driver in self.drivers)

    def packed(self) -> Packed:
        """Return its arrays."""
        return packed(self.machine, self.drivers, self.step_s)


@dataclass(frozen=True)
class Drawn:
    """What is drawn for matches: `drawn` (matches, DCOLUMNS), `joints` (matches, branches and main leads) [ohm]."""

    drawn: Floats
    joints: Floats


def draw(study: Study, first: int, count: int) -> Drawn:
    """Draw battery, joints, breakers, warmth and driver of matches; a match's are the same in every study of a seed."""
    machine, drawn = study.machine, np.zeros((count, at.D_COLUMNS))
    for column, sure in _SURE.items():
        drawn[:, column] = sure
    count_of = [motor.joints for motor in machine.motors] + [load.joints for load in machine.loads]
    chance = shares(study.seed, first, count, _DOUBTS, max(COLUMN.values()) + 1)
    contacts = np.zeros((count, len(count_of) + 1))
    for doubt in study.doubts:
        if doubt.key == "joint ohm":
            chances = shares(study.seed, first, count, _JOINTS, len(count_of))
            contacts[:, :-1] = _between(doubt, chances) * count_of
        elif doubt.key == "main joint ohm":
            drawn[:, at.D_MAIN_JOINTS] = _between(doubt, chance[:, at.D_MAIN_JOINTS])
            contacts[:, -1] = machine.main_joints * drawn[:, at.D_MAIN_JOINTS]
        else:
            column = COLUMN[doubt.key]
            drawn[:, column] = _between(doubt, chance[:, column])
    weights = np.cumsum([driver.weight for driver in study.drivers])
    pick = shares(study.seed, first, count, _DRIVERS, 1)[:, 0] * weights[-1]
    drawn[:, at.D_DRIVER] = np.minimum(np.searchsorted(weights, pick, side="right"), len(weights) - 1)
    return Drawn(drawn, contacts)


def _between(doubt: Doubt, share: Floats) -> Floats:
    if doubt.logarithmic:
        return np.asarray(doubt.low * (doubt.high / doubt.low) ** share)
    return np.asarray(doubt.low + (doubt.high - doubt.low) * share)


def play_study(
    study: Study, count: int, *, first: int = 0, watch: Watch = SILENT, stage: str = "matches", threads: int = 0
) -> Outcomes:
    """Play `count` matches from `first` on; the outcome of each depends on nothing that is played beside it.

    Where the watch is stopped, the matches in hand are finished, and those before the first gap are returned: fewer
    `count`, perhaps none. `threads` 0: one a core.
    """
    arrays, room = study.packed(), room_for(study, draw(study, first, count))
    starts = range(0, count, LOT)
    stop, done = Event(), [False] * len(starts)

    def one(i: int) -> int:
        if stop.is_set():
            return 0
        part = room.part(starts[i], min(starts[i] + LOT, count))
        _play(study, arrays, part, first + starts[i])
        done[i] = True
        return len(part)

    played = 0
    with ThreadPoolExecutor(threads or os.cpu_count() or 1) as pool:
        try:
            for size in pool.map(one, range(len(starts))):
                played += size
                watch.tell(News(stage=stage, used=played / count, words=f"{played} of {count}"))
                if watch.stopped:
                    stop.set()
        except KeyboardInterrupt:
            stop.set()
            raise
    whole = next((i for i, ready in enumerate(done) if not ready), len(done))
    return room if whole == len(done) else room.part(0, min(whole * LOT, count))


def room_for(study: Study, drawn: Drawn) -> Outcomes:
    """Return room for the outcomes of matches that were drawn."""
    machine = study.machine
    branches = len(machine.motors) + len(machine.loads) + 1
    return Outcomes.empty(drawn.drawn, drawn.joints, branches, len(machine.mechanisms))


def is_ready() -> bool:
    """Tell whether the kernel was compiled before, so that nobody has to wait for that."""
    compiled: Any = play
    return bool(compiled.signatures) or is_kept()


def make_ready() -> None:
    """Compile the kernel, where it was not, and keep it: a match of nothing is played for no time at all."""
    n = np.zeros
    sizes = (at.M_COLUMNS, at.L_COLUMNS, at.Q_COLUMNS, at.H_COLUMNS)
    motors, loads, mechs, heat = (n((0, columns)) for columns in sizes)
    machine = MachineArrays(motors, loads, mechs, heat, np.ones(at.B_PLACES), np.array([[0.0, 12.0], [1.0, 13.0]]))
    drivers = DriverArrays(n((1, 2)), n((1, 4)), n((0, 3)), n((0, at.S_COLUMNS)), n((0, 0, at.W_COLUMNS)))
    nothing = Outcomes.empty(n((0, at.D_COLUMNS)), n((0, 1)), 1, 0).arrays
    play(0, 0, machine, drivers, nothing, STEP_S, 0.0, -1, n((1, 1)), 1)


def play_one(study: Study, number: int) -> tuple[Floats, Outcomes, Packed]:
    """Play one match again and keep its course: samples (T_ROWS and branches, 20 ms), its outcome, the arrays."""
    arrays, lot = study.packed(), draw(study, number, 1)
    room = room_for(study, lot)
    samples = np.zeros((round(arrays.lasts_s / SLOW_S), at.T_ROWS + room.branches.shape[1] - 1))
    _play(study, arrays, room, number, traced=0, samples=samples)
    return samples.T, room, arrays


def _play(
    study: Study, arrays: Packed, part: Outcomes, first: int, traced: int = -1, samples: Floats | None = None
) -> None:
    kept, lanes = np.zeros((1, 1)) if samples is None else samples, min(at.LANES, len(part))
    play(
        study.seed, first, arrays.machine, arrays.drivers, part.arrays, arrays.step_s, arrays.lasts_s, traced, kept,
        lanes,
    )  # fmt: skip
