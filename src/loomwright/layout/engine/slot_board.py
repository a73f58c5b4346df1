"""A slot problem as numbers: items and seats in a natural order, so that the order of the input decides nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwright.layout.slot_problem import SlotProblem, Spot
from loomwright.wording import natural

Seating = Sequence[int | None]


@dataclass(frozen=True, slots=True)
class Price:
    """What a seat costs an item alone: breaks with those of its wishes, rework [points], wire [mm]."""

    breaks: int
    rework: int
    wire_mm: int


@dataclass(frozen=True, slots=True)
class Cost:
    """What a seating costs in all, in the order in which it counts."""

    breaks: int
    rework: int
    mm: int

    @property
    def key(self) -> tuple[int, int, int]:
        """Sort costs: fewer breaks first, then less rework, then fewer millimetres."""
        return self.breaks, self.rework, self.mm


@dataclass(frozen=True, slots=True)
class Known:
    """The best seating so far, and a bound: no seating costs less, as long as costs count in their order.

    So `bound.rework` holds for seatings with `bound.breaks`, and `bound.mm` for those with both.
    """

    seating: tuple[int | None, ...]
    cost: Cost
    bound: Cost

    @property
    def least_mm(self) -> int:
        """Return what any answer as good as this one in breaks and rework costs at least [mm]."""
        graver = (self.cost.breaks, self.cost.rework)
        return self.bound.mm if graver == (self.bound.breaks, self.bound.rework) else 0


@dataclass(frozen=True, slots=True)
class Board:
    """Items and seats by number: `choices` gives the price of each seat that an item may take.

    `heading` is None for an item on a face that it has no heading for. `pairs` and `nears` are pairs of items (`nears`
    with the weight of the wish), `sides` and `corners` sets of items and of seats, `shares` the seats of each group of
    at least two faces, by face.
    """

    problem: SlotProblem
    names: tuple[str, ...]
    spots: tuple[Spot, ...]
    face: tuple[int, ...]
    place: tuple[int, ...]
    choices: tuple[Mapping[int, Price], ...]
    heading: tuple[tuple[int | None, ...], ...]
    pairs: tuple[tuple[int, int], ...]
    nears: tuple[tuple[int, int, int], ...]
    sides: tuple[frozenset[int], ...]
    corners: tuple[tuple[int, ...], ...]
    shares: tuple[tuple[tuple[int, ...], ...], ...]

    def apart_mm(self, seat: int, other: int) -> int:
        """Return what a pair costs on two seats [mm]."""
        if self.face[seat] != self.face[other]:
            return self.problem.prices.other_face_mm
        return self.problem.prices.apart_mm * max(0, abs(self.place[seat] - self.place[other]) - 1)


def board_of(problem: SlotProblem) -> Board:
    """Give a problem's items and seats their numbers."""
    items = sorted(problem.items, key=lambda item: (natural(item.name), item.name))
    seats = sorted(problem.seats, key=lambda seat: (natural(seat.spot[0]), natural(seat.spot[1]), seat.spot))
    number = {seat.spot: n for n, seat in enumerate(seats)}
    of_name = {item.name: n for n, item in enumerate(items)}
    faces = sorted({seat.face for seat in seats})
    face = tuple(faces.index(seat.face) for seat in seats)
    return Board(
        problem=problem,
        names=tuple(of_name),
        spots=tuple(number),
        face=face,
        place=tuple(seat.place for seat in seats),
        choices=_choices(problem, of_name, number),
        heading=tuple(tuple(dict(item.headings).get(name) for name in faces) for item in items),
        pairs=tuple(sorted((min(p), max(p)) for p in ((of_name[a], of_name[b]) for a, b in problem.pairs))),
        nears=tuple(sorted((of_name[w.item], of_name[w.near], w.weight) for w in problem.wishes if w.near)),
        sides=tuple(sorted((frozenset(of_name[name] for name in side) for side in problem.sides), key=sorted)),
        corners=_gathered([seat.corner for seat in seats]),
        shares=_shares([seat.group for seat in seats], face),
    )


