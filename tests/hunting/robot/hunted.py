"""Play a hunt: the tracer asks, a twin robot with faults in it answers, until the tracer is sure or mending helped."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from loomwright.hunting.hunting import Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.result import SURE, Standing, Step
from loomwright.hunting.robot.robot_hunt import RobotHunt

MOST_STEPS = 40


class Answering(Protocol):
    """A robot that answers checks and can be mended."""

    def answer(self, check: str) -> str:
        """Return an outcome; raise KeyError for a check that can't be taken."""

    def repaired(self, seat: str) -> Answering:
        """Return the robot with a seat mended."""

    def symptoms(self) -> tuple[tuple[str, str], ...]:
        """Return what a team reports."""


#: Names the next check from the answers so far and the checks that were tried; "" leaves it to the tracer.
Choice = Callable[[Sequence[Observation], set[str]], str]


@dataclass(slots=True)
class Played:
    """How a hunt went: the seats in the tracer's order at its end, the checks and repairs, the time [s].

    `claimed` are the seats that were told as found, one after the other; "" is no fault of the wiring. `seen` is
    everything that was told.
    """

    ranked: list[tuple[tuple[str, ...], float]] = field(default_factory=list)
    checks: list[tuple[str, str]] = field(default_factory=list)
    mended: list[str] = field(default_factory=list)
    seconds: float = 0.0
    claimed: list[str] = field(default_factory=list)
    helped: bool = False
    seen: list[Observation] = field(default_factory=list)

    def found(self, *seats: str) -> bool:
        """Tell whether the robot works again with these seats mended, or they share the first place at the end."""
        return (
            set(seats) <= {*self.claimed[: len(seats)]}
            or (self.helped and set(seats) <= set(self.mended))
            or self.place(*seats) == 1
        )

    def place(self, *seats: str) -> int:
        """Return at which place a seat (or two) stands, those as probable counted as sharing it; 0 is nowhere."""
        wanted = frozenset(seats) - {""}
        held = next((share for found, share in self.ranked if frozenset(found) == wanted), None)
        if held is None:
            return 0
        return 1 + sum(share > held * (1 + 1e-6) for found, share in self.ranked if frozenset(found) != wanted)


def hunt_down(
    robot: RobotHunt,
    tracker: Tracker,
    body: Answering,
    symptoms: tuple[tuple[str, str], ...],
    *,
    most: int = MOST_STEPS,
    choose: Choice | None = None,
) -> Played:
    """Play one hunt to its end; `choose` picks the next check where it is not the tracer itself."""
    return _Hunt(robot, tracker, body, symptoms).play(most, choose)


