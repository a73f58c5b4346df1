"""Slots: the best seating is found and proved, whatever the order of the input."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TypeVar

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from loomwright.layout.checker.slots import check_slots
from loomwright.layout.engine import slot_solver
from loomwright.layout.engine.slot_match import cheapest
from loomwright.layout.engine.slot_solver import seat
from loomwright.layout.slot_problem import Item, Seat, SlotOption, SlotProblem
from loomwright.search import Effort, News
from tests.layout.slot_problems import FREE, costs, every_seating, small

_T = TypeVar("_T")
SEEDS = st.integers(0, 100_000)


class Onlooker:
    """Hears everything, and stops the search at once where it is told to."""

    def __init__(self, *, stopped: bool) -> None:
        self.stopped = stopped
        self.heard: list[News] = []

    def tell(self, news: News) -> None:
        """Hear something."""
        self.heard.append(news)


@pytest.mark.parametrize("seed", range(25))
def test_nothing_is_better_than_the_answer(seed: int) -> None:
    """Every seating of a small problem is tried: none costs less, and the answer says that it is proved."""
    problem = small(seed, near=seed % 2 == 0)
    answer = seat(problem, effort=Effort.PROVE)
    assert answer.certificate.proved
    assert check_slots(problem, answer) == min(costs(problem, seated) for seated in every_seating(problem))


@given(SEEDS)
@settings(max_examples=25, deadline=None)
def test_wire_alone_is_an_assignment_problem(seed: int) -> None:
    """Without wishes and prices the answer costs what scipy's assignment costs."""
    chance = random.Random(seed)  # noqa: S311  # made-up problems, no secrets
    seats = tuple(Seat(("block", f"S{n}"), "left", n) for n in range(8))
    table = [[chance.randint(0, 500) for _ in seats] for _ in range(chance.randint(1, 8))]
    items = tuple(
        Item(f"c{n}", tuple(SlotOption(s.spot, mm) for s, mm in zip(seats, row, strict=True)))
        for n, row in enumerate(table)
    )
    answer = seat(SlotProblem(items=items, seats=seats, prices=FREE), effort=Effort.FIRST)
    rows, columns = linear_sum_assignment(np.array(table))
    assert answer.certificate.proved
    assert answer.certificate.cost == sum(table[r][c] for r, c in zip(rows, columns, strict=True))


@given(SEEDS)
@settings(max_examples=50, deadline=None)
def test_dual_prices_prove_a_matching(seed: int) -> None:
    """No choice costs less than the duals of its row and column, and the duals add up to the cost."""
    chance = random.Random(seed)  # noqa: S311  # made-up problems, no secrets
    prices = [
        {c: chance.randint(0, 40) for c in range(6) if chance.random() < 0.5} for _ in range(chance.randint(0, 7))
    ]
    match = cheapest(prices, left_out=100)
    assert all(match.spare(row, c, price) >= 0 for row, here in enumerate(prices) for c, price in here.items())
    assert all(dual <= 0 for dual in match.column_dual.values())
    assert sum(match.row_dual) + sum(match.column_dual.values()) == match.cost
    left_out = sum(column is None for column in match.columns)
    assert match.cost == 100 * left_out + sum(prices[r][c] for r, c in enumerate(match.columns) if c is not None)


@given(SEEDS)
@settings(max_examples=10, deadline=None)
def test_the_order_of_the_input_decides_nothing(seed: int) -> None:
    """Items, options, seats, pairs, sides and wishes in any order give the same seats."""
    problem = small(seed)
    chance = random.Random(seed)  # noqa: S311  # made-up problems, no secrets

    def stirred(things: tuple[_T, ...]) -> tuple[_T, ...]:
        return tuple(chance.sample(things, len(things)))

    other = SlotProblem(
        items=stirred(tuple(replace(item, options=stirred(item.options)) for item in problem.items)),
        seats=stirred(problem.seats),
        prices=problem.prices,
        pairs=tuple((b, a) for a, b in stirred(problem.pairs)),
        sides=tuple(stirred(side) for side in stirred(problem.sides)),
        wishes=stirred(problem.wishes),
        unseated_breaks=problem.unseated_breaks,
    )
    assert seat(other, effort=Effort.USUAL) == seat(problem, effort=Effort.USUAL)


@given(SEEDS)
@settings(max_examples=10, deadline=None)
def test_a_mirrored_block_costs_the_same(seed: int) -> None:
    """With the faces turned round, places and headings run the other way, and nothing else changes."""
    problem = small(seed)
    mirrored = replace(
        problem,
        seats=tuple(replace(s, place=-s.place, face={"left": "right", "right": "left"}[s.face]) for s in problem.seats),
        items=tuple(
            replace(item, headings=tuple(({"left": "right", "right": "left"}[f], -mm) for f, mm in item.headings))
            for item in problem.items
        ),
    )
    one, two = seat(problem, effort=Effort.PROVE), seat(mirrored, effort=Effort.PROVE)
    assert check_slots(problem, one) == check_slots(mirrored, two)


