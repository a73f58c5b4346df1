"""What a run passes over: each crossing once, on the edge that it is on."""

from __future__ import annotations

import pytest

from loomwright.layout.net.crossings import crossings_of
from loomwright.layout.result import Course, Edge, Point

Flat = tuple[float, float]


def edge(name: str, *at: Flat, course: Course = Course.TRUNK, high_m: float = 0.0) -> Edge:
    """Draw an edge from above."""
    path = tuple((x, y, high_m) for x, y in at)
    return Edge(name, f"{at[0]}", f"{at[-1]}", path, 1.0, course)


def over(*at: Flat, edges: tuple[Edge, ...], high_m: float = 0.0) -> tuple[str, ...]:
    """Return what a path passes over."""
    path: tuple[Point, ...] = tuple((x, y, high_m) for x, y in at)
    return crossings_of([path], edges)[0]


RAIL = (edge("rail 1", (0, 0), (0.3, 0)), edge("rail 2", (0.3, 0), (0.7, 0)), edge("rail 3", (0.7, 0), (1, 0)))
BACK = tuple(edge(one.name, (one.path[1][0], 0), (one.path[0][0], 0)) for one in RAIL)


@pytest.mark.parametrize("rail", [RAIL, BACK, RAIL[::-1]])
@pytest.mark.parametrize(("x", "names"), [(0.2, {"rail 1"}), (0.3, {"rail 1", "rail 2"}), (0.9, {"rail 3"})])
def test_a_crossing_counts_once_even_where_two_edges_meet(rail: tuple[Edge, ...], x: float, names: set[str]) -> None:
    """Straight over, in three pieces, and with a corner of the run exactly there."""
    for path in (
        [(x, -0.1), (x, 0.1)],
        [(x - 0.1 / 3, -0.1), (x + 0.1 / 3, 0.1)],
        [(x, -0.1), (x, 0.0), (x + 0.1, 0.1)],
    ):
        found = over(*path, edges=rail)
        assert len(found) == 1
        assert set(found) <= names


def test_a_run_that_comes_back_crosses_twice() -> None:
    """At two edges of one trunk, or at one edge: it is the same."""
    there_and_back = [(0.1, -0.1), (0.1, 0.1), (0.9, 0.1), (0.9, -0.1)]
    assert over(*there_and_back, edges=RAIL) == ("rail 1", "rail 3")
    assert over(*there_and_back, edges=(edge("rail", (0, 0), (1, 0)),)) == ("rail", "rail")


def test_links_are_crossed_and_drops_are_not() -> None:
    link = edge("link", (0, 0), (1, 0), course=Course.LINK)
    drop = edge("drop", (0, 0), (1, 0), course=Course.DROP)
    assert over((0.5, -0.1), (0.5, 0.1), edges=(link, drop)) == ("link",)


def test_who_starts_or_ends_on_a_trunk_does_not_cross_it() -> None:
    """Nor does who runs along it; who leaves it on the other side does."""
    assert over((0.5, 0.0), (0.5, 0.1), edges=RAIL) == ()
    assert over((0.5, 0.1), (0.5, 0.0), edges=RAIL) == ()
    assert over((0.4, 0.0), (0.6, 0.0), edges=RAIL) == ()
    assert over((0.4, -0.1), (0.4, 0.0), (0.6, 0.0), (0.6, 0.1), edges=RAIL) == ("rail 2",)


def test_a_run_beside_the_end_of_a_trunk_or_high_above_it_does_not_cross_it() -> None:
    assert over((1.01, -0.1), (1.01, 0.1), edges=RAIL) == ()
    assert over((0.5, -0.1), (0.5, 0.1), edges=RAIL, high_m=0.05) == ()


def test_a_run_of_no_length_crosses_nothing() -> None:
    assert over((0.5, 0.0), edges=RAIL) == ()
    assert over((0.5, 0.001), (0.5, -0.001), edges=RAIL) == ()
