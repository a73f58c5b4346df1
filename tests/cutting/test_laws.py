"""What must hold of every cut list."""

from __future__ import annotations

import os
import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.cutting import Piece, cut
from loomwright.model.stock import CutHabits, Stock
from loomwright.units import Gauge
from tests.cutting.workbench import G12, PAIR, offer, reached, red, small_questions, spool

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "25"))
_COLOURS = ("RD", "BK", "WH")


@st.composite
def mixed_questions(draw: st.DrawFn) -> tuple[list[Piece], Stock]:
    """Draw pairs and singles of two gauges with spools, off-cuts and offers of some colours."""
    pieces: list[Piece] = []
    for number in range(draw(st.integers(1, 14))):
        gauge, length = Gauge(draw(st.sampled_from([12, 18]))), draw(st.integers(10, 120)) / 100
        if draw(st.booleans()):
            pieces.append(Piece((f"W{2 * number}", f"W{2 * number + 1}"), gauge, PAIR, length))
        else:
            pieces.append(Piece((f"W{2 * number}",), gauge, (draw(st.sampled_from(_COLOURS)),), length))
    kinds = st.sampled_from([PAIR, ("BK", "RD"), ("RD",), ("BK",), ("WH",), ()])
    hand = [
        replace(spool(draw(st.integers(10, 400)) * 10, offcut=draw(st.booleans()), name=f"s{n}"), colours=draw(kinds))
        for n in range(draw(st.integers(0, 5)))
    ]
    shop = [
        replace(offer(draw(st.integers(100, 500)) * 10, draw(st.sampled_from([None, 3.0, 4.5]))), colours=draw(kinds))
        for _ in range(draw(st.integers(0, 3)))
    ]
    thick = draw(st.booleans())
    return pieces, Stock(
        (Gauge(18), G12),
        "stock.yaml",
        tuple(replace(one, gauge=G12) if thick and n % 2 else one for n, one in enumerate(hand)),
        tuple(replace(one, gauge=G12) if thick else one for one in shop),
        ((G12, ("WH",)),) if draw(st.booleans()) else (),
        CutHabits(draw(st.sampled_from([0.0, 0.002])), draw(st.sampled_from([0.0, 0.01])), 0.15),
    )


@settings(max_examples=EXAMPLES, deadline=None)
@given(mixed_questions(), st.integers(0, 999))
def test_the_order_of_the_input_decides_nothing(question: tuple[list[Piece], Stock], seed: int) -> None:
    """Pieces, spools and offers in another order: the same list, byte for byte. The checker passes it meanwhile."""
    pieces, store = question
    chance = random.Random(seed)  # noqa: S311  an order for a test
    shuffled = chance.sample(pieces, len(pieces))
    other = replace(
        store,
        spools=tuple(chance.sample(store.spools, len(store.spools))),
        offers=tuple(chance.sample(store.offers, len(store.offers))),
    )
    assert repr(cut(shuffled, other)) == repr(cut(pieces, store))


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions(), st.integers(5, 100))
def test_one_more_off_cut_never_makes_it_worse(question: tuple[tuple[int, ...], Stock], length: int) -> None:
    """It may stay untouched."""
    lengths, store = question
    pieces = red(*lengths)
    more = replace(store, spools=(*store.spools, spool(10 * length, offcut=True, name="one more")))
    assert reached(cut(pieces, more), pieces, more) <= reached(cut(pieces, store), pieces, store)


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions())
def test_a_wider_cut_a_longer_trim_or_a_pickier_team_never_helps(question: tuple[tuple[int, ...], Stock]) -> None:
    """Whatever can be cut then can be cut without them, with as little scrap."""
    lengths, store = question
    pieces = red(*lengths)
    before = reached(cut(pieces, store), pieces, store)
    habits = store.habits
    for worse in (
        replace(habits, kerf_m=2 * habits.kerf_m + 0.001),
        replace(habits, trim_m=2 * habits.trim_m + 0.001),
        replace(habits, keep_m=2 * habits.keep_m),
    ):
        other = replace(store, habits=worse)
        assert reached(cut(pieces, other), pieces, other) >= before


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions())
def test_leaving_a_piece_out_never_needs_more_spools(question: tuple[tuple[int, ...], Stock]) -> None:
    """Scrap may grow, but neither missing pieces nor purchases."""
    lengths, store = question
    pieces = red(*lengths)
    assert reached(cut(pieces[1:], store), pieces[1:], store)[0] <= reached(cut(pieces, store), pieces, store)[0]
    if not cut(pieces, store).missing:
        assert reached(cut(pieces[1:], store), pieces[1:], store)[:3] <= reached(cut(pieces, store), pieces, store)[:3]


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions())
def test_the_earlier_answer_to_the_same_question_stays(question: tuple[tuple[int, ...], Stock]) -> None:
    """Cutting again with the last list at hand changes nothing."""
    lengths, store = question
    pieces = red(*lengths)
    first = cut(pieces, store)
    assert cut(pieces, store, kept=first) == first
