"""One driver in one match, followed with plain numbers: the twin of the kernel's orders and of its chance."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import Final

from loomwright.match.driver import Cycle, Driver, Phase, Range, Step
from loomwright.match.machine import Control, Machine

_BITS: Final = 2**64 - 1
_GOLDEN: Final = 0x9E3779B97F4A7C15
#: Moments are told apart by this much [s].
EPS_S: Final = 1e-9


def mixed(x: int) -> int:
    """Return the mixed bits of a 64-bit number (splitmix64's finalizer)."""
    x = ((x ^ (x >> 30)) * 0xBF58476D1CE4E5B9) & _BITS
    x = ((x ^ (x >> 27)) * 0x94D049BB133111EB) & _BITS
    return x ^ (x >> 31)


def share(*key: int) -> float:
    """Return a number from 0 to below 1 for a key: each part of it moves the generator on and is mixed in."""
    x = key[0]
    for part in key[1:]:
        x = mixed((x * _GOLDEN + part) & _BITS)
    return (x >> 11) / 2**53


def side_of(machine: Machine, m: int) -> float:
    """Return 1 for the left side of a drive in two sides, -1 for the right one, else 0."""
    drives = [i for i, one in enumerate(machine.mechanisms) if one.kind == "drive"]
    if len(drives) != 2 or m not in drives:
        return 0.0
    first, second = (machine.mechanisms[i].name for i in drives)
    swapped = "right" in first or "left" in second
    return 1.0 if (m == drives[0]) != swapped else -1.0


def _clip(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


@dataclass
class Orders:
    """What a driver asks of a machine now: goals and loads by mechanism, shots to come, strokes of air."""

    machine: Machine
    driver: Driver
    seed: int
    match: int
    goals: list[float] = field(default_factory=list)
    loads: list[float] = field(default_factory=list)
    moves: list[int] = field(default_factory=list)
    next_at_s: float = 0.0
    count: int = 0
    cycle: Cycle | None = None
    place: int = 0
    shots: int = 0
    shot_at_s: float = inf
    shot_every_s: float = inf
    strokes: int = 0
    begun: list[tuple[float, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Begin with nothing asked."""
        n = len(self.machine.mechanisms)
        self.goals, self.loads, self.moves = [0.0] * n, [0.0] * n, [0] * n

    def follow(self, now_s: float) -> int:
        """Begin all steps that are due; tell how many strokes of air they take."""
        self.strokes, turns = 0, 0
        while self.next_at_s <= now_s + EPS_S and turns < 100:
            turns += 1
            self._next(now_s)
        return self.strokes

    def shoots(self, now_s: float) -> bool:
        """Tell whether a shot is due, and count it."""
        if self.shots == 0 or now_s < self.shot_at_s:
            return False
        self.shots -= 1
        self.shot_at_s += self.shot_every_s
        return True

    def _phase(self, now_s: float) -> Phase:
        later = [phase for phase in self.driver.phases if now_s < phase.end_s - EPS_S]
        return later[0] if later else self.driver.phases[-1]

    def _next(self, now_s: float) -> None:
        phase = self._phase(now_s)
        before, after = now_s < phase.start_s - EPS_S, now_s >= phase.end_s - EPS_S
        if not phase.cycles or before or after:
            self.cycle = None
            self.next_at_s = inf if after else phase.start_s if before else phase.end_s
            for m in range(len(self.goals)):
                self._unsaid(m)
            return
        if self.cycle is None or self.place + 1 >= len(self.cycle.steps):
            self.count += 1
            self.cycle, self.place = self._pick(phase), 0
        else:
            self.place += 1
        self._begin(self.cycle.steps[self.place], phase, now_s)

    def _pick(self, phase: Phase) -> Cycle:
        pick = share(self.seed, self.match, 1000 + 256 * self.count, 0)
        total, up_to = sum(weight for _, weight in phase.cycles), 0.0
        name = phase.cycles[-1][0]
        for called, weight in phase.cycles:
            up_to += weight / total
            if pick < up_to:
                name = called
                break
        cycle = self.driver.cycle(name)
        assert cycle is not None
        return cycle

    def _begin(self, step: Step, phase: Phase, now_s: float) -> None:
        key = 1000 + 256 * self.count + 1 + (self.place if step.key < 0 else step.key)
        self.begun.append((now_s, step.name))

        def drawn(span: Range, number: int) -> float:
            return span[0] + (span[1] - span[0]) * share(self.seed, self.match, key, number)

        lasts = drawn(step.lasts_s, 1)
        self.next_at_s = min(now_s + lasts, phase.end_s)
        self.shots, self.shot_every_s = step.shots, lasts / (step.shots + 1)
        self.shot_at_s = now_s + self.shot_every_s
        self.strokes += step.strokes
        for m, mechanism in enumerate(self.machine.mechanisms):
            asked = [(i, w) for i, w in enumerate(step.wishes) if w.whom in (mechanism.name, mechanism.kind)]
            if not asked:
                self._unsaid(m)
                continue
            draw, wish = asked[-1]
            side = side_of(self.machine, m)
            goal = drawn(wish.goal, 3 * draw + 2) + side * drawn(wish.turn, 3 * draw + 3)
            goal = _clip(goal, -1.0, 1.0)
            self.moves[m] += goal != self.goals[m]
            self.goals[m] = goal
            self.loads[m] = drawn(wish.load, 3 * draw + 4)
        if self.next_at_s >= phase.end_s - EPS_S:
            self.cycle = None

    def _unsaid(self, m: int) -> None:
        """Let a mechanism go that nothing is asked of: a share of voltage falls to 0, a place or speed stays."""
        self.loads[m] = 0.0
        if self.machine.mechanisms[m].control is Control.DUTY:
            self.goals[m] = 0.0
