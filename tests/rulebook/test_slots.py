"""Slots and labels: what shares one, what has none, what stands twice."""

from __future__ import annotations

from dataclasses import replace

from loomwright.model.device import Feed
from loomwright.model.fact import Fact, Saying, State
from loomwright.wiring.ask import question
from loomwright.wiring.result import Wiring
from tests.rulebook.factory import (
    BLOCK,
    claims,
    device,
    drive,
    finds,
    judged,
    mark,
    said,
    silent,
    sound_plan,
    unknown,
    with_circuit,
    with_device,
    with_robot,
)


# ---------------------------------------------------------------- one circuit a slot
def test_two_circuits_on_one_slot_are_found_where_the_second_is_written() -> None:
    """The finding speaks of the things, and points at the later `slot:`."""
    plan = with_circuit(sound_plan(), "right drive", slot="H1", pinned=said("H1", 44))
    finding = finds("one circuit a slot", plan, "slot-used-twice")
    assert finding.what == "left drive and right drive are both on slot H1 of block."
    assert finding.place.line == 44


def test_three_on_one_slot_are_told_once() -> None:
    """No finding for each pair."""
    plan = with_circuit(sound_plan(), "right drive", slot="H1", pinned=said("H1", 44))
    plan = with_circuit(plan, "regulator", slot="H1")
    assert "all on slot H1" in finds("one circuit a slot", plan, "slot-used-twice").what


def test_two_pins_clash_even_where_the_plan_placed_only_one() -> None:
    """A planner may leave the second circuit without a slot; the wish is still wrong."""
    plan = with_circuit(sound_plan(), "right drive", slot="", pinned=said("H1", 44))
    finds("one circuit a slot", plan, "slot-used-twice")


def test_a_clash_with_a_guess_is_a_question() -> None:
    """Somebody has to look before anything is called wrong."""
    plan = with_circuit(sound_plan(), "right drive", slot="H1", pinned=said("H1", 44, State.GUESSED))
    assert "Look first" in finds("one circuit a slot", plan, "slot-used-twice", "should").fix


def test_a_clash_with_a_thing_that_may_not_be_there_is_a_question() -> None:
    """`present: unknown` is no alarm."""
    plan = with_circuit(sound_plan(), "right drive", slot="H1")
    plan = with_device(plan, "right drive controller", present=unknown())
    finds("one circuit a slot", plan, "slot-used-twice", "should")


def test_a_clash_with_a_thing_whose_presence_is_guessed_is_a_question() -> None:
    """`present: yes (guessed)` is not sure either."""
    plan = with_circuit(sound_plan(), "right drive", slot="H1")
    plan = with_device(plan, "right drive controller", present=said(value=True, state=State.GUESSED))
    finds("one circuit a slot", plan, "slot-used-twice", "should")


def test_the_clash_is_told_where_the_later_line_is() -> None:
    """Whichever circuit comes first in the plan."""
    plan = with_circuit(sound_plan(), "left drive", pinned=said("H2", 44), slot="H2")
    assert finds("one circuit a slot", plan, "slot-used-twice").place.line == 44


def test_circuits_without_a_slot_share_none() -> None:
    """Two outputs, and two circuits whose slot is not known."""
    plan = with_circuit(sound_plan(), "left drive", slot="", pinned=Fact())
    silent("one circuit a slot", with_circuit(plan, "right drive", slot="", pinned=Fact()))


def test_the_same_slot_name_on_two_blocks_is_no_clash() -> None:
    """H1 of one block is not H1 of another."""
    plan = with_circuit(sound_plan(), "right drive", source="second block", slot="H1")
    silent("one circuit a slot", plan)


# ---------------------------------------------------------------- one slot a load
def test_a_load_on_two_slots_is_found() -> None:
    """A motor that stands in two places has one that is wrong."""
    plan = sound_plan()
    branch = plan.circuit("left drive")
    assert branch is not None
    twin = replace(branch, circuit=replace(branch.circuit, id="left drive again"))
    plan = replace(plan, circuits=(*plan.circuits, twin))
    plan = with_circuit(plan, "left drive again", slot="H3", pinned=said("H3", 60))
    finding = finds("one slot a load", plan, "load-on-two-slots")
    assert finding.what == "left drive is on slots H1 of block and H3 of block."


