"""Check a planned day of the rack, straight from the words of what was asked, minute by minute.

Nothing here is shared with the search or the simulator, so that one mistake cannot hide in both.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from loomwright.rack.checker.charging import charged_mah
from loomwright.rack.day.problem import Day, DayBattery, Match
from loomwright.rack.day.result import DayPlan, Stint, Use

_NEAR = 1e-9


def faults(day: Day, plan: DayPlan, before: Mapping[str, str] | None = None) -> list[str]:
    """Return what is wrong with a plan, in words; nothing where it is right.

    `before` gives the battery of each match in the plan before, where there was one.
    """
    matches = sorted(day.matches, key=lambda match: match.at_min)
    if [use.match for use in plan.uses] != [match.name for match in matches]:
        return ["the uses are not the matches, each once and in their order"]
    labels = {battery.label: battery for battery in day.batteries}
    unknown = [use.battery for use in plan.uses if use.battery not in labels]
    unknown += [stint.battery for stint in plan.stints if stint.battery not in labels]
    unknown += [s.charger for s in plan.stints if s.charger not in {charger.label for charger in day.chargers}]
    if unknown:
        return [f"{name} is on no list" for name in unknown]
    wrong = [*_robot(day, matches, plan), *_sharing(plan)]
    left = list(plan.stints)
    for battery in day.batteries:
        wrong += _battery(day, battery, matches, plan, left)
    wrong += [f"{stint.battery} is charged for {stint.match} and not used in it" for stint in left]
    return wrong or _score(day, plan, before or {})


def _robot(day: Day, matches: list[Match], plan: DayPlan) -> list[str]:
    """Hold when each battery is due and out to the lead and the back; a gap too short for both is shared."""
    wrong, lead_min, back_min = [], day.practice.lead_min, day.practice.back_min
    for place, (match, use) in enumerate(zip(matches, plan.uses, strict=True)):
        due_min, out_min = match.at_min - lead_min, match.at_min + back_min
        if place and match.at_min - matches[place - 1].at_min < lead_min + back_min:
            due_min = plan.uses[place - 1].out_min
            if not matches[place - 1].at_min <= due_min <= match.at_min:
                wrong.append(f"the batteries are not swapped between {matches[place - 1].name} and {match.name}")
        if place + 1 < len(matches) and matches[place + 1].at_min - match.at_min < lead_min + back_min:
            gap_min = matches[place + 1].at_min - match.at_min
            out_min = match.at_min + gap_min * back_min // (lead_min + back_min)
        if (use.due_min, use.out_min, use.may) != (due_min, out_min, match.may):
            wrong.append(f"{use.match}: the battery is due at {due_min} and out at {out_min}")
    return wrong


def _sharing(plan: DayPlan) -> list[str]:
    """Take note, minute by minute, of who sits where."""
    seen: dict[tuple[str, int], str] = {}
    wrong = []
    for stint in plan.stints:
        for minute in range(stint.from_min, stint.to_min):
            other = seen.setdefault((stint.charger, minute), stint.battery)
            if other != stint.battery:
                wrong.append(f"{other} and {stint.battery} share {stint.charger}")
                break
    return wrong


def _battery(day: Day, battery: DayBattery, matches: list[Match], plan: DayPlan, left: list[Stint]) -> list[str]:
    """Follow one battery through the day."""
    wrong: list[str] = []
    full_mah = max(1, round(battery.capacity_ah * 1000))
    charge_mah = int(round(battery.charge * full_mah, 6))
    last: int | None = None
    for place, match in enumerate(matches):
        use = plan.uses[place]
        if use.battery != battery.label:
            continue
        stints = [stint for stint in plan.stints if stint.match == match.name and stint.battery == battery.label]
        if len(stints) > 1:
            wrong.append(f"{battery.label} is charged twice before {match.name}")
        in_robot = last == place - 1 if last is not None else place == 0 and day.in_robot == battery.label
        ready_min = battery.ready_min if last is None else plan.uses[last].out_min
        if stints:
            left.remove(stints[0])
            wrong += _stint(day, battery, stints[0], None if last is None else plan.uses[last])
            after_mah = charged_mah(day.practice, full_mah, charge_mah, stints[0])
            wrong += _told(f"{battery.label} before {match.name}", stints[0].charge_from, charge_mah / full_mah)
            wrong += _told(f"{battery.label} after its charge", stints[0].charge_to, after_mah / full_mah)
            cool_min = day.practice.cool_after_fast_min if stints[0].amps >= day.practice.fast_from_a else 0
            ready_min = max(ready_min, stints[0].to_min + cool_min)
            off_min = use.due_min - cool_min
            if stints[0].to_min > (max(off_min, day.begins_min) if last is None and battery.on else off_min):
                wrong.append(f"{battery.label} is charged too long for {match.name}")
            charge_mah = after_mah
        elif last is None and battery.on is not None:
            wrong.append(f"{battery.label} is used and never left its charger")
        stays = in_robot and not stints
        ready_min = min(ready_min, use.due_min) if stays else ready_min
        wrong += _use(day, battery, use, charge_mah, ready_min, stays=stays)
        charge_mah = max(0, charge_mah - ceil(round(day.practice.match_ah * 1000, 6)))
        last = place
    return wrong


def _stint(day: Day, battery: DayBattery, stint: Stint, last: Use | None) -> list[str]:
    """Hold the begin of a stint, its current and its length to what is allowed."""
    charger = next(charger for charger in day.chargers if charger.label == stint.charger)
    wrong = [] if stint.amps in charger.currents_a else [f"{stint.charger} can't be set to {stint.amps:g} A"]
    if stint.fast != (stint.amps >= day.practice.fast_from_a):
        wrong.append(f"{battery.label} on {stint.charger}: {stint.amps:g} A is told as the wrong kind")
    if last is None and battery.on is not None:
        on = battery.on
        if (stint.charger, stint.amps, stint.from_min) != (on.charger, on.amps, on.from_min):
            wrong.append(f"{battery.label} does not stay where it sits")
        return wrong if stint.to_min >= day.begins_min else [*wrong, f"{battery.label} leaves before the day begins"]
    cool_min = max(day.begins_min, battery.free_min)
    if last is not None:
        cool_min = max(day.begins_min, last.out_min + day.practice.cool_before_min)
    if not cool_min <= stint.from_min < stint.to_min:
        wrong.append(f"{battery.label} is on {stint.charger} before minute {cool_min} or for no time")
    return wrong


def _use(day: Day, battery: DayBattery, use: Use, charge_mah: int, ready_min: int, *, stays: bool) -> list[str]:
    full_mah = max(1, round(battery.capacity_ah * 1000))
    health = max(1, round(battery.health * 1000)) / 1000
    lacks_mah = max(0, ceil(round(day.practice.least_charge * full_mah, 6)) - charge_mah)
    name = f"{battery.label} in {use.match}"
    wrong = [*_told(name, use.charge, charge_mah / full_mah), *_told(name, use.worth, charge_mah / full_mah * health)]
    wrong += _told(f"{name}: what it lacks", use.short, lacks_mah / full_mah)
    if (use.ready_min, use.stays, use.late_min) != (ready_min, stays, max(0, ready_min - use.due_min)):
        wrong.append(f"{name} is ready at {ready_min}")
    return wrong


def _score(day: Day, plan: DayPlan, before: Mapping[str, str]) -> list[str]:
    """Count the score again from the uses and stints, which are right by now."""
    full_mah = {battery.label: max(1, round(battery.capacity_ah * 1000)) for battery in day.batteries}
    step = day.practice.worth_step
    spare = [use.due_min - use.ready_min for use in plan.uses if not use.stays]
    counted = (
        sum(use.late_min for use in plan.uses),
        sum(round(use.short * full_mah[use.battery]) for use in plan.uses),
        sum(use.match in before and before[use.match] != use.battery for use in plan.uses),
        int(min(use.worth for use in plan.uses) * 1000 + _NEAR) // step * step,
        max(0, min([day.practice.spare_enough_min, *spare])),
        sum(stint.to_min - stint.from_min for stint in plan.stints if stint.fast),
    )
    score = plan.score
    told = (score.late_min, score.short_mah, score.swaps, score.worst, score.spare_min, score.fast_min)
    wrong = [] if counted == told else [f"the score is {counted} and {told} is told"]
    lost = (*counted[:3], 1000 - counted[3], day.practice.spare_enough_min - counted[4], counted[5])
    if any(one.cost != cost or one.bound > cost for one, cost in zip(plan.proof.levels, lost, strict=True)):
        wrong.append("a certificate is about another day")
    if any(
        rule.score.key[:2] + rule.score.key[3:] < score.key[:2] + score.key[3:] and not before for rule in plan.rules
    ):
        wrong.append("a plain rule does better")
    return wrong


def _told(what: str, told: float, is_so: float) -> list[str]:
    return [] if abs(told - is_so) < _NEAR else [f"{what}: {told:.4f} is told, it is {is_so:.4f}"]
