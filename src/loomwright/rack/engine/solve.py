"""Search the best day, level by level of its score, from the best of the plain rules on."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.rack.day.board import Board
from loomwright.rack.day.replay import Schedule, Wanted, replay
from loomwright.rack.engine.model import model_of
from loomwright.rack.engine.read import hint, schedule_from, unknowns
from loomwright.rack.engine.score import score_of
from loomwright.search import Watch
from loomwright.search.cpsat import run


@dataclass(frozen=True, slots=True)
class Best:
    """The best day found, and for each level of the score the least that any day loses there."""

    schedule: Schedule
    bounds: dict[str, int]


def improve(
    board: Board,
    known: Schedule,
    wanted: Wanted,
    *,
    work: float | None,
    watch: Watch,
    until: str = "",
) -> Best:
    """Improve a day that is known, level by level, `until` one of them (all of them where it is empty).

    `work` is for each level, in CP-SAT's unit of about a second (None: no limit).

    A level's bound holds for all days that are as good in the levels before it.
    """
    day = model_of(board, wanted)
    levels = score_of(day, wanted)
    asked = unknowns(day)
    best, played = known, replay(board, known, wanted)
    enough = board.practice.spare_enough_min
    bounds = dict.fromkeys(levels, 0)
    for name, losses in levels.items():
        now = played.score.lost(enough)[name]
        if now > 0 and not watch.stopped:
            day.model.add(losses <= now)
            day.model.minimize(losses)
            hint(day, best, played)
            found = run(day.model, asked, work=work, watch=watch, stage=name)
            if found.impossible:
                raise RuntimeError(
                    f"internal error: the model of the day refuses a day that is known. {day.model.validate()}"
                )
            bounds[name] = max(0, found.bound or 0)
            if found.values is not None:
                other = schedule_from(day, found.values)
                then = replay(board, other, wanted)
                if then.score.key < played.score.key:
                    best, played = other, then
        if name == until:
            break
        day.model.add(losses <= played.score.lost(enough)[name])
    return Best(best, bounds)
