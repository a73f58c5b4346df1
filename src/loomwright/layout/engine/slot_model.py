"""The slot problem for CP-SAT: one 0/1 for each seat that an item may take, and what a seating costs beside wire.

Crossings and pairs are written so that the linear relaxation is tight: a crossing by thresholds along the face ("one is
beyond this place, two is not"), a pair by one 0/1 for each two seats of its items, of which exactly one holds.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from loomwright.layout.engine.slot_board import Board
from loomwright.search.lean import cp_model

Choice = list[dict[int, Any]]
Term = tuple[int, Any]


def choose(
    model: cp_model.CpModel,
    options: Sequence[Collection[int]],
    *,
    optional: Collection[int] = (),
    filled: Collection[int] = (),
    loads: Sequence[Mapping[int, int]] | None = None,
    rooms: Mapping[int, int] | None = None,
) -> Choice:
    """Give each item one of its options, and no option to more items than it has room for.

    Items in `optional` may have none; seats in `filled` must be taken. Without `loads` and `rooms`, an option takes
    one item; with them it takes items as long as their loads there fit its room: the generalised assignment problem.
    """
    chosen: Choice = [
        {seat: model.new_bool_var(f"{item} on {seat}") for seat in seats} for item, seats in enumerate(options)
    ]
    for item, literals in enumerate(chosen):
        (model.add_at_most_one if item in optional else model.add_exactly_one)(literals.values())
    for seat in sorted({seat for seats in options for seat in seats}):
        there = [item for item, literals in enumerate(chosen) if seat in literals]
        literals_there = [chosen[item][seat] for item in there]
        if loads is not None and rooms is not None:
            model.add(sum(loads[item][seat] * chosen[item][seat] for item in there) <= rooms[seat])
        else:
            (model.add_exactly_one if seat in filled else model.add_at_most_one)(literals_there)
    return chosen


def millimetres(model: cp_model.CpModel, board: Board, chosen: Choice) -> list[Term]:
    """Add what a seating costs in millimetres; return the terms of the sum."""
    terms: list[Term] = [
        (board.choices[item][seat].wire_mm, literal)
        for item, here in enumerate(chosen)
        for seat, literal in here.items()
    ]
    terms += _crossings(model, board, chosen)
    for one, two in board.pairs:
        terms += _pair(model, board, chosen[one], chosen[two])
    terms += _mixed_corners(model, board, chosen)
    terms += _bunches(model, board, chosen)
    return terms


def near_breaks(model: cp_model.CpModel, board: Board, chosen: Choice) -> list[Term]:
    """Add the wishes of two items for one face; return what breaking them counts."""
    terms: list[Term] = []
    for one, two, weight in board.nears:
        broken = model.new_bool_var("")
        terms.append((weight, broken))
        for face in sorted(set(board.face)):
            here = [literal for seat, literal in chosen[one].items() if board.face[seat] == face]
            elsewhere = [literal for seat, literal in chosen[two].items() if board.face[seat] != face]
            if here and elsewhere:
                model.add(sum(here) + sum(elsewhere) <= 1 + broken)
    return terms


def _crossings(model: cp_model.CpModel, board: Board, chosen: Choice) -> list[Term]:
    """Add one 0/1 for each pair that may cross.

    Of two items, the one with the lower heading crosses the other when, for some place of their face, it is beyond that
    place and the other is not.
    """
    price = board.problem.prices.crossing_mm
    terms: list[Term] = []
    if not price:
        return terms
    ladder = _Ladder(model, board, chosen)
    for one in range(len(chosen)):
        for two in range(len(chosen)):
            crossing = None
            for face in range(max(board.face, default=-1) + 1):
                low, high = board.heading[one][face], board.heading[two][face]
                if low is None or high is None or low >= high:
                    continue
                for place in ladder.steps(one, two, face):
                    beyond, within = ladder.beyond(one, face, place), ladder.within(two, face, place)
                    if beyond is None or within is None:
                        continue
                    if crossing is None:
                        crossing = model.new_bool_var("")
                        terms.append((price, crossing))
                    model.add_bool_or(~beyond, ~within, crossing)
    return terms


class _Ladder:
    """0/1 for "this item is on this face beyond this place" and "... at it or before", made when asked for."""

    def __init__(self, model: cp_model.CpModel, board: Board, chosen: Choice) -> None:
        self._model, self._board, self._chosen = model, board, chosen
        self._made: dict[tuple[int, tuple[int, ...]], Any] = {}

    def steps(self, one: int, two: int, face: int) -> list[int]:
        """Return the places at which it matters on which side of them two items are."""
        return sorted({self._board.place[seat] for item in (one, two) for seat in self._on(item, face)})[:-1]

    def beyond(self, item: int, face: int, place: int) -> Any:  # noqa: ANN401  # ortools carries no types
        return self._any(item, tuple(seat for seat in self._on(item, face) if self._board.place[seat] > place))

    def within(self, item: int, face: int, place: int) -> Any:  # noqa: ANN401  # as above
        return self._any(item, tuple(seat for seat in self._on(item, face) if self._board.place[seat] <= place))

    def _on(self, item: int, face: int) -> list[int]:
        return [seat for seat in self._chosen[item] if self._board.face[seat] == face]

    def _any(self, item: int, seats: tuple[int, ...]) -> Any:  # noqa: ANN401  # as above
        if not seats:
            return None
        if len(seats) == 1:
            return self._chosen[item][seats[0]]
        if (item, seats) not in self._made:
            literal = self._model.new_bool_var("")
            self._model.add(sum(self._chosen[item][seat] for seat in seats) == literal)
            self._made[item, seats] = literal
        return self._made[item, seats]


def _pair(model: cp_model.CpModel, board: Board, one: Mapping[int, Any], two: Mapping[int, Any]) -> list[Term]:
    """Add one 0/1 for each two seats of a pair: exactly one of them holds, if both have a seat."""
    both = {(a, b): model.new_bool_var("") for a in one for b in two if a != b}
    model.add_at_most_one(both.values())
    # An item without a seat takes its pair's rows down with it: then nothing of `both` need hold.
    for seat, literal in one.items():
        model.add(sum(v for (a, _), v in both.items() if a == seat) <= literal)
    for seat, literal in two.items():
        model.add(sum(v for (_, b), v in both.items() if b == seat) <= literal)
    model.add(sum(both.values()) >= sum(one.values()) + sum(two.values()) - 1)
    return [(price, literal) for (a, b), literal in both.items() if (price := board.apart_mm(a, b))]


def _mixed_corners(model: cp_model.CpModel, board: Board, chosen: Choice) -> list[Term]:
    price = board.problem.prices.mixed_corner_mm
    terms: list[Term] = []
    for corner in board.corners:
        present = []
        for side in board.sides:
            here = [[chosen[item][seat] for item in sorted(side) if seat in chosen[item]] for seat in corner]
            if price and any(here):
                present.append(model.new_bool_var(""))
                for literals in filter(None, here):
                    model.add(sum(literals) <= present[-1])
        if len(present) > 1:
            mixed = model.new_bool_var("")
            terms.append((price, mixed))
            for n, one in enumerate(present):
                for two in present[:n]:
                    model.add(one + two <= 1 + mixed)
    return terms


def _bunches(model: cp_model.CpModel, board: Board, chosen: Choice) -> list[Term]:
    """Add the free seats of each group on each face above or below an even share, rounded up or down."""
    price = board.problem.prices.bunched_mm
    terms: list[Term] = []
    for share in board.shares if price else ():
        taken = [[here[seat] for here in chosen for seat in seats if seat in here] for seats in share]
        free = [len(seats) - sum(literals) for seats, literals in zip(share, taken, strict=True)]
        seats_in_all = sum(len(seats) for seats in share)
        for seats, here in zip(share, free, strict=True):
            above = model.new_int_var(0, len(seats), "")
            below = model.new_int_var(0, len(seats), "")
            model.add(seats_in_all * (here - above) <= sum(free) * len(seats) + seats_in_all - 1)
            model.add(seats_in_all * (here + below) >= sum(free) * len(seats) - seats_in_all + 1)
            terms += [(price, above), (price, below)]
    return terms