def _choices(
    problem: SlotProblem, of_name: Mapping[str, int], number: Mapping[Spot, int]
) -> tuple[dict[int, Price], ...]:
    """Give the price of each option, with what it breaks of the wishes that are about one item or one seat."""
    wished: dict[str, Counter[Spot]] = {name: Counter() for name in of_name}
    for wish in problem.wishes:
        if wish.item and not wish.near:
            wished[wish.item].update({spot: wish.weight for spot in number if spot not in wish.spots})
    reserved: Counter[Spot] = Counter()
    for wish in problem.wishes:
        if not wish.item:
            reserved.update(dict.fromkeys(set(wish.spots), wish.weight))
    choices: list[dict[int, Price]] = [{} for _ in of_name]
    for item in problem.items:
        for option in item.options:
            if option.spot in number:
                breaks = option.breaks + wished[item.name][option.spot] + reserved[option.spot]
                choices[of_name[item.name]][number[option.spot]] = Price(breaks, option.rework, option.wire_mm)
    return tuple(dict(sorted(found.items())) for found in choices)


def _gathered(words: Sequence[str]) -> tuple[tuple[int, ...], ...]:
    found = {word: tuple(n for n, other in enumerate(words) if other == word) for word in sorted(set(words)) if word}
    return tuple(found.values())


def _shares(groups: Sequence[str], face: Sequence[int]) -> tuple[tuple[tuple[int, ...], ...], ...]:
    """Part each group's seats by face; a group on one face is always spread evenly."""
    shares = []
    for group in sorted(set(groups)):
        seats = [n for n, other in enumerate(groups) if other == group]
        shares.append(tuple(tuple(n for n in seats if face[n] == f) for f in sorted({face[n] for n in seats})))
    return tuple(share for share in shares if len(share) > 1)


def cost_of(board: Board, seating: Seating) -> Cost:
    """Count what a seating costs."""
    prices = board.problem.prices
    seated = [(item, seat) for item, seat in enumerate(seating) if seat is not None]
    own = [board.choices[item][seat] for item, seat in seated]
    breaks = sum(price.breaks for price in own) + board.problem.unseated_breaks * (len(seating) - len(own))
    breaks += sum(weight for one, two, weight in board.nears if _on_two_faces(board, seating[one], seating[two]))
    mm = sum(price.wire_mm for price in own) + prices.crossing_mm * crossings_of(board, seating)
    for one, two in board.pairs:
        seat, other = seating[one], seating[two]
        if seat is not None and other is not None:
            mm += board.apart_mm(seat, other)
    at = {seat: item for item, seat in seated}
    for corner in board.corners:
        here = {at[seat] for seat in corner if seat in at}
        mm += prices.mixed_corner_mm * (sum(not here.isdisjoint(side) for side in board.sides) > 1)
    for share in board.shares:
        mm += prices.bunched_mm * bunched([[seat not in at for seat in seats].count(True) for seats in share], share)
    return Cost(breaks, sum(price.rework for price in own), mm)


def crossings_of(board: Board, seating: Seating) -> int:
    """Count the pairs that cross at a face."""
    faces: dict[int, list[tuple[int, int]]] = {}
    for item, seat in enumerate(seating):
        if seat is not None and (heading := board.heading[item][board.face[seat]]) is not None:
            faces.setdefault(board.face[seat], []).append((board.place[seat], heading))
    crossings = 0
    for leaving in faces.values():
        # Along the face, and at one place in the order of headings: what is then out of order has crossed.
        leaving.sort()
        headings = [heading for _, heading in leaving]
        for n, heading in enumerate(headings):
            crossings += sum(other < heading for other in headings[n + 1 :])
    return crossings


def _on_two_faces(board: Board, seat: int | None, other: int | None) -> bool:
    return seat is not None and other is not None and board.face[seat] != board.face[other]


def bunched(free: Sequence[int], share: Sequence[Sequence[int]]) -> int:
    """Count the free seats above or below an even share, rounded up or down, on each face of a group."""
    total, seats = sum(free), sum(len(here) for here in share)
    count = 0
    for here, is_free in zip(share, free, strict=True):
        least, over = divmod(total * len(here), seats)
        count += max(0, is_free - least - (over > 0), least - is_free)
    return count
