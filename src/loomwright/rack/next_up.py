"""Which battery goes into the robot for the next match, and why that one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.rack.cooling import MINUTE, Cool, cool_of
from loomwright.rack.health.result import State
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.day.problem import DayPractice
    from loomwright.rack.health.result import BatteryHealth

#: From the one that a match may be played with to the one that had better not be.
_ORDER: Final = (State.FIT, State.UNMEASURED, State.RETEST, State.PRACTICE)
_NEVER: Final = (State.RETIRE, State.QUARANTINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One battery for the next match: `score` is charge times worth (0 to 1), `why` sentences for and against it.

    `wait_min` is how long it still has to cool, `fit` whether a match may be played with it, `ready` whether it can go
    in now: fit, cool and charged.
    """

    label: str
    state: State
    charge: float
    worth: float
    score: float
    wait_min: int
    fit: bool
    ready: bool
    why: tuple[str, ...]


def next_up(
    batteries: Sequence[RackBattery], health: Sequence[BatteryHealth], practice: DayPractice, now: float
) -> tuple[Candidate, ...]:
    """Return every battery that could go into the robot, the best first: fit, ready, then charge times worth.

    What is to be retired, in quarantine, away, or was never added is no candidate. `health` stands in the order of
    `batteries`; `now` is a day since 1970.
    """
    found = [
        _candidate(battery, told, cool_of(battery, practice, now), practice, now)
        for battery, told in zip(batteries, health, strict=True)
        if told.verdict.state not in _NEVER and battery.place not in ("away", "quarantine") and battery.added
    ]
    return tuple(sorted(found, key=_rank))


def _rank(one: Candidate) -> tuple[int, int, int, float, object]:
    charged_first = 0 if one.ready else 1
    return (_ORDER.index(one.state), charged_first, one.wait_min, -one.score, natural(one.label))


def _candidate(battery: RackBattery, told: BatteryHealth, cool: Cool, practice: DayPractice, now: float) -> Candidate:
    charge = told.health.charge
    wait = max(0, round((cool.use_from - now) / MINUTE)) if cool.use_from > now else 0
    fit = told.verdict.state is State.FIT
    charged = charge.middle >= practice.least_charge
    why = [
        f"holds {charge.middle:.0%} ({charge.low:.0%} to {charge.high:.0%})",
        f"a full charge of it is worth {told.worth:.0%} of a new one's",
        *told.verdict.reasons[:1],
    ]
    if cool.hot:
        why.append("was hot when it was last read: let it cool and read it again")
    if wait:
        why.append(f"cools for another {wait} min")
    if not charged:
        why.append(f"below the least charge for a match, {practice.least_charge:.0%}")
    if battery.place == "charger":
        why.append(f"is on {battery.charger or 'a charger'}: charger off first")
    return Candidate(
        label=battery.label,
        state=told.verdict.state,
        charge=charge.middle,
        worth=told.worth,
        score=charge.middle * told.worth,
        wait_min=wait,
        fit=fit,
        ready=fit and charged and not wait and not cool.hot,
        why=tuple(why),
    )
