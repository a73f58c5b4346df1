"""The front door of the day: which battery for which match and which charger when, searched, checked, and told."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.rack.checker.day import faults
from loomwright.rack.day.board import Board, board_of
from loomwright.rack.day.fill import filled
from loomwright.rack.day.more import More, like_best, like_most, with_batteries, with_chargers
from loomwright.rack.day.practice import usual_slips
from loomwright.rack.day.problem import Day, DayBattery, DayCharger
from loomwright.rack.day.replay import Schedule, Wanted, replay
from loomwright.rack.day.result import DayPlan, Proof, RuleResult, Score
from loomwright.rack.day.rules import keeping, play, rules
from loomwright.rack.day.slips import Held, SlipPractice, days_played
from loomwright.rack.day.so_far import SoFar, rest_of
from loomwright.rack.day.write import schedule_of, shortfalls, stints_of, uses_of
from loomwright.search import SILENT, Certificate, Effort, Watch

#: The work of a usual search for each number of the score, in CP-SAT's unit (about a second).
_USUAL_WORK = 4.0
_UNITS = {
    "late": "min late",
    "short": "mAh short",
    "swaps": "swaps",
    "worst": "thousandths lost",
    "spare": "min of spare time lost",
    "gentle": "min of fast charge",
}


def plan_day(
    day: Day, *, effort: Effort = Effort.USUAL, watch: Watch = SILENT, before: Mapping[str, str] | None = None
) -> DayPlan:
    """Plan which battery goes into which match, and when it is charged where.

    First as little as possible is late or short, then as few batteries as possible are swapped against the plan
    `before` (the battery of each match), then the worst match's battery is as good as possible, then there is as much
    time to spare as possible, then as little as possible is charged fast. What time is left charges gently. The plan
    is never worse than the best of the plain rules, and the checker has passed it. The order of the input is no matter.

    Raises
    ------
    ValueError
        The day makes no sense; everything that is wrong with it is told.
    AssertionError
        The independent checker refuses the plan: a fault of this program, never of the input.
    """
    board = board_of(day)
    kept = _known(board, before or {})
    wanted = _wanted(board, kept) if kept else ()
    played = {name: play(board, liking) for name, liking in rules().items()}
    known = [*played.values(), *([play(board, keeping(wanted))] if wanted else [])]
    first = min(known, key=lambda one: replay(board, one, wanted).score.key)
    best, bounds = _searched(board, first, wanted, effort, watch)
    best = filled(board, best, wanted)
    results = tuple(RuleResult(rule=name, score=replay(board, one, wanted).score) for name, one in played.items())
    plan = _written(board, best, wanted, bounds, results, replay(board, first, wanted).score)
    wrong = faults(day, plan, kept)
    if wrong:
        raise AssertionError("the day is wrong: " + "; ".join(wrong))
    return plan


def plan_again(
    day: Day, so_far: SoFar, before: DayPlan, *, effort: Effort = Effort.USUAL, watch: Watch = SILENT
) -> DayPlan:
    """Plan the rest of a day that has begun; what is past and what sits on a charger stays.

    `day` is the whole day with the times as they are known now. First as little as possible is late or short, then as
    few matches as possible get another battery than in the plan `before`, then the rest as for a new day.

    Raises
    ------
    ValueError
        The day or what is past makes no sense.
    """
    return plan_day(
        rest_of(day, so_far), effort=effort, watch=watch, before={use.match: use.battery for use in before.uses}
    )


def slips_of(day: Day, plan: DayPlan, *, days: int, seed: int, practice: SlipPractice | None = None) -> Held:
    """Play a plan of a day on so many days that slip at random, in its order; the same seed gives the same days.

    Raises
    ------
    ValueError
        Fewer than one day, or a plan of another day.
    """
    board = board_of(day)
    if [slot.name for slot in board.slots] != [use.match for use in plan.uses]:
        raise ValueError("the plan is of another day")
    return days_played(
        board, schedule_of(board, plan.uses, plan.stints), practice or usual_slips(), days=days, seed=seed
    )


def how_many_more(
    day: Day,
    *,
    battery: DayBattery | None = None,
    charger: DayCharger | None = None,
    effort: Effort = Effort.USUAL,
    most: int = 4,
) -> More:
    """Tell how many more batteries, or how many more chargers, let every match have its battery in time and charged.

    They are like `battery` (like the best one, full, where nothing is said) and like `charger` (like most of them).
    A day that holds as it is needs 0 of both.
    """
    like, kind = battery or like_best(day), charger or like_most(day)
    batteries, proved = _fewest([with_batteries(day, like, count) for count in range(most + 1)], effort)
    chargers, also = None, True
    if kind is not None:
        chargers, also = _fewest([with_chargers(day, kind, count) for count in range(most + 1)], effort)
    return More(battery=like, batteries=batteries, charger=kind, chargers=chargers, tried=most, proved=proved and also)


def _fewest(days: list[Day], effort: Effort) -> tuple[int | None, bool]:
    """Return the number of the first day that holds, and whether those before are proved not to."""
    from loomwright.rack.engine.solve import improve  # noqa: PLC0415  loaded where it works

    proved = True
    for count, day in enumerate(days):
        board = board_of(day)
        first = min((play(board, one) for one in rules().values()), key=lambda one: replay(board, one).score.key)
        work = None if effort is Effort.PROVE else _USUAL_WORK
        best = improve(board, first, (), work=work, watch=SILENT, until="short")
        score = replay(board, best.schedule).score
        if score.late_min == 0 and score.short_mah == 0:
            return count, proved
        proved = proved and best.bounds["late"] + best.bounds["short"] > 0
    return None, proved


def _known(board: Board, before: Mapping[str, str]) -> dict[str, str]:
    """Return what of the plan before is still there, match and battery."""
    labels, names = {cell.label for cell in board.cells}, {slot.name for slot in board.slots}
    return {match: battery for match, battery in before.items() if match in names and battery in labels}


def _wanted(board: Board, before: dict[str, str]) -> Wanted:
    """Return the batteries of the plan before by number."""
    numbers = {cell.label: number for number, cell in enumerate(board.cells)}
    return tuple(numbers[before[slot.name]] if slot.name in before else None for slot in board.slots)


def _searched(
    board: Board, first: Schedule, wanted: Wanted, effort: Effort, watch: Watch
) -> tuple[Schedule, dict[str, int]]:
    if effort is Effort.FIRST:
        return first, dict.fromkeys(_UNITS, 0)
    # The solver takes half a second to load: only a day that is searched pays for it.
    from loomwright.rack.engine.solve import improve  # noqa: PLC0415

    best = improve(board, first, wanted, work=None if effort is Effort.PROVE else _USUAL_WORK, watch=watch)
    return best.schedule, best.bounds


def _written(
    board: Board,
    schedule: Schedule,
    wanted: Wanted,
    bounds: dict[str, int],
    results: tuple[RuleResult, ...],
    first: Score,
) -> DayPlan:
    played = replay(board, schedule, wanted)
    uses = uses_of(board, schedule, played)
    return DayPlan(
        uses=uses,
        stints=stints_of(board, schedule, played),
        score=played.score,
        proof=_proof(board, played.score, bounds, first),
        rules=results,
        findings=tuple(shortfalls(board, uses)),
    )


def _proof(board: Board, score: Score, bounds: dict[str, int], first: Score) -> Proof:
    """Make a certificate for each number; one that is not proved counts as a break of those after it."""
    lost, plain = score.lost(board.practice.spare_enough_min), first.lost(board.practice.spare_enough_min)
    made: dict[str, Certificate] = {}
    for name, unit in _UNITS.items():
        open_before = sum(not one.proved for one in made.values())
        made[name] = Certificate(
            cost=lost[name], bound=min(bounds[name], lost[name]), unit=unit, baseline=plain[name], breaks=open_before
        )
    return Proof(**made)
