"""Spares for the pit and bags to buy: counted from the plan, each with its reason."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from importlib.resources import files
from typing import Any

import pytest
from hypothesis import given, settings

from loomwright.catalogue.tables import table
from loomwright.jobs.planning import make_plan
from loomwright.plan.result import Plan
from loomwright.proof.bags import BagLine, bag_list
from loomwright.proof.ends import all_ends
from loomwright.proof.pieces import pieces, sold
from loomwright.proof.protection_words import protection_of, protection_words
from loomwright.proof.pulls import pull_samples
from loomwright.proof.spares import Habit, Spare, habits, spares
from loomwright.proof.wire_beside import wire_beside
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.robotfile.stockfile import read_stock
from loomwright.search import Effort
from loomwright.units import Gauge
from tests.proof.small_robots import TWO_PLATES
from tests.robots import LIBRARY, as_text, example_plan, example_text, plan_of, robots


@lru_cache(maxsize=1)
def two_plates() -> Plan:
    return plan_of(TWO_PLATES, effort=Effort.USUAL)


def _spare(plan: Plan, start: str) -> Spare:
    (found,) = (spare for spare in spares(plan) if spare.what.startswith(start))
    return found


def _line(plan: Plan, start: str) -> BagLine:
    (found,) = (line for line in bag_list(plan).lines if line.what.startswith(start))
    return found


def test_every_terminal_of_the_table_of_ends_is_sold_somehow_and_every_row_is_of_use() -> None:
    """No end without a bag, no bag without an end; a bare end buys nothing, and a joint of two contacts takes both."""
    terminals = {row["terminal"] for row in table("end_treatment")}
    used = {
        max((r["terminal"] for r in table("terminal_bag") if t.startswith(r["terminal"])), key=len) for t in terminals
    }
    assert used == {row["terminal"] for row in table("terminal_bag")}
    assert sold("bare end, folded double").pieces == 0
    assert sold("snap-in power contacts in a pair of housings").pieces == 2
    assert sold("ring terminal, red, #8 stud").item == "ring terminal, red, #8 stud"
    with pytest.raises(KeyError):
        sold("chewing gum")


def test_a_habit_is_a_least_number_or_a_share_whichever_is_more() -> None:
    habit = Habit("", 5, 0.1, "pieces", "a reason", "common practice")
    assert [habit.count(used) for used in (0, 2, 50, 51, 124)] == [5, 5, 5, 6, 13]


def test_the_small_robot_carries_these_spares() -> None:
    """Fuses of 20 and 10 A for regulator and controller; 40 A breakers, on three motors and on the sub-block's feed."""
    told = [(spare.what, spare.count, spare.in_plan) for spare in spares(two_plates())]
    assert ("blade fuse, 10 A (red)", 4, 1) in told
    assert ("blade fuse, 20 A (yellow)", 4, 1) in told
    assert ("snap-action breaker, 40 A", 2, 4) in told
    assert ("ready-made network cable, 1.2 m or longer", 1, 2) in told
    assert [count for what, count, _ in told if what.startswith("controller: ")] == [1]
    assert ("ties", 50, None) in told
    assert _spare(two_plates(), "wire 6 AWG").what == "wire 6 AWG, each of BK, RD"
    assert _spare(two_plates(), "Signal light").reason
    assert not [what for what, _, _ in told if what.startswith(("pressure switch", "network switch"))]


def test_the_small_robot_needs_these_bags() -> None:
    """Three motors on three-phase joints: 9 ends of two contacts; three pairs on the controllers' leads: 6 ends of two.

    Two sets of three samples of two contacts each, a tenth for the kit and five at least.
    """
    contact = next(
        line
        for line in bag_list(two_plates()).lines
        if (line.what, line.gauges)
        == (
            "snap-in power contact",
            "12 AWG",
        )
    )
    assert (contact.built, contact.samples, contact.spare, contact.needed) == (9 * 2 + 6 * 2, 2 * 3 * 2, 5, 47)
    assert (contact.bag, contact.bags) == (20, 3)
    lug = _line(two_plates(), "tube lug, 1/4 in stud")
    assert (lug.built, lug.samples, lug.bags) == (2, 3, 1)
    tube = _line(two_plates(), "heat-shrink")
    assert tube.what == "heat-shrink, 12.7 mm before it shrinks"
    assert tube.built == pytest.approx(4 * 0.05)
    assert (tube.unit, tube.bags) == ("m", 1)


