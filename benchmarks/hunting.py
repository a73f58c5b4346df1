"""Time the steps of a hunt on made-up faults and checks, and hold its choice against the best there is and plain ways.

    python -m benchmarks.hunting [COUNT]

First the step (suspects and next check) of a robot of 366 faults and 273 checks, with single faults and with pairs:
the processor's time and the memory. Aims on two cores: 50 ms, and 1 s with pairs. Then, for COUNT made-up hunts (40)
with at most 12 suspects, the expected time beside the best possible: looking ahead, information per second,
information without its cost, and halving. Last, how well single and double faults are found where answers are wrong.
Nothing here fails: people read the numbers.
"""

from __future__ import annotations

import resource
import statistics
import sys
import tracemalloc
from collections.abc import Sequence
from time import process_time

import numpy as np

from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.problem import Observation
from tests.hunting.made_up import answer, small_pool, wiring
from tests.hunting.played import found
from tests.hunting.ways import WAYS, least_s, takes_s

_FAULTS, _CHECKS = 366, 273
#: Two expected times that differ by a smaller share are one.
_SAME = 1e-9


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    count = int(words[0]) if words else 40
    for pairs in (False, True):
        _step(pairs=pairs)
    _beside_the_best(count)
    print("wrong  faults   first  first three  first five  checks")
    for misread in (0.0, 0.02, 0.05):
        for faults in (1, 2):
            _found(misread, faults, count)


def _step(*, pairs: bool) -> None:
    begun = process_time()
    chance = np.random.default_rng(1)
    hunt = wiring(chance, _FAULTS, _CHECKS, misread=0.02, pairs=pairs)
    tracker = Tracker(hunt)
    what = "pairs" if pairs else "singles"
    print(f"{_FAULTS} faults, {_CHECKS} checks, {what}: {process_time() - begun:.2f} s to begin")
    seen = [Observation(check="C0", outcome="low")]
    for place in range(1, 7):
        begun = process_time()
        now = tracker.standing(seen)
        took_s = process_time() - begun
        tracemalloc.start()
        tracker.standing(seen)
        most_mb = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        print(
            f"  after {place} answers: {took_s * 1000:5.0f} ms, {most_mb:4.0f} MB, two {now.two:.2%}, "
            f"looked at {now.looked_at:.2%}",
            flush=True,
        )
        check = next(step.check for step in now.steps if step.check)
        seen.append(answer(hunt, chance, check, (7,)))
    print(f"  the program has {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def _beside_the_best(count: int) -> None:
    over: dict[str, list[float]] = {name: [] for name in WAYS}
    for seed in range(count):
        chance = np.random.default_rng(seed)
        pool = small_pool(chance, int(chance.integers(5, 13)), int(chance.integers(6, 25)))
        best_s = least_s(pool)
        for name, way in WAYS.items():
            over[name].append(takes_s(pool, way) / best_s - 1)
    print(f"{count} hunts of 5 to 12 suspects: more than the least expected time")
    for name, shares in over.items():
        print(
            f"  {name:32} mean {statistics.mean(shares):7.2%}  median {statistics.median(shares):7.2%}"
            f"  worst {max(shares):7.2%}  the best in {sum(share < _SAME for share in shares)}"
        )


def _found(misread: float, faults: int, count: int) -> None:
    places, checks = [], []
    for seed in range(count):
        chance = np.random.default_rng(seed)
        end = found(chance, faults=faults, lies=misread, pains=Pains())
        places.append(end.place)
        checks.append(end.checks)
    shares = [sum(place < most for place in places) / count for most in (1, 3, 5)]
    print(
        f"{misread:5.0%} {faults:7} {shares[0]:8.0%} {shares[1]:11.0%} {shares[2]:11.0%} {statistics.mean(checks):8.1f}"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
