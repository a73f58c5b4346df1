"""Say which few wishes cannot all be had: by counting where that is it, else by a smallest conflicting set."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from loomwright.layout.engine.slot_together import Together, together
from loomwright.layout.slot_problem import Clash, SlotProblem, Spot, Wish
from loomwright.wording import natural

#: So many sets are tried for the smallest conflict; after that, one stands from which nothing can be left out.
_TRIES = 600
#: A smallest conflict is looked for up to so many wishes beyond those that every conflict needs.
_FURTHER = 4
Keys = frozenset[str]


def explain(problem: SlotProblem, seated: Mapping[str, Spot | None]) -> tuple[Clash, ...]:
    """Explain each wish that a seating breaks, and each item that it leaves without a seat.

    Of the wishes that hold and one that does not, the smallest set is told that cannot be had together. A wish that
    could be had, but only by breaking something that counts more, is no clash.
    """
    asked = together(problem)
    lost = {wish.key for wish in problem.wishes if not _holds(problem, wish, seated)}
    kept = frozenset(asked.wishes) - lost
    inside = frozenset(name for name, spot in seated.items() if spot is not None)
    found = [
        _clash(asked, inside, _smallest(asked, inside, kept | {key}), (key,))
        for key in sorted(lost, key=natural)
        if not asked.possible(inside, kept | {key})
    ]
    for name in sorted(frozenset(seated) - inside, key=natural):
        everybody = inside | {name}
        if not asked.possible(everybody, kept):
            found.append(_clash(asked, everybody, _smallest(asked, everybody, kept), ()))
    return _merged(asked, found)


def _holds(problem: SlotProblem, wish: Wish, seated: Mapping[str, Spot | None]) -> bool:
    if wish.near:
        face = {seat.spot: seat.face for seat in problem.seats}
        spots = (seated[wish.item], seated[wish.near])
        return len({face[spot] for spot in spots if spot is not None}) < 2  # noqa: PLR2004  # two of them, two faces
    if wish.item:
        spot = seated[wish.item]
        return spot is None or spot in wish.spots
    return set(wish.spots).isdisjoint(seated.values())


def _clash(asked: Together, items: Collection[str], keys: Keys, drops: tuple[str, ...]) -> Clash:
    """Put a smallest conflict into words, after it was verified."""
    if asked.possible(items, keys) or not all(asked.possible(items, keys - {key}) for key in keys):
        raise RuntimeError("internal error: a clash of wishes is none, or not the smallest")
    wishes = sorted((asked.wishes[key] for key in keys), key=lambda wish: natural(wish.key))
    short, spots = ([], []) if any(wish.near for wish in wishes) else asked.short_of_seats(items, keys)
    named = {name for wish in wishes for name in (wish.item, wish.near) if name}
    return Clash(
        items=tuple(short or sorted(named, key=natural)),
        spots=tuple(spots),
        wishes=tuple(wish.key for wish in wishes),
        drops=drops,
        counting=len(short) > 1,
    )


def _smallest(asked: Together, items: Collection[str], keys: Keys) -> Keys:
    """Return the smallest set of these wishes that cannot be had together.

    Any such set holds something of every set of wishes whose loss would cure everything. So the smallest set that does
    this for the cures known so far is tried; when it can be had, what it leaves out is one more cure (implicit hitting
    sets). A wish that cures alone is in every conflict, and often these are the conflict already.
    """
    alone = frozenset(key for key in keys if asked.possible(items, keys - {key}))
    cures: list[Keys] = [frozenset({key}) for key in sorted(alone, key=natural)]
    tries = len(keys)
    while tries < _TRIES:
        hit = _hitting(cures, most=len(alone) + _FURTHER)
        if hit is None:
            break
        if not asked.possible(items, hit):
            return hit
        grown = hit
        for key in sorted(keys - hit, key=natural):
            tries += 1
            if asked.possible(items, grown | {key}):
                grown |= {key}
        cures.append(keys - grown)
    for key in sorted(keys, key=natural, reverse=True):
        if not asked.possible(items, keys - {key}):
            keys -= {key}
    return keys


def _hitting(sets: list[Keys], *, most: int) -> Keys | None:
    """Return a smallest set that has something in common with each of these (None: it would be larger than `most`)."""
    return next((found for size in range(most + 1) for found in _hits(sets, frozenset(), size)), None)


def _hits(sets: list[Keys], chosen: Keys, more: int) -> Iterator[Keys]:
    open_sets = [other for other in sets if chosen.isdisjoint(other)]
    if not open_sets:
        yield chosen
    elif more:
        least: Keys = min(open_sets, key=len)
        for key in sorted(least, key=natural):
            yield from _hits(open_sets, chosen | {key}, more - 1)


def _merged(asked: Together, found: list[Clash]) -> tuple[Clash, ...]:
    """Tell clashes of counting before the same seats as one: "10 circuits need one of these 7"."""
    told: list[Clash] = []
    for clash in found:
        for n, other in enumerate(told):
            both = _joined(other, clash)
            if clash.counting and other.counting and _same_seats(asked, both):
                told[n] = both
                break
        else:
            told.append(clash)
    return tuple(told)


def _joined(one: Clash, two: Clash) -> Clash:
    def both(a: tuple[str, ...], b: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(sorted({*a, *b}, key=natural))

    return replace(
        one, items=both(one.items, two.items), wishes=both(one.wishes, two.wishes), drops=both(one.drops, two.drops)
    )


def _same_seats(asked: Together, clash: Clash) -> bool:
    """Tell whether the items of two clashes, under the wishes of both, want the very same seats."""
    return asked.reach(clash.items, clash.wishes) == set(clash.spots)
