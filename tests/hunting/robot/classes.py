"""Symptom classes of a robot as small pools: one thing wrong, all else of its kind well, the suspects that are left.

What a check shows is hardened to its likeliest outcome and states of work cost nothing, so that the best policy can be
worked out by plain recursion (tests/hunting/ways.py).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from loomwright.hunting.board import Board
from loomwright.hunting.pool import Pool, pool_from, pool_of
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.robot_hunt import RobotHunt
from loomwright.hunting.weigh import weigh

#: How a thing of a kind is wrong, and what it is when it is well.
_WRONG = {"look": ("dark", "lit"), "seen": ("missing", "seen"), "drove": ("dead", "as ever")}
_WEAK = {"drove": ("weak", "as ever")}


def symptom_classes(robot: RobotHunt) -> Iterator[tuple[str, list[Observation]]]:
    """Give every device or motor that is wrong alone, with all others of its kind well as far as that can be."""
    for told in (_WRONG, _WEAK):
        for kind, (bad, good) in told.items():
            keys = [key for key, shown in robot.checks.items() if shown.kind == kind]
            for key in keys:
                seen = [Observation(check=key, outcome=bad)]
                seen += [Observation(check=other, outcome=good) for other in keys if _apart(robot, key, other)]
                yield f"{key} {bad}", seen


def small_pool_of(board: Board, seen: list[Observation], most: int, share: float = 0.9) -> Pool | None:
    """Return the suspects after a report as a small pool with sure outcomes; None where they are more than `most`."""
    weighed = weigh(board, seen, most_pairs=0)
    pool, _ = pool_of(board, weighed, share=share, most=most + 1)
    if not 2 <= len(pool.members) <= most:
        return None
    hard = np.zeros_like(pool.chances)
    likeliest = pool.chances.argmax(axis=1)
    checks, members = likeliest.shape
    hard[np.arange(checks)[:, None], likeliest, np.arange(members)] = 1.0
    base_s = board.seconds[pool.checks]
    best: dict[tuple[int, ...], int] = {}
    for number in range(checks):
        parts = tuple(np.unique(likeliest[number], return_inverse=True)[1].tolist())
        if len(set(parts)) > 1 and (parts not in best or base_s[number] < base_s[best[parts]]):
            best[parts] = number
    kept = np.array(sorted(best.values()), dtype=np.int64)
    return pool_from(
        members=pool.members,
        probability=pool.probability,
        repair_s=pool.repair_s,
        chances=hard[kept],
        checks=np.arange(len(kept), dtype=np.int64),
        seconds=base_s[kept][None, :],
        then=np.zeros((1, len(kept)), dtype=np.int64),
        sure=True,
    )


def _apart(robot: RobotHunt, key: str, other: str) -> bool:
    """Tell whether one can be wrong alone: no fault that makes the first one bad makes the other one bad for sure."""
    if key == other:
        return False
    one, two = robot.numbers[key], robot.numbers[other]
    chances = robot.hunt.chances
    bad = chances[1:, one, 0] < 0.5
    return bool(bad.any() and (chances[1:, two, 0][bad] > 0.5).any() and not (chances[1:, two, 0][bad] < 0.5).all())