class _Hunt:
    """One hunt while it goes on."""

    def __init__(
        self, robot: RobotHunt, tracker: Tracker, body: Answering, symptoms: tuple[tuple[str, str], ...]
    ) -> None:
        self.robot, self.tracker, self.body = robot, tracker, body
        self.checks = {check.key: check for check in robot.hunt.checks}
        self.seen = [Observation(check=key, outcome=outcome) for key, outcome in symptoms if key in self.checks]
        self.state = next((self.checks[o.check].needs for o in reversed(self.seen) if self.checks[o.check].needs), "")
        self.tried: set[str] = set()
        self.after: list[str] = []
        self.played = Played(seen=self.seen)

    def play(self, most: int, choose: Choice | None) -> Played:
        for _ in range(most):
            now = self.tracker.standing(self.seen, self.state, self.after)
            self.played.ranked = by_seat(self.robot, now)
            if now.over >= SURE and not self.more():
                self.played.helped = True
                return self.played
            claim = self.claim(now)
            if self.take(now, choose) if claim is None else self.follow(claim):
                return self.played
        return self.played

    def take(self, now: Standing, choose: Choice | None) -> bool:
        """Take the next step; tell whether the hunt is at its end."""
        step = self.next(now, choose)
        if step is None:
            return True
        seats = self.seats(step)
        if not step.check and seats:
            return self.mended(seats, step.seconds)
        # That it is no wiring fault shows in the program.
        gave = self.asked(step.check or "program", step.seconds if step.check else self.checks["program"].seconds)
        # An end that gives way is made again, whatever else is wrong (jobs/hunt/seats.py).
        return bool(gave) and self.mended((gave,), 0.0)

    def follow(self, claim: str) -> bool:
        """Mend what is told as found; tell whether the hunt is at its end."""
        self.played.claimed.append(claim)
        if claim or "program" in self.tried:
            return self.mended((claim,) if claim else (), 0.0)
        # Whoever knows the program looks for it there.
        self.asked("program", self.checks["program"].seconds)
        return False

    def claim(self, now: Standing) -> str | None:
        """Return the seat that is told as found, "" for no fault of the wiring; None where nothing is."""
        if now.bad and now.bad[0].probability >= SURE:
            return self.robot.faults[now.bad[0].faults[0]].seat
        return None

    def next(self, now: Standing, choose: Choice | None) -> Step | None:
        check = choose(self.seen, self.tried) if choose is not None else ""
        if check:
            return Step(check=check, seconds=self.takes_s(check), bits=0.0, expected_s=0.0)
        return next((one for one in now.steps if self.seats(one) or (one.check or "program") not in self.tried), None)

    def seats(self, step: Step) -> tuple[str, ...]:
        """Return what a step mends; () for a check, and for what is no fault of the wiring."""
        return tuple(seat for key in step.repair if (seat := self.robot.faults[key].seat))

    def takes_s(self, check: str) -> float:
        """Return how long a check takes from the state of work that the robot is in [s]."""
        needs = self.checks[check].needs
        changes = {(one.was, one.then): one.seconds for one in self.robot.hunt.changes}
        return self.checks[check].seconds + (changes.get((self.state, needs), 0.0) if needs else 0.0)

    def asked(self, check: str, seconds: float) -> str:
        """Make a check; return the end that gave way in the hand, or nothing."""
        self.tried.add(check)
        try:
            outcome = self.body.answer(check)
        except KeyError:
            return ""
        self.played.seconds += seconds
        self.played.checks.append((check, outcome))
        self.seen.append(Observation(check=check, outcome=outcome, after=tuple(self.after)))
        self.state = self.checks[check].needs or self.state
        shown = self.robot.checks[check]
        return shown.about if shown.kind == "tug" and not self.well(check, outcome) else ""

    def mended(self, seats: tuple[str, ...], seconds: float) -> bool:
        """Mend seats and make the tests that showed trouble again; tell whether the hunt is at its end."""
        self.played.seconds += seconds
        self.played.mended += [*seats] or [""]
        if not seats:
            return True
        before = self.body
        for seat in seats:
            self.body = self.body.repaired(seat)
        self.after += [key for key, fault in self.robot.faults.items() if fault.seat in seats]
        wrong = [one.check for one in self.seen if not self.well(one.check, one.outcome)]
        # What looks well before anything is mended shows nothing after it.
        telling = [key for key in retests(self.robot, wrong) if not self.well(key, before.answer(key))]
        for key in telling:
            outcome = self.body.answer(key)
            self.seen.append(Observation(check=key, outcome=outcome, after=tuple(self.after)))
            self.played.seconds += self.checks[key].seconds
        if all(self.well(key, self.body.answer(key)) for key in telling):
            self.played.helped = not self.more()
        return self.played.helped

    def more(self) -> bool:
        """Report what is still wrong, as a team does that tries the robot again; tell whether there is any."""
        told = [(key, outcome) for key, outcome in self.body.symptoms() if key in self.checks]
        wrong = [(key, outcome) for key, outcome in told if not self.well(key, outcome)]
        self.seen += [Observation(check=key, outcome=outcome, after=tuple(self.after)) for key, outcome in wrong]
        return bool(wrong)

    def well(self, check: str, outcome: str) -> bool:
        return outcome == self.checks[check].outcomes[0]


def retests(robot: RobotHunt, wrong: Sequence[str]) -> list[str]:
    """Return the checks that show whether mending helped: what was wrong, tried now instead of told of the match."""
    found = []
    for key in wrong:
        kind, _, about = key.partition(" ")
        found.append(f"run {about}" if kind == "drove" else key)
    hosts = [key for key in robot.checks if key.startswith("look ") and "controller" in key]
    return [
        key
        for key in dict.fromkeys([*found, *hosts[:1]])
        if key in robot.checks and not key.startswith(("halt", "brown"))
    ]


def by_seat(robot: RobotHunt, now: Standing) -> list[tuple[tuple[str, ...], float]]:
    """Return the seats with their shares, the greatest first; () is no fault of the wiring."""
    found: dict[tuple[str, ...], float] = {}
    for one in now.suspects:
        if not one.other:
            seats = tuple(sorted({robot.faults[key].seat for key in one.faults} - {""}))
            found[seats] = found.get(seats, 0.0) + one.probability
    return sorted(found.items(), key=lambda held: -held[1])


def wrong_outcomes(robot: RobotHunt, symptoms: Sequence[tuple[str, str]]) -> list[str]:
    """Return the checks of a report that the tracer knows and that are not well."""
    best = {check.key: check.outcomes[0] for check in robot.hunt.checks}
    return [key for key, outcome in symptoms if key in best and outcome != best[key]]


class Lying:
    """A robot asked by somebody who now and then says anything."""

    def __init__(self, robot: RobotHunt, body: Answering, chance: random.Random, share: float) -> None:
        self.outcomes = {check.key: check.outcomes for check in robot.hunt.checks}
        self.robot, self.body, self.chance, self.share = robot, body, chance, share
        self.said: dict[str, str] = {}

    def answer(self, check: str) -> str:
        """Return an outcome, now and then any other one; the same one when it is asked for again."""
        true = self.body.answer(check)
        if check not in self.said:
            others = [one for one in self.outcomes[check] if one != true]
            self.said[check] = self.chance.choice(others) if self.chance.random() < self.share else true
        return self.said[check]

    def symptoms(self) -> tuple[tuple[str, str], ...]:
        """Return what a team reports: the truth."""
        return self.body.symptoms()

    def repaired(self, seat: str) -> Lying:
        """Return the same robot, mended; who lies begins anew."""
        return Lying(self.robot, self.body.repaired(seat), self.chance, self.share)
