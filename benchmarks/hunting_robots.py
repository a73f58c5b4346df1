"""Put faults into the three examples and hunt them down: how often they are found, and in how many checks.

    python -m benchmarks.hunting_robots [COUNT] [ROBOT ...]

COUNT faults of each robot (60 where not said; benchmarks.hunting_every takes all of them), each with what a team
reports of it, answered by
the twin of tests/hunting/robot. Beside the tracer: halving (the check that tells most, whatever it costs), a checklist
(looks, then volts, then ohms, then tugs), and the bound log2 of the number of faults that the first report leaves. Then
one answer of twenty a lie, a robot with every resistance and load up to a fifth off, and two faults at once. Last,
symptom classes beside the best policy. Nothing here fails: people read the numbers.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import log2
from time import process_time

import numpy as np

from loomwright.hunting.board import board_of, entropy
from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.optimal import optimal_options
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.robot_hunt import RobotHunt, robot_hunt
from tests.hunting.robot.classes import small_pool_of, symptom_classes
from tests.hunting.robot.hunted import Choice, Lying, Played, hunt_down, wrong_outcomes
from tests.hunting.robot.twin import Injected, Trouble, Twin
from tests.hunting.ways import WAYS, least_s, takes_s
from tests.robots import EXAMPLES, example_plan

PAINS = Pains(looked_at=0.98, most_looked_at=600, tell=40)
_ORDER = ("look", "lights", "seen", "list", "run", "fuse", "breaker", "volts", "plus", "rest", "ohms", "bus", "tug")
_MOST_CLASS, _MOST_FOLLOWED = 18, 9
#: A fault is left by a report that is at least this times as likely under it as under the likeliest.
_LEFT = 0.01
_FIRST = 5


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    count = int(words[0]) if words else 60
    for name in words[1:] or EXAMPLES:
        _robot(name, count)


def _robot(name: str, count: int) -> None:
    plan = example_plan(name)
    begun = process_time()
    robot = robot_hunt(plan, pairs=True)
    print(f"{name}: {len(robot.faults)} faults, {len(robot.hunt.checks)} checks, {process_time() - begun:.2f} s")
    tracker, twin = Tracker(robot.hunt, PAINS), Twin(plan)
    hunts = list(_reported(robot, twin, _drawn(twin, count)))
    bound = statistics.median(log2(max(left_after(robot, symptoms), 1)) for _, symptoms in hunts)
    print(
        f"  {len(hunts)} of {count or len(twin.faults())} faults show; reports leave 2^{bound:.1f} faults in the middle"
    )
    for way, choose in (("the tracer", None), ("halving", _halving(robot)), ("checklist", _checklist(robot))):
        _told(way, [(body, hunt_down(robot, tracker, body, symptoms, choose=choose)) for body, symptoms in hunts])
    lying = [
        (body, hunt_down(robot, tracker, Lying(robot, body, random.Random(n), 0.05), symptoms))  # noqa: S311  fixed
        for n, (body, symptoms) in enumerate(hunts)
    ]
    _told("5 % lies", lying)
    off = [twin.injected(body.troubles, random.Random(7), perturb=0.2) for body, _ in hunts]  # noqa: S311  fixed
    shown = [(body, body.symptoms()) for body in off if wrong_outcomes(robot, body.symptoms())]
    _told("a fifth off", [(body, hunt_down(robot, tracker, body, symptoms)) for body, symptoms in shown])
    _doubles(robot, twin, [body.troubles[0] for body, _ in hunts])
    _classes(robot)


def _drawn(twin: Twin, count: int) -> list[Trouble]:
    faults = list(twin.faults())
    random.Random(1).shuffle(faults)  # noqa: S311  a fixed order
    return faults[: count or None]


def _reported(
    robot: RobotHunt, twin: Twin, troubles: Iterable[Trouble]
) -> Iterable[tuple[Injected, tuple[tuple[str, str], ...]]]:
    for trouble in troubles:
        body = twin.injected([trouble], random.Random(trouble.key))  # noqa: S311  a fixed draw
        symptoms = body.symptoms()
        if wrong_outcomes(robot, symptoms):
            yield body, symptoms


def _told(way: str, went: Sequence[tuple[Injected, Played]]) -> None:
    good = [one.found(*(trouble.seat for trouble in body.troubles)) for body, one in went]
    claims = [one.claimed[0] in {trouble.seat for trouble in body.troubles} for body, one in went if one.claimed]
    checks, seconds = [len(one.checks) for _, one in went], [one.seconds for _, one in went]
    gone = sum(not one.place(*(trouble.seat for trouble in body.troubles)) for body, one in went if not one.helped)
    print(
        f"  {way:12} found {statistics.mean(good):6.1%}, claimed and right {statistics.mean(claims or [0]):6.1%} of "
        f"{len(claims)}, checks {statistics.median(checks):.0f} (mean {statistics.mean(checks):.1f}), "
        f"{statistics.median(seconds):.0f} s, the truth lost {gone} times",
        flush=True,
    )
    kinds: dict[str, list[bool]] = defaultdict(list)
    for (body, _), well in zip(went, good, strict=True):
        kinds[body.troubles[0].kind].append(well)
    missed = {kind: f"{len(held) - sum(held)} of {len(held)}" for kind, held in kinds.items() if not all(held)}
    print(f"               missed {missed or 'none'}")


def _doubles(robot: RobotHunt, twin: Twin, there: Sequence[Trouble]) -> None:
    tracker = Tracker(robot.hunt, PAINS)
    chance = random.Random(5)  # noqa: S311  a fixed draw
    good: list[bool] = []
    for _ in range(60):
        two = chance.sample(list(there), 2)
        body = twin.injected(two, chance)
        left = [body.repaired(trouble.seat) for trouble in two]
        if two[0].seat == two[1].seat or not all(wrong_outcomes(robot, one.symptoms()) for one in left):
            continue
        one, seats = hunt_down(robot, tracker, body, body.symptoms()), tuple(trouble.seat for trouble in two)
        good.append(set(seats) <= set(one.mended) or 0 < one.place(*seats) <= _FIRST)
    print(f"  two at once  {statistics.mean(good or [False]):6.1%} of {len(good)} among the first five or mended")


def _classes(robot: RobotHunt) -> None:
    over: dict[str, list[float]] = {"the program's step": [], **{name: [] for name in WAYS}}
    board = board_of(robot.hunt)
    for _, seen in symptom_classes(robot):
        pool = small_pool_of(board, seen, _MOST_CLASS)
        if pool is not None:
            best_s = least_s(pool)
            over["the program's step"].append(optimal_options(pool, 0)[0].expected_s / best_s - 1)
            for name, way in WAYS.items() if len(pool.members) <= _MOST_FOLLOWED else ():
                over[name].append(takes_s(pool, way) / best_s - 1)
    for name, shares in over.items():
        if shares:
            mean, worst = statistics.mean(shares), max(shares)
            print(f"  {len(shares):3} classes beside the best: {name:30} mean {mean:7.2%}, worst {worst:7.2%}")


def left_after(robot: RobotHunt, symptoms: Sequence[tuple[str, str]]) -> int:
    """Return how many faults a report leaves."""
    likes = np.ones(len(robot.hunt.faults) + 1)
    for key, outcome in symptoms:
        if key in robot.numbers:
            number = robot.numbers[key]
            likes *= robot.hunt.chances[:, number, robot.hunt.checks[number].outcomes.index(outcome)]
    by_fault = [max(likes[row] for row in rows) for rows in robot.rows.values()]
    return sum(like > _LEFT * max(by_fault) for like in by_fault) if max(by_fault) > 0 else 0


def _halving(robot: RobotHunt) -> Choice:
    """Return the way that takes the check that tells most, whatever it costs."""
    board = board_of(robot.hunt)
    mixed = robot.hunt.chances * board.trust[:, None] + board.floor
    noise = entropy(mixed)
    places = {check.key: number for number, check in enumerate(robot.hunt.checks)}

    def choose(seen: Sequence[Observation], tried: set[str]) -> str:
        belief = board.odds.copy()
        for one in seen:
            number = places[one.check]
            belief *= mixed[:, number, robot.hunt.checks[number].outcomes.index(one.outcome)]
        belief /= belief.sum()
        told = entropy(np.einsum("f,fco->co", belief, mixed)) - belief @ noise
        told[[places[key] for key in tried if key in places]] = -1.0
        return robot.hunt.checks[int(told.argmax())].key

    return choose


def _checklist(robot: RobotHunt) -> Choice:
    """Return the way that goes down a list: looks at everything, then volts everywhere, then ohms, then tugs."""
    order = [c.key for kind in _ORDER for c in robot.hunt.checks if c.key.split()[0] == kind]
    return lambda _, tried: next((key for key in order if key not in tried), "")


if __name__ == "__main__":
    main(sys.argv[1:])
