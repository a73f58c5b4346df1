"""The slot checker counts by the words of the problem, and refuses what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.layout.checker.slots import check_slots
from loomwright.layout.slot_problem import Clash, Item, Seat, SlotAnswer, SlotOption, SlotPrices, SlotProblem, Wish
from loomwright.search import Certificate

A1, A2, A3, B1, B2 = (("block", name) for name in ("A1", "A2", "A3", "B1", "B2"))
SEATS = (
    Seat(A1, "left", 0, "heavy", "front"),
    Seat(A2, "left", 1, "heavy", "front"),
    Seat(A3, "left", 5, "heavy"),
    Seat(B1, "right", 0, "heavy"),
    Seat(B2, "right", 1, "heavy"),
)
PRICES = SlotPrices(crossing_mm=1, apart_mm=10, other_face_mm=1000, mixed_corner_mm=10_000, bunched_mm=100_000)
ARM = Item("arm", (SlotOption(A1, 3), SlotOption(A3, 5, 2, 7)), (("left", 50),))
LIFT = Item("lift", (SlotOption(A2, 4), SlotOption(B1, 4)), (("left", 20),))
PROBLEM = SlotProblem(
    items=(ARM, LIFT),
    seats=SEATS,
    prices=PRICES,
    pairs=(("lift", "arm"),),
    sides=(("arm",), ("lift",)),
    wishes=(
        Wish(key="pin", item="arm", spots=(A3,), weight=3),
        Wish(key="kept free", item="", spots=(A2,), weight=4),
        Wish(key="one face", item="arm", near="lift", weight=6),
    ),
)


def answer(arm: tuple[str, str] | None, lift: tuple[str, str] | None, **said: int) -> SlotAnswer:
    """Make an answer with the certificate that is told."""
    certificate = Certificate(cost=said["mm"], bound=0, unit="mm", breaks=said["breaks"])
    return SlotAnswer(seats=(("arm", arm), ("lift", lift)), certificate=certificate, crossings=said.get("crossings", 0))


@pytest.mark.parametrize(
    ("given", "counted"),
    [
        # Wire 3 + 4; they cross (arm leaves above lift, and sits below); a corner of both sides; two wishes broken.
        (answer(A1, A2, mm=10_008, breaks=7, crossings=1), (7, 0, 10_008)),
        # Wire 5 + 4; three places between them; 1 of 3 free seats is on the left, where 1 or 2 are an even share.
        (answer(A3, A2, mm=39, breaks=6), (6, 7, 39)),
        # Two faces: the wish for one face is broken, and the pair is apart.
        (answer(A3, B1, mm=1009, breaks=8), (8, 7, 1009)),
        # Without a seat there is no pair and no wish to break; 4 free seats: 3 of 5 on the left is 2.4, so 3 is even.
        (answer(None, B1, mm=4, breaks=1000), (1000, 0, 4)),
    ],
)
def test_a_seating_is_counted(given: SlotAnswer, counted: tuple[int, int, int]) -> None:
    """Worked by hand, each price at its own power of ten."""
    assert check_slots(PROBLEM, given) == counted


def test_free_seats_off_their_even_share_are_counted() -> None:
    """Of two free seats on two faces of two, one each is even: here one is missing, and there one too many."""
    seats = tuple(Seat(("b", f"{face}{n}"), face, n, "light") for face in "lr" for n in range(2))
    items = tuple(Item(name, (SlotOption(("b", f"l{n}"), 0),)) for n, name in enumerate(("one", "two")))
    problem = SlotProblem(items=items, seats=seats, prices=replace(PRICES, bunched_mm=5))
    certificate = Certificate(cost=10, bound=0, unit="mm")
    told = SlotAnswer(seats=(("one", ("b", "l0")), ("two", ("b", "l1"))), certificate=certificate)
    assert check_slots(problem, told) == (0, 0, 10)


GOOD = answer(A1, A2, mm=10_008, breaks=7, crossings=1)
CLASH = Clash(items=("arm",), spots=(), wishes=("pin",), drops=("pin",), counting=False)
Change = Callable[[SlotAnswer], SlotAnswer]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda a: replace(a, seats=a.seats[:1]), "not about the items"),
        (lambda a: replace(a, seats=(a.seats[0], a.seats[0])), "not about the items"),
        (lambda a: replace(a, seats=(("arm", A2), ("lift", A2))), "arm cannot sit on"),
        (lambda a: replace(a, seats=(("arm", ("block", "A9")), ("lift", A2))), "arm cannot sit on"),
        (lambda a: replace(a, seats=(("arm", A3), ("lift", A2))), "the certificate tells"),
        (lambda a: replace(a, crossings=0), "tells 0 crossings"),
        (lambda a: replace(a, certificate=replace(a.certificate, cost=10_007)), "the certificate tells"),
        (lambda a: replace(a, certificate=replace(a.certificate, unit="m")), "the certificate tells"),
        (lambda a: replace(a, certificate=replace(a.certificate, breaks=6)), "the certificate tells"),
        (lambda a: replace(a, certificate=replace(a.certificate, bound=10_009)), "no answer is as good"),
        (lambda a: replace(a, certificate=replace(a.certificate, least_breaks=8)), "no answer is as good"),
        (
            lambda a: replace(a, certificate=replace(a.certificate, baseline=9, baseline_breaks=7)),
            "worse than the plain",
        ),
        (lambda a: replace(a, clashes=(replace(CLASH, wishes=("pin", "no such")),)), "a clash names"),
        (lambda a: replace(a, clashes=(replace(CLASH, wishes=("one face",), drops=("one face",)),)), "a clash names"),
        (lambda a: replace(a, clashes=(replace(CLASH, counting=True, spots=(A3,)),)), "does not count"),
    ],
)
def test_what_is_wrong_is_refused(change: Change, words: str) -> None:
    """One thing wrong at a time, and each is seen."""
    check_slots(PROBLEM, GOOD)
    with pytest.raises(ValueError, match=words):
        check_slots(PROBLEM, change(GOOD))


def test_two_on_one_seat_are_refused() -> None:
    """However many may want it, a seat holds one."""
    items = (replace(ARM, options=(SlotOption(A1, 0),)), replace(LIFT, options=(SlotOption(A1, 0),)))
    with pytest.raises(ValueError, match="two items sit on one seat"):
        check_slots(replace(PROBLEM, items=items), answer(A1, A1, mm=0, breaks=0))
