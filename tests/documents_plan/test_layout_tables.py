"""The rows of bundles, the cut list and what to buy, and the sentences above them."""

from __future__ import annotations

from dataclasses import replace

from loomwright.cutting.result import Purchase
from loomwright.documents.tables.bundles import bundle_rows
from loomwright.documents.tables.csv_sheet import circuits_csv, wires_csv
from loomwright.documents.tables.cuts import buy_rows, cut_rows, needed_rows
from loomwright.documents.tables.how_good import how_good, how_good_line
from loomwright.documents.tables.wiring import circuit_rows, wire_rows
from loomwright.documents.workbook.notes import notes
from loomwright.documents.workbook.sheets import sheets
from loomwright.model.stock import Stock
from loomwright.plan.result import Plan
from tests.documents_plan.factories import branch, plan
from tests.documents_plan.laid_out import CUT, LAYOUT, OFFER, PROVED, SLOTS, laid_out, undecided

SHEETS = {sheet.name: sheet for sheet in sheets()}


def added(sheet: str, held: Plan, *, empty: bool = False) -> list[str]:
    """Give what a plan adds to a sheet's own note."""
    first, *rest = notes(SHEETS[sheet], held, empty=empty)
    assert first == SHEETS[sheet].note
    return rest


def test_a_bundle_is_told_with_its_wires_from_left_to_right() -> None:
    centre, lift, link = bundle_rows(laid_out())
    assert centre == {
        "section": "centre",
        "trunk": "centre",
        "from": "320, 120",
        "to": "320, 420",
        "length_m": 0.3,
        "wires": 4.0,
        "which": "W1+W2, W3+W4",
        "diameter_mm": 9.4,
        "bend_radius_mm": 39.0,
        "ties": 4.0,
        "tie_every_cm": 10.0,
        "fill_pct": 38.0,
        "note": (),
    }
    assert (lift["from"], lift["to"], lift["which"]) == ("320, 420", "320, 420, 300", "W3+W4")
    assert (lift["note"], lift["tie_every_cm"], lift["fill_pct"]) == (("moving joint",), "-", "-")
    assert (link["note"], link["ties"], link["tie_every_cm"]) == (("proposed",), 1.0, "-")


def test_wires_and_circuits_name_the_trunks_along_their_way() -> None:
    held = laid_out()
    ways = {row.wire: row.path for row in wire_rows(held)}
    assert (ways["W1"], ways["W3"], ways["W5"]) == ("centre, link 2", "centre, lift", "-")
    assert ways["W7"] == "unknown"  # nobody knows where it lies
    assert {row.circuit: row.path for row in circuit_rows(held)}["right front"] == "centre, lift"
    for data in (circuits_csv(held), wires_csv(held)):
        assert '"centre, link 2"' in data.decode("utf-8-sig")


def test_a_circuit_whose_wires_part_tells_each_way() -> None:
    one, other = branch("a", 1).wires
    (row,) = circuit_rows(plan((branch("a", 1, wires=(replace(one, path=("x", "y")), replace(other, path=("z",)))),)))
    assert row.path == "x, y; z"


def test_the_cut_list_goes_spool_by_spool_and_tells_the_rest_at_its_last_piece() -> None:
    rows = cut_rows(laid_out())
    keys = ("spool", "stock", "spool_m", "order", "wires", "length_m", "left_m", "rest")
    assert [tuple(row[key] for key in keys) for row in rows] == [
        ("12 AWG red/black, off-cut 1", "off-cut", 0.646, 1.0, "W1, W2", 0.61, 0.036, "scrap"),
        ("12 AWG red, new spool 1", "to buy", 7.62, 1.0, "W3", 0.853, "-", "-"),
        ("12 AWG red, new spool 1", "to buy", 7.62, 2.0, "W9", 0.5, 6.257, "keep"),
        ("any spool of 22 AWG yellow", "not counted", "-", 1.0, "W10", 0.2, "-", "-"),
        ("12 AWG black: nothing is long enough", "missing", "-", 1.0, "W4", 0.853, "-", "-"),
    ]
    assert [(row["gauge"], row["colour"], row["circuit"]) for row in rows[:2]] == [
        ("12 AWG", "RD, BK", "left front"),
        ("12 AWG", "RD", "right front"),
    ]


def test_a_spool_that_gives_its_last_millimetre_is_used_up() -> None:
    spent = replace(CUT, cuts=(replace(CUT.cuts[0], left_m=0.0), *CUT.cuts[1:]))
    assert [row["rest"] for row in cut_rows(replace(laid_out(), cut=spent))] == ["used up", "-", "keep", "-", "-"]


