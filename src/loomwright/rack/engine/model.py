"""The day as a model for CP-SAT: which match follows which on one battery, and when a battery sits on which charger.

Batteries that are alike are one kind, chargers that are alike one group: what differs only in labels is asked once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from loomwright.rack.day.board import Board
from loomwright.rack.day.curve import Curve
from loomwright.rack.day.replay import Wanted
from loomwright.rack.engine.kinds import Kind, Option, kinds_of, options_of
from loomwright.search.lean import cp_model

_NOWHERE = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DayModel:
    """The model and its unknowns: by (match, match), (kind, match), (option, match), or match."""

    model: cp_model.CpModel
    board: Board
    kinds: tuple[Kind, ...]
    options: tuple[Option, ...]
    follows: dict[tuple[int, int], Any]
    first: dict[tuple[int, int], Any]
    of_kind: dict[tuple[int, int], Any]
    chosen: dict[tuple[int, int], Any]
    begin: list[Any]
    end: list[Any]
    minutes: list[Any]
    before: list[Any]
    charge: list[Any]

    @property
    def matches(self) -> range:
        """The numbers of the matches."""
        return range(len(self.board.slots))

    def nowhere(self, match: int) -> Any:  # noqa: ANN401  CP-SAT carries no types
        """Return the literal that a battery is not charged for a match."""
        return self.chosen[_NOWHERE, match]


def model_of(board: Board, wanted: Wanted = ()) -> DayModel:
    """Build the model of a day without its score; `wanted` are the batteries of the plan before."""
    options = options_of(board)
    day = _unknowns(board, kinds_of(board, options, wanted), options)
    for match in day.matches:
        _paths(day, match)
        _charges(day, match)
        _curves(day, match)
        _times(day, match)
    for k, kind in enumerate(day.kinds):
        day.model.add(sum(day.first[k, j] for j in day.matches) <= len(kind.batteries))
    _one_at_a_time(day)
    return day


def _unknowns(board: Board, kinds: tuple[Kind, ...], options: tuple[Option, ...]) -> DayModel:
    model, matches = cp_model.CpModel(), range(len(board.slots))
    most_mah = max(cell.full_mah for cell in board.cells)
    earliest = min([board.begins_min, *(kind.cell.running.from_min for kind in kinds if kind.cell.running)])
    latest = max([board.begins_min, *(slot.due_min for slot in board.slots)])
    return DayModel(
        model=model,
        board=board,
        kinds=kinds,
        options=options,
        follows={(i, j): model.new_bool_var(f"{i} to {j}") for j in matches for i in range(j)},
        first={(k, j): model.new_bool_var(f"{k} first in {j}") for k in range(len(kinds)) for j in matches},
        of_kind={(k, j): model.new_bool_var(f"{k} in {j}") for k in range(len(kinds)) for j in matches},
        chosen={(o, j): model.new_bool_var(f"{o} for {j}") for o in range(len(options)) for j in matches},
        begin=[model.new_int_var(earliest, latest, f"begin {j}") for j in matches],
        end=[model.new_int_var(earliest, latest, f"end {j}") for j in matches],
        minutes=[model.new_int_var(0, latest - earliest, f"minutes {j}") for j in matches],
        before=[model.new_int_var(0, most_mah, f"before {j}") for j in matches],
        charge=[model.new_int_var(0, most_mah, f"charge {j}") for j in matches],
    )


def _paths(day: DayModel, j: int) -> None:
    """Let a match follow one other on its battery, or be the first of a battery of some kind."""
    model, kinds = day.model, range(len(day.kinds))
    model.add_exactly_one([*(day.follows[i, j] for i in range(j)), *(day.first[k, j] for k in kinds)])
    model.add_exactly_one(day.of_kind[k, j] for k in kinds)
    model.add_exactly_one(day.chosen[o, j] for o in range(len(day.options)))
    model.add_at_most_one(day.follows[j, later] for later in day.matches if later > j)
    for k in kinds:
        model.add_implication(day.first[k, j], day.of_kind[k, j])
        for i in range(j):
            model.add(day.of_kind[k, i] == day.of_kind[k, j]).only_enforce_if(day.follows[i, j])


def _charges(day: DayModel, j: int) -> None:
    """Tie the charge before a match's charger to that after the last match, which may leave a battery empty."""
    model, board = day.model, day.board
    after = model.new_int_var(0, max(cell.full_mah for cell in board.cells), f"after {j}")
    empty = model.new_bool_var(f"empty after {j}")
    model.add(after <= day.charge[j] - board.drain_mah).only_enforce_if(~empty)
    model.add(after == 0).only_enforce_if(empty)
    for later in day.matches:
        if later > j:
            model.add(day.before[later] <= after).only_enforce_if(day.follows[j, later])
    for k, kind in enumerate(day.kinds):
        model.add(day.before[j] <= kind.cell.charge_mah).only_enforce_if(day.first[k, j])
        model.add(day.charge[j] <= kind.cell.full_mah).only_enforce_if(day.of_kind[k, j])


