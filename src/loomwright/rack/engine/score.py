"""The numbers of a day's score in the model, each as what is lost: less is better."""

from __future__ import annotations

from typing import Any

from loomwright.rack.day.replay import Wanted
from loomwright.rack.engine.model import DayModel

_FULL = 1000


def score_of(day: DayModel, wanted: Wanted = ()) -> dict[str, Any]:
    """Add the score to a model; return what is lost by level, in their order of weight."""
    spare = day.model.new_int_var(0, day.board.practice.spare_enough_min, "spare")
    late = [_late(day, j, spare) for j in day.matches]
    kept = [
        day.of_kind[k, j]
        for j, battery in enumerate(wanted)
        for k, kind in enumerate(day.kinds)
        if battery in kind.batteries
    ]
    return {
        "late": sum(late),
        "short": sum(_short(day, j) for j in day.matches),
        "swaps": sum(battery is not None for battery in wanted) - sum(kept),
        "worst": _FULL - _worst(day),
        "spare": day.board.practice.spare_enough_min - spare,
        "gentle": sum(_fast(day, j) for j in day.matches),
    }


def _worst(day: DayModel) -> Any:  # noqa: ANN401  CP-SAT carries no types
    step = day.board.practice.worth_step
    steps = day.model.new_int_var(0, _FULL // step, "steps of the worst")
    worst = step * steps
    for (k, j), here in day.of_kind.items():
        cell = day.kinds[k].cell
        day.model.add(worst * cell.full_mah <= day.charge[j] * cell.health).only_enforce_if(here)
        day.model.add(worst <= cell.health).only_enforce_if(here)
    return worst


def _short(day: DayModel, j: int) -> Any:  # noqa: ANN401  CP-SAT carries no types
    short = day.model.new_int_var(0, max(kind.cell.least_mah for kind in day.kinds), f"short {j}")
    for k, kind in enumerate(day.kinds):
        day.model.add(short >= kind.cell.least_mah - day.charge[j]).only_enforce_if(day.of_kind[k, j])
    return short


def _fast(day: DayModel, j: int) -> Any:  # noqa: ANN401  CP-SAT carries no types
    longest = max(slot.due_min for slot in day.board.slots) - day.board.begins_min
    begun = min([0, *(kind.cell.running.from_min - day.board.begins_min for kind in day.kinds if kind.cell.running)])
    fast = day.model.new_int_var(0, max(0, longest) - begun, f"fast {j}")
    for o, option in enumerate(day.options):
        if option.fast:
            day.model.add(fast >= day.minutes[j]).only_enforce_if(day.chosen[o, j])
    return fast


def _late(day: DayModel, j: int, spare: Any) -> Any:  # noqa: ANN401  CP-SAT carries no types
    """Count by how much a battery is late: only its first use may be, or it is no day at all; and hold the spare."""
    model, board, due_min = day.model, day.board, day.board.slots[j].due_min
    late = model.new_int_var(0, max(0, _latest_ready(day) - due_min), f"late {j}")
    for o, option in enumerate(day.options):
        if option.chargers:
            room_min = due_min - board.cool_min(option.chargers[0], option.setting)
            model.add(day.end[j] + spare <= room_min + late).only_enforce_if(day.chosen[o, j])
            for k, kind in enumerate(day.kinds):
                off_min = room_min if kind.option is None else max(room_min, board.begins_min)
                model.add(day.end[j] <= off_min).only_enforce_if([day.chosen[o, j], day.first[k, j]])
    for i in range(j):
        model.add(late == 0).only_enforce_if(day.follows[i, j])
        if i < j - 1:  # one that comes from the match before and is not charged stays in the robot
            room_min = due_min - board.slots[i].out_min
            model.add(spare <= room_min).only_enforce_if([day.follows[i, j], day.nowhere(j)])
    for k, kind in enumerate(day.kinds):
        stays = j == 0 and board.in_robot in kind.batteries
        here = [day.first[k, j], ~day.nowhere(j)] if stays else [day.first[k, j]]
        model.add(late + due_min - spare >= kind.cell.ready_min).only_enforce_if(here)
    return late


def _latest_ready(day: DayModel) -> int:
    """Return the last minute at which a battery that stands ready or runs may be taken."""
    ready = [kind.cell.ready_min for kind in day.kinds]
    running = [kind.cell.running for kind in day.kinds if kind.cell.running is not None]
    return max([*ready, *(day.board.begins_min + day.board.cool_min(one.charger, one.setting) for one in running)])
