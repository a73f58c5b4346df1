"""A slow plain twin of the network's engine: nodal equations in exact fractions, or dense with numpy."""

from __future__ import annotations

from fractions import Fraction

from loomwright.network import Network, Resistor


def exact_ohm(network: Network, red: str, black: str) -> Fraction | None:
    """Return the resistance between two nodes by Gauss and Jordan in fractions; None where no path leads across.

    Only for resistors above zero: one ampere goes in at red, out at black, and black is zero.
    """
    nodes = [red, *(n for n in network.nodes if n not in (red, black))]
    reached = _reached(network, red)
    if black not in reached:
        return None
    unknown = [node for node in nodes if node in reached]
    at = {node: row for row, node in enumerate(unknown)}
    rows = [[Fraction(0)] * (len(unknown) + 1) for _ in unknown]
    rows[at[red]][-1] = Fraction(1)
    for element in network.elements:
        assert isinstance(element, Resistor)
        siemens = 1 / Fraction(element.resistance_ohm)
        for one, other in ((element.a, element.b), (element.b, element.a)):
            if one in at and one != other:
                rows[at[one]][at[one]] += siemens
                if other in at:
                    rows[at[one]][at[other]] -= siemens
    return _solved(rows)[at[red]]


def _reached(network: Network, start: str) -> set[object]:
    seen: set[object] = {start}
    grows = True
    while grows:
        before = len(seen)
        for element in network.elements:
            assert isinstance(element, Resistor)
            if {element.a, element.b} & seen:
                seen |= {element.a, element.b}
        grows = len(seen) > before
    return seen


def _solved(rows: list[list[Fraction]]) -> list[Fraction]:
    for column in range(len(rows)):
        pivot = next(row for row in range(column, len(rows)) if rows[row][column])
        rows[column], rows[pivot] = rows[pivot], rows[column]
        head = rows[column][column]
        rows[column] = [cell / head for cell in rows[column]]
        for row in range(len(rows)):
            if row != column and rows[row][column]:
                factor = rows[row][column]
                rows[row] = [cell - factor * lead for cell, lead in zip(rows[row], rows[column], strict=True)]
    return [row[-1] for row in rows]
