"""Days on which matches run late: how often a plan holds when people keep to its order."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from loomwright.match.chance import Chance
from loomwright.rack.day.board import Board, Running
from loomwright.rack.day.replay import Schedule, last_use

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipPractice:
    """How days go wrong; `practice.usual_slips` gives the usual values with their sources.

    With a chance of `late_chance`, a match begins later than the delay so far, by `late_mean_min` on average. The delay
    carries on; in a gap longer than the day's usual one, `caught` times what the gap is longer is caught up. A battery
    comes out of the robot up to `turn_extra_min` later than usual.
    """

    late_chance: float
    late_mean_min: float
    caught: float
    turn_extra_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """On how many of the days played everything held, something was too late, or a charge was below the least.

    `worst_5` is the worst match's charge times health that 95 of 100 days exceed or reach [thousandths].
    """

    holds: Chance
    late: Chance
    short: Chance
    worst_5: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Slipped:
    """One day as it went: minutes by which each match began late, and its battery came out later than usual."""

    delay_min: tuple[int, ...]
    extra_min: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Went:
    """What came of such a day: the charge of each match's battery [mAh], and by how much it was late [min]."""

    charge_mah: tuple[int, ...]
    late_min: tuple[int, ...]


def days_played(board: Board, schedule: Schedule, practice: SlipPractice, *, days: int, seed: int) -> Held:
    """Play a plan on so many days that slip at random; the same seed gives the same days.

    A day holds where every match's battery is in time and has the least charge.

    Raises
    ------
    ValueError
        Fewer than one day.
    """
    if days < 1:
        raise ValueError("play at least one day")
    import numpy as np  # noqa: PLC0415  heavy: the bench reads this module before its first page

    random = np.random.default_rng(seed)
    late = short = holds = 0
    worst = []
    for _ in range(days):
        went = follow(board, schedule, _slipped(board, practice, random))
        is_late, is_short = any(went.late_min), _short(board, schedule, went)
        late, short, holds = late + is_late, short + is_short, holds + (not is_late and not is_short)
        worst.append(min(board.worth(b, mah) for b, mah in zip(schedule.batteries, went.charge_mah, strict=True)))
    return Held(
        holds=Chance(holds, days),
        late=Chance(late, days),
        short=Chance(short, days),
        worst_5=sorted(worst)[days // 20],
    )


def follow(board: Board, schedule: Schedule, slipped: Slipped) -> Went:
    """Play one day by the order of a plan: batteries, chargers and who comes after whom stay.

    A battery goes on its charger when the plan says, when it is cool, and when the charger is free, whatever is last.
    It comes off when the plan says, later by the delay that is known by then: that of the match before. A gentle charge
    ends when the battery is needed; after a fast one it has to cool, and is late where the delay was caught up.
    """
    order = sorted((j for j, sit in enumerate(schedule.sits) if sit), key=lambda j: _begin(schedule, j))
    off_min = _off(board, schedule, slipped, order)
    charges: list[int] = []
    late = []
    for match, battery in enumerate(schedule.batteries):
        last, sit, cell = last_use(schedule, match), schedule.sits[match], board.cells[battery]
        charge = cell.charge_mah if last is None else max(0, charges[last] - board.drain_mah)
        ready_min = cell.ready_min if last is None else _out(board, slipped, last)
        if sit is not None and match in off_min:
            begin_min, end_min = off_min[match]
            charge = board.curves[sit.charger][sit.setting][battery].after(charge, end_min - begin_min)
            ready_min = max(ready_min, end_min + board.cool_min(sit.charger, sit.setting))
        charges.append(charge)
        late.append(_late(board, schedule, slipped, match, ready_min))
    return Went(charge_mah=tuple(charges), late_min=tuple(late))


def _slipped(board: Board, practice: SlipPractice, random: np.random.Generator) -> Slipped:
    gaps = [after.at_min - before.at_min for before, after in zip(board.slots, board.slots[1:], strict=False)]
    usual = median(gaps) if gaps else 0
    delay, delays = 0.0, []
    for gap in [0, *gaps]:
        delay = max(0.0, delay - practice.caught * max(0.0, gap - usual))
        if random.random() < practice.late_chance:
            delay += random.exponential(practice.late_mean_min)
        delays.append(int(delay))
    extra = random.integers(0, practice.turn_extra_min, size=len(delays), endpoint=True)
    return Slipped(delay_min=tuple(delays), extra_min=tuple(int(one) for one in extra))


def _short(board: Board, schedule: Schedule, went: Went) -> bool:
    pairs = zip(schedule.batteries, went.charge_mah, strict=True)
    return any(charge < board.cells[battery].least_mah for battery, charge in pairs)


def _begin(schedule: Schedule, match: int) -> tuple[int, int, int]:
    sit = schedule.sits[match]
    return (sit.from_min, sit.to_min, match) if sit else (0, 0, match)


def _off(board: Board, schedule: Schedule, slipped: Slipped, order: list[int]) -> dict[int, tuple[int, int]]:
    """Return from when to when each battery really sits on its charger; one that has no time left is not charged."""
    free_min: dict[int, int] = {}
    off: dict[int, tuple[int, int]] = {}
    for match in order:
        sit, last = schedule.sits[match], last_use(schedule, match)
        if sit is None:
            continue
        running = board.cells[schedule.batteries[match]].running if last is None else None
        begin_min = max(sit.from_min, free_min.get(sit.charger, sit.from_min), _cool(board, slipped, last, running))
        known_min = slipped.delay_min[match - 1] if match else 0
        end_min = sit.to_min + known_min
        if not board.fast[sit.charger][sit.setting]:
            end_min = min(end_min, max(board.slots[match].due_min + slipped.delay_min[match], board.begins_min))
        if end_min > begin_min or running is not None:
            off[match] = (begin_min, end_min)
            free_min[sit.charger] = end_min
    return off


def _cool(board: Board, slipped: Slipped, last: int | None, running: Running | None) -> int:
    if last is not None:
        return _out(board, slipped, last) + board.practice.cool_before_min
    return board.begins_min if running is None else running.from_min


def _out(board: Board, slipped: Slipped, match: int) -> int:
    return board.slots[match].out_min + slipped.delay_min[match] + slipped.extra_min[match]


def _late(board: Board, schedule: Schedule, slipped: Slipped, match: int, ready_min: int) -> int:
    """Tell how much too late a battery is: for its lead, or for the match itself where the last one came out late."""
    slot, delay_min = board.slots[match], slipped.delay_min[match]
    sit, battery = schedule.sits[match], schedule.batteries[match]
    if sit is None and (schedule.batteries[match - 1] == battery if match else board.in_robot == battery):
        return 0
    late_min = ready_min - (slot.due_min + delay_min)
    if last_use(schedule, match) is not None and sit is None:
        late_min = ready_min - (slot.at_min + delay_min)
    if match:
        late_min = max(late_min, _out(board, slipped, match - 1) - (slot.at_min + delay_min))
    return max(0, late_min)
