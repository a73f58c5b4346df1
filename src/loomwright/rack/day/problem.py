"""A day of the rack as it is asked: matches, batteries, chargers and how things are done; times in whole minutes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A match and when it begins, in minutes since midnight of the day's first day.

    `may` marks one that is perhaps not played (of a play-off round): a plan covers it all the same.
    """

    name: str
    at_min: int
    may: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OnCharger:
    """The charger that a battery sits on as the day begins, since when, and the current [A]."""

    charger: str
    amps: float
    from_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayBattery:
    """A battery as it stands.

    `health` is what a full charge of it is worth beside a new one of its class (0 to 1), `charge` what it holds (0 to
    1). It is cool enough for a charger from `free_min` on, and may go into the robot from `ready_min` on. Where it
    sits `on` a charger, `charge` is what it held when it was put there.
    """

    label: str
    health: float
    capacity_ah: float
    charge: float
    free_min: int = 0
    ready_min: int = 0
    on: OnCharger | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCharger:
    """A charger for one battery at a time, with its gentle current and its fast one (None: it has none) [A]."""

    label: str
    gentle_a: float
    fast_a: float | None = None

    @property
    def currents_a(self) -> tuple[float, ...]:
        """The currents that it can be set to [A], the gentle one first."""
        return (self.gentle_a,) if self.fast_a is None else (self.gentle_a, self.fast_a)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPractice:
    """How batteries are handled on the day; `practice.usual_practice` gives the usual values with their sources.

    A battery is in the robot `lead_min` before its match and out of it `back_min` after the match began. It cools
    before it is charged, and after a charge of `fast_from_a` or more before it is used. A match takes `match_ah`.
    Charging is steady until full is `taper_min` away, then `taper_slow` times slower; `efficiency` of the charger's
    current stays in the battery. More than `spare_enough_min` between ready and due is worth nothing. The
    worst match's charge times health counts in steps of `worth_step` thousandths: less can't be told apart.
    """

    lead_min: int
    back_min: int
    cool_before_min: int
    cool_after_fast_min: int
    match_ah: float
    least_charge: float
    fast_from_a: float
    most_a: float
    efficiency: float
    taper_min: int
    taper_slow: int
    spare_enough_min: int
    worth_step: int

    def is_fast(self, amps: float) -> bool:
        """Tell whether a charge at this current counts as fast."""
        return amps >= self.fast_from_a


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """All of it; nothing is put on a charger before `begins_min`. The order of matches and batteries is no matter.

    `in_robot` names the battery that is in the robot as the day begins: it may stay there for the first match.
    """

    matches: tuple[Match, ...]
    batteries: tuple[DayBattery, ...]
    chargers: tuple[DayCharger, ...]
    practice: DayPractice
    begins_min: int
    in_robot: str = ""


def refuse(day: Day) -> None:
    """Refuse a day that makes no sense, with everything that is wrong with it.

    Raises
    ------
    ValueError
        No match or no battery, a name twice, two matches at one time, or a number outside its range.
    """
    wrong = [*_matches(day), *_batteries(day), *_chargers(day), *_practice(day.practice)]
    if wrong:
        raise ValueError("; ".join(wrong))


def _matches(day: Day) -> list[str]:
    wrong = [] if day.matches else ["no match: name at least one"]
    wrong += _twice("match", [match.name for match in day.matches])
    at: dict[int, str] = {}
    for match in day.matches:
        if match.at_min in at:
            wrong.append(f"{at[match.at_min]} and {match.name} begin at the same minute: move one of them")
        at[match.at_min] = match.name
    return wrong


def _batteries(day: Day) -> list[str]:
    wrong = [] if day.batteries else ["no battery: name at least one"]
    wrong += _twice("battery", [battery.label for battery in day.batteries])
    for battery in day.batteries:
        if not 0 <= battery.charge <= 1:
            wrong.append(f"battery {battery.label} has a charge of {battery.charge:g}: say it between 0 and 1")
        if not 0 < battery.health <= 1:
            wrong.append(f"battery {battery.label} has a health of {battery.health:g}: say it above 0 and up to 1")
        if not 0 < battery.capacity_ah < float("inf"):
            wrong.append(f"battery {battery.label} has a capacity of {battery.capacity_ah:g} Ah: say it above 0")
    return wrong


def _chargers(day: Day) -> list[str]:
    wrong = _twice("charger", [charger.label for charger in day.chargers])
    most_a = day.practice.most_a
    for charger in day.chargers:
        if any(not 0 < amps <= most_a for amps in charger.currents_a):
            wrong.append(f"charger {charger.label}: set its currents above 0 and up to {most_a:g} A")
    if day.in_robot and day.in_robot not in {battery.label for battery in day.batteries if battery.on is None}:
        wrong.append(f"{day.in_robot} is said to be in the robot: name a battery that sits on no charger")
    currents = {charger.label: charger.currents_a for charger in day.chargers}
    sitting = [(battery, battery.on) for battery in day.batteries if battery.on is not None]
    wrong += _twice("a battery on charger", [on.charger for _, on in sitting])
    for battery, on in sitting:
        if on.amps not in currents.get(on.charger, ()):
            wrong.append(
                f"battery {battery.label} sits on {on.charger} at {on.amps:g} A: name a charger and its current"
            )
        if on.from_min > day.begins_min:
            wrong.append(f"battery {battery.label} sits on {on.charger} from a minute that is still to come")
    return wrong


def _practice(practice: DayPractice) -> list[str]:
    minutes = (practice.lead_min, practice.back_min, practice.cool_before_min, practice.cool_after_fast_min)
    wrong = []
    if min(*minutes, practice.spare_enough_min, practice.taper_min) < 0 or practice.match_ah < 0:
        wrong.append("a time or the charge of a match is below 0: say it as 0 or more")
    if not 0 <= practice.least_charge <= 1 or not 0 < practice.efficiency <= 1:
        wrong.append("the least charge or the efficiency is no share: say it between 0 and 1")
    if practice.worth_step < 1:
        wrong.append("a step of worth is at least 1 thousandth")
    if practice.taper_slow < 1:
        wrong.append("a taper can't be faster than the steady charge: say 1 or more")
    return wrong


def _twice(what: str, names: list[str]) -> list[str]:
    return [f"{what} {name} is there twice: rename one" for name in dict.fromkeys(names) if names.count(name) > 1]
