"""What is bad whatever else is, what is over, and that what is surely bad is mended first."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.hunting.board import board_of
from loomwright.hunting.hunting import Pains, Tracker
from loomwright.hunting.marginals import all_mended, bad_seats
from loomwright.hunting.problem import Hunt, Observation
from loomwright.hunting.result import SURE, Standing
from loomwright.hunting.weigh import weigh
from tests.hunting.made_up import hunt_of
from tests.hunting.test_weigh import asked, by_hand

LOW = Observation(check="C0", outcome="low")


def seats_of(hunt: Hunt) -> dict[str, str]:
    """Return what each fault sits in; a fault without parts is a seat of its own."""
    return {fault.key: "".join(fault.parts) or fault.key for fault in hunt.faults}


@given(asked(), st.sets(st.integers(1, 6), max_size=3), st.integers(1, 9))
def test_a_seat_is_as_bad_as_all_explanations_say(
    question: tuple[Hunt, list[Observation]], gone: set[int], tell: int
) -> None:
    """Every seat's probability is the sum over all that it is part of, told one by one or not; mended ones are out."""
    hunt, seen = question
    seats, true = seats_of(hunt), by_hand(hunt, seen)
    mended = {f"F{one}" for one in gone} & set(seats)
    board = board_of(hunt)
    found = bad_seats(board, weigh(board, seen, most_pairs=1), mended, tell)
    left = {seat: {key for key in seats if seats[key] == seat} - mended for seat in seats.values()}
    expected = {seat: sum(one for key, one in true.items() if set(key) & held) for seat, held in left.items() if held}
    assert {seats[one.faults[0]]: one.probability for one in found} == pytest.approx(
        {seats[one.faults[0]]: expected[seats[one.faults[0]]] for one in found}
    )
    assert [one.probability for one in found] == pytest.approx(sorted(expected.values(), reverse=True)[:tell])
    for one in found:
        assert set(one.faults) == left[seats[one.faults[0]]]
        shares = [sum(share for key, share in true.items() if fault in key) for fault in one.faults]
        assert shares == pytest.approx(sorted(shares, reverse=True))


@given(asked(), st.sets(st.integers(1, 6)))
def test_over_is_that_all_that_was_wrong_is_mended(question: tuple[Hunt, list[Observation]], gone: set[int]) -> None:
    """One fault or two, all of them mended; that nothing was wrong, or something on no list, is none of it."""
    hunt, seen = question
    mended = {f"F{one}" for one in gone} & {fault.key for fault in hunt.faults}
    board = board_of(hunt)
    over = all_mended(board, weigh(board, seen, most_pairs=99), mended)
    assert over == pytest.approx(
        sum(one for key, one in by_hand(hunt, seen).items() if key and set(key) <= mended), abs=1e-12
    )


def test_a_hunt_is_over_once_what_was_wrong_is_well_again() -> None:
    """F1 mended, F3 would have shown the same: over once that is well; before it, or with anything else wrong, not."""
    hunt = hunt_of([[0, 0], [1, 0], [0, 1], [1, 0]], odds=[0.01] * 3, pairs=True, misread=1e-3)
    tracker = Tracker(replace(hunt, healthy_odds=1e-3))
    well, still = (Observation(check="C0", outcome=one, after=("F1",)) for one in ("well", "low"))
    assert tracker.standing([LOW]).over == 0.0
    assert tracker.standing([LOW], mended=["F1"]).over == pytest.approx(0.5, abs=0.02)
    assert tracker.standing([LOW, well], mended=["F1"]).over > SURE
    assert tracker.standing([LOW, still], mended=["F1"]).over < 0.01
    other = Observation(check="C1", outcome="low", after=("F1",))
    assert tracker.standing([LOW, well, other], mended=["F1"]).over < 0.1


