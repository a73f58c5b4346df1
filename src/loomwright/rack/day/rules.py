"""Plain rules that people follow without a plan, played out: who is next, and first come, first charged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from loomwright.rack.day.board import Board
from loomwright.rack.day.replay import Schedule, Sit, Wanted

#: Gives a rule's liking for a battery with a charge [mAh] in a match, by their numbers: the greatest is taken.
Liking = Callable[[Board, int, int, int], int]


def rules() -> dict[str, Liking]:
    """Return the rules by their names."""
    return {
        "fullest first": lambda board, _, battery, charge: 1_000_000 * charge // board.cells[battery].full_mah,
        "charge times health": lambda board, _, battery, charge: board.worth(battery, charge),
        "in turn": lambda board, match, battery, _: -((battery - match) % len(board.cells)),
    }


def keeping(batteries: Wanted) -> Liking:
    """Return the rule that takes the battery which was planned before."""
    return lambda board, match, battery, charge: (
        1_000_000 * (batteries[match] == battery) + board.worth(battery, charge)
    )


def play(board: Board, liking: Liking) -> Schedule:
    """Play a rule: each battery that is cool takes the first charger that gets free, at its fastest setting.

    The battery of a match is chosen when one on a fast charge would have to be taken off; until then it stays on its
    charger or is full.
    """
    rack = _Rack(board)
    batteries, sits = [], []
    for match, slot in enumerate(board.slots):
        chosen_min = slot.due_min - board.practice.cool_after_fast_min
        rack.seat(chosen_min)
        battery = max(
            range(len(board.cells)),
            key=lambda b: (rack.in_time(b, match), liking(board, match, b, rack.charge(b, chosen_min)), -b),
        )
        batteries.append(battery)
        sits.append(rack.take(battery, match))
    return Schedule(batteries=tuple(batteries), sits=tuple(sits))


@dataclass(slots=True)
class _Spot:
    """Where a battery stands: charge [mAh], cool from, and its stay on a charger, up to full."""

    charge_mah: int
    cool_min: int
    used: bool = False
    sit: Sit | None = None


@dataclass(slots=True)
class _Rack:
    board: Board
    spots: list[_Spot] = field(init=False)
    free_min: list[int] = field(init=False)

    def __post_init__(self) -> None:
        board = self.board
        self.free_min = [board.begins_min] * len(board.chargers)
        self.spots = [_Spot(cell.charge_mah, board.chargeable_min(n, None)) for n, cell in enumerate(board.cells)]
        for battery, cell in enumerate(board.cells):
            if cell.running is not None:
                self._put(battery, cell.running.charger, cell.running.setting, cell.running.from_min)

    def seat(self, until_min: int) -> None:
        """Give chargers to the batteries that wait, first come, first served, up to a minute."""
        while waiting := self._next(until_min):
            begin_min, _, battery, _, charger = waiting
            setting = max(range(len(self.board.amps[charger])), key=lambda n: self.board.amps[charger][n])
            self._put(battery, charger, setting, begin_min)

    def charge(self, battery: int, at_min: int) -> int:
        """Return the charge of a battery at a minute [mAh]."""
        spot = self.spots[battery]
        if spot.sit is None:
            return spot.charge_mah
        curve = self.board.curves[spot.sit.charger][spot.sit.setting][battery]
        return curve.after(spot.charge_mah, max(0, min(at_min, spot.sit.to_min) - spot.sit.from_min))

    def in_time(self, battery: int, match: int) -> bool:
        """Tell whether a battery can be ready for a match."""
        board, due_min = self.board, self.board.slots[match].due_min
        cell, spot = board.cells[battery], self.spots[battery]
        if spot.used or (match == 0 and board.in_robot == battery):
            return True
        running = cell.running
        from_charger = running is None or board.begins_min + board.cool_min(running.charger, running.setting) <= due_min
        return cell.ready_min <= due_min and from_charger

    def take(self, battery: int, match: int) -> Sit | None:
        """Take a battery for a match; return its stay on a charger, ended as it has to be."""
        board, spot, slot = self.board, self.spots[battery], self.board.slots[match]
        sit = spot.sit
        if sit is not None:
            to_min = min(sit.to_min, slot.due_min - board.cool_min(sit.charger, sit.setting))
            forced = not spot.used and board.cells[battery].running is not None
            last_on = self.free_min[sit.charger] == sit.to_min  # nobody took the charger since it was full
            sit = replace(sit, to_min=max(to_min, board.begins_min) if forced else max(to_min, sit.from_min))
            if last_on:
                self.free_min[sit.charger] = sit.to_min
            spot.charge_mah = self.charge(battery, sit.to_min)
            if sit.to_min == sit.from_min and not forced:
                sit = None
        spot.charge_mah = max(0, spot.charge_mah - board.drain_mah)
        spot.cool_min, spot.used, spot.sit = board.chargeable_min(battery, match), True, None
        return sit

    def _next(self, until_min: int) -> tuple[int, int, int, float, int] | None:
        waiting = [
            (max(spot.cool_min, free_min), spot.cool_min, battery, -max(self.board.amps[charger]), charger)
            for battery, spot in enumerate(self.spots)
            if spot.sit is None and spot.charge_mah < self.board.cells[battery].full_mah
            for charger, free_min in enumerate(self.free_min)
            if max(spot.cool_min, free_min) < until_min
        ]
        return min(waiting, default=None)

    def _put(self, battery: int, charger: int, setting: int, from_min: int) -> None:
        spot = self.spots[battery]
        minutes = self.board.curves[charger][setting][battery].minutes_to_full(spot.charge_mah)
        to_min = max(from_min + minutes, self.board.begins_min)
        spot.sit = Sit(charger=charger, setting=setting, from_min=from_min, to_min=to_min)
        self.free_min[charger] = to_min
