"""plan.json: how good slots, trunks, cut list and chains are, the bundles and ways, what is cut and what to buy."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.json.cut import cut_told
from loomwright.documents.json.layout import chains_told, slots_told, trunks_told
from loomwright.documents.json.plan import JSON_FORMAT, plan_json
from loomwright.layout.net import as_trunk_lines
from loomwright.plan.result import Plan
from loomwright.search import Certificate
from tests.documents_plan.factories import plan
from tests.documents_plan.laid_out import LAYOUT, SCRAP, laid_out, undecided

KEYS = ("slots", "trunks", "cut", "chains")


def read(held: Plan) -> dict[str, Any]:
    """Write a plan and read it back, refusing what is no JSON."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    told: dict[str, Any] = json.loads(plan_json(held), parse_constant=refuse)
    return told


def test_each_decision_says_whether_it_is_proved_and_how_far_it_can_be_from_the_best() -> None:
    told = read(laid_out())
    assert JSON_FORMAT == 1
    assert {key: (told[key]["status"], told[key]["gap"]) for key in KEYS[:3]} == {
        "slots": ("gap", 0.00400019),
        "trunks": ("proved", 0.0),
        "cut": ("gap", 0.166667),
    }
    assert told["chains"] == {"main chain": {"status": "gap", "gap": 0.2, "cost_mm": 1500.0, "bound_mm": 1200.0}}


def test_where_nothing_was_to_decide_the_status_is_none_and_all_keys_are_there() -> None:
    told, full = read(undecided()), read(laid_out())
    for key in KEYS[:3]:
        assert (told[key]["status"], told[key]["gap"]) == ("none", None)
        assert list(told[key]) == list(full[key])
    assert {key: value for key, value in told["slots"].items() if value not in (None, [])} == {"status": "none"}
    assert (told["trunks"]["sections"], told["trunks"]["unrouted"], told["trunks"]["lines"]) == ([], {}, "")
    assert (told["trunks"]["cost_g"], told["trunks"]["crossings"], told["trunks"]["proposed"]) == (None, None, False)
    assert (told["cut"]["scrap_mm"], told["cut"]["spools_bought"], told["cut"]["metres"]) == (None, 0, [])
    assert told["chains"] == {}


def test_slots_tell_their_cost_and_every_clash() -> None:
    told = slots_told(laid_out())
    numbers = ("cost_mm", "bound_mm", "baseline_mm", "breaks", "least_breaks", "crossings")
    assert [told[key] for key in numbers] == [21074.0, 20989.7, 21247.0, 4.0, 4.0, 1]
    assert told["clashes"] == [
        {
            "items": ["left front", "intake"],
            "spots": [{"device": "block", "slot": "H3"}],
            "wishes": ["heavy: intake", "heavy: left front"],
            "drops": ["heavy: intake"],
            "counting": True,
        }
    ]


def test_sections_tell_their_bundle_in_millimetres_in_the_order_of_names() -> None:
    told: Any = trunks_told(laid_out())
    assert [one["name"] for one in told["sections"]] == ["centre", "lift", "link 2"]
    assert told["sections"][0] == {
        "name": "centre",
        "trunk": "centre",
        "wires": 4,
        "runs": ["left front", "right front"],
        "diameter_mm": 9.41,
        "length_mm": 300.0,
        "bend_radius_mm": 39.0,
        "fill": 0.376,
        "ties": [[320.0, 140.0, 0.0], [320.0, 220.0, 0.0], [320.0, 320.0, 0.0], [320.0, 400.0, 0.0]],
        "moving": False,
        "proposed": False,
    }
    assert [(one["moving"], one["proposed"], one["fill"]) for one in told["sections"][1:]] == [
        (True, False, None),
        (False, True, None),
    ]


def test_routes_name_their_trunks_and_count_the_slack_of_a_moving_joint() -> None:
    told: Any = trunks_told(laid_out())
    assert told["routes"] == [
        {
            "run": "left front",
            "circuit": "left front",
            "wires": ["W1", "W2"],
            "trunks": ["centre", "link 2"],
            "length_mm": 560.0,
        },
        {
            "run": "right front",
            "circuit": "right front",
            "wires": ["W3", "W4"],
            "trunks": ["centre", "lift"],
            "length_mm": 830.0,
        },
    ]


