"""Make a seating better with CP-SAT and prove how good it is: breaks first, then rework, then millimetres."""

from __future__ import annotations

from itertools import starmap
from operator import mul
from typing import Any

from loomwright.layout.engine.slot_board import Board, Cost, Known, cost_of
from loomwright.layout.engine.slot_first import First
from loomwright.layout.engine.slot_model import Choice, Term, choose, millimetres, near_breaks
from loomwright.search import Effort, Watch
from loomwright.search.cpsat import run
from loomwright.search.lean import cp_model

#: The work of one stage, in CP-SAT's unit (about a second); most blocks of 24 slots are proved within one.
_USUAL_WORK = 2.5
# All linear constraints in the relaxation: without them the bound stays 15 % off. Cuts cost more time than they save.
_SETTINGS = {"linearization_level": 2, "cut_level": 0}
_STAGES = ("slot wishes", "slot rework", "slots")


def prove(board: Board, begun: First, known: Known, *, effort: Effort, watch: Watch) -> Known:
    """Search for a better seating than `known`, and raise its bound, stage by stage."""
    work = None if effort is Effort.PROVE else _USUAL_WORK
    for stage in range(len(_STAGES)):
        settled = known.cost.key[:stage] == known.bound.key[:stage]
        if settled and known.cost.key[stage] > known.bound.key[stage] and not watch.stopped:
            known = _stage(board, begun, known, stage, work=work, watch=watch)
    return known


def _stage(board: Board, begun: First, known: Known, stage: int, *, work: float | None, watch: Watch) -> Known:
    """Bring one number of the cost down, with those before it held."""
    model = cp_model.CpModel()
    chosen, goal = _posed(model, board, begun, known, stage)
    asked: list[Any] = []
    at: list[tuple[int, int]] = []
    for item, here in enumerate(chosen):
        for seat, literal in here.items():
            asked.append(literal)
            at.append((item, seat))
            model.add_hint(literal, known.seating[item] == seat)
    model.add(goal <= known.cost.key[stage])
    model.minimize(goal)
    found = run(model, asked, work=work, watch=watch, stage=_STAGES[stage], settings=_SETTINGS)
    if found.impossible:
        raise RuntimeError("internal error: the slot model refuses a seating that is known")
    if found.values is not None:
        seats = dict(pair for pair, value in zip(at, found.values, strict=True) if value)
        seating = tuple(seats.get(item) for item in range(len(chosen)))
        if (cost := cost_of(board, seating)).key < known.cost.key:
            known = Known(seating, cost, known.bound)
    return Known(known.seating, known.cost, _raised(known.bound, stage, found.bound))


def _raised(bound: Cost, stage: int, proved: int | None) -> Cost:
    """Raise one number of a bound; what was known of the later numbers held for the old one only."""
    if proved is None or proved <= bound.key[stage]:
        return bound
    return Cost(*bound.key[:stage], *(proved, 0, 0)[: 3 - stage])


def _posed(model: cp_model.CpModel, board: Board, begun: First, known: Known, stage: int) -> tuple[Choice, Any]:
    """Write down the seatings with the known breaks and rework, and what is to be made small."""
    if known.cost.key[:2] == (begun.breaks, begun.rework):
        seats = [[seat for seat in here if seat is not None] for here in begun.open_seats]
        optional = [item for item, here in enumerate(begun.open_seats) if None in here]
        chosen = choose(model, seats, optional=optional, filled=begun.filled)
        if board.nears:
            model.add(_sum(near_breaks(model, board, chosen)) == 0)
        return chosen, _sum(millimetres(model, board, chosen))
    chosen = choose(model, board.choices, optional=range(len(board.choices)))
    breaks, rework = _breaks(model, board, chosen), _rework(board, chosen)
    if stage > 0:
        model.add(breaks <= known.cost.breaks)
    if stage > 1:
        model.add(rework <= known.cost.rework)
    return chosen, (breaks, rework, _sum(millimetres(model, board, chosen)) if stage > 1 else 0)[stage]


def _breaks(model: cp_model.CpModel, board: Board, chosen: Choice) -> Any:  # noqa: ANN401  # ortools carries no types
    unseated = board.problem.unseated_breaks
    terms = [(board.choices[i][seat].breaks - unseated, x) for i, here in enumerate(chosen) for seat, x in here.items()]
    return _sum([*terms, *near_breaks(model, board, chosen)]) + unseated * len(chosen)


def _rework(board: Board, chosen: Choice) -> Any:  # noqa: ANN401  # as above
    return _sum([(board.choices[i][seat].rework, x) for i, here in enumerate(chosen) for seat, x in here.items()])


def _sum(terms: list[Term]) -> Any:  # noqa: ANN401  # as above
    return sum(starmap(mul, terms))