def test_the_robot_itself_is_bought_too() -> None:
    """What the small robot's slots take, with the kit's; boots for two posts; housings by socket, or one for each."""
    plan = two_plates()
    assert (_line(plan, "blade fuse, 10 A").built, _line(plan, "blade fuse, 10 A").needed) == (1, 1 + 4)
    assert (_line(plan, "snap-action breaker, 40 A").built, _line(plan, "snap-action breaker, 40 A").needed) == (4, 6)
    assert _line(plan, "post boot").built == 2
    assert _line(plan, "snap-in power contact").also == "30 housings of one contact"
    tidepool = example_plan("tidepool")
    told = {line.what: line.also for line in bag_list(tidepool).lines}
    assert told["data-bus crimp contact"] == "18 pairs of two-way locking housings", "36 ends, two to a joint"
    assert told["small crimp contact"] == "2 locking housings, 3 pairs of locking housings, 4 plug housings"
    assert told["large power contact"] == "they come with the plug's halves"


@pytest.mark.parametrize("name", ["tidepool", "breakwater", "rockpool"])
def test_every_protection_of_the_plan_is_bought_and_every_clamped_sample_has_its_clamp(name: str) -> None:
    plan = example_plan(name)
    lines = {line.what: line for line in bag_list(plan).lines}
    used = Counter(protection_words(*held) for c in plan.circuits if (held := protection_of(plan, c)) is not None)
    assert {what: lines[what].built for what in used} == used
    clamps = {line.what: line for line in lines.values() if line.what.endswith(", loose")}
    assert {line.built for line in clamps.values()} == {0}
    for sample in (sample for sample in pull_samples(plan) if sample.joint == "clamp"):
        ends = [end for end in all_ends(plan) if end.card in sample.cards and end.end.port is not None]
        kinds = {f"{end.end.port.kind}, loose" for end in ends if end.end.port is not None}
        assert all(str(sample.gauge) in clamps[kind].gauges.split(", ") for kind in kinds), sample


def test_a_reason_rests_on_no_rule_that_is_switched_off() -> None:
    """The trainer's book asks for no signal light, so nobody says that it would not play without one."""
    assert "does not play" in _spare(example_plan("tidepool"), "Signal light").reason
    off = _spare(example_plan("rockpool"), "Signal light").reason
    assert "play" not in off
    assert off == habits()["signal light"].unasked


def test_samples_and_pit_kit_take_wire_too() -> None:
    """The small robot at 6 AWG: two lugs and the plug's contact, each three samples of 0.3 m; 2 m of red and black.

    Where nobody counted the spools, what is left of them is not 0 but None.
    """
    thickest = wire_beside(two_plates())[0]
    assert str(thickest.gauge) == "6 AWG"
    sets = [one for one in pull_samples(two_plates()) if one.gauge == thickest.gauge]
    assert thickest.samples_m == pytest.approx(len(sets) * 3 * 0.3)
    assert (thickest.kit_m, thickest.colours, thickest.left_m) == (4, ("BK", "RD"), None)
    for name in ("tidepool", "breakwater", "rockpool"):
        held = wire_beside(example_plan(name))
        assert {one.gauge for one in held} == {one.gauge for one in pull_samples(example_plan(name)) if one.gauge}
        assert [one.gauge.number for one in held] == sorted(one.gauge.number for one in held)


