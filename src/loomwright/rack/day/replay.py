"""Play a day as it was decided: the one simulator that rules, search and slips are all counted by."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from loomwright.rack.day.board import Board
from loomwright.rack.day.result import Score

#: For each match the battery of the plan before, by number (None: it had none); empty: there was no plan.
Wanted = tuple[int | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sit:
    """A stay on a charger, by its number and its setting's, from and to a minute."""

    charger: int
    setting: int
    from_min: int
    to_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """What was decided: for each match the battery, by number, and where it was charged for it (None: nowhere)."""

    batteries: tuple[int, ...]
    sits: tuple[Sit | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What came of one match: charges [mAh] before the charger and at the match, and when the battery was ready."""

    before_mah: int
    charge_mah: int
    ready_min: int
    stays: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """What came of the day, match by match, and its score."""

    turns: tuple[Turn, ...]
    score: Score


def last_use(schedule: Schedule, match: int) -> int | None:
    """Return the match before in which a match's battery was used, None for its first."""
    battery = schedule.batteries[match]
    return next((before for before in range(match - 1, -1, -1) if schedule.batteries[before] == battery), None)


def replay(board: Board, schedule: Schedule, wanted: Wanted = ()) -> Replayed:
    """Play a day and count its score; `wanted` is the plan before, for the swaps.

    Raises
    ------
    ValueError
        A battery goes on a charger too early or from nowhere, two share a charger, or one that was used before is late.
    """
    _one_at_a_time(board, schedule)
    turns: list[Turn] = []
    for match in range(len(board.slots)):
        turns.append(_turn(board, schedule, match, turns))
    return Replayed(turns=tuple(turns), score=_score(board, schedule, turns, wanted))


def _one_at_a_time(board: Board, schedule: Schedule) -> None:
    for charger, name in enumerate(board.chargers):
        taken = sorted((sit.from_min, sit.to_min) for sit in schedule.sits if sit and sit.charger == charger)
        if any(two[0] < one[1] for one, two in pairwise(taken)):
            raise ValueError(f"two batteries share {name}")


def _turn(board: Board, schedule: Schedule, match: int, turns: list[Turn]) -> Turn:
    battery, sit = schedule.batteries[match], schedule.sits[match]
    cell, slot = board.cells[battery], board.slots[match]
    last = last_use(schedule, match)
    before_mah = cell.charge_mah if last is None else max(0, turns[last].charge_mah - board.drain_mah)
    ready_min = cell.ready_min if last is None else board.slots[last].out_min
    stays = sit is None and (board.in_robot == battery and match == 0 if last is None else last == match - 1)
    charge_mah = before_mah
    if sit is None and last is None and cell.running is not None:
        raise ValueError(f"{cell.label} sits on a charger and goes to {slot.name} without leaving it")
    if sit is not None:
        _may_sit(board, schedule, match, sit)
        charge_mah = board.curves[sit.charger][sit.setting][battery].after(before_mah, sit.to_min - sit.from_min)
        ready_min = max(ready_min, sit.to_min + board.cool_min(sit.charger, sit.setting))
    if stays:
        ready_min = min(ready_min, slot.due_min)
    return Turn(before_mah=before_mah, charge_mah=charge_mah, ready_min=ready_min, stays=stays)


def _may_sit(board: Board, schedule: Schedule, match: int, sit: Sit) -> None:
    battery = schedule.batteries[match]
    last, running = last_use(schedule, match), board.cells[battery].running
    label = board.cells[battery].label
    if last is None and running is not None:
        if (sit.charger, sit.setting, sit.from_min) != (running.charger, running.setting, running.from_min):
            raise ValueError(f"{label} sits on a charger already")
        if sit.to_min < board.begins_min:
            raise ValueError(f"{label} leaves its charger before the day begins")
    elif sit.from_min < board.chargeable_min(battery, last) or sit.to_min <= sit.from_min:
        raise ValueError(f"{label} is not cool yet, or is charged for no time")
    off_min = board.slots[match].due_min - board.cool_min(sit.charger, sit.setting)
    if sit.to_min > (off_min if running is None or last is not None else max(off_min, board.begins_min)):
        raise ValueError(f"{label} is charged too long for {board.slots[match].name}")


def _score(board: Board, schedule: Schedule, turns: list[Turn], wanted: Wanted) -> Score:
    enough, step = board.practice.spare_enough_min, board.practice.worth_step
    rows = list(zip(schedule.batteries, board.slots, turns, strict=True))
    spare = [slot.due_min - turn.ready_min for _, slot, turn in rows if not turn.stays]
    return Score(
        late_min=sum(max(0, turn.ready_min - slot.due_min) for _, slot, turn in rows),
        short_mah=sum(max(0, board.cells[battery].least_mah - turn.charge_mah) for battery, _, turn in rows),
        swaps=sum(two not in {one, None} for one, two in zip(schedule.batteries, wanted, strict=False)),
        worst=min(board.worth(battery, turn.charge_mah) for battery, _, turn in rows) // step * step,
        spare_min=max(0, min([enough, *spare])),
        fast_min=sum(
            sit.to_min - sit.from_min for sit in schedule.sits if sit and board.fast[sit.charger][sit.setting]
        ),
    )
