"""What is alike on the day's board: batteries of one kind, chargers of one group, and what may be chosen."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from loomwright.rack.day.board import Board, Cell
from loomwright.rack.day.replay import Wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Batteries that differ only in their labels, by number; `option` is where a running charge keeps them."""

    batteries: tuple[int, ...]
    cell: Cell
    option: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A group of chargers that are alike, with one setting of them; without chargers: not charged at all."""

    chargers: tuple[int, ...] = ()
    setting: int = 0
    fast: bool = False


def options_of(board: Board) -> tuple[Option, ...]:
    """Return what may be chosen for a match: first to charge nowhere, then each setting of each group."""
    alike: defaultdict[tuple[float, ...], list[int]] = defaultdict(list)
    for charger, amps in enumerate(board.amps):
        alike[amps].append(charger)
    return (
        Option(),
        *(
            Option(chargers=tuple(chargers), setting=setting, fast=board.fast[chargers[0]][setting])
            for amps, chargers in sorted(alike.items())
            for setting in range(len(amps))
        ),
    )


def kinds_of(board: Board, options: tuple[Option, ...], wanted: Wanted) -> tuple[Kind, ...]:
    """Return the kinds of batteries; one that was planned for other matches before is another kind."""
    alike: defaultdict[tuple[object, ...], list[int]] = defaultdict(list)
    for battery, cell in enumerate(board.cells):
        running = cell.running and (cell.running.charger, cell.running.setting, cell.running.from_min)
        before = tuple(match for match, planned in enumerate(wanted) if planned == battery)
        stands = (cell.health, cell.full_mah, cell.charge_mah, cell.free_min, cell.ready_min)
        alike[*stands, running, before, board.in_robot == battery].append(battery)
    return tuple(
        Kind(batteries=tuple(same), cell=board.cells[same[0]], option=_held(board.cells[same[0]], options))
        for same in alike.values()
    )


def _held(cell: Cell, options: tuple[Option, ...]) -> int | None:
    if cell.running is None:
        return None
    at = cell.running
    return next(n for n, one in enumerate(options) if at.charger in one.chargers and at.setting == one.setting)