def test_trunks_tell_crossings_grommets_what_has_no_way_and_lines_to_paste() -> None:
    told = trunks_told(laid_out())
    assert (told["cost_g"], told["bound_g"], told["baseline_g"]) == (1110.95, 1110.95, 1232.44)
    assert (told["crossings"], told["forced_crossings"], told["proposed"]) == (3, 2, False)
    assert told["grommets"] == [{"at": [320.0, 300.0, 0.0], "why": "sharp edge"}]
    assert told["unrouted"] == {"intake": "intake controller has no place"}
    assert told["lines"] == as_trunk_lines(LAYOUT.net)
    assert "proposed link 2: " in str(told["lines"])


def test_the_cut_list_tells_every_spool_with_its_pieces() -> None:
    told: Any = cut_told(laid_out())
    assert (told["scrap_mm"], told["bound_mm"], told["baseline_mm"]) == (36.0, 30.0, 170.0)
    assert [one["name"] for one in told["spools"]] == ["12 AWG red/black, off-cut 1", "12 AWG red, new spool 1"]
    assert told["spools"][0] == {
        "name": "12 AWG red/black, off-cut 1",
        "gauge": "12 AWG",
        "colours": ["RD", "BK"],
        "length_mm": 646.0,
        "bought": False,
        "left_mm": 36.0,
        "kept": False,
        "pieces": [{"wires": ["W1", "W2"], "length_mm": 610.0}],
    }
    assert (told["spools"][1]["bought"], told["spools"][1]["kept"]) == (True, True)
    assert told["freely"] == [{"gauge": "22 AWG", "colours": ["YE"], "wires": ["W10"], "length_mm": 200.0}]
    assert told["missing"] == [{"gauge": "12 AWG", "colours": ["BK"], "wires": ["W4"], "length_mm": 853.0}]


def test_it_tells_what_to_buy_and_how_much_wire_is_needed() -> None:
    told: Any = cut_told(laid_out())
    assert told["buy"] == [{"gauge": "12 AWG", "colours": ["RD"], "length_mm": 7620.0, "count": 1, "cost": 12.5}]
    assert [(one["gauge"], one["colours"], one["metres"]) for one in told["metres"]] == [
        ("22 AWG", ["YE"], 0.2),
        ("12 AWG", ["BK"], 0.853),
        ("12 AWG", ["RD"], 1.353),
        ("12 AWG", ["RD", "BK"], 0.61),
    ]


def test_pieces_without_wire_are_no_spools_that_have_to_be_bought() -> None:
    """The proof counts both: two breaks here are one missing piece and one new spool."""
    held = laid_out()
    assert (cut_told(held)["spools_bought"], cut_told(held)["least_bought"]) == (1, 1)
    assert held.cut is not None
    lost = replace(held, cut=replace(held.cut, certificate=replace(SCRAP, breaks=1, least_breaks=0)))
    assert cut_told(lost)["least_bought"] == 0


def test_a_wire_and_a_circuit_tell_their_way_as_a_list() -> None:
    told = read(laid_out())
    wires = {one["wire"]: one["path"] for one in told["wires"]}
    assert (wires["W1"], wires["W3"], wires["W7"]) == (["centre", "link 2"], ["centre", "lift"], [])
    circuits = {one["circuit"]: one["path"] for one in told["circuits"]}
    assert (circuits["right front"], circuits["intake"]) == (["centre", "lift"], [])


def test_the_order_in_which_things_were_found_changes_nothing() -> None:
    held = laid_out()
    assert held.layout is not None
    turned = replace(
        held,
        circuits=tuple(reversed(held.circuits)),
        layout=replace(
            held.layout,
            sections=tuple(reversed(held.layout.sections)),
            routes=tuple(reversed(held.layout.routes)),
            runs=tuple(reversed(held.layout.runs)),
            unrouted={"zeta": "z", **held.layout.unrouted},
        ),
        chains={"a chain": SCRAP, **held.chains},
    )
    again = replace(
        held,
        layout=replace(held.layout, unrouted={**held.layout.unrouted, "zeta": "z"}),
        chains={**held.chains, "a chain": SCRAP},
    )
    assert plan_json(turned) == plan_json(again)
    assert list(chains_told(turned)) == ["a chain", "main chain"]


@settings(max_examples=30)
@given(st.floats(), st.floats(), st.none() | st.floats(), st.integers(0, 3), st.integers(0, 3))
def test_no_proof_writes_what_is_no_json(
    cost: float, bound: float, baseline: float | None, breaks: int, least: int
) -> None:
    proof = Certificate(cost=cost, bound=bound, unit="mm", baseline=baseline, breaks=breaks, least_breaks=least)
    held = laid_out(plan())
    assert held.slots is not None
    read(replace(held, slots=replace(held.slots, certificate=proof), chains={"a": proof}))
