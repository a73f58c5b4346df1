"""Seat items one to a seat at the least sum of prices, by shortest augmenting paths; the dual prices prove it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Prices = Sequence[Mapping[int, int]]


@dataclass(frozen=True, slots=True)
class Match:
    """The column of each row (None: none), what that costs in all, and the dual prices of rows and columns.

    No choice of column for a row can cost less than the sum of their two duals, and the duals add up to the cost.
    """

    columns: tuple[int | None, ...]
    cost: int
    row_dual: tuple[int, ...]
    column_dual: Mapping[int, int]

    def spare(self, row: int, column: int, price: int) -> int:
        """Return by how much an answer that gives `column` to `row` at `price` must cost more than the best."""
        return price - self.row_dual[row] - self.column_dual.get(column, 0)


def cheapest(prices: Prices, *, left_out: int) -> Match:
    """Give each row its own column at the least sum of prices; a row without a column costs `left_out`.

    `prices` gives, for each row, the columns that it may have. Whole numbers only, so that nothing is rounded.
    Shortest augmenting paths with dual prices (the Hungarian method): cost grows with rows² x choices.
    """
    # A private column for each row, numbered below zero, stands for having none.
    wide = [{**dict(choices), -1 - row: left_out} for row, choices in enumerate(prices)]
    state = _State([0] * len(wide), {}, {}, {})
    for start in range(len(wide)):
        _augment(start, wide, state)
    columns = tuple(state.column[row] if state.column[row] >= 0 else None for row in range(len(wide)))
    cost = sum(wide[row][column] for row, column in state.column.items())
    return Match(columns, cost, tuple(state.row_dual), {c: d for c, d in state.column_dual.items() if c >= 0})


@dataclass(frozen=True, slots=True)
class _State:
    row_dual: list[int]
    column_dual: dict[int, int]
    holder: dict[int, int]
    column: dict[int, int]


def _augment(start: int, wide: Prices, state: _State) -> None:
    """Give the row `start` a column along the cheapest path of exchanges, and bring the duals up to date."""
    reached: dict[int, int] = {}
    via: dict[int, int] = {}
    settled: dict[int, int] = {}
    row, base = start, 0
    while True:
        for column, price in wide[row].items():
            length = base + price - state.row_dual[row] - state.column_dual.get(column, 0)
            if column not in settled and (column not in reached or length < reached[column]):
                reached[column] = length
                via[column] = row
        nearest = min(reached, key=lambda column: (reached[column], column < 0, abs(column)))
        base = reached.pop(nearest)
        settled[nearest] = base
        if nearest not in state.holder:
            break
        row = state.holder[nearest]
    for column, length in settled.items():
        state.column_dual[column] = state.column_dual.get(column, 0) - (base - length)
        if column in state.holder:
            state.row_dual[state.holder[column]] += base - length
    state.row_dual[start] += base
    column = nearest
    while True:
        row = via[column]
        before = state.column.get(row)
        state.holder[column], state.column[row] = row, column
        if before is None:
            return
        column = before
