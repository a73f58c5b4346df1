"""In which order runs lie beside one another in each section, so that they leave without crossing.

Seen from above, a net of trunks is a map of lines that share tracks. Two runs that share a stretch part at both of
its ends, unless they end together. Where the two ends ask for the same side, the runs never cross; where they ask for
different sides, they cross once, whatever anybody does: that crossing is forced. Every end has a stub of its own here,
and then an order with the forced crossings alone always exists (metro-line crossing minimisation with separate ends):

Take the sections one by one. On each, look along it one way only. Two runs part there, or come into a section that is
settled already; that says which lies left. All runs of a section are looked at the same way, so "left of" holds
together; and an order that is taken over from one side adds no crossing that was not there before.

Where a stub goes straight up it is drawn forward, straight down backward. Of two edges that leave a node in one
direction, the one that later bends left lies left; a run that ends where another goes on leaves upward. Names only
settle what is still equal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cmp_to_key
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from loomwright.layout.result import Edge, Point, Route, Section

_UP, _DOWN = 90.0, 270.0
_FLAT_M, _STRAIGHT_M2 = 1e-6, 1e-9


@dataclass(frozen=True, slots=True)
class Woven:
    """Sections with their orders, the crossings that these have, and those that no order could avoid."""

    sections: tuple[Section, ...]
    crossings: int
    forced: int


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part of a route: a section, taken along its path or against it, or one other edge (no section: "").

    `enter` and `leave` are its nodes in the direction of the route, `first` and `last` its edges there.
    """

    section: str
    along: bool
    enter: str
    leave: str
    first: str
    last: str

    @property
    def key(self) -> tuple[str, str]:
        """What it is, whichever way it is taken."""
        return self.section, "" if self.section else self.first


@dataclass(frozen=True, slots=True)
class _Stretch:
    """What two runs share: its sections in the direction of the first run, each with whether it runs along it.

    `before` and `after` say on which side of the other the first run lies at either end, in its own direction: 1 left,
    -1 right, 0 where they end together.
    """

    before: int
    sections: tuple[tuple[str, bool], ...]
    after: int

    @property
    def forced(self) -> bool:
        return self.before * self.after < 0


def weave(edges: Iterable[Edge], routes: Iterable[Route], sections: Iterable[Section]) -> Woven:
    """Order the runs of every section from left to right, with as few crossings as the routes allow.

    `edges` hold every edge that a route takes, and no route comes to a node twice. The answer depends on the shape of
    the net alone; names only settle what is equal.
    """
    bundles = sorted(sections, key=lambda section: natural(section.name))
    by_name = {edge.name: edge for edge in edges}
    pieces = _pieces(by_name, sorted(routes, key=lambda route: natural(route.run)), bundles)
    rounds = _rounds(by_name, pieces)
    shared = {(one, other): _stretches(pieces[one], pieces[other], rounds) for one, other in combinations(pieces, 2)}
    orders: dict[str, tuple[str, ...]] = {}
    for section in sorted(bundles, key=lambda section: -len(section.order)):
        orders[section.name] = _order(section, shared, orders)
    stretches = [(pair, stretch) for pair, several in shared.items() for stretch in several if stretch.sections]
    return Woven(
        tuple(replace(section, order=orders[section.name]) for section in bundles),
        sum(_crossings(pair, stretch, orders) for pair, stretch in stretches),
        sum(stretch.forced for _, stretch in stretches),
    )


def _order(
    section: Section, shared: Mapping[tuple[str, str], Sequence[_Stretch]], orders: Mapping[str, Sequence[str]]
) -> tuple[str, ...]:
    """Order the runs of one section by what they meet behind it, else by what they meet ahead, else by name."""
    left_of: dict[tuple[str, str], int] = {}
    for one, other in combinations(sorted(section.order, key=natural), 2):
        pair: tuple[str, str] = (one, other) if (one, other) in shared else (other, one)
        stretch = next(s for s in shared[pair] if any(name == section.name for name, _ in s.sections))
        side = _side(pair, stretch, section.name, orders)
        side = side if pair == (one, other) else -side
        left_of[one, other], left_of[other, one] = side or 1, -side or -1

    def compare(one: str, other: str) -> int:
        return -left_of[one, other]

    return tuple(sorted(section.order, key=cmp_to_key(compare)))


def _side(pair: tuple[str, str], stretch: _Stretch, section: str, orders: Mapping[str, Sequence[str]]) -> int:
    """Return 1 where the first of a pair has to lie left, looking along the section, -1 where right, 0 for either."""
    at = next(i for i, (name, _) in enumerate(stretch.sections) if name == section)
    along = stretch.sections[at][1]
    sides = _sides(pair, stretch, orders)
    behind, ahead = list(reversed(sides[: at + 1])), sides[at + 2 :]
    looked = [*behind, *ahead] if along else [*ahead, *behind]
    side = next((side for side in looked if side), 0)
    return side if along else -side


def _sides(pair: tuple[str, str], stretch: _Stretch, orders: Mapping[str, Sequence[str]]) -> list[int]:
    """Return the side of the first run all along a stretch, from end to end; 0 where nothing is settled."""
    sides = [stretch.before]
    for name, along in stretch.sections:
        order = orders.get(name)
        left = 0 if order is None else 1 if order.index(pair[0]) < order.index(pair[1]) else -1
        sides.append(left if along else -left)
    return [*sides, stretch.after]


