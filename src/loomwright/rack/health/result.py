"""What is known of a battery, with its doubt, and what is to be done with it, with the reasons."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.rack.readings import Reading


class State(StrEnum):
    """What a battery may be used for."""

    FIT = "fit"
    PRACTICE = "practice only"
    RETEST = "re-test"
    RETIRE = "retire"
    QUARANTINE = "quarantine"
    UNMEASURED = "unmeasured"


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number with its doubt: it is within `low` and `high` with 90 %, below `middle` with 50 %."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SetAside:
    """A reading that tells nothing of the battery's health, and why."""

    reading: Reading
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Health:
    """What the readings of one battery tell.

    `resistance_ohm` is what the class's two test currents show, fully charged and at 25 C; `capacity_ah` is at the
    20-hour rate and 25 C, never told above 1.1 of the rating. `charge` is the share of a full charge that it holds at
    the moment that was asked for. `per_cycle` is the share by which its resistance grows with every cycle.
    `tested` and `capacity_tested` count the readings behind resistance and capacity; where there are none the estimate
    is what the class and the team's other batteries lead to expect.
    """

    label: str
    resistance_ohm: Estimate
    capacity_ah: Estimate
    charge: Estimate
    per_cycle: Estimate
    cycles: int
    age_days: float | None = None
    tested: int = 0
    capacity_tested: int = 0
    set_aside: tuple[SetAside, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a battery may be used for, since which day [since 1970], why, and what to measure next ("": nothing)."""

    state: State
    reasons: tuple[str, ...] = ()
    ask: str = ""
    since: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ForMatch:
    """A battery as a match study takes it: least and most of each factor on its class, of its charge, and the air [C].

    The same five as a battery's state in `match.of_battery`.
    """

    ohm: tuple[float, float]
    capacity: tuple[float, float]
    charge: tuple[float, float]
    air_c: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryHealth:
    """One battery: what is known of it, the verdict, what it is worth, and the battery for a match study.

    `worth` is what a full charge of it is worth beside one of a new battery of its class (1: as good as new).
    """

    health: Health
    verdict: Verdict
    worth: float
    for_match: ForMatch
