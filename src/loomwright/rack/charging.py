"""Which battery goes on which charger now, and at which current: at the event fast where it helps, at home gently."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.rack.battery import USUAL_AH
from loomwright.rack.cooling import MINUTE, cool_of
from loomwright.rack.health.practice import limit
from loomwright.rack.health.result import State
from loomwright.rack.practice import rack_practice
from loomwright.records.event import Kind
from loomwright.records.people import plain_name
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.day.problem import DayPractice
    from loomwright.rack.fleet import RackCharger
    from loomwright.rack.health.result import BatteryHealth

_ORDER: Final = (State.FIT, State.RETEST, State.UNMEASURED, State.PRACTICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnThis:
    """Put a battery on a charger now, at a current [A]; `watched` where somebody has to stay beside it and why."""

    battery: str
    charger: str
    amps: float
    fast: bool
    why: str
    watched: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotNow:
    """A battery that goes on no charger now, and why."""

    battery: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Charging:
    """What to do at the chargers now, the most useful first."""

    put: tuple[OnThis, ...] = ()
    leave: tuple[NotNow, ...] = ()


def charging_now(
    batteries: Sequence[RackBattery],
    health: Sequence[BatteryHealth],
    chargers: Sequence[RackCharger],
    practice: DayPractice,
    now: float,
    *,
    home: bool = False,
) -> Charging:
    """Share out the free chargers: batteries that a match may be played with first, the one worth most before others.

    At the event a battery below the least charge of a match is charged fast where its charger can and the battery takes
    it; what is nearly full, and everything at home, gently. A flat battery is charged gently
    and watched. What is not cool, in the robot, away, or put aside is not charged, and `leave` says so.
    """
    taken = {plain_name(one.charger) for one in batteries if one.place == "charger"}
    free = [one for one in chargers if plain_name(one.label) not in taken and one.gentle_a]
    put: list[OnThis] = []
    leave: list[NotNow] = []
    told = {one.health.label: one for one in health}
    for battery in sorted(batteries, key=lambda one: _rank(one, told[one.label], practice, home=home)):
        usable = [one for one in free if (one.gentle_a or 0.0) <= most_charge_a(battery.of.capacity_ah, practice)]
        if why := _not_now(battery, told[battery.label], practice, now, home=home):
            leave.append(NotNow(battery=battery.label, why=why))
        elif not usable:
            why = "no charger is gentle enough" if free else "no charger is free"
            leave.append(NotNow(battery=battery.label, why=why))
        else:
            flat = _is_flat(battery, told[battery.label])
            hurry = not home and not flat and told[battery.label].health.charge.middle < practice.least_charge
            charger = _charger_for(usable, hurry=hurry)
            free.remove(charger)
            put.append(_on(battery, told[battery.label], charger, practice, hurry=hurry, home=home, flat=flat))
    return Charging(put=tuple(put), leave=tuple(leave))


def most_charge_a(capacity_ah: float, practice: DayPractice) -> float:
    """Return the largest current [A] for a battery: the practice's for the usual class, in proportion for a smaller."""
    return practice.most_a * min(1.0, capacity_ah / USUAL_AH)


def _rank(
    battery: RackBattery, told: BatteryHealth, practice: DayPractice, *, home: bool
) -> tuple[int, float, float, object]:
    """Order batteries: at home the emptiest first; at the event what may be played, and of it what can't be yet."""
    state, charge = told.verdict.state, told.health.charge.middle
    if home:
        return (0, charge, 0.0, natural(battery.label))
    may = _ORDER.index(state) if state in _ORDER else len(_ORDER)
    return (may, float(charge >= practice.least_charge), -told.worth, natural(battery.label))


def _not_now(battery: RackBattery, told: BatteryHealth, practice: DayPractice, now: float, *, home: bool) -> str:
    """Say why a battery is not put on a charger now, "" where it is."""
    state, charge = told.verdict.state, told.health.charge.middle
    on_it = f": charger off, take it off {battery.charger}" if battery.place == "charger" else ": never on a charger"
    if state is State.QUARANTINE or battery.place == "quarantine":
        return f"in quarantine{on_it}"
    if state is State.RETIRE:
        return "to be retired: hand it back, do not charge it"
    where = {"robot": "in the robot", "away": "away", "charger": f"on {battery.charger or 'a charger'} already"}
    if battery.place in where:
        return where[battery.place]
    cool = cool_of(battery, practice, now)
    if cool.hot:
        return "hot when it was last read: let it cool and read it again"
    if cool.charge_from > now:
        return f"cools for another {max(1, round((cool.charge_from - now) / MINUTE))} min"
    enough = rack_practice("top up below") if home else rack_practice("full enough")
    return f"holds {charge:.0%}: full enough" if charge >= enough else ""


def _charger_for(free: Sequence[RackCharger], *, hurry: bool) -> RackCharger:
    """Return the free charger that suits: who does not hurry leaves the fast ones to others."""
    return min(free, key=lambda one: ((one.fast_a is None) is hurry, natural(one.label)))


def _on(
    battery: RackBattery,
    told: BatteryHealth,
    charger: RackCharger,
    practice: DayPractice,
    *,
    hurry: bool,
    home: bool,
    flat: bool,
) -> OnThis:
    fast_a, gentle_a = charger.fast_a or 0.0, charger.gentle_a or rack_practice("gentle current")
    fast = hurry and gentle_a < fast_a <= most_charge_a(battery.of.capacity_ah, practice)
    return OnThis(
        battery=battery.label,
        charger=charger.label,
        amps=fast_a if fast else gentle_a,
        fast=fast and practice.is_fast(fast_a),
        why=f"holds {told.health.charge.middle:.0%}" + (", gently: nothing hurries at home" if home else ""),
        watched="flat: it recovers only while somebody watches; stop if it warms" if flat else "",
    )


def _is_flat(battery: RackBattery, told: BatteryHealth) -> bool:
    rested = [one for one in battery.readings if one.kind is Kind.RESTED and not one.rejected]
    later = bool(rested) and (not battery.charges or battery.charges[-1].day < rested[-1].day)
    low = later and (rested[-1].value or 0.0) <= limit("flat rest")
    return low or told.health.charge.middle < rack_practice("flat below")
