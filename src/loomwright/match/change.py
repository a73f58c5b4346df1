"""Single changes to a study: what a team could do, and what its matches would be with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING, Final

from loomwright.match.teams import DRIVE, team_of, teams_of
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.match.driver import Driver, Step
    from loomwright.match.engine.study import Study
    from loomwright.match.machine import Machine

#: A limit is lowered to this share of what it is, or of what the branch ever takes.
_LOWER: Final = 0.75
#: A step in which two begin together is parted here: the second waits for this share of it.
_WAITS: Final = 0.35
_SLOWER_S: Final = 0.3
#: What takes less than this is not limited further [A].
LEAST_A: Final = 8.0
#: A wish above this counts as running hard.
_HARD: Final = 0.5


@dataclass(frozen=True)
class Change:
    """One thing that could be done: words, what kind of thing it is, and the study with it."""

    words: str
    kind: str
    study: Study


def changes_of(study: Study, peaks_a: dict[str, float], states: tuple[Study, ...] = ()) -> tuple[Change, ...]:
    """Return the changes worth a look.

    `peaks_a` is what a motor of each team took at most, so that a limit is set where it bites; `states` are the same
    machine with its battery in other states.
    """
    found = [*_limits(study, peaks_a), *_ramps(study), *_leads(study), *_apart(study), *_air(study), *_joints(study)]
    found += [Change(f"a battery that is {other.machine.battery.state}", "battery", other) for other in states]
    return tuple(found)


def with_limit(study: Study, team: str, supply_a: float) -> Study:
    """Return a study in which each motor of a team takes at most so much from the battery's side [A].

    A motor that takes less already keeps its limit.
    """
    machine = study.machine
    names = teams_of(machine)[team]
    motors = tuple(
        replace(motor, supply_limit_a=min(motor.supply_limit_a, supply_a))
        if machine.mechanisms[motor.mechanism].name in names
        else motor
        for motor in machine.motors
    )
    return replace(study, machine=replace(machine, motors=motors))


def _limits(study: Study, peaks_a: dict[str, float]) -> Iterator[Change]:
    for team in teams_of(study.machine):
        lower = round(_LOWER * peaks_a.get(team, 0.0))
        if lower >= LEAST_A:
            yield Change(f"{team}: supply-side limit {lower} A a motor", "limit", with_limit(study, team, lower))


def _ramps(study: Study) -> Iterator[Change]:
    machine = study.machine
    if any(one.moved and one.ramp_s < _SLOWER_S for one in machine.mechanisms):
        slower = tuple(
            replace(one, ramp_s=max(one.ramp_s, _SLOWER_S)) if one.moved else one for one in machine.mechanisms
        )
        words = f"drive: {_SLOWER_S:g} s from nothing to full voltage"
        yield Change(words, "ramp", replace(study, machine=replace(machine, mechanisms=slower)))


def _leads(study: Study) -> Iterator[Change]:
    machine = study.machine
    for words, share in (("main leads half as long", 0.5), ("main leads two gauges thicker", 10 ** (-2 / 10))):
        ohm = machine.main_fixed_ohm + (machine.main_ohm - machine.main_fixed_ohm) * share
        yield Change(words, "leads", replace(study, machine=replace(machine, main_ohm=ohm)))


def _joints(study: Study) -> Iterator[Change]:
    for key, words in (
        ("main joint ohm", "every joint of the main leads as good as the best"),
        ("joint ohm", "every joint of the branches as good as the best"),
    ):
        doubts = tuple(replace(one, high=one.low) if one.key == key else one for one in study.doubts)
        if doubts != study.doubts:
            yield Change(words, "joint", replace(study, doubts=doubts))


def _air(study: Study) -> Iterator[Change]:
    air = study.machine.air
    if air is not None and not air.waits:
        machine = replace(study.machine, air=replace(air, waits=True))
        yield Change("the compressor waits while the drive sprints", "air", replace(study, machine=machine))


def _apart(study: Study) -> Iterator[Change]:
    """Let the second of two that begin in one step wait for a third of it."""
    kinds, called = _callings(study.machine)
    hard = [
        [team for team in called if _is_hard(step, called[team])]
        for driver in study.drivers
        for cycle in driver.cycles
        for step in cycle.steps
    ]
    pairs = {(one, other) for asked in hard for one in asked for other in asked if one < other}
    for first, second in sorted(pairs):
        later, other = (second, first) if first == DRIVE else (first, second)
        if kinds[later] == kinds[other]:
            continue
        drivers = tuple(_parted(driver, called[later], called[other]) for driver in study.drivers)
        if drivers != study.drivers:
            starts = "starts" if later in teams_of(study.machine) else "start"
            words = f"{later} {starts} after {other}, not with it"
            yield Change(words, "together", replace(study, drivers=drivers))


def _callings(machine: Machine) -> tuple[dict[str, str], dict[str, set[str]]]:
    """Return the kind of everybody who can be told something, and what they are called by.

    Where two teams are of one kind, a word to the kind is a word to both, and they are held back together.
    """
    kind_of = {one.name: one.kind for one in machine.mechanisms}
    kinds = {team: kind_of[names[0]] for team, names in teams_of(machine).items()}
    called: dict[str, set[str]] = {}
    for team, names in teams_of(machine).items():
        alike = [other for other, kind in kinds.items() if kind == kinds[team]]
        called[team] = set(names) if len(alike) > 1 else {*names, kinds[team]}
        if len(alike) > 1:
            called[listed(sorted(alike), "and")] = {kinds[team]}
    return {**kinds, **{words: next(iter(told)) for words, told in called.items() if words not in kinds}}, called


def _is_hard(step: Step, called: set[str]) -> bool:
    """Tell whether a step asks much of somebody."""
    said = [wish for wish in step.wishes if wish.whom in called]
    return bool(said) and max(abs(goal) for goal in said[-1].goal) >= _HARD


def _waits(step: Step, later: set[str], other: set[str]) -> tuple[Step, ...]:
    if not (_is_hard(step, later) and _is_hard(step, other)):
        return (step,)
    least, most = step.lasts_s
    before = replace(
        step,
        lasts_s=(least * _WAITS, most * _WAITS),
        # Nobody is called "": the other wishes keep their places, and so what is drawn for them.
        wishes=tuple(replace(wish, whom="") if wish.whom in later else wish for wish in step.wishes),
        shots=0,
    )
    after = replace(step, lasts_s=(least - least * _WAITS, most - most * _WAITS), strokes=0)
    return before, after


def _parted(driver: Driver, later: set[str], other: set[str]) -> Driver:
    """Part the steps in which both begin; each piece draws what the whole step drew."""
    cycles = tuple(
        replace(
            cycle,
            steps=tuple(
                replace(piece, key=place)
                for place, step in enumerate(cycle.steps)
                for piece in _waits(step, later, other)
            ),
        )
        for cycle in driver.cycles
    )
    same = all(len(a.steps) == len(b.steps) for a, b in zip(cycles, driver.cycles, strict=True))
    return driver if same else replace(driver, cycles=cycles)


def limits_of(machine: Machine) -> dict[str, float]:
    """Return the supply-side limit of each team's motors [A], infinite where there is none."""
    teams, found = team_of(machine), dict[str, float]()
    for motor in machine.motors:
        team = teams[machine.mechanisms[motor.mechanism].name]
        found[team] = min(found.get(team, inf), motor.supply_limit_a)
    return found
