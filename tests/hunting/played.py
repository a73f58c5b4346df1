"""Play a hunt to its end: a fault or two are there, the program asks, somebody answers and lies now and then."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.result import Standing
from tests.hunting.made_up import answer, wiring

_FAULTS, _CHECKS = 30, 40
#: As after a hit: two faults at a time are nothing rare.
_ODDS = 0.03
#: The hunt ends when the first suspect is this probable.
_SURE = 0.98


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Where the truth stands among the suspects (0 is first, 99 is not told), after so many checks."""

    place: int
    checks: int
    lies: tuple[Observation, ...]
    standing: Standing


def found(chance: np.random.Generator, *, faults: int, lies: float, pains: Pains, most: int = 25) -> End:
    """Hunt until the first suspect is sure enough, or so many checks are made; repairs are put off."""
    hunt = wiring(chance, _FAULTS, _CHECKS, misread=max(lies * 1.5, 0.01), pairs=True, usual_odds=_ODDS)
    there = tuple(sorted(int(one) for one in chance.choice(np.arange(1, _FAULTS + 1), faults, replace=False)))
    truth = tuple(f"F{one}" for one in there)
    tracker, seen = Tracker(hunt, pains), [Observation(check="C0", outcome="low")]
    while True:
        now = tracker.standing(seen)
        steps = [step.check for step in now.steps if step.check]
        if now.suspects[0].probability > _SURE or len(seen) == most or not steps:
            break
        seen.append(answer(hunt, chance, steps[0], there, lies))
    lied = tuple(one for one in seen if one.outcome != answer(hunt, chance, one.check, there).outcome)
    told = [suspect.faults for suspect in now.suspects]
    return End(place=told.index(truth) if truth in told else 99, checks=len(seen), lies=lied, standing=now)