def _crossings(pair: tuple[str, str], stretch: _Stretch, orders: Mapping[str, Sequence[str]]) -> int:
    sides = [side for side in _sides(pair, stretch, orders) if side]
    return sum(one != other for one, other in pairwise(sides))


def _pieces(
    edges: Mapping[str, Edge], routes: Sequence[Route], sections: Sequence[Section]
) -> dict[str, tuple[_Piece, ...]]:
    """Cut every route into the sections and the other edges that it takes."""
    section_of = {edge: section for section in sections for edge in section.edges}
    found: dict[str, tuple[_Piece, ...]] = {}
    for route in routes:
        pieces: list[_Piece] = []
        for at, name in enumerate(route.edges):
            section = section_of.get(name)
            enter, leave = route.nodes[at], route.nodes[at + 1]
            if section is not None and pieces and pieces[-1].section == section.name:
                pieces[-1] = replace(pieces[-1], leave=leave, last=name)
                continue
            along = section is not None and _starts_with(section, edges[name], enter)
            title = section.name if section is not None else ""
            pieces.append(_Piece(title, along, enter, leave, name, name))
        found[route.run] = tuple(pieces)
    return found


def _starts_with(section: Section, edge: Edge, enter: str) -> bool:
    """Tell whether who comes into a section by this edge, from this node, runs along its path."""
    if len(section.edges) > 1:
        return edge.name == section.edges[0]
    points = edge.path if enter == edge.a else edge.path[::-1]
    return points == section.path if points[0] == points[-1] else points[0] == section.path[0]


def _stretches(
    one: Sequence[_Piece], other: Sequence[_Piece], rounds: Mapping[str, Sequence[str]]
) -> tuple[_Stretch, ...]:
    """Find everything that two runs share, in the direction of the first."""
    place = {piece.key: at for at, piece in enumerate(other)}
    groups: list[list[int]] = []
    for at, piece in enumerate(one):
        if piece.key not in place:
            continue
        if groups and groups[-1][-1] == at - 1 and abs(place[one[at - 1].key] - place[piece.key]) == 1:
            groups[-1].append(at)
        else:
            groups.append([at])
    return tuple(_stretch(one, other, place, group, rounds) for group in groups)


def _stretch(
    one: Sequence[_Piece],
    other: Sequence[_Piece],
    place: Mapping[tuple[str, str], int],
    group: Sequence[int],
    rounds: Mapping[str, Sequence[str]],
) -> _Stretch:
    first, last = one[group[0]], one[group[-1]]
    begin, end = place[first.key], place[last.key]
    same_way = other[begin].enter == first.enter
    back, on = (-1, 1) if same_way else (1, -1)
    came = _edge_at(other, begin + back, leaves=same_way)
    goes = _edge_at(other, end + on, leaves=not same_way)
    before = -_fork(rounds[first.enter], first.first, _edge_at(one, group[0] - 1, leaves=True), came)
    after = _fork(rounds[last.leave], last.last, _edge_at(one, group[-1] + 1, leaves=False), goes)
    sections = tuple((one[at].section, one[at].along) for at in group if one[at].section)
    return _Stretch(before, sections, after)


def _edge_at(pieces: Sequence[_Piece], at: int, *, leaves: bool) -> str:
    """Return the edge with which a piece leaves or enters; "" where the run has ended."""
    if not 0 <= at < len(pieces):
        return ""
    return pieces[at].last if leaves else pieces[at].first


def _fork(around: Sequence[str], come_by: str, one: str, other: str) -> int:
    """Return 1 where the edge `one` goes off to the left of `other`, for somebody who comes into a node by an edge.

    `around` names the node's edges counter-clockwise: from where one comes, what is met last lies most to the left.
    """
    if one == other:
        return 0
    turn = {name: (at - around.index(come_by)) % len(around) for at, name in enumerate(around)}
    return 1 if turn[one] > turn[other] else -1


def _rounds(edges: Mapping[str, Edge], pieces: Mapping[str, Sequence[_Piece]]) -> dict[str, tuple[str, ...]]:
    """Name the used edges around every node counter-clockwise, seen from above, with "" for a run that ends there."""
    at_node: dict[str, dict[str, tuple[float, int, tuple[tuple[int, int, str], ...]]]] = {}
    for piece in (piece for route in pieces.values() for piece in route):
        for node, name in ((piece.enter, piece.first), (piece.leave, piece.last)):
            edge = edges[name]
            points = edge.path if edge.a == node else edge.path[::-1]
            at_node.setdefault(node, {"": (_UP, 0, ())})[name] = (*_heading(points), natural(name))
    return {node: tuple(sorted(found, key=found.__getitem__)) for node, found in at_node.items()}


def _heading(points: Sequence[Point]) -> tuple[float, int]:
    """Return where a path heads [degrees counter-clockwise from the right], and whether it bends: 1 left, -1 right."""
    steps = [(b[0] - a[0], b[1] - a[1], b[2] - a[2]) for a, b in pairwise(points)]
    flat = [(x, y) for x, y, _ in steps if math.hypot(x, y) > _FLAT_M]
    if not flat:
        return (_UP if sum(z for _, _, z in steps) >= 0 else _DOWN), 0
    x, y = flat[0]
    bends = (x * v - y * u for u, v in flat[1:])
    bend = next((1 if cross > 0 else -1 for cross in bends if abs(cross) > _STRAIGHT_M2), 0)
    return round(math.degrees(math.atan2(y, x)), 6) % 360, bend
