"""What a plan makes of each battery and each charger: strips of time with the words that belong to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from loomwright.documents.timeline.clock import amps, percent, trouble
from loomwright.rack.day.problem import Day, DayBattery
from loomwright.rack.day.result import DayPlan, Stint, Use
from loomwright.wording import natural


class Kind(StrEnum):
    """What a battery does in a strip."""

    ROBOT = "robot"
    GENTLE = "gentle"
    FAST = "fast"
    COOL = "cool"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A stretch of time: `name` may be shortened, `number` is said whole, `more` where there is room for it.

    `begins_min` is when the match in it begins. `may` marks one that is perhaps not played, `lowest` the weakest one,
    `wrong` one that is late or low.
    """

    kind: Kind
    from_min: int
    to_min: int
    name: str = ""
    number: str = ""
    more: str = ""
    begins_min: int | None = None
    may: bool = False
    lowest: bool = False
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One battery or one charger: its label, its strips in the order of time, and what is said where it has none."""

    label: str
    strips: tuple[Strip, ...]
    is_charger: bool = False
    idle: str = ""


def battery_rows(plan: DayPlan, day: Day) -> tuple[Row, ...]:
    """Return a row for each battery, by label."""
    batteries = sorted(day.batteries, key=lambda battery: natural(battery.label))
    return tuple(
        Row(battery.label, _of_battery(battery, plan, day), idle=f"spare, holds {percent(battery.charge)}")
        for battery in batteries
    )


def charger_rows(plan: DayPlan, day: Day) -> tuple[Row, ...]:
    """Return a row for each charger, by label."""
    labels = sorted((charger.label for charger in day.chargers), key=natural)
    return tuple(
        Row(
            label,
            tuple(_on_charger(stint) for stint in plan.stints if stint.charger == label),
            is_charger=True,
            idle="not used",
        )
        for label in labels
    )


def weakest(plan: DayPlan) -> Use:
    """Return the use with the least charge times health; the first of several."""
    return min(plan.uses, key=lambda use: (use.worth, use.due_min))


def _of_battery(battery: DayBattery, plan: DayPlan, day: Day) -> tuple[Strip, ...]:
    low = weakest(plan)
    begins = {match.name: match.at_min for match in day.matches}
    strips = [_in_robot(use, begins[use.match], use is low) for use in plan.uses if use.battery == battery.label]
    strips += [_charged(stint) for stint in plan.stints if stint.battery == battery.label]
    strips.sort(key=lambda strip: (strip.from_min, strip.to_min))
    return tuple(sorted([*strips, *_cooling(battery, strips, day)], key=lambda strip: (strip.from_min, strip.to_min)))


def _in_robot(use: Use, begins_min: int, lowest: bool) -> Strip:  # noqa: FBT001  one of two kinds
    start = use.due_min + use.late_min
    return Strip(
        kind=Kind.ROBOT,
        from_min=start if start < use.out_min else use.due_min,
        to_min=use.out_min,
        name=f"{use.match}?" if use.may else use.match,
        number=percent(use.charge),
        more="lowest" if lowest else trouble(use),
        begins_min=begins_min,
        may=use.may,
        lowest=lowest,
        wrong=bool(trouble(use)),
    )


def _charged(stint: Stint) -> Strip:
    kind = Kind.FAST if stint.fast else Kind.GENTLE
    told = f"to {percent(stint.charge_to)}"
    return Strip(
        kind=kind, from_min=stint.from_min, to_min=stint.to_min, name=stint.charger, number=amps(stint), more=told
    )


def _on_charger(stint: Stint) -> Strip:
    kind = Kind.FAST if stint.fast else Kind.GENTLE
    told = f"for {stint.match}" if stint.match else ""
    return Strip(
        kind=kind, from_min=stint.from_min, to_min=stint.to_min, name=stint.battery, number=amps(stint), more=told
    )


def _cooling(battery: DayBattery, strips: list[Strip], day: Day) -> Iterator[Strip]:
    """Give the times in which a battery cools: before the day, after each match, after each fast charge."""
    first = strips[0].from_min if strips else None
    until = max(battery.free_min, battery.ready_min)
    spans = [(day.begins_min, until)] if first is None or first > day.begins_min else []
    minutes = {Kind.ROBOT: day.practice.cool_before_min, Kind.FAST: day.practice.cool_after_fast_min}
    spans += [(strip.to_min, strip.to_min + minutes.get(strip.kind, 0)) for strip in strips]
    for start, end in spans:
        follows = min((strip.from_min for strip in strips if strip.from_min >= start), default=end)
        if min(end, follows) > start:
            yield Strip(kind=Kind.COOL, from_min=start, to_min=min(end, follows))
