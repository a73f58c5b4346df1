"""A day that has begun: what was played and charged so far, and the day that is left of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loomwright.rack.day.board import Board, board_of
from loomwright.rack.day.problem import Day, DayBattery, OnCharger


@dataclass(frozen=True, slots=True, kw_only=True)
class Charged:
    """A stay on a charger that was or is: it runs where `to_min` is None."""

    charger: str
    battery: str
    amps: float
    from_min: int
    to_min: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SoFar:
    """What is past at `now_min`: matches played with the battery that was in them, and all stays on chargers."""

    now_min: int
    played: tuple[tuple[str, str], ...] = ()
    charged: tuple[Charged, ...] = ()


def rest_of(day: Day, so_far: SoFar) -> Day:
    """Return the day that is left: matches to come, and each battery as it now stands or sits on its charger.

    `day` is the whole day with the times as they are known now, and the batteries as they stood when it began.

    Raises
    ------
    ValueError
        The day makes no sense, or what is past speaks of things that are not there, or of what is still to come.
    """
    board = board_of(day)
    _refuse(board, so_far)
    played = {match for match, _ in so_far.played}
    left = tuple(match for match in day.matches if match.name not in played)
    batteries = tuple(_as_it_stands(board, battery, so_far) for battery in day.batteries)
    return replace(
        day, matches=left, batteries=batteries, begins_min=so_far.now_min, in_robot=_in_robot(board, day, so_far)
    )


def _refuse(board: Board, so_far: SoFar) -> None:
    labels, amps = {cell.label for cell in board.cells}, dict(zip(board.chargers, board.amps, strict=True))
    names = {slot.name for slot in board.slots}
    wrong = [f"{match} is no match of the day" for match, _ in so_far.played if match not in names]
    wrong += [f"{label} is no battery of the day" for _, label in so_far.played if label not in labels]
    for stay in so_far.charged:
        if stay.battery not in labels or stay.amps not in amps.get(stay.charger, ()):
            wrong.append(f"{stay.battery} on {stay.charger} at {stay.amps:g} A: one of these is not on the rack")
        if max(stay.from_min, stay.to_min or stay.from_min) > so_far.now_min:
            wrong.append(f"{stay.battery} on {stay.charger}: that is still to come")
    if len(so_far.played) == len(names):
        wrong.append("all matches are played: nothing is left to plan")
    if wrong:
        raise ValueError("; ".join(wrong))


def _as_it_stands(board: Board, battery: DayBattery, so_far: SoFar) -> DayBattery:
    """Follow one battery through what is past, in the order in which it was."""
    number = next(n for n, cell in enumerate(board.cells) if cell.label == battery.label)
    cell = board.cells[number]
    charge_mah, free_min, ready_min, on = cell.charge_mah, battery.free_min, battery.ready_min, battery.on
    for _, event in _events(board, battery, so_far):
        if isinstance(event, Charged):
            if event.to_min is None:
                on = OnCharger(charger=event.charger, amps=event.amps, from_min=event.from_min)
                continue
            charger = board.chargers.index(event.charger)
            setting = board.amps[charger].index(event.amps)
            charge_mah = board.curves[charger][setting][number].after(charge_mah, event.to_min - event.from_min)
            free_min, on = event.to_min, None
            ready_min = max(ready_min, event.to_min + board.cool_min(charger, setting))
        else:
            charge_mah, on = max(0, charge_mah - board.drain_mah), None
            free_min, ready_min = board.chargeable_min(number, event), board.slots[event].out_min
    charge = charge_mah / cell.full_mah
    return replace(battery, charge=charge, free_min=free_min, ready_min=ready_min, on=on)


def _events(board: Board, battery: DayBattery, so_far: SoFar) -> list[tuple[int, Charged | int]]:
    slots = {slot.name: number for number, slot in enumerate(board.slots)}
    uses = [slots[match] for match, label in so_far.played if label == battery.label]
    events: list[tuple[int, Charged | int]] = [(board.slots[use].at_min, use) for use in uses]
    events += [(stay.from_min, stay) for stay in so_far.charged if stay.battery == battery.label]
    return sorted(events, key=lambda event: event[0])


def _in_robot(board: Board, day: Day, so_far: SoFar) -> str:
    """Return the battery that is in the robot: that of the last match played, if it was not charged since."""
    at_min = {slot.name: slot.at_min for slot in board.slots}
    begun = [("", day.in_robot), *so_far.played]
    match, battery = max(begun, key=lambda one: at_min.get(one[0], -1))
    since_min = at_min.get(match, day.begins_min)
    charged = any(stay.battery == battery and stay.from_min >= since_min for stay in so_far.charged)
    return "" if charged else battery
