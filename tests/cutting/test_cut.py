"""Worked examples: what is cut from what, what is bought, what is left."""

from __future__ import annotations

import random
import subprocess
import sys

import pytest

from loomwright.cutting import Piece, cut
from loomwright.model.stock import Spool, Stock
from loomwright.search import Effort, News
from tests.cutting.workbench import G12, G18, PAIR, laid_out, offer, pair, red, single, spool, stock


def test_pieces_come_from_the_spool_longest_first() -> None:
    """One spool holds all; ten millimetres are trimmed, each cut loses one, and the rest is worth keeping."""
    plan = cut(red(300, 500, 400), stock(spool(2000), kerf_mm=1, trim_mm=10))
    assert laid_out(plan) == [("spool 2000", ["W2", "W3", "W1"], 787)]
    assert plan.cuts[0].kept
    assert plan.certificate is not None
    assert (plan.certificate.cost, plan.certificate.bound, plan.certificate.unit) == (13, 13, "mm")


def test_a_short_rest_is_scrap() -> None:
    """Fourteen centimetres are thrown away, fifteen are kept."""
    short, long = cut(red(860), stock(spool(1000))), cut(red(850), stock(spool(1000)))
    assert [(one.cuts[0].kept, one.certificate and one.certificate.cost) for one in (short, long)] == [
        (False, 140),
        (True, 0),
    ]


def test_first_fit_is_beaten_where_it_wastes_a_spool() -> None:
    """Two spools of a metre hold 500 + 300 + 200 and 400 + 300 + 300; longest first needs a third."""
    pieces, store = red(500, 400, 300, 300, 300, 200), stock(offers=[offer(1000)])
    plain, found = cut(pieces, store, effort=Effort.FIRST), cut(pieces, store)
    assert [len(plan.cuts) for plan in (plain, found)] == [3, 2]
    assert found.certificate is not None
    assert found.certificate.proved
    assert (found.certificate.baseline_breaks, found.certificate.breaks) == (3, 2)


def test_off_cuts_are_used_up_before_spools_are_started() -> None:
    """Among answers without scrap, the one that takes the most from off-cuts."""
    plan = cut(red(800, 700), stock(spool(5000), spool(800, offcut=True), spool(900, offcut=True)))
    assert laid_out(plan) == [
        ("off-cut 800", ["W1"], 0),
        ("off-cut 900", ["W2"], 200),
    ]


def test_nothing_is_bought_while_the_wire_on_hand_will_do() -> None:
    """Scrap comes after purchases."""
    plan = cut(red(900), stock(spool(1000), offers=[offer(900)]))
    assert plan.buys == ()
    assert laid_out(plan) == [("spool 1000", ["W1"], 100)]


def test_few_spools_come_before_a_low_price_and_price_before_scrap() -> None:
    """One for 40 before two for 14; of two that serve alike, the cheaper one."""
    offers = [offer(1000, 7), offer(2000, 40), offer(2200, 35)]
    plan = cut(red(1000, 900), stock(offers=offers))
    assert [(buy.offer.length_m, buy.count, buy.cost) for buy in plan.buys] == [(2.2, 1, 35)]
    twice = cut(red(1500, 1500), stock(offers=offers))
    assert [(buy.offer.length_m, buy.count, buy.cost) for buy in twice.buys] == [(2.2, 2, 70)]


def test_a_cheaper_combination_is_found_by_laying_out_anew() -> None:
    """Longest first needs two metres; 500 + 300 + 200 and 400 + 400 need a metre and eighty centimetres."""
    pieces, store = red(500, 400, 400, 300, 200), stock(offers=[offer(1000, 10), offer(800, 5)], kerf_mm=0)
    plain, found = cut(pieces, store, effort=Effort.FIRST), cut(pieces, store)
    assert [sum(buy.cost or 0 for buy in plan.buys) for plan in (plain, found)] == [20, 15]
    assert found.certificate is not None
    assert found.certificate.proved


