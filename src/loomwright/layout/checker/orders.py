"""Count from the orders alone how often wires of one bundle cross, and how often they have to.

Edge by edge, with angles by quadrant and slope: nothing is shared with the weaving.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations, pairwise

from loomwright.layout.result import Edge, Point, Route, Section
from loomwright.wording import natural

_HAIR = 1e-6


def check_orders(edges: Iterable[Edge], routes: Iterable[Route], sections: Iterable[Section]) -> tuple[int, int]:
    """Return the crossings that the orders of these sections make, and those that no order could avoid.

    Raises
    ------
    ValueError
        A section's order does not name just the runs that pass it, each once.
    """
    net = {edge.name: edge for edge in edges}
    ways = {route.run: list(zip(route.edges, route.nodes, route.nodes[1:], strict=False)) for route in routes}
    where = {edge: section for section in sections for edge in section.edges}
    for section in where.values():
        for edge in section.edges:
            passing = sorted(run for run, way in ways.items() if any(step[0] == edge for step in way))
            if passing != sorted(section.order):
                raise ValueError(f"{section.name} orders {list(section.order)}, but {passing} pass its edge {edge}")
    made = needed = 0
    for one, other in combinations(sorted(ways), 2):
        for sides in _shared(net, ways[one], ways[other], where, (one, other)):
            ends = [side for side in (sides[0], sides[-1]) if side is not None]
            seen = [side for side in sides if side is not None]
            made += sum(seen[i] != seen[i + 1] for i in range(len(seen) - 1))
            needed += len(set(ends)) > 1
    return made, needed


Step = tuple[str, str, str]


def _shared(
    net: Mapping[str, Edge],
    one: Sequence[Step],
    other: Sequence[Step],
    where: Mapping[str, Section],
    names: tuple[str, str],
) -> Iterator[list[bool | None]]:
    """Give, for every stretch with a section in it, whether the first run lies left, from end to end."""
    theirs = {step[0]: step for step in other}
    at = 0
    while at < len(one):
        start = at
        while at < len(one) and one[at][0] in theirs:
            at += 1
        if at == start:
            at += 1
            continue
        part = one[start:at]
        inside = [_left(net, where[edge], edge, enter, names) for edge, enter, _ in part if edge in where]
        if not inside:
            continue
        before = _beside(net, part[0][0], part[0][1], (one, other))
        after = _beside(net, part[-1][0], part[-1][2], (one, other))
        yield [None if before is None else not before, *inside, after]


def _left(net: Mapping[str, Edge], section: Section, edge: str, enter: str, names: tuple[str, str]) -> bool:
    """Tell whether the first of two runs lies left on an edge of a section, for who comes into it at a node."""
    along = _drawn_along(net, section, edge) == (net[edge].a == enter)
    return (section.order.index(names[0]) < section.order.index(names[1])) == along


def _drawn_along(net: Mapping[str, Edge], section: Section, edge: str) -> bool:
    """Tell whether an edge runs from its `a` to its `b` along a section's path, which may pass a place twice."""
    here, forward = section.path[0], True
    for name in section.edges:
        first, last = net[name].path[0], net[name].path[-1]
        forward = _apart(first, here) <= _apart(last, here)
        here = last if forward else first
        if name == edge:
            break
    return forward


def _apart(one: Point, other: Point) -> float:
    return sum((a - b) ** 2 for a, b in zip(one, other, strict=True))


def _beside(net: Mapping[str, Edge], via: str, node: str, ways: tuple[Sequence[Step], Sequence[Step]]) -> bool | None:
    """Tell whether the first run goes off to the left of the second, for who comes to a node; None: they end there."""
    next_edges = [next((s[0] for s in way if s[0] != via and node in s[1:]), None) for way in ways]
    if next_edges[0] == next_edges[1]:
        return None
    come, one, other = (_direction(net, edge, node) for edge in (via, *next_edges))
    # Counter-clockwise from where one comes, the right is met first: the left-hand edge comes later.
    return one > other if (one > come) == (other > come) else other > come


def _direction(net: Mapping[str, Edge], edge: str | None, node: str) -> tuple[int, float, int, tuple[object, ...]]:
    """Return a key that rises counter-clockwise: quadrant, slope in it, later bend (left 1), name."""
    if edge is None:
        return 1, 0.0, 0, ()
    points = net[edge].path if net[edge].a == node else net[edge].path[::-1]
    flat = [points[0]]
    for point in points[1:]:
        if (point[0] - flat[-1][0]) ** 2 + (point[1] - flat[-1][1]) ** 2 > _HAIR**2:
            flat.append(point)
    name = natural(edge)
    if len(flat) == 1:
        return (1 if points[-1][2] >= points[0][2] else 3), 0.0, 0, name
    x, y = flat[1][0] - flat[0][0], flat[1][1] - flat[0][1]
    bend = 0
    for p, q in pairwise(flat[1:]):
        area = x * (q[1] - p[1]) - y * (q[0] - p[0])
        if not bend and abs(area) > _HAIR**1.5:
            bend = 1 if area > 0 else -1
    quadrant, rise, run = 0, y, x
    while not (run > _HAIR * (abs(run) + abs(rise)) and rise >= -_HAIR * (abs(run) + abs(rise))):
        quadrant, rise, run = quadrant + 1, -run, rise
    return quadrant % 4, round(rise / (rise + run), 8), bend, name
