"""Seat items on slots as well as can be: a first seating by matching, exchanges, then CP-SAT until it is proved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from loomwright.layout.checker.slots import check_slots
from loomwright.layout.engine.slot_board import Board, Cost, Known, board_of, cost_of, crossings_of
from loomwright.layout.engine.slot_clash import explain
from loomwright.layout.engine.slot_first import First, first, shaken
from loomwright.layout.engine.slot_match import cheapest
from loomwright.layout.slot_problem import SlotAnswer, SlotProblem, Spot
from loomwright.search import SILENT, Certificate, Effort, News, Watch

# A good start is all that the proof needs: more of them find the best by themselves, and take longer than proving it.
_SHAKES = 4


def seat(
    problem: SlotProblem, *, effort: Effort, watch: Watch = SILENT, start: Mapping[str, Spot] | None = None
) -> SlotAnswer:
    """Give each item a seat: fewest breaks, then least rework, then least wire and untidiness [mm].

    `start` is an earlier answer; it is kept where nothing is better. Effort.FIRST answers at once, by matching alone.
    The answer is checked before it is handed on.

    Raises
    ------
    ValueError
        The answer failed its check: an error of this program.
    """
    board = board_of(problem)
    begun = first(board)
    plain = cost_of(board, begun.seating)
    known = Known(begun.seating, plain, Cost(begun.breaks, begun.rework, begun.wire_mm))
    if start:
        known = _better(board, known, _placed(board, start))
    if effort is not Effort.FIRST and known.cost != known.bound:
        known = _better(board, known, shaken(board, begun, known.seating, shakes=_SHAKES))
        watch.tell(News(stage="slots", cost=known.cost.mm, bound=known.least_mm, used=0.0))
        if known.cost != known.bound and not watch.stopped:
            known = _proved(board, begun, known, effort, watch)
    answer = _answer(board, known, plain)
    check_slots(problem, answer)
    return answer


def _proved(board: Board, begun: First, known: Known, effort: Effort, watch: Watch) -> Known:
    # CP-SAT takes half a second to load: only a search that needs it pays for it.
    from loomwright.layout.engine.slot_proof import prove  # noqa: PLC0415

    return prove(board, begun, known, effort=effort, watch=watch)


def _placed(board: Board, start: Mapping[str, Spot]) -> tuple[int | None, ...]:
    """Seat items as an earlier answer did, as far as they still may, and the others on what that leaves."""
    number = {spot: seat for seat, spot in enumerate(board.spots)}
    prices: list[dict[int, int]] = []
    for name, here in zip(board.names, board.choices, strict=True):
        kept = number.get(start.get(name, ("", "")))
        wanted = {kept: 0} if kept is not None and kept in here else {}
        prices.append(wanted or {seat: 1 + price.breaks for seat, price in here.items()})
    return cheapest(prices, left_out=1 + sum(max(here.values(), default=0) for here in prices)).columns


def _better(board: Board, known: Known, seating: tuple[int | None, ...]) -> Known:
    cost = cost_of(board, seating)
    return replace(known, seating=seating, cost=cost) if cost.key < known.cost.key else known


def _answer(board: Board, known: Known, plain: Cost) -> SlotAnswer:
    # With as many breaks and more rework, the plain answer's millimetres can't be compared.
    comparable = known.cost.breaks < plain.breaks or known.cost.rework == plain.rework
    certificate = Certificate(
        cost=known.cost.mm,
        bound=known.least_mm,
        unit="mm",
        baseline=plain.mm if comparable else None,
        baseline_breaks=plain.breaks,
        breaks=known.cost.breaks,
        least_breaks=known.bound.breaks,
    )
    seats = [board.spots[seat] if seat is not None else None for seat in known.seating]
    seated = tuple(zip(board.names, seats, strict=True))
    return SlotAnswer(
        seats=seated,
        certificate=certificate,
        crossings=crossings_of(board, known.seating),
        clashes=explain(board.problem, dict(seated)),
    )