def test_a_bound_on_scrap_says_nothing_while_the_price_may_fall() -> None:
    """The plain answer has no proof that its price is the least."""
    pieces, store = red(500, 400, 400, 300, 200), stock(offers=[offer(1100, 10), offer(900, 5)], kerf_mm=5)
    plain, found = (cut(pieces, store, effort=effort).certificate for effort in (Effort.FIRST, Effort.USUAL))
    assert plain is not None
    assert found is not None
    assert (plain.breaks, plain.least_breaks, plain.bound) == (2, 2, 0)
    assert not plain.proved
    assert found.bound >= 25


def test_the_plain_answer_buys_the_smallest_spool_that_holds_it() -> None:
    """The cheapest where there are prices, else the shortest."""
    for prices in ((5, 10), (None, None)):
        store = stock(offers=[offer(length, price) for length, price in zip((600, 1000), prices, strict=True)])
        plan = cut(red(500), store, effort=Effort.FIRST)
        assert [buy.offer.length_m for buy in plan.buys] == [0.6]


def test_without_all_prices_the_least_scrap_decides() -> None:
    """A price that is not known can't be compared, and costs nobody knows are not told."""
    plan = cut(red(1900), stock(offers=[offer(1900, 9), offer(2000)], trim_mm=0))
    assert [(buy.offer.length_m, buy.cost) for buy in plan.buys] == [(1.9, 9)]
    other = cut(red(1950), stock(offers=[offer(1900, 9), offer(2000)]))
    assert [(buy.offer.length_m, buy.cost) for buy in other.buys] == [(2.0, None)]


def test_a_pair_is_cut_from_bonded_pair() -> None:
    """Its colours may stand in either order."""
    store = stock(spool(3000, colours=PAIR), spool(9000, name="red"))
    plan = cut([Piece(("W1", "W2"), G12, ("BK", "RD"), 1.0)], store)
    assert laid_out(plan) == [("spool 3000", ["W1", "W2"], 2000)]


def test_a_pair_without_bonded_pair_becomes_two_singles() -> None:
    """Also where all bonded pair is too short for it."""
    singles = [Spool(colour, G12, (colour,), 5.0) for colour in ("RD", "BK")]
    plan = cut([pair("W1", "W2", 1000)], stock(spool(900, colours=PAIR), *singles))
    assert sorted(laid_out(plan)) == [("BK", ["W2"], 4000), ("RD", ["W1"], 4000)]
    assert [(colours, length) for _, colours, length in plan.metres] == [(("BK",), 1.0), (("RD",), 1.0)]


def test_of_what_there_is_enough_nothing_is_laid_out() -> None:
    """By gauge, or by colour of one gauge; without a stock file all is cut freely, pairs as they are."""
    pieces = [*red(300), single("W2", 400, "BK"), pair("W3", "W4", 500)]
    plan = cut(pieces, stock(spool(1000), plenty=[(G12, ()), (G18, ("BK",))]))
    assert sorted(piece.wires for piece in plan.freely) == [("W2",), ("W3", "W4")]
    assert laid_out(plan) == [("spool 1000", ["W1"], 700)]
    free = cut(pieces, Stock((G18, G12)))
    assert len(free.freely) == 3
    assert free.certificate is None
    assert sum(length for _, _, length in free.metres) == pytest.approx(1.2)


def test_a_piece_that_nothing_holds_is_missing() -> None:
    """As few as possible: one long piece rather than two short ones."""
    plan = cut(red(900, 500, 400), stock(spool(1000)))
    assert [piece.wires for piece in plan.missing] == [("W1",)]
    assert plan.certificate is not None
    assert (plan.certificate.breaks, plan.certificate.proved) == (1, True)
    unknown = cut(red(100), stock())
    assert [piece.wires for piece in unknown.missing] == [("W1",)]
    assert unknown.certificate is not None
    assert unknown.certificate.proved


