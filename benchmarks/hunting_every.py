"""Put every single fault into the three examples, at every end, and hunt each one down: an hour or two.

    python -m benchmarks.hunting_every [WORKERS] [ROBOT ...]

The twin of tests/hunting/robot reports what a team would and answers what is asked. A fault that nobody would notice is
counted and left out. For each robot: how many were found, first or sharing the first place, by kinds where not all
were; how many of the claims were right, each fault counted once, and as often as it comes by the tables (claims are
made at 95 % of that); how many checks and seconds that took; and the least probability that a fault that was not found
still had: none may be ruled out. Then every claim that was wrong. Ends with 1 where less than 95 of 100 were found or
one was ruled out.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from math import log2

from benchmarks.hunting_robots import PAINS, left_after
from loomwright.hunting.board import board_of
from loomwright.hunting.hunting import Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from loomwright.hunting.weigh import weigh
from tests.hunting.robot.hunted import hunt_down, wrong_outcomes
from tests.hunting.robot.twin import Trouble, Twin
from tests.robots import EXAMPLES, example_plan

_LEAST = 0.95
_TOGETHER = 10
#: With a smaller probability something counts as ruled out.
_RULED_OUT = 1e-9


@dataclass(frozen=True, slots=True)
class Hunted:
    """How one fault was hunted: `noticed` or not, found or not, the probability that it had at the end, the effort.

    `often` is how often it comes in a match; `claimed` is the seat that was first told as found, None where none was.
    """

    kind: str
    key: str
    noticed: bool
    found: bool = False
    share: float = 1.0
    often: float = 0.0
    seat: str = ""
    claimed: str | None = None
    checks: int = 0
    seconds: float = 0.0
    bits: float = 0.0


def main(words: Sequence[str]) -> int:
    """Hunt and print; return the exit code."""
    workers = int(words[0]) if words else 2
    well = True
    for name in words[1:] or EXAMPLES:
        count = len(_twin(name).faults())
        lots = [(name, range(begin, min(begin + _TOGETHER, count))) for begin in range(0, count, _TOGETHER)]
        with ProcessPoolExecutor(workers) as pool:
            went = [one for held in _told(pool.map(_hunted, lots), count) for one in held]
        well = _summary(name, went) and well
    return 0 if well else 1


def _told(lots: Iterator[list[Hunted]], count: int) -> Iterator[list[Hunted]]:
    done: list[Hunted] = []
    for held in lots:
        done += held
        noticed = [one.found for one in done if one.noticed]
        told = f"  {len(done)} of {count}: found {sum(noticed)} of {len(noticed)}"
        print(told, end="\r", file=sys.stderr, flush=True)
        yield held


def _hunted(lot: tuple[str, range]) -> list[Hunted]:
    name, numbers = lot
    robot, tracker = _tracing(name)
    faults = list(_twin(name).faults())
    found = []
    for number in numbers:
        trouble = faults[number]
        body = _twin(name).injected([trouble], random.Random(trouble.key))  # noqa: S311  a fixed draw
        symptoms = body.symptoms()
        if not wrong_outcomes(robot, symptoms):
            found.append(Hunted(trouble.kind, trouble.key, noticed=False))
            continue
        one = hunt_down(robot, tracker, body, symptoms)
        found.append(
            Hunted(
                trouble.kind,
                trouble.key,
                noticed=True,
                found=one.found(trouble.seat),
                share=1.0 if one.found(trouble.seat) else _share(robot, one.seen, trouble.seat),
                often=_often(robot, trouble),
                seat=trouble.seat,
                claimed=one.claimed[0] if one.claimed else None,
                checks=len(one.checks),
                seconds=one.seconds,
                bits=log2(max(left_after(robot, symptoms), 1)),
            )
        )
    return found


def _summary(name: str, went: Sequence[Hunted]) -> bool:
    noticed = [one for one in went if one.noticed]
    found, least = sum(one.found for one in noticed), min(one.share for one in noticed)
    claimed = [one for one in noticed if one.claimed is not None]
    often = sum(one.often for one in claimed) or 1.0
    right = sum(one.often for one in claimed if one.claimed == one.seat)
    well = sum(one.claimed == one.seat for one in claimed)
    print(
        f"{name}: {len(went)} faults, {len(noticed)} would be noticed; found {found} ({found / len(noticed):.1%}), "
        f"what was not has {least:.1e} at least; {well} of {len(claimed)} claims right, "
        f"{right / often:.1%} as often as they come; "
        f"checks {statistics.median(one.checks for one in noticed):.0f} "
        f"(mean {statistics.mean(one.checks for one in noticed):.1f}), "
        f"{statistics.median(one.seconds for one in noticed):.0f} s; reports leave "
        f"2^{statistics.median(one.bits for one in noticed):.1f} faults in the middle"
    )
    all_of, missed = Counter(one.kind for one in noticed), Counter(one.kind for one in noticed if not one.found)
    for kind, many in missed.most_common():
        keys = ", ".join(one.key for one in noticed if one.kind == kind and not one.found)
        print(f"  missed {many} of {all_of[kind]} {kind}: {keys}")
    for one in sorted((one for one in claimed if one.claimed != one.seat), key=lambda one: -one.often):
        print(f"  wrong, {one.often / often:.2%}: {one.key} taken for {one.claimed or 'none'}")
    return found >= _LEAST * len(noticed) and least > _RULED_OUT


def _often(robot: RobotHunt, trouble: Trouble) -> float:
    """Return how often a fault comes in a match by the tracer's tables; those of one kind at one seat together."""
    return sum(
        fault.per_match for fault in robot.faults.values() if (fault.kind, fault.seat) == (trouble.kind, trouble.seat)
    )


def _share(robot: RobotHunt, seen: Sequence[Observation], seat: str) -> float:
    """Return the probability that a seat is bad after all that was told."""
    weighed = weigh(board_of(robot.hunt), seen, most_pairs=1)
    rows = [row for key, held in robot.rows.items() if robot.faults[key].seat == seat for row in held]
    return float(weighed.there[rows].sum())


@lru_cache(maxsize=3)
def _twin(name: str) -> Twin:
    return Twin(example_plan(name))


@lru_cache(maxsize=1)
def _tracing(name: str) -> tuple[RobotHunt, Tracker]:
    robot = robot_hunt(example_plan(name), pairs=True)
    return robot, Tracker(robot.hunt, PAINS)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
