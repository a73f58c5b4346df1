"""Can these wishes be had together? By matching, and where not: which items stand before too few seats."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from loomwright.layout.slot_problem import SlotProblem, Spot, Wish
from loomwright.wording import natural

Allowed = dict[str, list[Spot]]


@dataclass(frozen=True, slots=True)
class Together:
    """The question whether items can all be seated under some of a problem's wishes; answers are remembered."""

    problem: SlotProblem
    wishes: Mapping[str, Wish]
    _options: Mapping[str, tuple[Spot, ...]]
    _face: Mapping[Spot, str]
    _asked: dict[tuple[frozenset[str], frozenset[str]], bool] = field(default_factory=dict)

    def possible(self, items: Collection[str], keys: Iterable[str]) -> bool:
        """Tell whether all of these items can have a seat with all of these wishes held."""
        question = (frozenset(items), frozenset(keys))
        if question not in self._asked:
            self._asked[question] = self._seatable(*question)
        return self._asked[question]

    def short_of_seats(self, items: Collection[str], keys: Iterable[str]) -> tuple[list[str], list[Spot]]:
        """Return the fewest items with fewer seats than items, and these seats (nothing: all items can be seated).

        `near` wishes are left out. By Hall's theorem there are such items whenever not all can be seated: those that
        an item without a seat reaches when one after the other is asked to move on.
        """
        allowed = self._allowed(items, [self.wishes[key] for key in keys])
        held = _matched(allowed)
        seated = set(held.values())
        short = next((item for item in allowed if item not in seated), None)
        if short is None:
            return [], []
        reached, spots = [short], set(allowed[short])
        for item in reached:
            spots |= set(allowed[item])
            reached += [held[spot] for spot in allowed[item] if held[spot] not in reached]
        return sorted(reached, key=natural), sorted(spots, key=_in_order)

    def reach(self, items: Collection[str], keys: Iterable[str]) -> set[Spot]:
        """Return the seats that some of these items may have."""
        allowed = self._allowed(items, [self.wishes[key] for key in keys])
        return {spot for spots in allowed.values() for spot in spots}

    def _seatable(self, items: Collection[str], keys: Collection[str]) -> bool:
        wishes = [self.wishes[key] for key in sorted(keys, key=natural)]
        allowed = self._allowed(items, wishes)
        near = [(wish.item, wish.near) for wish in wishes if wish.near]
        groups = _joined(pair for pair in near if set(pair) <= set(items))
        return self._faces_found(allowed, groups)

    def _faces_found(self, allowed: Allowed, groups: list[list[str]]) -> bool:
        """Try each face for each group of items that should be on one face."""
        if len(_matched(allowed)) < len(allowed):
            return False
        if not groups:
            return True
        first, *rest = groups
        for face in sorted({self._face[spot] for spot in allowed[first[0]]}):
            held = {item: [spot for spot in allowed[item] if self._face[spot] == face] for item in first}
            if self._faces_found({**allowed, **held}, rest):
                return True
        return False

    def _allowed(self, items: Collection[str], wishes: Iterable[Wish]) -> Allowed:
        allowed = {item: list(self._options[item]) for item in sorted(items, key=natural)}
        for wish in wishes:
            if wish.near:
                continue
            for item in allowed if not wish.item else {wish.item} & set(allowed):
                allowed[item] = [spot for spot in allowed[item] if (spot in wish.spots) == bool(wish.item)]
        return allowed


def together(problem: SlotProblem) -> Together:
    """Prepare the question for a problem."""
    face = {seat.spot: seat.face for seat in problem.seats}
    options = {
        item.name: tuple(sorted({option.spot for option in item.options if option.spot in face}, key=_in_order))
        for item in problem.items
    }
    return Together(problem, {wish.key: wish for wish in problem.wishes}, options, face)


def _in_order(spot: Spot) -> tuple[object, ...]:
    return natural(spot[0]), natural(spot[1])


def _joined(pairs: Iterable[tuple[str, str]]) -> list[list[str]]:
    groups: list[set[str]] = []
    for pair in pairs:
        meeting = [group for group in groups if group & set(pair)]
        groups = [group for group in groups if group not in meeting] + [set(pair).union(*meeting)]
    return sorted(sorted(group, key=natural) for group in groups)


def _matched(allowed: Allowed) -> dict[Spot, str]:
    """Seat as many items as possible, by augmenting paths."""
    held: dict[Spot, str] = {}
    for item in allowed:
        _seat(item, allowed, held, set())
    return held


def _seat(item: str, allowed: Allowed, held: dict[Spot, str], tried: set[Spot]) -> bool:
    for spot in allowed[item]:
        if spot not in tried:
            tried.add(spot)
            if spot not in held or _seat(held[spot], allowed, held, tried):
                held[spot] = item
                return True
    return False