def two_there(odds: float, *, second: float = 0.3, pains: Pains | None = None) -> Standing:
    """Return the standing where F1 explains the trouble (F3 as well, by these odds), and F2 may be there with it."""
    hunt = hunt_of(
        [[0, 0, 0], [1, 0, 0], [0, 1, 0], [1, 0, 0]],
        odds=[0.1, second, odds],
        seconds=[5.0, 5.0, 5.0],
        misread=1e-4,
        pairs=True,
    )
    return Tracker(hunt, pains or Pains(optimal_up_to=0)).standing([LOW] * 2)


def test_what_is_surely_bad_is_mended_first() -> None:
    """F1 is bad at more than 95 %; whether F2 is there with it, a check of 5 s would tell: the repair comes before."""
    now = two_there(0.001)
    assert now.bad[0].faults == ("F1",)
    assert now.bad[0].probability > SURE > now.suspects[0].probability
    step = now.steps[0]
    assert (step.check, step.repair, step.seconds) == ("", ("F1",), 60.0)
    assert step.ends == pytest.approx(next(one.probability for one in now.suspects if one.faults == ("F1",)))
    assert [one.check for one in now.steps if one.check] == ["C1"]


@pytest.mark.parametrize(("odds", "first"), [(0.0051, True), (0.0055, False)])
def test_surely_begins_at_95_of_100(odds: float, first: bool) -> None:  # noqa: FBT001  a table of cases
    """F3 shows the same with a nineteenth of the odds: a little less and F1 is mended, a little more and C1 is asked.

    Both together are as likely as 0.1 times the odds of F3, and have F1 in them.
    """
    share = 0.1 * (1 + odds) / (0.1 * (1 + odds) + odds)
    now = two_there(odds)
    assert now.bad[0].probability == pytest.approx(share, abs=1e-3)
    assert (now.bad[0].probability >= SURE) == first
    assert (now.steps[0].repair == ("F1",)) == first
    assert (now.steps[0].check == "C1") != first


def test_where_the_best_step_is_known_it_is_taken() -> None:
    """With few suspects and sure outcomes the best step of all is found: nothing is put before it."""
    sure = two_there(0.001, pains=Pains(optimal_up_to=15, looked_at=1.0))
    assert all(one.exact for one in sure.steps)


def test_what_was_mended_is_no_step_any_more() -> None:
    """F1 is mended, and still the likeliest that it was: what is left to find is whether F2 is there."""
    hunt = hunt_of([[0, 0], [1, 0], [0, 1]], odds=[0.1, 0.3], misread=1e-4, pairs=True)
    now = Tracker(hunt, Pains(optimal_up_to=0)).standing([LOW], mended=["F1"])
    assert now.bad[0].faults == ("F2",)
    assert all("F1" not in one.faults for one in now.bad)
    assert ("F1",) not in {one.repair for one in now.steps}


def test_degrees_of_a_fault_are_one_in_its_seat() -> None:
    """Three degrees of one fault: the seat names it once, with the probability of all of them."""
    hunt = hunt_of([[0], [1], [1], [1], [0]], odds=[0.1, 0.2, 0.3, 0.4], misread=1e-6)
    faults = tuple(replace(one, key="poor", parts=("W1 A",)) for one in hunt.faults[:3])
    now = Tracker(replace(hunt, faults=(*faults, hunt.faults[3]))).standing([LOW])
    assert [one.faults for one in now.bad] == [("poor",), ("F4",)]
    assert now.bad[0].probability == pytest.approx(1.0, abs=1e-4)
    assert [one.faults for one in now.suspects][:1] == [("poor",)]


def test_a_repair_ends_what_was_mended_before_with_it() -> None:
    """Both are surely bad, and F1 is mended: who mends F2 ends the hunt."""
    hunt = hunt_of([[0, 0], [1, 0], [0, 1]], odds=[0.1, 0.1], misread=1e-4, pairs=True)
    seen = [LOW, Observation(check="C1", outcome="low")]
    now = Tracker(hunt, Pains(optimal_up_to=0)).standing(seen, mended=["F1"])
    assert now.two > 0.99
    assert now.steps[0].repair == ("F2",)
    assert now.steps[0].ends > 0.99
