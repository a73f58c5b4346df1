"""The pit card: the two-minute list, slots, chains, halts, light and battery of this robot."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import yaml
from hypothesis import given, settings

from loomwright.catalogue.tables import table
from loomwright.model.part import PortKind, Role
from loomwright.plan.result import Plan
from loomwright.proof.data_map import chains, network_cables
from loomwright.proof.halts import Halt, halts
from loomwright.proof.pit_card import Check, pit_card
from loomwright.proof.slot_map import SlotLine, slot_maps, without_slot
from loomwright.rulebook.lookup import is_fed, slot_of
from loomwright.search import Effort
from tests.proof.small_robots import TWO_PLATES
from tests.robots import as_text, example_plan, plan_of, robots


@lru_cache(maxsize=1)
def two_plates() -> Plan:
    return plan_of(TWO_PLATES, effort=Effort.USUAL)


def _checks(plan: Plan) -> dict[str, Check]:
    return {check.look: check for check in pit_card(plan).checks}


def _lines(plan: Plan, source: str) -> dict[str, SlotLine]:
    (found,) = (held for held in slot_maps(plan) if held.source == source)
    return {line.slot: line for line in found.lines}


def test_the_two_minutes_ask_only_for_what_the_robot_has() -> None:
    """No compressor, so no gauge; battery first, loose wires last; each thing with its place."""
    told = _checks(two_plates())
    assert list(told) == [
        "battery",
        "plug",
        "main breaker",
        "radio",
        "signal light",
        "controllers",
        "network plugs",
        "wires",
    ]
    assert told["main breaker"].where == ("main breaker: base plate, 200 mm right, 80 mm forward",)
    assert len(told["controllers"].where) == 3
    assert "air" in _checks(example_plan("tidepool"))
    assert len(_checks(example_plan("breakwater"))["motors with a controller built in"].where) == 4


def test_screws_are_gone_over_every_few_matches_and_springs_once_an_event() -> None:
    """Screws: posts, studs, the vision computer. Springs at the block: its feed, six pairs, one end of the chain."""
    screws, springs = pit_card(two_plates()).rechecks
    assert (screws.every, screws.where) == (
        "every 1 to 3 matches",
        (("battery", 2), ("main breaker", 2), ("vision", 2)),
    )
    assert springs.every == "once an event"
    assert dict(springs.where)["block"] == 2 + 6 * 2 + 2
    told = {kind for row in table("recheck") for kind in row["ports"].split(";")}
    assert told <= {str(kind) for kind in PortKind}


def test_the_slot_map_shows_every_slot_of_a_block_and_the_outputs_in_use() -> None:
    """Used, free and kept slots in the part's order; what limits itself says so."""
    data = yaml.safe_load(TWO_PLATES)
    data["blocks"]["block"] |= {"reserved": {"L10": "a climber"}, "labels": {"H1": "front"}}
    plan = plan_of(as_text(data))
    block = _lines(plan, "block")
    device = plan.robot.device("block")
    assert device is not None
    assert list(block) == [socket.name for socket in device.part.with_role(Role.OUTLET)]
    assert (block["H1"].protection, block["H1"].load, block["H1"].label) == (
        "snap-action breaker, 40 A",
        "left front",
        "front",
    )
    assert (block["L10"].free, block["L10"].load) == (True, "kept free: a climber")
    assert (block["L9"].free, block["L9"].load, block["L9"].wires) == (True, "", ())
    assert {slot: line.protection for slot, line in _lines(plan, "regulator").items()} == {"radio": "own limit, 3 A"}
    assert [held.source for held in slot_maps(plan)] == ["block", "sub", "regulator", "robot controller"]


def test_a_load_whose_slot_nobody_knows_is_named() -> None:
    assert without_slot(two_plates()) == ()
    assert without_slot(plan_of(TWO_PLATES.replace("slot: H1", "slot: unknown"))) == ("left front",)


