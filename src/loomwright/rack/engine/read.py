"""From the model's values to a schedule with labels, and from a schedule to hints for the model."""

from __future__ import annotations

from typing import Any

from loomwright.rack.day.replay import Replayed, Schedule, Sit, last_use
from loomwright.rack.engine.model import DayModel


def unknowns(day: DayModel) -> list[Any]:
    """Return the unknowns that a schedule is read from."""
    return [*day.follows.values(), *day.first.values(), *day.chosen.values(), *day.begin, *day.end]


def schedule_from(day: DayModel, values: tuple[int, ...]) -> Schedule:
    """Read a schedule from the values of the unknowns; of what is alike, the lowest number is taken first."""
    left = iter(values)
    follows = {key: next(left) for key in day.follows}
    first = {key: next(left) for key in day.first}
    chosen = {key: next(left) for key in day.chosen}
    begin, end = [next(left) for _ in day.begin], [next(left) for _ in day.end]
    fresh = [list(kind.batteries) for kind in day.kinds]
    batteries: list[int] = []
    starts: list[bool] = []
    for j in day.matches:
        before = next((i for i in range(j) if follows[i, j]), None)
        starts.append(before is None)
        kind = next(k for k in range(len(day.kinds)) if before is not None or first[k, j])
        batteries.append(fresh[kind].pop(0) if before is None else batteries[before])
    option = [next(o for o in range(len(day.options)) if chosen[o, j]) for j in day.matches]
    return Schedule(batteries=tuple(batteries), sits=_seated(day, batteries, starts, option, begin, end))


def hint(day: DayModel, schedule: Schedule, played: Replayed) -> None:
    """Tell the model a schedule that is known."""
    kind_of = {battery: k for k, kind in enumerate(day.kinds) for battery in kind.batteries}
    model = day.model
    model.clear_hints()  # type: ignore[no-untyped-call]  # CP-SAT leaves this one out
    for j, (battery, sit, turn) in enumerate(zip(schedule.batteries, schedule.sits, played.turns, strict=True)):
        last, kind = last_use(schedule, j), kind_of[battery]
        for i in range(j):
            model.add_hint(day.follows[i, j], last == i)
        for k in range(len(day.kinds)):
            model.add_hint(day.first[k, j], last is None and k == kind)
            model.add_hint(day.of_kind[k, j], k == kind)
        for o, option in enumerate(day.options):
            sits = sit is not None and sit.charger in option.chargers and sit.setting == option.setting
            model.add_hint(day.chosen[o, j], sits if option.chargers else sit is None)
        model.add_hint(day.begin[j], sit.from_min if sit else day.board.begins_min)
        model.add_hint(day.end[j], sit.to_min if sit else day.board.begins_min)
        model.add_hint(day.minutes[j], sit.to_min - sit.from_min if sit else 0)
        model.add_hint(day.before[j], turn.before_mah)
        model.add_hint(day.charge[j], turn.charge_mah)


def _seated(
    day: DayModel, batteries: list[int], starts: list[bool], option: list[int], begin: list[int], end: list[int]
) -> tuple[Sit | None, ...]:
    """Give each stay a charger of its group: first those that run, then by their begin the lowest that is free."""
    running = [day.board.cells[b].running if start else None for b, start in zip(batteries, starts, strict=True)]
    free_min = dict.fromkeys(range(len(day.board.chargers)), min([day.board.begins_min, *begin]))
    sits: list[Sit | None] = [None] * len(batteries)
    for j in sorted(day.matches, key=lambda j: (running[j] is None, begin[j], end[j], j)):
        held, chosen = running[j], day.options[option[j]]
        if not chosen.chargers or (held is None and end[j] == begin[j]):
            continue
        charger = held.charger if held else next(c for c in chosen.chargers if free_min[c] <= begin[j])
        free_min[charger] = end[j]
        sits[j] = Sit(charger=charger, setting=chosen.setting, from_min=begin[j], to_min=end[j])
    return tuple(sits)
