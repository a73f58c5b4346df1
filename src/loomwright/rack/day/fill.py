"""Use the time that a schedule leaves: gentle charges begin earlier and last longer where that costs nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomwright.rack.day.board import Board
from loomwright.rack.day.replay import Replayed, Schedule, Sit, Wanted, last_use, replay


def filled(board: Board, schedule: Schedule, wanted: Wanted = ()) -> Schedule:
    """Return a schedule whose score is no worse, in which batteries are charged as far as time allows.

    Match by match, a battery that is charged gently or not at all takes the gentle stay that gives it most, between
    what else its charger does and before the plan's spare time; a charge ends when the battery is full. That no other
    filling gives more is not proved.
    """
    now = replay(board, schedule, wanted)
    for match in range(len(board.slots)):
        for sit in (*_stays(board, schedule, now, match), *_shorter(board, schedule, now, match)):
            sits = (*schedule.sits[:match], sit, *schedule.sits[match + 1 :])
            other = replace(schedule, sits=sits)
            then = replay(board, other, wanted)
            gains = then.turns[match].charge_mah - now.turns[match].charge_mah
            if then.score.key <= now.score.key and (gains > 0 or (gains == 0 and _shortens(schedule, match, sit))):
                schedule, now = other, then
    return schedule


def _stays(board: Board, schedule: Schedule, now: Replayed, match: int) -> Iterator[Sit]:
    """Yield the gentle stays that a match's battery could have, each as long as its charger is free."""
    battery, present, last = schedule.batteries[match], schedule.sits[match], last_use(schedule, match)
    running = board.cells[battery].running if last is None else None
    if present is not None and board.fast[present.charger][present.setting]:
        return
    latest_min = board.slots[match].due_min - now.score.spare_min
    for charger, settings in enumerate(board.fast):
        for setting, fast in enumerate(settings):
            if fast or (running is not None and (charger, setting) != (running.charger, running.setting)):
                continue
            for free_min, taken_min in _gaps(schedule, match, charger):
                begin_min = max(free_min, board.chargeable_min(battery, last))
                if running is not None:
                    begin_min = running.from_min
                minutes = board.curves[charger][setting][battery].minutes_to_full(now.turns[match].before_mah)
                end_min = min(latest_min, taken_min, begin_min + minutes)
                if free_min <= begin_min < end_min and (running is None or end_min >= board.begins_min):
                    yield Sit(charger=charger, setting=setting, from_min=begin_min, to_min=end_min)


def _shorter(board: Board, schedule: Schedule, now: Replayed, match: int) -> Iterator[Sit]:
    """Yield the present stay, ended when the battery is full."""
    sit, battery = schedule.sits[match], schedule.batteries[match]
    if sit is not None:
        minutes = board.curves[sit.charger][sit.setting][battery].minutes_to_full(now.turns[match].before_mah)
        end_min = max(sit.from_min + minutes, board.begins_min)
        if sit.from_min < end_min < sit.to_min:
            yield replace(sit, to_min=end_min)


def _gaps(schedule: Schedule, match: int, charger: int) -> Iterator[tuple[int, int]]:
    """Yield from when to when a charger is free of all other stays."""
    others = (sit for other, sit in enumerate(schedule.sits) if other != match)
    taken = sorted((sit.from_min, sit.to_min) for sit in others if sit is not None and sit.charger == charger)
    free_min = -(10**9)
    for from_min, to_min in taken:
        yield free_min, from_min
        free_min = to_min
    yield free_min, 10**9


def _shortens(schedule: Schedule, match: int, sit: Sit) -> bool:
    before = schedule.sits[match]
    return before is not None and sit.to_min < before.to_min and sit.charger == before.charger