def test_a_spool_without_a_colour_serves_every_single_one() -> None:
    """An offer without a colour is bought in the colour that is needed."""
    pieces = [single("W1", 500, "RD"), single("W2", 400, "BK")]
    plan = cut(pieces, stock(spool(1000, colours=())))
    assert laid_out(plan) == [("spool 1000", ["W1", "W2"], 100)]
    bought = cut(pieces, stock(offers=[offer(1000, 3, ())]))
    assert sorted((buy.offer.colours, buy.count, buy.cost) for buy in bought.buys) == [
        (("BK",), 1, 3),
        (("RD",), 1, 3),
    ]


def test_lengths_count_in_whole_millimetres() -> None:
    """A piece is rounded up and a spool down; binary fractions of metres round nothing."""
    assert laid_out(cut([Piece(("W1",), G18, ("RD",), 0.3004)], stock(spool(301)))) == [("spool 301", ["W1"], 0)]
    assert cut([Piece(("W1",), G18, ("RD",), 0.3004)], stock(Spool("s", G18, ("RD",), 0.3009))).missing
    assert not cut(red(100, 200), stock(Spool("s", G18, ("RD",), 0.1 + 0.2))).missing
    assert not cut(red(300), stock(Spool("s", G18, ("RD",), 3 * 0.1))).missing


def test_an_earlier_layout_stays_where_it_is_no_worse() -> None:
    """Another that serves as well is not a reason to change; a better one is."""
    pieces = red(400, 400)
    one, two = spool(1000, name="one"), spool(1000, name="two")
    earlier = cut(pieces, stock(two))
    assert laid_out(cut(pieces, stock(one, two)))[0][0] == "one"
    assert laid_out(cut(pieces, stock(one, two), kept=earlier))[0][0] == "two"
    assert laid_out(cut(pieces, stock(one), kept=earlier))[0][0] == "one"
    assert laid_out(cut(pieces, stock(two, spool(800, offcut=True)), kept=earlier))[0][0] == "off-cut 800"


class _Impatient:
    """Somebody who stops at the first news."""

    def __init__(self) -> None:
        self.heard: list[News] = []

    def tell(self, news: News) -> None:
        self.heard.append(news)

    @property
    def stopped(self) -> bool:
        return bool(self.heard)


def test_a_search_that_is_stopped_keeps_its_best_answer() -> None:
    """It is never worse than the plain one, and claims no proof that it hasn't got."""
    chance = random.Random(5)  # noqa: S311  lengths for a test
    pieces = red(*(chance.randrange(200, 900) for _ in range(30)))
    store = stock(offers=[offer(2000), offer(1500)])
    watch = _Impatient()
    stopped, plain, full = (
        cut(pieces, store, watch=watch),
        cut(pieces, store, effort=Effort.FIRST),
        cut(pieces, store, effort=Effort.PROVE),
    )
    certificates = [plan.certificate for plan in (full, stopped, plain)]
    costs = [(one.breaks, one.cost) for one in certificates if one is not None]
    assert costs == sorted(costs)
    assert watch.heard
    assert certificates[0] is not None
    assert certificates[0].proved


_PROGRAM = """
import sys
from loomwright.cutting import Piece, cut
from loomwright.model.stock import Offer, Stock
from loomwright.search import Effort
from loomwright.units import Gauge
pieces = [Piece((str(n),), Gauge(18), ("RD",), l / 10) for n, l in enumerate((5, 4, 3, 3, 3, 2))]
plan = cut(pieces, Stock((Gauge(18),), "stock.yaml", (), (Offer(Gauge(18), ("RD",), 1.01),)), effort=Effort.{effort})
"""


def _said(program: str) -> str:
    """Run a program of its own; return what it prints, and nothing may go to stderr."""
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert not told.stderr
    return told.stdout


def test_the_first_answer_loads_no_solver() -> None:
    """Nor does the import of the room, so that help and checks stay quick."""
    heavy = "print([m for m in ('numpy', 'highspy') if m in sys.modules], len(plan.cuts))"
    assert _said(_PROGRAM.format(effort="FIRST") + heavy) == "[] 3\n"


def test_the_solver_prints_nothing() -> None:
    """What goes to stdout is for people and for scripts."""
    assert _said(_PROGRAM.format(effort="USUAL") + "print('highspy' in sys.modules, len(plan.cuts))") == "True 2\n"
