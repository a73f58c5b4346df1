"""How somebody drives: the phases of a match, the cycles in them, and what each step asks of the mechanisms.

A driver acts by the clock, whatever the robot does: the same driver can be given to two robots, and the difference is
the robot's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

#: Least and most [unit of what it says]; drawn evenly between them for every step of every match.
Range: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Wish:
    """What a step asks of one mechanism, or of all of one kind.

    `whom` is a mechanism's name or its kind. `goal` is a share of full voltage (-1 to 1), of the way (0 to 1) or of the
    full speed (0 to 1), as the mechanism is commanded. `turn` is added on the left and taken away on the right of a
    drive in two sides. `load` is the share of the work that is done meanwhile (a piece in
    the roller).
    """

    whom: str
    goal: Range
    load: Range = (0.0, 0.0)
    turn: Range = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that is done: for how long [s], with which wishes, how many shots and strokes of air it takes.

    What is drawn for it depends on its `key` in its cycle, -1: its place; steps with one key draw the same numbers.
    """

    name: str
    lasts_s: Range
    wishes: tuple[Wish, ...]
    shots: int = 0
    strokes: int = 0
    key: int = -1


@dataclass(frozen=True, slots=True)
class Cycle:
    """Steps one after the other, begun again when the last one is done."""

    name: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of a match [s] with its cycles and their weights; without any, everything stands still."""

    name: str
    start_s: float
    end_s: float
    cycles: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Driver:
    """One way to drive a match; `weight` is how often it is met among the others."""

    name: str
    note: str
    weight: float
    phases: tuple[Phase, ...]
    cycles: tuple[Cycle, ...]

    @property
    def lasts_s(self) -> float:
        """How long a match takes [s]."""
        return max((phase.end_s for phase in self.phases), default=0.0)

    def cycle(self, name: str) -> Cycle | None:
        """Return the cycle of this name, or None."""
        return next((cycle for cycle in self.cycles if cycle.name == name), None)