def test_claims_of_two_slots_are_a_question_told_once() -> None:
    """The slot's disagreement is told beside the slots, not again among the disputed facts."""
    fact = claims(("H1", "code"), ("H3", "notebook"))
    plan = with_circuit(sound_plan(), "left drive", pinned=fact)
    plan = with_device(plan, "left drive controller", feed=Feed(slot=fact))
    finding = finds("one slot a load", plan, "load-on-two-slots", "should")
    assert finding.what == "left drive is said to be on slot H1 (code) or H3 (notebook)."
    silent("disputed facts", plan)


def test_a_choice_of_two_slots_is_no_dispute() -> None:
    """`any of` leaves it to the plan."""
    choice = Fact(Saying.ANY_OF, claims(("H1", ""), ("H2", "")).said, mark(41))
    silent("one slot a load", with_circuit(sound_plan(), "left drive", pinned=choice))


def test_two_sources_that_name_one_slot_are_no_dispute() -> None:
    """They agree."""
    silent("one slot a load", with_circuit(sound_plan(), "left drive", pinned=claims(("H1", "a"), ("H1", "b"))))


def test_a_guess_about_the_second_slot_is_a_question() -> None:
    """And the later line is pointed at."""
    plan = sound_plan()
    branch = plan.circuit("left drive")
    assert branch is not None
    twin = replace(branch, circuit=replace(branch.circuit, id="left drive again"))
    plan = replace(plan, circuits=(twin, *plan.circuits))
    plan = with_circuit(plan, "left drive again", slot="H3", pinned=said("H3", 60, State.GUESSED))
    assert finds("one slot a load", plan, "load-on-two-slots", "should").place.line == 60


def test_two_supplies_of_one_device_may_stand_on_two_slots() -> None:
    """Each coil, each supply has its own feed."""
    plan = sound_plan()
    branch = plan.circuit("left drive")
    assert branch is not None
    second = replace(branch, circuit=replace(branch.circuit, id="left drive second", load_socket="supply 2"))
    plan = with_circuit(replace(plan, circuits=(*plan.circuits, second)), "left drive second", slot="H3")
    silent("one slot a load", plan)


# ---------------------------------------------------------------- every load has a slot
def test_a_load_without_a_slot_is_found_with_the_plans_reason() -> None:
    """The reason that the planner wrote down is told."""
    plan = with_circuit(sound_plan(), "left drive", slot="", pinned=Fact())
    branch = plan.circuit("left drive")
    assert branch is not None
    plan = with_circuit(plan, "left drive", slot="", pinned=Fact())
    plan = replace(
        plan,
        circuits=tuple(
            replace(c, slot=replace(c.slot, reason="no free heavy slot")) if c.id == "left drive" else c
            for c in plan.circuits
        ),
    )
    assert finds("every load has a slot", plan, "no-slot").what == "left drive has no slot: no free heavy slot."


def test_an_unknown_slot_is_asked_elsewhere() -> None:
    """`slot: unknown` is a question among the unknown facts, no missing slot."""
    plan = with_circuit(sound_plan(), "left drive", slot="", pinned=unknown())
    silent("every load has a slot", plan)


def test_a_robot_that_asks_has_no_missing_slots() -> None:
    """What such a file leaves out is one question, not one alarm for each motor."""
    plan = with_circuit(with_robot(sound_plan(), asks=True), "left drive", slot="", pinned=Fact())
    silent("every load has a slot", plan)


def test_a_choice_of_slots_that_are_all_taken_is_a_question() -> None:
    """`any of` leaves a choice, and here none of it was left."""
    choice = Fact(Saying.ANY_OF, claims(("H1", ""), ("H2", "")).said, mark(41))
    plan = with_circuit(sound_plan(), "left drive", slot="", pinned=choice)
    finds("every load has a slot", plan, "no-slot", "should")


def test_a_robot_that_asks_still_tells_a_choice_that_failed() -> None:
    """Something was said, so it is not left out."""
    choice = Fact(Saying.ANY_OF, claims(("H1", ""), ("H2", "")).said, mark(41))
    plan = with_circuit(with_robot(sound_plan(), asks=True), "left drive", slot="", pinned=choice)
    finds("every load has a slot", plan, "no-slot", "should")


def test_a_motor_with_its_controller_built_in_is_fed_itself() -> None:
    """No second device stands between."""
    held = sound_plan().robot.device("left drive controller")
    assert held is not None
    built_in = replace(held.part, id="motor/built-in")
    plan = with_device(sound_plan(), "left drive controller", part=built_in)
    silent("every load has a slot", plan)