def _curves(day: DayModel, j: int) -> None:
    """Hold the charge at a match below what the chosen charger gives in its time."""
    model = day.model
    model.add(day.charge[j] <= day.before[j]).only_enforce_if(day.nowhere(j))
    model.add(day.minutes[j] == 0).only_enforce_if(day.nowhere(j))
    sizes = {kind.cell.full_mah for kind in day.kinds}
    for o, option in enumerate(day.options):
        if not option.chargers:
            continue
        bent = model.new_bool_var(f"{j} begins above the bend of {o}")
        curves = day.board.curves[option.chargers[0]][option.setting]
        if len(sizes) == 1:
            _curve(day, j, curves[0], [day.chosen[o, j]], bent)
            continue
        for k, kind in enumerate(day.kinds):
            _curve(day, j, curves[kind.batteries[0]], [day.chosen[o, j], day.of_kind[k, j]], bent)


def _curve(day: DayModel, j: int, curve: Curve, here: list[Any], bent: Any) -> None:  # noqa: ANN401  CP-SAT carries no types
    model, given = day.model, curve.pace_mah * day.minutes[j]
    above, over = day.before[j] - curve.bend_mah, curve.slow * (day.charge[j] - curve.bend_mah)
    model.add(day.charge[j] <= day.before[j] + given).only_enforce_if(here)
    model.add(above >= 0).only_enforce_if([*here, bent])
    model.add(over <= curve.slow * above + given).only_enforce_if([*here, bent])
    model.add(over <= above + given).only_enforce_if([*here, ~bent])


def _times(day: DayModel, j: int) -> None:
    """Let a charge begin when the battery is cool; one that runs already goes on."""
    model, board = day.model, day.board
    model.add(day.end[j] == day.begin[j] + day.minutes[j])
    for i in range(j):
        cool_min = board.chargeable_min(0, i)
        model.add(day.begin[j] >= cool_min).only_enforce_if([day.follows[i, j], ~day.nowhere(j)])
    for k, kind in enumerate(day.kinds):
        first, running = day.first[k, j], kind.cell.running
        if running is None or kind.option is None:
            cool_min = board.chargeable_min(kind.batteries[0], None)
            model.add(day.begin[j] >= cool_min).only_enforce_if([first, ~day.nowhere(j)])
            continue
        model.add_implication(first, day.chosen[kind.option, j])
        model.add(day.begin[j] == running.from_min).only_enforce_if(first)
        model.add(day.end[j] >= board.begins_min).only_enforce_if(first)


def _one_at_a_time(day: DayModel) -> None:
    """No charger holds two batteries: a group of chargers never holds more than it has members."""
    model = day.model
    for group in {option.chargers for option in day.options if option.chargers}:
        stays = [
            model.new_optional_interval_var(day.begin[j], day.minutes[j], day.end[j], day.chosen[o, j], f"{j} on {o}")
            for j in day.matches
            for o, option in enumerate(day.options)
            if option.chargers == group
        ]
        if len(group) == 1:
            model.add_no_overlap(stays)
        else:
            model.add_cumulative(stays, [1] * len(stays), len(group))
