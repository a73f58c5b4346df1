"""The pull record: samples that are pulled to destruction, and the ends on the robot that get a hand's pull."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import lru_cache
from typing import Any

import pytest
from hypothesis import given, settings

from loomwright.catalogue.pull_force import kinds, pull_force
from loomwright.catalogue.tables import table
from loomwright.documents.tables.ends import card_rows, end_rows
from loomwright.plan.result import Plan
from loomwright.proof.build_order import build_order
from loomwright.proof.ends import all_ends
from loomwright.proof.pulls import ByHand, FittedEnd, PullSample, fitted_ends, pull_samples, why_so_many
from loomwright.units import Gauge
from tests.documents_plan.factories import CLAMP, branch, plan, wire
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots

CRIMP = replace(CLAMP, terminal="a lug", tool="a crimper", pull_standard="ul-486a", pull_n=70 * 4.4482216152605)


@lru_cache(maxsize=1)
def trainer() -> Plan:
    return example_plan("rockpool")


def _ends(told: Plan) -> list[FittedEnd]:
    return [end for group in fitted_ends(told) for end in group.ends]


def _set(told: Plan, terminal: str) -> PullSample:
    (found,) = (one for one in pull_samples(told) if one.terminal == terminal)
    return found


def test_a_ring_on_12_awg_stands_what_ul_486a_prints_in_three_units() -> None:
    """UL 486A: 70 lbf for 12 AWG, held 1 min; 311.4 N, and 31.75 kg shows as 31.8 on a scale."""
    ring = _set(trainer(), "ring terminal, yellow, #10 stud")
    assert (ring.tool, str(ring.gauge), ring.joint) == ("ratchet crimper, yellow die", "12 AWG", "crimp")
    assert ring.force_n == pytest.approx(311.4, abs=0.05)
    assert ring.force_lbf == pytest.approx(70.0)
    assert ring.scale_kg == 31.8
    assert (ring.hold_s, ring.count, ring.ends, ring.notes) == (60.0, 3, 2, ())


def test_a_clamp_is_judged_by_its_own_standard_and_never_on_a_device() -> None:
    """UL 486E, Table 22: 6.75 lbf for 18 AWG, a quarter of a crimp's; the sample sits in a loose clamp."""
    ferrule = _set(trainer(), "ferrule with a collar")
    assert (ferrule.standard, ferrule.joint, ferrule.hold_s) == ("ul-486e", "clamp", 60.0)
    assert ferrule.force_lbf == pytest.approx(6.75)
    assert ferrule.scale_kg == 3.1
    assert ferrule.notes == ("Only in a loose clamp of this kind on the bench, never in a block or a device.",)


def test_the_thinner_side_of_a_joint_decides_and_a_large_force_asks_for_a_stronger_scale() -> None:
    """A 12 AWG wire joined to a 14 AWG lead is judged at 14 AWG: 50 lbf; 4 AWG asks for 140 lbf, 63.5 kg."""
    thin = replace(CRIMP, pull_n=50 * 4.4482216152605)
    thick = replace(CRIMP, terminal="a large lug", pull_n=140 * 4.4482216152605)
    one = wire("W1", "a", "plus")
    wires = (
        replace(one, a=replace(one.a, treatment=thin), b=replace(one.b, treatment=CRIMP)),
        replace(one, id="W2", gauge=Gauge(4), a=replace(one.a, treatment=thick), b=replace(one.b, treatment=thick)),
    )
    joint, own, large = pull_samples(plan((branch("a", 1, wires=wires),)))
    assert [round(sample.force_lbf or 0) for sample in (joint, own, large)] == [140, 50, 70]
    assert joint.notes == ("More than a usual luggage scale shows: take a stronger one, and have your mentor there.",)
    assert own.notes == ("The thinner side of the joint decides the force: make the sample with a piece of that lead.",)
    assert (joint.scale_kg, large.notes) == (63.6, ())


def test_an_end_without_a_figure_says_so() -> None:
    """A soldered splice has no standard here; UL 486A has no row for 30 AWG."""
    splice = replace(CLAMP, terminal="soldered splice", pull_standard="", pull_n=None)
    thin = replace(CRIMP, pull_n=None)
    one = wire("W1", "a", "plus", gauge=Gauge(30))
    held = replace(one, a=replace(one.a, treatment=splice), b=replace(one.b, treatment=thin))
    by_terminal = {sample.terminal: sample for sample in pull_samples(plan((branch("a", 1, wires=(held,)),)))}
    assert by_terminal["soldered splice"].notes[0] == "No standard here has a force for this end."
    assert by_terminal["a lug"].notes[0] == "UL 486A-486B, wire connectors has no force for 30 AWG."
    for sample in by_terminal.values():
        assert (sample.force_n, sample.force_lbf, sample.scale_kg) == (None, None, None)


def test_three_samples_make_a_set_and_the_sheet_says_why() -> None:
    assert why_so_many().startswith("3 samples make a set: one can be luck")