def test_chains_stand_in_order_with_numbers_and_ends() -> None:
    """Five stops; the controllers have numbers, robot controller and block need none and end the chain."""
    (chain,) = chains(two_plates())
    assert (chain.name, chain.ordered) == ("chain", True)
    assert [(stop.device, stop.number, stop.terminator) for stop in chain.stops] == [
        ("robot controller", "", True),
        ("left rear", "2", False),
        ("left front", "1", False),
        ("arm", "3", False),
        ("block", "", True),
    ]
    (nameless,) = chains(plan_of(TWO_PLATES.replace(", id: 3,", ",")))
    assert nameless.stops[3].number == "unknown"
    (loose,) = chains(
        plan_of(
            TWO_PLATES.replace(
                "order: [robot controller, left rear, left front, arm, block]",
                "order: unknown, devices: [robot controller, arm, left rear, block]",
            )
        )
    )
    assert not loose.ordered
    assert {stop.device for stop in loose.stops} == {"robot controller", "arm", "left rear", "block"}


def test_network_cables_are_told_with_their_plugs_and_whether_they_bring_power() -> None:
    assert [(cable.a, cable.b, cable.power) for cable in network_cables(two_plates())] == [
        ("regulator, radio", "radio, supply by cable", True),
        ("robot controller, network", "regulator, data", False),
    ]


def test_a_halt_points_at_what_takes_that_long_to_come_back_on_this_robot() -> None:
    """Radio and controller take 50 s by their parts, the vision computer 40 s: one band; cameras 20 s."""
    told: dict[float, Halt] = {halt.from_s: halt for halt in halts(example_plan("breakwater"))}
    assert [one.device for one in told[10].devices] == ["front camera", "rear camera"]
    assert [(one.device, one.back_after_s, one.hold_up_s) for one in told[40].devices] == [
        ("vision", 40.0, None),
        ("radio", 50.0, 0.004),
        ("robot controller", 50.0, 0.006),
    ]
    assert told[40].devices[1].fed_by == "output radio of regulator"
    assert told[60].to_s is None


def test_halts_of_every_length_are_told_once() -> None:
    rows = table("halt")
    assert rows[0]["from_s"] == "0"
    assert [row["to_s"] for row in rows] == [*(row["from_s"] for row in rows[1:]), ""]


def test_the_light_is_no_proof_and_a_robot_without_one_is_told_nothing_of_it() -> None:
    assert [sign.shows for sign in pit_card(two_plates()).light] == ["dark", "steady", "blinking"]
    data = yaml.safe_load(TWO_PLATES)
    del data["lights"]
    assert pit_card(plan_of(as_text(data))).light == ()


def test_battery_numbers_and_thresholds_are_those_of_the_robots_own_parts() -> None:
    """A battery of the 18 Ah class rests at 12.7 to 13.5 V; what the file sets goes before the part."""
    card = pit_card(two_plates())
    assert {row.what: row.expect for row in card.battery}["voltage rested"] == "12.7 to 13.5, charged and rested"
    assert ("robot controller", "outputs off below", "6.75 V") in {
        (one.device, one.what, one.voltage) for one in card.thresholds
    }
    data = yaml.safe_load(TWO_PLATES)
    data["electronics"]["robot controller"]["outputs off below"] = "6.3 V"
    told = {one.what: one.voltage for one in pit_card(plan_of(as_text(data))).thresholds}
    assert told["outputs off below"] == "6.3 V"


@settings(max_examples=20, deadline=None)
@given(robots(most_motors=5))
def test_laws_of_the_card(robot: dict[str, Any]) -> None:
    """Every fed circuit with a slot stands on one line, the others are named; each device comes back in one band."""
    plan = plan_of(as_text(robot))
    card = pit_card(plan)
    lines = [line for held in card.slots for line in held.lines]
    fed = [circuit for circuit in plan.circuits if is_fed(circuit)]
    wires = sorted(wire.id for circuit in fed if slot_of(circuit) for wire in circuit.wires)
    assert sorted(wire for line in lines for wire in line.wires) == wires
    assert bool(card.waiting) == any(not slot_of(circuit) for circuit in fed)
    assert all(bool(line.wires) is not line.free for line in lines)
    back = [one.device for halt in card.halts for one in halt.devices]
    assert sorted(back) == sorted(d.id for d in plan.robot if d.part.number("recovery time") is not None)
    for halt in card.halts:
        assert all(halt.from_s <= one.back_after_s < (halt.to_s or float("inf")) for one in halt.devices)
