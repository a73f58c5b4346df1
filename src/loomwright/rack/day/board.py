"""The day in whole numbers and in a fixed order: what simulator, rules and search all count with."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from loomwright.rack.day.curve import Curve, curve_of
from loomwright.rack.day.problem import Day, DayBattery, DayPractice, Match, refuse
from loomwright.wording import natural

_MILLI = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """The charger and the setting of it, by number, on which a battery sits since a minute."""

    charger: int
    setting: int
    from_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A battery: its health [thousandths], its charges [mAh], and from when it may be charged and used."""

    label: str
    health: int
    full_mah: int
    charge_mah: int
    least_mah: int
    free_min: int
    ready_min: int
    running: Running | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A match: a battery is due in the robot at `due_min` and out again at `out_min`."""

    name: str
    at_min: int
    due_min: int
    out_min: int
    may: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Matches by time, batteries and chargers by label. `curves[charger][setting][battery]`; `in_robot` by number."""

    slots: tuple[Slot, ...]
    cells: tuple[Cell, ...]
    chargers: tuple[str, ...]
    amps: tuple[tuple[float, ...], ...]
    fast: tuple[tuple[bool, ...], ...]
    curves: tuple[tuple[tuple[Curve, ...], ...], ...]
    practice: DayPractice
    drain_mah: int
    begins_min: int
    in_robot: int | None

    def cool_min(self, charger: int, setting: int) -> int:
        """Return how long a battery cools after a charge before it is used."""
        return self.practice.cool_after_fast_min if self.fast[charger][setting] else 0

    def worth(self, battery: int, charge_mah: int) -> int:
        """Return charge times health [thousandths, rounded down]."""
        return charge_mah * self.cells[battery].health // self.cells[battery].full_mah

    def chargeable_min(self, battery: int, after: int | None) -> int:
        """Return from when a battery may go on a charger after its use in a match (None: before its first use)."""
        if after is None:
            return max(self.begins_min, self.cells[battery].free_min)
        return max(self.begins_min, self.slots[after].out_min + self.practice.cool_before_min)


def board_of(day: Day) -> Board:
    """Put a day in order and in whole numbers.

    Raises
    ------
    ValueError
        The day makes no sense; everything that is wrong with it is told.
    """
    refuse(day)
    practice = day.practice
    chargers = sorted(day.chargers, key=lambda charger: natural(charger.label))
    amps = tuple(tuple(dict.fromkeys(charger.currents_a)) for charger in chargers)
    names = tuple(charger.label for charger in chargers)
    batteries = sorted(day.batteries, key=lambda battery: natural(battery.label))
    cells = tuple(_cell(battery, practice, names, amps) for battery in batteries)
    return Board(
        slots=_slots(day.matches, practice),
        cells=cells,
        chargers=names,
        amps=amps,
        fast=tuple(tuple(practice.is_fast(current) for current in currents) for currents in amps),
        curves=tuple(
            tuple(tuple(curve_of(practice, cell.full_mah, current) for cell in cells) for current in currents)
            for currents in amps
        ),
        practice=practice,
        drain_mah=ceil(round(practice.match_ah * _MILLI, 6)),
        begins_min=day.begins_min,
        in_robot=next((n for n, cell in enumerate(cells) if cell.label == day.in_robot), None),
    )


def _cell(
    battery: DayBattery, practice: DayPractice, chargers: tuple[str, ...], amps: tuple[tuple[float, ...], ...]
) -> Cell:
    full_mah = max(1, round(battery.capacity_ah * _MILLI))
    running = None
    if battery.on is not None:
        charger = chargers.index(battery.on.charger)
        setting = amps[charger].index(battery.on.amps)
        running = Running(charger=charger, setting=setting, from_min=battery.on.from_min)
    return Cell(
        label=battery.label,
        health=max(1, round(battery.health * _MILLI)),
        full_mah=full_mah,
        charge_mah=int(round(battery.charge * full_mah, 6)),
        least_mah=ceil(round(practice.least_charge * full_mah, 6)),
        free_min=battery.free_min,
        ready_min=battery.ready_min,
        running=running,
    )


def _slots(matches: tuple[Match, ...], practice: DayPractice) -> tuple[Slot, ...]:
    """Tell when each match wants its battery; in a gap too short for lead and back the two share it."""
    ordered = sorted(matches, key=lambda match: match.at_min)
    lead, back = practice.lead_min, practice.back_min
    due = [match.at_min - lead for match in ordered]
    out = [match.at_min + back for match in ordered]
    for after in range(1, len(ordered)):
        gap = ordered[after].at_min - ordered[after - 1].at_min
        if gap < lead + back:
            due[after] = out[after - 1] = ordered[after - 1].at_min + gap * back // (lead + back)
    return tuple(
        Slot(name=match.name, at_min=match.at_min, due_min=due_min, out_min=out_min, may=match.may)
        for match, due_min, out_min in zip(ordered, due, out, strict=True)
    )
