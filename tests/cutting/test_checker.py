"""The checker finds every way in which a cut list can be wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.cutting import CutPlan, Purchase, cut
from loomwright.cutting.checker.check import faults, standing
from loomwright.search import Certificate
from tests.cutting.workbench import G12, PAIR, offer, pair, red, single, spool, stock

PIECES = (*red(900, 800, 600), pair("W8", "W9", 500), single("W10", 400, "BK"), single("W11", 5000, "BK"))
STORE = stock(
    spool(1000, name="a"),
    spool(1000, name="b"),
    spool(2000, colours=PAIR, name="pair"),
    spool(900, colours=("BK",), name="black"),
    offers=[offer(1500, 4.0)],
    plenty=[(G12, ("WH",))],
    kerf_mm=1,
    trim_mm=10,
)
PLAN = cut(PIECES, STORE)


def _first(plan: CutPlan, **changes: object) -> CutPlan:
    """Change something of the first spool."""
    return replace(plan, cuts=(replace(plan.cuts[0], **changes), *plan.cuts[1:]))  # type: ignore[arg-type]


def _proof(plan: CutPlan, **changes: object) -> CutPlan:
    assert plan.certificate is not None
    return replace(plan, certificate=replace(plan.certificate, **changes))  # type: ignore[arg-type]


def _bought(plan: CutPlan) -> Purchase:
    return plan.buys[0]


def test_a_right_list_has_no_fault() -> None:
    """It has all there is: spools on hand, one bought, a pair, a piece that nothing holds."""
    assert faults(PLAN, PIECES, STORE) == []
    assert len(PLAN.buys) == len(PLAN.missing) == 1


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (lambda p: replace(p, missing=()), "wire W11 is cut 0 times"),
        (lambda p: replace(p, freely=p.cuts[0].pieces), "2 times, not 1"),
        (lambda p: replace(p, freely=p.missing, missing=()), "nothing says that there is enough"),
        (lambda p: _first(p, pieces=()), "nothing is cut from"),
        (lambda p: _first(p, left_m=p.cuts[0].left_m + 0.001), "mm are left of"),
        (lambda p: _first(p, kept=not p.cuts[0].kept), "keeping"),
        (lambda p: _first(p, spool=spool(99_000, name="from nowhere")), "more often than it is on hand"),
        (lambda p: replace(p, cuts=tuple(replace(c, spool=p.cuts[0].spool) for c in p.cuts)), "more often than"),
        (lambda p: _first(p, pieces=tuple(piece for one in p.cuts for piece in one.pieces)), "too long for it"),
        (lambda p: _first(p, pieces=p.cuts[-1].pieces), "is not of the wire on"),
        (lambda p: replace(p, buys=()), "are bought or cut, not both"),
        (lambda p: replace(p, buys=(replace(_bought(p), count=2),)), "are bought or cut, not both"),
        (lambda p: replace(p, buys=(replace(_bought(p), cost=3.0),)), "do not cost"),
        (lambda p: replace(p, buys=(replace(_bought(p), cost=None),)), "do not cost"),
        (lambda p: replace(p, metres=p.metres[1:]), "added up wrongly"),
        (lambda p: replace(p, metres=tuple((g, c, m + 1) for g, c, m in p.metres)), "added up wrongly"),
        (lambda p: replace(p, certificate=None), "no certificate"),
        (lambda p: _proof(p, cost=0.0, bound=0.0), "mm are scrap"),
        (lambda p: _proof(p, unit="m"), "mm are scrap"),
        (lambda p: _proof(p, breaks=1), "pieces are missing or spools bought"),
        (lambda p: _proof(p, bound=1e6), "bound is above"),
        (lambda p: _proof(p, least_breaks=9), "bound is above"),
    ],
)
def test_each_fault_is_found(spoil: Callable[[CutPlan], CutPlan], word: str) -> None:
    """One thing is spoiled, and it is named."""
    told = faults(spoil(PLAN), PIECES, STORE)
    assert any(word in fault for fault in told), told


def test_a_spool_that_is_not_what_was_bought_is_found() -> None:
    """Length, colour and gauge are those of the offer, and somebody offers it."""
    number = next(n for n, one in enumerate(PLAN.cuts) if one.bought)
    cuts = list(PLAN.cuts)
    cuts[number] = replace(cuts[number], spool=spool(1600))
    assert any("not what is bought" in fault for fault in faults(replace(PLAN, cuts=tuple(cuts)), PIECES, STORE))
    assert any("nobody offers" in fault for fault in faults(PLAN, PIECES, replace(STORE, offers=(offer(1501, 4.0),))))


def test_a_missing_piece_for_which_there_is_wire_is_found() -> None:
    """On an unused spool, in an offer, or in what is left of a spool."""
    pieces = red(300)
    nothing = cut(pieces, stock())
    for store in (stock(spool(500)), stock(offers=[offer(500)])):
        assert any("there is wire for it" in fault for fault in faults(nothing, pieces, store))
    two = red(300, 200)
    one = cut(two[:1], stock(spool(500)))
    assert any(
        "rest is long enough" in fault for fault in faults(replace(one, missing=two[1:]), two, stock(spool(500)))
    )


def test_a_pair_that_is_parted_without_need_is_found() -> None:
    """There is bonded pair for it."""
    pieces = [pair("W1", "W2", 500)]
    singles = stock(plenty=[(G12, ("RD",)), (G12, ("BK",))])
    parted = cut(pieces, singles)
    assert len(parted.freely) == 2
    store = replace(singles, spools=(spool(900, colours=PAIR),))
    assert any("parted" in fault for fault in faults(parted, pieces, store))


def test_a_list_that_answers_another_question_stands_last() -> None:
    """So it is never kept."""
    assert standing(PLAN, PIECES, STORE) < standing(PLAN, PIECES[1:], STORE)
    assert cut(PIECES[1:], STORE, kept=PLAN) == cut(PIECES[1:], STORE)


def test_a_wrong_list_is_never_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault of the engine stops the program."""
    import loomwright.cutting as room  # noqa: PLC0415  the room whose engine is broken on purpose

    monkeypatch.setattr(room, "_certificate", lambda _: Certificate(cost=0, bound=0, unit="mm"))
    with pytest.raises(AssertionError, match="mm are scrap"):
        cut(PIECES, STORE)