def test_the_trainer_has_these_sets_crimps_before_clamps() -> None:
    """Ten kinds of ends, ten sets; of four tools that crimp, and clamps after them."""
    fold = "fingers to fold and twist; "
    told = [(one.tool, one.terminal, str(one.gauge), round(one.force_lbf or 0, 2)) for one in pull_samples(trainer())]
    assert told == [
        ("crimper made for this contact", "snap-in power contact in a housing", "12 AWG", 70.0),
        ("fine crimper made for this contact", "small crimp contact in a plug housing", "22 AWG", 8.0),
        ("ratchet crimper, red die", "quick-connect, red, 3/16 in, fully covered", "18 AWG", 20.0),
        ("ratchet crimper, yellow die", "fork terminal, yellow, #8 screw", "12 AWG", 70.0),
        ("ratchet crimper, yellow die", "quick-connect, yellow, 1/4 in, fully covered", "12 AWG", 70.0),
        ("ratchet crimper, yellow die", "ring terminal, yellow, #10 stud", "12 AWG", 70.0),
        ("a small flat screwdriver for the release", "bare end", "18 AWG", 6.75),
        ("ferrule crimper, then a screwdriver that fits", "ferrule with a collar", "18 AWG", 6.75),
        (
            "fingers to fold and twist; a small flat screwdriver for the release",
            "bare end, folded double",
            "22 AWG",
            4.5,
        ),
        (f"{fold}lift the lever, push in, close it", "bare end, folded double", "18 AWG", 6.75),
    ]


def test_nobody_pulls_at_a_battery_post_a_board_or_a_ready_made_plug() -> None:
    """Where a pull could break what it tests, the list asks to look; a push-on terminal is held meanwhile."""
    ends = {(end.wire, end.end): end for end in _ends(trainer())}
    assert (ends["W1", "A"].by_hand, ends["W1", "A"].how) == (ByHand.LOOK, "A battery post: nobody pulls there.")
    assert (ends["W6", "B"].by_hand, ends["W6", "B"].how) == (ByHand.LOOK, "On a device's board: nobody pulls there.")
    assert (ends["W6", "A"].by_hand, ends["W6", "A"].how) == (ByHand.PULL, "")
    assert ends["W14", "B"].how == "Hold the terminal, pull at the wire."
    cable = next(end for end in _ends(example_plan("tidepool")) if end.wire == "W44")
    assert (cable.by_hand, cable.how) == (ByHand.LOOK, "A ready-made plug: in to the stop, latch closed.")


def test_ends_come_in_the_order_of_building_the_first_end_of_a_step_before_its_second() -> None:
    """The trainer's left wheel: both ends at the controller, then both on the block."""
    groups = fitted_ends(trainer())
    assert [group.title for group in groups] == [group.title for group in build_order(trainer())]
    power = groups[1].ends[:4]
    assert [(end.wire, end.end) for end in power] == [("W6", "B"), ("W7", "B"), ("W6", "A"), ("W7", "A")]


def test_the_examples_are_pulled_at_so_many_ends() -> None:
    """Counted: pull, look, and all; every card of a sample counts as many ends as the sheet of cards."""
    told = {name: Counter(end.by_hand for end in _ends(example_plan(name))) for name in EXAMPLES}
    assert {name: (many[ByHand.PULL], many[ByHand.LOOK]) for name, many in told.items()} == {
        "rockpool": (18, 26),
        "tidepool": (128, 58),
        "breakwater": (177, 72),
    }
    for name in EXAMPLES:
        rows = end_rows(example_plan(name))
        assert sum(row["hand_pull"] == "yes" for row in rows) == told[name][ByHand.PULL]
        many = {row["card"]: row["ends"] for row in card_rows(example_plan(name))}
        for sample in pull_samples(example_plan(name)):
            assert sample.ends == sum(int(float(str(many[card]))) for card in sample.cards)


def test_a_time_to_hold_is_known_for_every_standard_of_the_ends() -> None:
    """What the table of ends calls for has a force and a time; each time names a standard that has forces."""
    asked = {row["pull_standard"] for row in table("end_treatment")} - {""}
    timed = {row["standard"] for row in table("pull_hold")}
    assert asked <= timed <= set(kinds())


@settings(max_examples=20, deadline=None)
@given(robots(most_motors=5))
def test_every_end_that_somebody_makes_is_looked_at_once(robot: dict[str, Any]) -> None:
    """No end is forgotten or told twice, its card is that of the sheet, and each kind that is made has one set."""
    told = plan_of(as_text(robot))
    ends = _ends(told)
    assert Counter((end.wire, end.end) for end in ends) == Counter(end.name for end in all_ends(told))
    cards = {(row["wire"], row["end"]): row["card"] for row in end_rows(told)}
    assert all(cards[end.wire, end.end] == ("-" if end.card is None else end.card) for end in ends)
    sets = pull_samples(told)
    spoken_for = Counter(card for sample in sets for card in sample.cards)
    made = {end.card for end in all_ends(told) if end.end.treatment and end.end.treatment.strip_m is not None}
    assert spoken_for == Counter(made)
    for sample in sets:
        assert sample.gauge is not None
        row = pull_force(sample.standard, sample.gauge) if sample.standard else None
        assert row is None or sample.force_n is None or sample.force_n <= row.force_n + 1e-9
        assert sample.scale_kg is None or sample.scale_kg * 9.80665 >= (sample.force_n or 0.0) - 1e-6
    for end in ends:
        assert (end.by_hand is ByHand.WAITS) == (end.card is None)
        device = next(held.end.device for held in all_ends(told) if held.name == (end.wire, end.end))
        assert device != "battery" or end.by_hand is not ByHand.PULL