def test_a_motor_that_nothing_feeds_is_a_question() -> None:
    """A motor with no slot and no controller on the plan."""
    left, _ = drive("winch", 7, "H3", 50, device("block", BLOCK, 5))
    plan = with_robot(sound_plan(), devices=(*sound_plan().robot.devices, *left))
    assert "Nothing feeds winch" in finds("every load has a slot", plan, "motor-not-fed", "should").what


def test_a_motor_that_the_wiring_asked_about_is_not_asked_twice() -> None:
    """One question is enough."""
    left, _ = drive("winch", 7, "H3", 50, device("block", BLOCK, 5))
    plan = with_robot(sound_plan(), devices=(*sound_plan().robot.devices, *left))
    asked = question("no-source", mark(50), "things.winch", "Nothing can feed winch.", "Name what feeds it.")
    silent("every load has a slot", replace(plan, wiring=Wiring((), (asked,))))


# ---------------------------------------------------------------- slots kept free
def test_a_circuit_on_a_slot_kept_free_is_found() -> None:
    """Somebody reserved H1 for something else."""
    plan = with_device(sound_plan(), "block", reserved={"H1": said("climber")})
    finding = finds("slots kept free", plan, "slot-kept-free", "should")
    assert finding.what == "left drive is on slot H1 of block, which is kept free for climber."


def test_a_slot_kept_free_for_the_load_itself_is_fine() -> None:
    """A reservation that was taken up."""
    silent("slots kept free", with_device(sound_plan(), "block", reserved={"H1": said("left drive")}))


# ---------------------------------------------------------------- free slots
def test_free_slots_are_told_in_one_line() -> None:
    """How many, which, and which of them on purpose."""
    plan = with_device(sound_plan(), "block", reserved={"H4": said("climber")})
    finding = finds("free slots", plan, "free-slots", "consider")
    assert finding.what == "block has 2 of 6 slots free: H3 and H4; H4 is kept free on purpose."


def test_a_full_block_is_told() -> None:
    """No slot left is worth knowing before the last week."""
    plan = with_circuit(sound_plan(), "regulator", slot="H3")
    plan = with_circuit(plan, "robot controller", slot="H4")
    full = replace(BLOCK, sockets=tuple(s for s in BLOCK.sockets if s.group != "fused"))
    plan = with_device(plan, "block", part=full)
    assert "no free slot left" in finds("free slots", plan, "free-slots", "consider").what


def test_another_blocks_open_question_does_not_hide_free_slots() -> None:
    """Only a circuit that could stand here may take a slot here."""
    plan = with_circuit(sound_plan(), "left drive", source="", slot="", pinned=unknown())
    elsewhere = [
        replace(c, circuit=replace(c.circuit, sources=("other block",))) if c.id == "left drive" else c
        for c in plan.circuits
    ]
    finding = finds("free slots", replace(plan, circuits=tuple(elsewhere)), "free-slots", "consider")
    assert "H1, H3 and H4" in finding.what


def test_a_block_known_only_by_family_has_no_slots_to_count() -> None:
    """Nothing can be said."""
    silent("free slots", with_device(sound_plan(), "block", part=replace(BLOCK, sockets=())))


def test_free_slots_are_not_counted_while_a_slot_is_undecided() -> None:
    """A slot that looks free may be taken."""
    silent("free slots", with_circuit(sound_plan(), "left drive", slot="", pinned=unknown()))


# ---------------------------------------------------------------- labels
def test_one_label_on_two_slots_is_found() -> None:
    """Nobody can tell them apart."""
    plan = with_device(sound_plan(), "block", labels={"H1": said("lift", 70), "H3": said("Lift", 71)})
    finding = finds("label on one slot", plan, "label-on-two-slots", "should")
    assert finding.place.line == 71
    assert "H1 of block and H3 of block" in finding.what


def test_labels_that_name_nothing_may_stand_often() -> None:
    """Three spares are three spares."""
    labels = {"H1": said("spare"), "H3": said("Spare"), "H4": said("spare")}
    silent("label on one slot", with_device(sound_plan(), "block", labels=labels))


def test_a_label_that_differs_from_the_plan_is_no_alarm() -> None:
    """A slot's label is not a pin."""
    before = judged("one circuit a slot", sound_plan())
    plan = with_device(sound_plan(), "block", labels={"H1": said("right drive"), "H2": said("left drive")})
    silent("label on one slot", plan)
    assert judged("one circuit a slot", plan) == before
