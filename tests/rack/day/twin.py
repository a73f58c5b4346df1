"""The best day by trying everything: every battery, charger, setting, begin and end, in plain Python.

Written from the words of `DayPractice` and `Score`, without a look at simulator, search or checker.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil, floor

from loomwright.rack.day.problem import Day, DayBattery, Match

Key = tuple[int, int, int, int, int, int]
Stay = tuple[str, float, int, int]


@dataclass
class Standing:
    """Where a battery stands in the search: charge [mAh], from when it may be charged and used, its last match."""

    charge: int
    cool: int
    ready: int
    last: int | None = None


@dataclass
class Twin:
    """Try all days; `best` is the best score so far."""

    day: Day
    before: Mapping[str, str]
    best: Key | None = None
    taken: list[Stay] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Tell when each battery is due and out."""
        practice = self.day.practice
        self.matches: list[Match] = sorted(self.day.matches, key=lambda match: match.at_min)
        self.due = [match.at_min - practice.lead_min for match in self.matches]
        self.out = [match.at_min + practice.back_min for match in self.matches]
        for n in range(1, len(self.matches)):
            if self.out[n - 1] > self.due[n]:
                share = Fraction(practice.back_min, practice.lead_min + practice.back_min)
                first = self.matches[n - 1].at_min
                self.due[n] = self.out[n - 1] = first + floor((self.matches[n].at_min - first) * share)

    def search(self) -> Key:
        """Return the best score of all days."""
        standing = {
            battery.label: Standing(
                floor(round(battery.charge * full_of(battery), 6)),
                max(self.day.begins_min, battery.free_min),
                battery.ready_min,
            )
            for battery in self.day.batteries
        }
        self._match(0, standing, (0, 0, 0, -1000, -self.day.practice.spare_enough_min, 0))
        assert self.best is not None
        return self.best

    def _match(self, number: int, standing: dict[str, Standing], key: Key) -> None:
        """Go on from a match; what comes can only make a score worse."""
        if self.best is not None and key >= self.best:
            return
        if number == len(self.matches):
            self.best = key
            return
        ways = [way for battery in self.day.batteries for way in self._ways(number, battery, standing[battery.label])]
        for charge, stay, ready, battery in sorted(ways, key=lambda way: -way[0]):
            then = self._scored(number, battery, charge, stay, ready, key)
            left = max(0, charge - ceil(round(self.day.practice.match_ah * 1000, 6)))
            cool = max(self.day.begins_min, self.out[number] + self.day.practice.cool_before_min)
            if stay is not None:
                self.taken.append(stay)
            self._match(number + 1, {**standing, battery.label: Standing(left, cool, self.out[number], number)}, then)
            if stay is not None:
                self.taken.pop()

    def _ways(
        self, number: int, battery: DayBattery, at: Standing
    ) -> Iterator[tuple[int, Stay | None, int | None, DayBattery]]:
        """Yield each charge that a battery can come with: its stay, and when it is ready (None: it is in there)."""
        practice, due = self.day.practice, self.due[number]
        sits = battery.on if at.last is None else None
        if sits is None:
            stays = at.last == number - 1 if at.last is not None else number == 0 and self.day.in_robot == battery.label
            yield at.charge, None, None if stays else at.ready, battery
        for charger in self.day.chargers:
            for amps in charger.currents_a:
                cool = practice.cool_after_fast_min if amps >= practice.fast_from_a else 0
                if sits is not None:
                    if (charger.label, amps) != (sits.charger, sits.amps):
                        continue
                    spans = [
                        (sits.from_min, to)
                        for to in range(self.day.begins_min, max(self.day.begins_min, due - cool) + 1)
                    ]
                else:
                    spans = [(a, b) for a in range(at.cool, due) for b in range(a + 1, due - cool + 1)]
                for a, b in spans:
                    if any(c == charger.label and a < end and start < b for c, _, start, end in self.taken):
                        continue
                    charge = self._charged(at.charge, full_of(battery), amps, b - a)
                    yield charge, (charger.label, amps, a, b), max(at.ready, b + cool), battery

    def _charged(self, charge: int, full: int, amps: float, minutes: int) -> int:
        """Charge along the two straight pieces of the curve, exactly, and round down at the end."""
        practice = self.day.practice
        pace = Fraction(max(1, floor(round(amps * practice.efficiency * 1000 / 60, 6))))
        bend = max(Fraction(0), full - pace * practice.taper_min)
        steady = min(Fraction(minutes), max(Fraction(0), (bend - charge) / pace))
        return min(full, floor(charge + steady * pace + (minutes - steady) * pace / practice.taper_slow))

    def _scored(
        self, number: int, battery: DayBattery, charge: int, stay: Stay | None, ready: int | None, key: Key
    ) -> Key:
        late, short, swaps, worst, spare, fast = key
        full, practice = full_of(battery), self.day.practice
        if ready is not None:
            late += max(0, ready - self.due[number])
            spare = max(spare, -max(0, self.due[number] - ready))
        short += max(0, ceil(round(practice.least_charge * full, 6)) - charge)
        swaps += self.before.get(self.matches[number].name, battery.label) != battery.label
        step = practice.worth_step
        worst = max(worst, -step * floor(Fraction(charge, full) * round(battery.health * 1000) / step))
        if stay is not None and stay[1] >= practice.fast_from_a:
            fast += stay[3] - stay[2]
        return late, short, swaps, worst, spare, fast


def full_of(battery: DayBattery) -> int:
    """Return the charge of a full battery [mAh]."""
    return max(1, round(battery.capacity_ah * 1000))
