"""Time the match kernel, beside other solvers of the same network and the least that its divisions cost here.

    python -m benchmarks.match [MATCHES [--steps]]

MATCHES (1,024) are played at 5 ms, 150 s each, on a made-up robot of 16 branches with all its events, on one and on two
threads. Aims on two cores: 700 matches a second (1,000 hoped for), 1.6 times the floor, a what-if in 10 ms, a risk of
1,000 matches in 1.5 s, a kept start in 1 s. The floor is a loop that does nothing
but divide and take roots, in the same lanes, on this machine, in this run: for each branch one division a step, and one
division and one root each time the branches are worked out, as often as was counted. The best of three rounds is
told, since other work on the machine only ever makes a round slower; times of one thread are the processor's, and so
are those of two threads "if nothing else ran".
`--steps` plays 2,000 matches at 1 and 5 ms as well, and tells how many of them end otherwise. Nothing here fails:
people read the numbers.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from os import environ
from pathlib import Path
from shutil import which
from time import perf_counter, process_time

import numba as nb
import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine.kernel import play
from loomwright.match.engine.study import draw, play_one, play_study, room_for
from tests.match.peers import lsoda, network, spice
from tests.match.peers.sixteen import risky

_ROUNDS = 3
_START = """
from time import perf_counter
begun = perf_counter()
from loomwright.match.engine.study import play_study
from tests.match.peers.sixteen import risky
play_study(risky(), 1)
print(perf_counter() - begun)
"""


def main(words: list[str]) -> None:
    """Measure and print."""
    count = next((int(word) for word in words if word.isdigit()), 1024)
    _starts()
    worked, one_s = _one_thread(count)
    two_s, busy_s = np.min([_both(lambda: play_study(risky(), count, threads=2)) for _ in range(_ROUNDS)], axis=0)
    machine = risky().machine
    branches, steps = len(machine.motors) + len(machine.loads), count * 150.0 / risky().step_s
    evaluations = worked * at.LANES / steps
    ours, least = 1e9 * one_s / steps / branches, 1e9 * _floor(branches, evaluations) / branches
    print(f"one thread: {count / one_s:.0f} matches/s; branches worked out {evaluations:.2f} times a step")
    print(f"two threads: {count / two_s:.0f} matches/s by the clock,", end=" ")
    print(f"{2 * count / busy_s:.0f} if nothing else ran (aim 700, better 1,000)")
    print(f"a branch-step: {ours:.2f} ns, floor {least:.2f} ns, {ours / least:.2f} times it (aim 1.6)")
    play_one(risky(), 3)
    again_s, busy_s = np.min([_both(lambda: play_one(risky(), 3)) for _ in range(30)], axis=0)
    print(f"what-if, one match again: {1e3 * again_s:.1f} ms by the clock,", end=" ")
    print(f"{1e3 * busy_s:.1f} if nothing else ran (aim 10)")
    risk_s, busy_s = np.min([_both(lambda: play_study(risky(), 1000)) for _ in range(_ROUNDS)], axis=0)
    print(f"risk of 1,000 matches: {risk_s:.2f} s by the clock, {busy_s / 2:.2f} if nothing else ran (aim 1.5)")
    _peers()
    if "--steps" in words:
        _lengths()


def _wall(what: Callable[[], object]) -> float:
    begun = perf_counter()
    what()
    return perf_counter() - begun


def _both(what: Callable[[], object]) -> tuple[float, float]:
    """Return the clock's and the processor's time, all threads together."""
    busy = process_time()
    took_s = _wall(what)
    return took_s, process_time() - busy


def _one_thread(count: int) -> tuple[int, float]:
    """Return how often all branches were worked out, and the processor's time."""
    study = risky()
    arrays, lot = study.packed(), draw(study, 0, count)
    best, worked = float("inf"), 0
    for _ in range(_ROUNDS):
        room = room_for(study, lot).arrays
        begun = process_time()
        worked = play(
            study.seed, 0, arrays.machine, arrays.drivers, room, arrays.step_s, arrays.lasts_s, -1, np.zeros((1, 1)),
            at.LANES,
        )  # fmt: skip
        best = min(best, process_time() - begun)
    return worked, best


