"""The first seating, at once and without a solver, and small exchanges that make it better."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from loomwright.layout.engine.slot_board import Board, Cost, Seating, cost_of
from loomwright.layout.engine.slot_match import cheapest

_MOVES_A_SHAKE = 3


@dataclass(frozen=True, slots=True)
class First:
    """A seating with the least wire, and what its proof tells of every answer.

    No answer has fewer `breaks`, and with that no less `rework`, unless a wish for one face (`near`) is broken.
    `open_seats` are the seats (None: no seat) that an item may have in an answer with so few breaks and rework,
    `filled` the seats that it must use. `wire_mm` is the least wire of such an answer.
    """

    seating: tuple[int | None, ...]
    breaks: int
    rework: int
    wire_mm: int
    open_seats: tuple[tuple[int | None, ...], ...]
    filled: frozenset[int]


def first(board: Board) -> First:
    """Find the seating with the fewest breaks, of these the least rework, of these the least wire, by matching.

    What the seats cost together (crossings, pairs, corners, free seats) is left out, and so are wishes for one face.
    """
    unit = 1 + sum(max((price.rework for price in choices.values()), default=0) for choices in board.choices)
    grave = [{seat: price.breaks * unit + price.rework for seat, price in here.items()} for here in board.choices]
    left_out = board.problem.unseated_breaks * unit
    proof = cheapest(grave, left_out=left_out)
    open_seats = tuple(
        tuple(seat for seat, price in here.items() if not proof.spare(row, seat, price))
        + ((None,) if left_out == proof.row_dual[row] else ())
        for row, here in enumerate(grave)
    )
    wide = 1 + sum(max((price.wire_mm for price in choices.values()), default=0) for choices in board.choices)
    all_in = [
        {seat: grave[row][seat] * wide + price.wire_mm for seat, price in here.items()}
        for row, here in enumerate(board.choices)
    ]
    least = cheapest(all_in, left_out=left_out * wide)
    return First(
        seating=least.columns,
        breaks=proof.cost // unit,
        rework=proof.cost % unit,
        wire_mm=least.cost - proof.cost * wide,
        open_seats=open_seats,
        filled=frozenset(seat for seat, dual in proof.column_dual.items() if dual),
    )


def shaken(board: Board, begun: First, seating: Seating, *, shakes: int) -> tuple[int | None, ...]:
    """Make a seating better by exchanges; then shake it a little and do so again, and keep the better one each time.

    The shakes are drawn from a fixed seed: the same seating is always shaken the same way.
    """
    # Any other seat breaks more than must be, unless a wish for one face comes into it.
    seats = begun.open_seats if not board.nears else tuple(tuple(here) for here in board.choices)
    moves = [(item, seat) for item, here in enumerate(seats) for seat in here if seat is not None]
    chance = Random(0)  # noqa: S311  # no secret, and the same every time
    best, cost = _exchanged(board, moves, tuple(seating))
    for _ in range(shakes if moves else 0):
        other = best
        for item, seat in chance.choices(moves, k=_MOVES_A_SHAKE):
            other = _moved(board, other, item, seat) or other
        other, its_cost = _exchanged(board, moves, other)
        if its_cost.key < cost.key:
            best, cost = other, its_cost
    return best


def _exchanged(
    board: Board, moves: Sequence[tuple[int, int]], seating: tuple[int | None, ...]
) -> tuple[tuple[int | None, ...], Cost]:
    """Make a seating better by moving one item or exchanging two, as long as that helps."""
    best, cost = seating, cost_of(board, seating)
    while True:
        before = cost
        for item, seat in moves:
            other = _moved(board, best, item, seat)
            if other is not None and (tried := cost_of(board, other)).key < cost.key:
                best, cost = other, tried
        if cost == before:
            return best, cost


def _moved(board: Board, seating: tuple[int | None, ...], item: int, seat: int) -> tuple[int | None, ...] | None:
    """Put an item on a seat; who sat there takes its old one. None: that changes nothing, or may not be."""
    old = seating[item]
    if old == seat:
        return None
    changed = list(seating)
    if seat in seating:
        other = seating.index(seat)
        if old is not None and old not in board.choices[other]:
            return None
        changed[other] = old
    changed[item] = seat
    return tuple(changed)
