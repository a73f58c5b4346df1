"""The hunt on one sheet, for when there is no time to type: what to check first for each symptom, and what it tells.

Each list is a way that the tracer goes: of its checks the one that tells most a second, then the next one after the
answer that leaves most open.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from loomwright.catalogue.tables import table
from loomwright.hunting.board import misread_shares
from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.practice import check_kinds
from loomwright.hunting.robot.words import check_words
from loomwright.proof.hunt_symptoms import symptoms

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.problem import Hunt
    from loomwright.hunting.result import Leaves, Standing, Step, Suspect
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Shown
    from loomwright.proof.hunt_symptoms import Symptom

#: So many checks stand under each symptom at most.
CHECKS: Final = 3
#: From so much probability on only the first is told, with as much as that nothing is left to check.
_LIKELY, _FOUND = 0.6, 0.85
#: An answer that comes less often than this is a misread.
_RARE: Final = 0.02
_AGAIN: Final = "read it again"
#: Explanations with this share of the probability are looked at, at most so many.
_SHARE, _MOST = 0.995, 160
#: What differs by less than this is equal: the network is solved in another order for another order of the file.
_DIGITS: Final = 8
#: A check tells them apart where its chances differ by this.
_TELLS: Final = 0.02
#: A check that tells less is not worth its line [bit].
_LEAST_BITS: Final = 0.03
#: The sheet is about wiring: that it is the program, or a setting, gets no more probability than this at first.
_PROGRAM: Final = 0.1
#: What is found like this is mended before any other check: the next might ask for the battery in.
_NO_FURTHER: Final = ("short", "shorted", "joined", "burnt", "blown", "wet or swarf")
_SHORT: Final = FaultKind.PAIR_SHORT
_PAINS: Final = Pains(looked_at=0.99, most_looked_at=_MOST, optimal_up_to=0, tell=8, ahead=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer to a check: what is seen or read, and what that tells; `on` says that the next check follows."""

    shows: str
    tells: str
    on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstCheck:
    """A check to make: its key for the one that stands for all, the state of work that it needs, how, its answers.

    What a healthy robot shows is the first answer.
    """

    key: str
    state: str
    how: str
    answers: tuple[Answer, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """A symptom with its checks, in the order in which to make them; `likely` is what to suspect before any."""

    symptom: str
    likely: str
    checks: tuple[FirstCheck, ...]


def hunt_sheet(robot: RobotHunt) -> tuple[Remembered, ...]:
    """Return the lists of a robot; a symptom that it can't have is left out."""
    writer = _Writer(robot)
    return tuple(writer.list_of(symptom) for symptom in symptoms(robot))


@dataclass
class _Writer:
    """Writes the lists of one robot."""

    robot: RobotHunt

    @cached_property
    def circuits(self) -> dict[str, str]:
        """The circuit of every wire."""
        return {wire.id: wire.circuit for wire in self.robot.plan.wires}

    def list_of(self, symptom: Symptom) -> Remembered:
        """Return what to check for a symptom; one circuit that it must be is searched wire by wire."""
        hunt = _narrowed(self.robot, symptom)
        tracker, seen = Tracker(hunt, _PAINS), list(symptom.seen)
        needs = {check.key: check.needs for check in hunt.checks}
        state = next((needs[one.check] for one in reversed(seen) if needs[one.check]), "")
        standing = tracker.standing(seen, state)
        likely = self.most_likely(symptom, standing.suspects)
        fine = replace(symptom, by_wire=symptom.by_wire or self.known(symptom, standing.suspects) >= _FOUND)
        checks: list[FirstCheck] = []
        while (step := self.step(fine, standing)) is not None:
            on = self.open_end(fine, step.leaves) if len(checks) < CHECKS - 1 else None
            checks.append(self.check(fine, step, on))
            if on is None:
                break
            seen.append(Observation(check=step.check, outcome=on.outcome))
            state = needs[step.check] or state
            standing = tracker.standing(seen, state)
        return Remembered(symptom=symptom.words, likely=likely, checks=_ended(checks))

    def step(self, symptom: Symptom, standing: Standing) -> Step | None:
        """Return the check that tells most a second, of those whose answers lead to different words."""
        told = [step for step in standing.steps if step.check and step.bits >= _LEAST_BITS]
        in_order = sorted(told, key=lambda step: (-round(step.bits_per_s, _DIGITS), step.check))
        return next((step for step in in_order if len(self.check(symptom, step, None).answers) > 1), None)

    def open_end(self, symptom: Symptom, leaves: tuple[Leaves, ...]) -> Leaves | None:
        """Return the answer after which most is still open; None where every likely one settles it."""
        worth = [(one.chance * (1 - self.known(symptom, one.suspects)), one) for one in leaves]
        most, one = max(worth, key=lambda held: round(held[0], _DIGITS))
        if one.outcome in _NO_FURTHER:
            return None
        settled = self.known(symptom, one.suspects) >= _FOUND or self.nothing(symptom, one.suspects)
        return None if settled or most < _RARE else one

    def nothing(self, symptom: Symptom, suspects: Sequence[Suspect]) -> bool:
        """Tell whether the program is likelier than all of the wiring, so that no check of it is worth its while."""
        return not symptom.nothing and self.groups(symptom, suspects)[0][0] == _short()["software"]

    def known(self, symptom: Symptom, suspects: Sequence[Suspect]) -> float:
        """Return the probability of what is likeliest: of one wire, where that has to be found."""
        if not symptom.by_wire:
            return self.groups(symptom, suspects)[0][1]
        found: dict[str, float] = defaultdict(float)
        for one in suspects:
            fault = self.robot.faults[one.faults[0]] if one.faults else None
            found[(fault.wire or fault.seat) if fault is not None else ""] += one.probability
        return max(found.values(), default=0.0) / sum(found.values())

    def check(self, symptom: Symptom, step: Step, on: Leaves | None) -> FirstCheck:
        """Return a check with what its answers tell; answers that tell the same stand together."""
        shown = symptom.as_told(self.robot.checks[step.check])
        words, outcomes = check_words(shown), check_kinds()[shown.kind].outcomes
        # What is low or none is known by what is well; any other number is told.
        others = outcomes[1:] if shown.kind in ("volts", "plus") else words.otherwise
        said = dict(zip(outcomes, (words.expected, *others), strict=True))
        found: dict[tuple[str, bool], list[str]] = {}
        for one in step.leaves:
            # A reading always lies in one of the bands, so none of them is left out, however rarely it comes.
            banded = shown.scale is not None and shown.scale.unit == "ohm"
            if one.chance >= _RARE or one.outcome == outcomes[0] or banded:
                tells = self.most_likely(symptom, one.suspects) if one.chance >= _RARE else _AGAIN
                goes_on = on is not None and one.outcome == on.outcome
                found.setdefault((tells, goes_on), []).append(said[one.outcome].removeprefix("as expected: "))
        said_of = sorted(found.items(), key=lambda held: held[0][0] == _AGAIN and held[1][0] != said[outcomes[0]])
        answers = tuple(Answer(shows="; ".join(told), tells=tells, on=on) for (tells, on), told in said_of)
        return FirstCheck(key=step.check, state=words.state, how=_how(shown) or words.how, answers=answers)

    def most_likely(self, symptom: Symptom, suspects: Sequence[Suspect]) -> str:
        """Say what is most likely, and what else may be where that is not sure."""
        (first, share), *others = self.groups(symptom, suspects)
        if share < _LIKELY and (somewhere := self.somewhere(suspects)):
            return somewhere
        if symptom.by_wire and (wire := self.one_wire(symptom, suspects)):
            return wire
        return _either(first, others[0][0]) if others and share < _LIKELY else first

    def somewhere(self, suspects: Sequence[Suspect]) -> str:
        """Return the words for a short that may be in any circuit; "" where it is none, or mostly in one."""
        shorts = [one for one in suspects if one.faults and self.robot.faults[one.faults[0]].kind == _SHORT]
        share = sum(one.probability for one in shorts) / sum(one.probability for one in suspects)
        return _short()[_SHORT].format(seat="some circuit") if share >= _LIKELY else ""

    def one_wire(self, symptom: Symptom, suspects: Sequence[Suspect]) -> str:
        """Say what is wrong with the one wire that it most likely is; "" where none stands out."""
        found: dict[str, float] = defaultdict(float)
        kinds: dict[str, str] = {}
        for one in suspects:
            fault = self.robot.faults[one.faults[0]] if one.faults else None
            wire = fault.wire if fault is not None else ""
            found[wire] += one.probability
            kinds.setdefault(wire, fault.kind if fault is not None else "")
        best = max(found, key=lambda wire: found[wire], default="")
        if not best or found[best] < _LIKELY * sum(found.values()):
            return ""
        name = symptom.own.wires.get(best, best) if symptom.own is not None else best
        return _short()[kinds[best]].format(seat=name)

    def groups(self, symptom: Symptom, suspects: Sequence[Suspect]) -> list[tuple[str, float]]:
        """Return what is suspected, ends of one circuit taken together, the likeliest first."""
        found: dict[str, float] = defaultdict(float)
        total = sum(one.probability for one in suspects)
        for one in suspects:
            found[self.words(symptom, one)] += one.probability / total
        return sorted(found.items(), key=lambda held: (-round(held[1], _DIGITS), held[0])) or [("", 0.0)]

    def words(self, symptom: Symptom, suspect: Suspect) -> str:
        """Say in a few words what a suspect is."""
        if suspect.other or not suspect.faults:
            return symptom.nothing or _short()["software"]
        fault = self.robot.faults[suspect.faults[0]]
        seat = symptom.seat(self.robot.plan, fault, self.circuits.get(fault.wire, ""))
        return _short()[fault.kind].format(seat=seat)


def _either(first: str, other: str) -> str:
    """Name two things that it may be; of the same kind it is said once: "a bad end in its feed, or its signal lead"."""
    same = [words.removesuffix("{seat}") for words in _short().values() if words.endswith("{seat}")]
    kind = next((words for words in same if words and first.startswith(words) and other.startswith(words)), "")
    return f"{first}, or {other.removeprefix(kind)}"


def _ended(checks: list[FirstCheck]) -> tuple[FirstCheck, ...]:
    """Return a list whose last check leads to no next one."""
    if not checks:
        return ()
    answers = tuple(replace(one, on=False) for one in checks[-1].answers)
    return (*checks[:-1], replace(checks[-1], answers=answers))


def _narrowed(robot: RobotHunt, symptom: Symptom) -> Hunt:
    """Return the hunt with what may still be, and the checks that tell it apart: quick to ask."""
    hunt, numbers = robot.hunt, robot.numbers
    odds = [f.odds if symptom.counts(robot.faults[f.key]) else 0.0 for f in hunt.faults]
    weight = np.array([hunt.healthy_odds, *odds])
    for one in symptom.seen:
        check = hunt.checks[numbers[one.check]]
        place = check.outcomes.index(one.outcome)
        shown = hunt.chances[:, numbers[one.check], place]
        weight = weight * (shown * (1 - check.misread) + misread_shares(check)[place])
    # By name where weights are equal but for rounding, so that the order of the file changes nothing.
    names = ["", *(fault.key for fault in hunt.faults)]
    there = np.flatnonzero(weight).tolist()
    order = np.array(sorted(there, key=lambda row: (-float(f"{weight[row]:.{_DIGITS}g}"), names[row])), dtype=int)
    # The program has a share of its own, and so has that nothing is wrong, at row 0: they are not counted here.
    program = np.array([True, *(robot.faults[f.key].kind is FaultKind.SOFTWARE for f in hunt.faults)])
    wired = weight[order] * ~program[order]
    enough = 1 + int((np.cumsum(wired) < _SHARE * wired.sum()).sum())
    kept_rows = [int(row) for row in order[: min(enough, _MOST)] if row]
    rows = [0, *sorted(kept_rows, key=lambda row: names[row])]
    wiring = float(weight[~program].sum())
    most = float(weight[program].sum()) * (1 - _PROGRAM) / _PROGRAM
    raised = max(1.0, most / wiring) if wiring > 0 else 1.0
    kept = np.round(hunt.chances[rows], _DIGITS)
    tells = (kept.max(axis=0) - kept.min(axis=0)).max(axis=1) > _TELLS
    held = {one.check for one in symptom.seen}
    columns = [n for n, c in enumerate(hunt.checks) if c.key in held or (tells[n] and symptom.allows(robot, c.key))]
    columns.sort(key=lambda n: hunt.checks[n].key)
    faults = [hunt.faults[row - 1] for row in rows[1:]]
    return replace(
        hunt,
        faults=tuple(
            replace(fault, odds=fault.odds * (1.0 if program[row] else raised))
            for row, fault in zip(rows[1:], faults, strict=True)
        ),
        checks=tuple(replace(hunt.checks[n], spoils=(hunt.checks[n].key,)) for n in columns),
        chances=kept[:, columns],
        pairs=False,
    )


def _how(shown: Shown) -> str:
    """Say in one line how a check is made; "" where that differs at this place from others of its kind."""
    if shown.kind == "tug" and shown.how:
        how = _hows()["tug nut" if "two fingers" in shown.how else "tug board"]
    else:
        how = "" if shown.how else _hows().get(shown.kind, "")
    told = how.format(place=shown.place, red=shown.red, black=shown.black)
    return told[:1].upper() + told[1:]


@lru_cache(maxsize=1)
def _hows() -> dict[str, str]:
    return {row["kind"]: row["how"] for row in table("hunt_sheet_how")}


@lru_cache(maxsize=1)
def _short() -> dict[str, str]:
    return {row["kind"]: row["words"] for row in table("hunt_short")}