@nb.njit(error_model="numpy", fastmath={"contract"}, boundscheck=False)
def _divide(x: np.ndarray, branches: int, rounds: int, evaluations: float, lanes: int) -> None:
    """Divide once for each branch and step, and divide and take a root once for each branch and evaluation."""
    owed = 0.0
    for _ in range(rounds):
        for b in range(branches):
            row = x[b]
            for lane in range(lanes):
                row[lanes + lane] = 1.0 / row[lane]
        owed += evaluations
        while owed >= 1.0:
            owed -= 1.0
            for b in range(branches):
                row = x[b]
                for lane in range(lanes):
                    row[2 * lanes + lane] = 1.0 / np.sqrt(row[lane])


def _floor(branches: int, evaluations: float) -> float:
    """Return the processor's seconds for the divisions and roots of one step of one match."""
    x, rounds = np.random.default_rng(1).uniform(1.0, 2.0, (branches, 3 * at.LANES)), 200_000
    _divide(x, branches, 10, evaluations, at.LANES)
    best = float("inf")
    for _ in range(_ROUNDS):
        begun = process_time()
        _divide(x, branches, rounds, evaluations, at.LANES)
        best = min(best, process_time() - begun)
    return best / rounds / at.LANES


def _starts() -> None:
    """Start Python twice with an empty cache, and tell how long the first match takes each time."""
    with tempfile.TemporaryDirectory() as folder:
        for name in ("first compile", "kept start (aim 1 s)"):
            done = subprocess.run(
                [sys.executable, "-c", _START],
                env={**environ, "XDG_CACHE_HOME": folder},
                capture_output=True,
                text=True,
                check=True,
            )
            print(f"{name}, to the end of the first match: {float(done.stdout):.2f} s")


def _peers() -> None:
    """Solve the network without events by all three, and tell times and how far they are apart."""
    network.by_kernel(0.005)
    ours_s = min(_wall(lambda: network.by_kernel(0.005)) for _ in range(9))
    ours = network.by_kernel(0.005)
    print(
        f"the network without events, {network.LASTS_S:g} s at 5 ms: {1e3 * ours_s:.2f} ms for {at.LANES} side by side"
    )
    for tolerance in (1e-6, 1e-9):
        begun = perf_counter()
        theirs = lsoda.by_lsoda(ours.time_s, tolerance)
        _beside(f"LSODA at {tolerance:g} (equations in Python)", perf_counter() - begun, ours_s, ours, theirs)
    program = which("ngspice")
    if program is None:
        print("ngspice is not here")
        return
    for step_s in (0.005, 0.001):
        begun = perf_counter()
        theirs, _ = spice.by_spice(Path(program), step_s)
        _beside(f"ngspice in steps of {1e3 * step_s:g} ms", perf_counter() - begun, ours_s, ours, theirs)


def _beside(name: str, took_s: float, ours_s: float, ours: network.Course, theirs: network.Course) -> None:
    apart = 1e3 * (ours.bus_v - np.interp(ours.time_s, theirs.time_s, theirs.bus_v))
    mean, most, ratio = np.sqrt(np.mean(apart**2)), np.max(np.abs(apart)), took_s / ours_s
    print(f"  {name}: {1e3 * took_s:.0f} ms, the time of {ratio:.0f} lots or {ratio * at.LANES:.0f} matches;", end=" ")
    print(f"apart {mean:.2f} mV rms, {most:.2f} mV at most")


def _lengths() -> None:
    """Play the same matches at two lengths of step."""
    coarse, fine = (play_study(risky(step_s), 2000).browned_out for step_s in (0.005, 0.001))
    print(f"2,000 matches brown out at 5 ms: {100 * coarse.mean():.2f} %, at 1 ms: {100 * fine.mean():.2f} %;", end=" ")
    print(f"{np.count_nonzero(coarse != fine)} of them end otherwise")


if __name__ == "__main__":
    main(sys.argv[1:])
