"""Small slot problems from a seed, with all that a problem can have in them, and every seating of one."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from itertools import product

from loomwright.layout.checker import slots as checker
from loomwright.layout.slot_problem import Item, Seat, SlotAnswer, SlotOption, SlotPrices, SlotProblem, Spot, Wish
from loomwright.search import Certificate

PRICES = SlotPrices(crossing_mm=37, apart_mm=11, other_face_mm=61, mixed_corner_mm=83, bunched_mm=23)
FREE = SlotPrices(crossing_mm=0, apart_mm=0, other_face_mm=0, mixed_corner_mm=0, bunched_mm=0)
Seated = dict[str, Spot | None]


def small(seed: int, *, items: int = 4, near: bool = True, prices: SlotPrices = PRICES) -> SlotProblem:
    """Make up a problem with a few items on up to seven seats of two faces."""
    chance = random.Random(seed)  # noqa: S311  # made-up problems, no secrets
    seats = tuple(
        Seat(("block", f"S{n}"), face, n % 4, chance.choice(["heavy", "light"]), f"{face} {n % 4 // 2}")
        for n, face in enumerate(["left"] * 4 + ["right"] * chance.randint(1, 3))
    )
    names = [f"circuit {n}" for n in range(1, items + 1)]
    made = []
    for name in names:
        spots = [seat.spot for seat in seats if chance.random() < 0.8]
        options = tuple(
            SlotOption(spot, chance.randint(0, 90), chance.choice([0, 0, 0, 1]), chance.choice([0, 0, 5]))
            for spot in spots
        )
        headings = tuple((face, chance.randint(0, 4) * 10) for face in ("left", "right") if chance.random() < 0.9)
        made.append(Item(name, options, headings))
    wishes = [Wish(key="reserved", item="", spots=(chance.choice(seats).spot,), weight=2)]
    wishes += [
        Wish(
            key=f"pin {name}",
            item=name,
            spots=tuple(s.spot for s in chance.sample(seats, 2)),
            weight=chance.randint(1, 3),
        )
        for name in chance.sample(names, 2)
    ]
    if near:
        one, two = chance.sample(names, 2)
        wishes.append(Wish(key="near", item=one, near=two, weight=chance.randint(1, 3)))
    return SlotProblem(
        items=tuple(made),
        seats=seats,
        prices=prices,
        pairs=(tuple(chance.sample(names, 2)),),  # type: ignore[arg-type]
        sides=((names[0], names[1]), (names[2],)),
        wishes=tuple(wishes),
        unseated_breaks=50,
    )


def costs(problem: SlotProblem, seated: Mapping[str, Spot | None]) -> tuple[int, int, int]:
    """Count what a seating costs, by the checker's counting alone."""
    seats = {seat.spot: seat for seat in problem.seats}
    taken = {name: seats[spot] for name, spot in seated.items() if spot is not None}
    options = {(item.name, option.spot): option for item in problem.items for option in item.options}
    chosen = [options[name, seat.spot] for name, seat in taken.items()]
    breaks = sum(option.breaks for option in chosen) + sum(checker._broken(problem, taken).values())
    breaks += problem.unseated_breaks * (len(seated) - len(taken))
    crossings = checker._crossings(problem, taken)
    return breaks, sum(o.rework for o in chosen), checker._cost(problem, taken, chosen, crossings)


def every_seating(problem: SlotProblem) -> Iterator[Seated]:
    """List every seating that is physically possible."""
    names = [item.name for item in problem.items]
    for spots in product(*([None, *(option.spot for option in item.options)] for item in problem.items)):
        taken = [spot for spot in spots if spot is not None]
        if len(set(taken)) == len(taken):
            yield dict(zip(names, spots, strict=True))


def answer_of(problem: SlotProblem, seated: Mapping[str, Spot | None]) -> SlotAnswer:
    """Make an answer with an honest certificate out of a seating."""
    breaks, _, mm = costs(problem, seated)
    seats = {seat.spot: seat for seat in problem.seats}
    taken = {name: seats[spot] for name, spot in seated.items() if spot is not None}
    certificate = Certificate(cost=mm, bound=0, unit="mm", breaks=breaks)
    return SlotAnswer(
        seats=tuple(seated.items()), certificate=certificate, crossings=checker._crossings(problem, taken)
    )