def test_what_to_buy_names_offers_and_the_pieces_that_no_offer_is_long_enough_for() -> None:
    offer, lost = buy_rows(laid_out())
    assert list(offer.values()) == ["12 AWG", "RD", 7.62, 1.0, 12.5, "-"]
    assert list(lost.values()) == [
        "12 AWG",
        "BK",
        "unknown",
        "unknown",
        "unknown",
        "Nothing on hand or on offer is long enough for W4 (85.3 cm).",
    ]
    free = replace(CUT, buys=(Purchase(replace(OFFER, price=None), 2, None),), missing=())
    assert [(row["count"], row["cost"]) for row in buy_rows(replace(laid_out(), cut=free))] == [(2.0, "unknown")]


def test_needed_wire_is_told_by_gauge_and_colour_with_its_longest_piece() -> None:
    assert [tuple(row.values()) for row in needed_rows(laid_out())] == [
        ("22 AWG", "YE", 0.2, 1.0, 0.2, "W10"),
        ("12 AWG", "BK", 0.85, 1.0, 0.85, "W4"),
        ("12 AWG", "RD", 1.35, 2.0, 0.85, "W3, W9"),
        ("12 AWG", "RD, BK", 0.61, 1.0, 0.61, "W1+W2"),
    ]


def test_nothing_routed_and_nothing_cut_gives_no_rows() -> None:
    for rows in (bundle_rows, cut_rows, buy_rows, needed_rows):
        assert rows(undecided()) == ()


def test_the_first_sheet_says_how_good_each_decision_is() -> None:
    assert how_good_line(laid_out()) == (
        "slots: within 0.5 % of the best possible, 1 wish given up; "
        "trunks: proved the best possible, 1 run without a way; "
        "cut list: at most 6 mm of scrap above the best possible, 1 piece without wire; "
        "order of main chain: within 20 % of the best possible"
    )
    assert added("circuits", laid_out()) == [f"How good the decisions are: {how_good_line(laid_out())}."]


def test_what_was_not_there_to_decide_says_so() -> None:
    assert dict(how_good(undecided())) == {
        "slots": "nothing to choose",
        "trunks": "nothing to route",
        "cut list": "nothing to cut",
    }
    loose = replace(laid_out(), cut=replace(CUT, cuts=(), buys=(), missing=(), certificate=None))
    assert dict(how_good(loose))["cut list"] == "enough of every wire"
    unsaid = replace(loose, robot=replace(loose.robot, stock=Stock(())))
    assert dict(how_good(unsaid))["cut list"] == "there is no stock file, so nothing is laid out"
    unproved = replace(laid_out(), layout=replace(LAYOUT, certificate=None, unrouted={}))
    assert dict(how_good(unproved))["trunks"] == "nothing to choose"


def test_where_even_the_breaks_are_not_proved_each_decision_has_its_own_words() -> None:
    held = laid_out()
    assert held.slots is not None
    loose = replace(PROVED, breaks=2, least_breaks=1)
    told = dict(
        how_good(
            replace(
                held,
                slots=replace(held.slots, certificate=loose, clashes=()),
                layout=replace(LAYOUT, certificate=loose, unrouted={}),
                cut=replace(CUT, certificate=loose, missing=()),
            )
        )
    )
    assert (told["slots"], told["trunks"], told["cut list"]) == (
        "not proved: another answer may break fewer wishes",
        "not proved: another answer may leave fewer wires without a way",
        "not proved: another answer may need fewer new spools",
    )


def test_the_sheet_of_bundles_tells_crossings_and_where_to_find_lines_to_paste() -> None:
    (told,) = added("bundles", laid_out())
    assert told.startswith(
        "Trunks: proved the best possible, 1 run without a way. Wires cross in the bundles 3 times, 2 "
    )
    assert "out/plan.json" in told
    drawn = replace(LAYOUT, sections=LAYOUT.sections[1:], crossings=1, forced=1, unrouted={})
    assert added("bundles", replace(laid_out(), layout=drawn)) == [
        "Trunks: proved the best possible. Wires cross in the bundles once, which no order could avoid."
    ]
    quiet = replace(drawn, crossings=0, forced=0)
    assert added("bundles", replace(laid_out(), layout=quiet)) == ["Trunks: proved the best possible."]


def test_the_sheet_to_buy_adds_up_what_is_known_and_says_where_nothing_is() -> None:
    other = Purchase(replace(OFFER, colours=("BK",)), 2, 25.0)
    both = replace(laid_out(), cut=replace(CUT, buys=(*CUT.buys, other)))
    assert added("to buy", both) == ["The offers here cost 37.50 together."]
    half = replace(laid_out(), cut=replace(CUT, buys=(*CUT.buys, replace(other, cost=None))))
    assert added("to buy", half) == []
    assert added("to buy", laid_out(), empty=True) == ["Nothing has to be bought."]
    assert added("to buy", undecided(), empty=True) == [
        "What is on hand isn't known: write it in stock.yaml, and this sheet says what to buy."
    ]


def test_the_cut_list_says_how_good_it_is() -> None:
    assert added("cut list", laid_out()) == [
        "Cut list: at most 6 mm of scrap above the best possible, 1 piece without wire."
    ]
    assert added("cut list", undecided(), empty=True) == ["No wire has to be cut."]
    assert SLOTS.gap > 0.004