@given(SEEDS)
@settings(max_examples=10, deadline=None)
def test_pinning_what_was_chosen_changes_nothing(seed: int) -> None:
    """With every option but the chosen one gone, and with the answer as a start, the answer stays."""
    problem = small(seed)
    answer = seat(problem, effort=Effort.PROVE)
    chosen = {name: spot for name, spot in answer.seats if spot is not None}
    pinned = tuple(
        replace(i, options=tuple(o for o in i.options if o.spot == chosen.get(i.name))) for i in problem.items
    )
    assert seat(replace(problem, items=pinned), effort=Effort.PROVE).seats == answer.seats
    assert seat(problem, effort=Effort.PROVE, start=chosen).seats == answer.seats


@given(SEEDS)
@settings(max_examples=10, deadline=None)
def test_one_more_seat_never_makes_it_worse(seed: int) -> None:
    """A free seat more is a choice more; only the spread of free seats could suffer, so it is left out here."""
    problem = small(seed)
    problem = replace(problem, prices=replace(problem.prices, bunched_mm=0))
    extra = Seat(("block", "S9"), "right", 5, "light", "right 2")
    items = tuple(replace(i, options=(*i.options, SlotOption(extra.spot, 30))) for i in problem.items)
    more = replace(problem, seats=(*problem.seats, extra), items=items)
    before, after = (check_slots(p, seat(p, effort=Effort.PROVE)) for p in (problem, more))
    assert after <= before


@given(SEEDS)
@settings(max_examples=20, deadline=None)
def test_the_first_answer_seats_all_that_can_be_seated_and_the_usual_one_is_never_worse(seed: int) -> None:
    """By matching alone nobody is left without a seat who could have one; looking longer only makes it better."""
    problem = replace(small(seed), wishes=())
    first, usual = seat(problem, effort=Effort.FIRST), seat(problem, effort=Effort.USUAL)
    most = max(sum(spot is not None for spot in seated.values()) for seated in every_seating(problem))
    assert sum(spot is not None for _, spot in first.seats) == most
    assert check_slots(problem, usual) <= check_slots(problem, first)
    assert usual.certificate.baseline == first.certificate.cost


def test_a_seat_that_saves_a_break_is_used_whoever_uses_it() -> None:
    """Either item may take the good seat: leaving it free would break one wish more, however much wire that saves."""
    seats = (Seat(("b", "S1"), "left", 0), Seat(("b", "S2"), "right", 0), Seat(("b", "S3"), "right", 1))
    good, poor = SlotOption(("b", "S1"), 100, 1), (SlotOption(("b", "S2"), 0, 2), SlotOption(("b", "S3"), 0, 2))
    items = tuple(Item(name, (good, other)) for name, other in zip(("arm", "lift"), poor, strict=True))
    prices = replace(FREE, other_face_mm=1000)
    answer = seat(SlotProblem(items=items, seats=seats, prices=prices, pairs=(("arm", "lift"),)), effort=Effort.USUAL)
    assert answer.certificate.proved
    assert (answer.certificate.breaks, answer.certificate.cost) == (3, 1100)


def test_an_earlier_answer_is_where_even_the_first_one_starts() -> None:
    """A better seating that is known already is not forgotten, also where nobody waits for a search."""
    for problem in map(small, range(20)):
        best, first = seat(problem, effort=Effort.PROVE), seat(problem, effort=Effort.FIRST)
        if check_slots(problem, best) < check_slots(problem, first):
            start = {name: spot for name, spot in best.seats if spot is not None}
            assert seat(problem, effort=Effort.FIRST, start=start).seats == best.seats
            return
    pytest.fail("no problem here is any use to this test")


def test_a_start_is_kept_as_far_as_it_still_may_be() -> None:
    """A seat that the start names and the item cannot have is forgotten; the others are a start all the same."""
    problem = small(3)
    start = {item.name: ("block", "nowhere") for item in problem.items}
    best = seat(problem, effort=Effort.PROVE)
    assert check_slots(problem, seat(problem, effort=Effort.PROVE, start=start)) == check_slots(problem, best)


def test_who_looks_on_hears_of_it_and_may_end_it() -> None:
    """A search tells its cost and bound; one that is stopped gives the best so far, with an honest gap."""
    problem = next(p for p in map(small, range(50)) if not seat(p, effort=Effort.FIRST).certificate.proved)
    listener = Onlooker(stopped=False)
    seat(problem, effort=Effort.USUAL, watch=listener)
    assert listener.heard[0].stage == "slots"
    hurried = seat(problem, effort=Effort.PROVE, watch=Onlooker(stopped=True))
    assert check_slots(problem, hurried) <= check_slots(problem, seat(problem, effort=Effort.FIRST))


def test_an_answer_that_fails_its_check_is_never_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """A mistake in the engine's own counting is told loudly."""
    monkeypatch.setattr(slot_solver, "crossings_of", lambda *_: 99)
    with pytest.raises(ValueError, match="tells 99 crossings"):
        seat(small(1), effort=Effort.FIRST)


def test_an_empty_problem_has_an_empty_answer() -> None:
    """No items, no seats: nothing to do, and proved."""
    answer = seat(SlotProblem(items=(), seats=(), prices=FREE), effort=Effort.PROVE)
    assert answer.seats == ()
    assert answer.certificate.proved