def test_what_the_cut_list_leaves_is_told_beside_the_wire_for_samples() -> None:
    """Breakwater with its stock: of each gauge what is worth keeping of its counted spools."""
    stock = (files("loomwright") / "data" / "examples" / "breakwater" / "stock.yaml").read_bytes()
    robot = read_robot(example_text("breakwater").encode(), library=LIBRARY, stock=read_stock(stock))
    plan = make_plan(robot, read_rules(None, name=robot.rules), find_part=LIBRARY.part, effort=Effort.FIRST)
    assert plan.cut is not None
    left_m = dict.fromkeys((str(one.pieces[0].gauge) for one in plan.cut.cuts), 0.0)
    for one in plan.cut.cuts:
        left_m[str(one.pieces[0].gauge)] += one.left_m if one.kept else 0.0
    told = {str(one.gauge): one.left_m for one in wire_beside(plan)}
    assert any(left_m.values())
    for gauge, metres in left_m.items():
        assert told[gauge] == pytest.approx(metres, abs=5e-4)


def test_ties_are_those_of_the_trunks_and_two_for_each_step() -> None:
    """The small robot is built in 23 steps."""
    plan = two_plates()
    assert plan.layout is not None
    points = sum(len(section.ties) for section in plan.layout.sections)
    assert points > 5
    assert _line(plan, "ties").built == points + 2 * 23
    assert _line(plan, "grommets").built == len(plan.layout.grommets) > 0


def test_what_waits_for_an_answer_is_counted_as_not_counted() -> None:
    """A slot that nobody knows: two ends of no known terminal are told as a number, not left out in silence."""
    assert bag_list(two_plates()).ends_not_counted == 0
    assert bag_list(plan_of(TWO_PLATES.replace("slot: H1", "slot: unknown"))).ends_not_counted == 2


def test_breakers_and_fuses_have_the_names_that_people_use() -> None:
    """Blade fuses are told by colour as well; what takes an unknown slot is a breaker or a fuse."""
    assert protection_words("fuse/blade", 5.0) == "blade fuse, 5 A (tan)"
    assert protection_words("fuse/blade", 6.0) == "blade fuse, 6 A"
    assert protection_words("breaker/snap-action", 40.0) == "snap-action breaker, 40 A"
    assert protection_words("", 40.0) == "breaker or fuse, 40 A"


def test_the_examples_carry_and_buy_so_much() -> None:
    """Main numbers: lines of the kit, lines of the buy list, contacts of the data chains of the larger robots."""
    told = {name: (len(spares(example_plan(name))), len(bag_list(example_plan(name)).lines)) for name in ("rockpool",)}
    assert told == {"rockpool": (20, 13)}
    breakwater = _line(example_plan("breakwater"), "data-bus crimp contact")
    assert (breakwater.built, breakwater.bags) == (124, 3)
    assert _spare(example_plan("tidepool"), "Main breaker").in_plan == 1


def test_tubes_are_known_for_every_gauge_once() -> None:
    for number in range(-3, 31):
        fits = [
            row
            for row in table("heat_shrink_tube")
            if Gauge.parse(row["thickest_awg"]).number <= number <= Gauge.parse(row["thinnest_awg"]).number
        ]
        assert len(fits) == 1, number


@settings(max_examples=20, deadline=None)
@given(robots(most_motors=5))
def test_laws_of_spares_and_bags(robot: dict[str, Any]) -> None:
    """Enough bags and none too many; each piece in kit and bags alike; one kit line for each class in use."""
    plan = plan_of(as_text(robot))
    kit, bags = spares(plan), bag_list(plan)
    assert len({spare.what for spare in kit}) == len(kit)
    for spare in kit:
        assert spare.count >= 1
        assert spare.reason
    for line in bags.lines:
        assert line.bags * line.bag >= line.needed - 1e-9
        assert (line.bags - 1) * line.bag < line.needed
    built = {piece.item: 0 for piece in pieces(all_ends(plan))}
    for piece in pieces(all_ends(plan)):
        built[piece.item] += piece.count
    ends = Counter(end.end.treatment.terminal for end in all_ends(plan) if end.end.treatment is not None)
    assert sum(built.values()) == sum(many * sold(terminal).pieces for terminal, many in ends.items())
    classes = {device.part.id for device in plan.robot if device.kind == "controller"}
    assert sum(spare.reason == habits()["controller"].reason for spare in kit) == len(classes)
