"""From a schedule in numbers to the plan that people read: labels, shares, and what falls short in words."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.findings import Finding, Place, Severity
from loomwright.rack.day.board import Board
from loomwright.rack.day.replay import Replayed, Schedule, Sit
from loomwright.rack.day.result import Stint, Use

_MILLI = 1000


def uses_of(board: Board, schedule: Schedule, played: Replayed) -> tuple[Use, ...]:
    """Return the uses of the batteries, in the order of the matches."""
    uses = []
    for slot, battery, turn in zip(board.slots, schedule.batteries, played.turns, strict=True):
        cell = board.cells[battery]
        charge = turn.charge_mah / cell.full_mah
        uses.append(
            Use(
                match=slot.name,
                battery=cell.label,
                charge=charge,
                worth=charge * cell.health / _MILLI,
                ready_min=turn.ready_min,
                due_min=slot.due_min,
                out_min=slot.out_min,
                short=max(0, cell.least_mah - turn.charge_mah) / cell.full_mah,
                late_min=max(0, turn.ready_min - slot.due_min),
                stays=turn.stays,
                may=slot.may,
            )
        )
    return tuple(uses)


def stints_of(board: Board, schedule: Schedule, played: Replayed) -> tuple[Stint, ...]:
    """Return the stays on chargers, in the order of their start."""
    stints = []
    for slot, battery, sit, turn in zip(board.slots, schedule.batteries, schedule.sits, played.turns, strict=True):
        cell = board.cells[battery]
        if sit is not None:
            stints.append(
                Stint(
                    charger=board.chargers[sit.charger],
                    battery=cell.label,
                    from_min=sit.from_min,
                    to_min=sit.to_min,
                    amps=board.amps[sit.charger][sit.setting],
                    fast=board.fast[sit.charger][sit.setting],
                    charge_from=turn.before_mah / cell.full_mah,
                    charge_to=turn.charge_mah / cell.full_mah,
                    match=slot.name,
                )
            )
    return tuple(sorted(stints, key=lambda stint: (stint.from_min, board.chargers.index(stint.charger))))


def schedule_of(board: Board, uses: tuple[Use, ...], stints: tuple[Stint, ...]) -> Schedule:
    """Return the schedule in numbers that a plan of this day tells."""
    labels = [cell.label for cell in board.cells]
    sits = {stint.match: _sit(board, stint) for stint in stints}
    return Schedule(
        batteries=tuple(labels.index(use.battery) for use in uses), sits=tuple(sits.get(use.match) for use in uses)
    )


def shortfalls(board: Board, uses: tuple[Use, ...]) -> Iterator[Finding]:
    """Tell every match whose battery is late or has less than the least charge."""
    least = board.practice.least_charge
    for use in uses:
        if use.short > 0:
            yield Finding(
                code="rack-day-short",
                severity=Severity.SHOULD,
                place=Place(thing=use.match),
                what=f"{use.match} gets {use.battery} with {use.charge:.0%} of its charge, {use.short:.1%} too little.",
                fix=f"Bring another battery or charger, or start {use.match} with less than {least:.0%}.",
                source="own-choice",
            )
        if use.late_min > 0:
            yield Finding(
                code="rack-day-late",
                severity=Severity.MUST,
                place=Place(thing=use.match),
                what=f"{use.battery} is ready {use.late_min} min after it is due for {use.match}.",
                fix=f"Put it into the robot for {use.match} as it comes, or use a battery that is not on the rack.",
            )


def _sit(board: Board, stint: Stint) -> Sit:
    charger = board.chargers.index(stint.charger)
    setting = board.amps[charger].index(stint.amps)
    return Sit(charger=charger, setting=setting, from_min=stint.from_min, to_min=stint.to_min)
