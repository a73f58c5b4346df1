"""Breakers, fuses, outputs with limits, and what may hang on friction."""

from __future__ import annotations

from dataclasses import replace

from loomwright.model.device import Wishes
from loomwright.model.fact import State
from loomwright.model.part import PortKind, Role
from loomwright.model.reason import Origin, Reasoned
from loomwright.wiring.result import CircuitKind
from loomwright.wiring.treatment import Treatment
from tests.rulebook.factory import (
    BLOCK,
    COMPRESSOR,
    CONTROLLER,
    RADIO,
    SUB_BLOCK,
    adding,
    common_practice,
    device,
    feed,
    finds,
    said,
    silent,
    sound_plan,
    with_circuit,
    with_device,
)


# ---------------------------------------------------------------- protected
def test_a_feed_without_breaker_or_fuse_is_found() -> None:
    """Straight from a bare outlet of the block."""
    bare = replace(BLOCK, sockets=tuple(replace(s, ratings_a=()) if s.name == "H1" else s for s in BLOCK.sockets))
    plan = with_circuit(with_device(sound_plan(), "block", part=bare), "left drive", protection_a=None)
    assert "H1 of block has neither breaker nor fuse" in finds("protected", plan, "not-protected").what


def test_a_feed_from_the_main_breakers_stud_is_found() -> None:
    """The main breaker protects no branch."""
    plan = with_circuit(sound_plan(), "left drive", source="main breaker", slot="load side", protection_a=None)
    finds("protected", plan, "not-protected")


def test_an_output_with_a_limit_of_its_own_guards_itself() -> None:
    """The radio on the regulator, and the light on the controller, need no fuse."""
    silent("protected", sound_plan())
    sockets = tuple(replace(s, ratings_a=(), limit_a=5.0) if s.name == "H1" else s for s in BLOCK.sockets)
    plan = with_device(sound_plan(), "block", part=replace(BLOCK, sockets=sockets))
    silent("protected", with_circuit(plan, "left drive", protection_a=None))


# ---------------------------------------------------------------- protection fits slot
def test_a_rating_that_the_slot_does_not_take_is_found() -> None:
    """40 A on a slot for 10 A."""
    plan = with_circuit(sound_plan(), "left drive", slot="F1")
    finding = finds("protection fits slot", plan, "protection-not-for-slot")
    assert finding.what == "left drive has 40 A on slot F1 of block, which takes 10 A."


def test_every_rating_that_the_slot_takes_is_fine() -> None:
    """20, 30 and 40 A suit a heavy slot."""
    for rating in (20.0, 30.0, 40.0):
        silent("protection fits slot", with_circuit(sound_plan(), "left drive", protection_a=rating))


def test_a_guessed_rating_on_a_slot_is_a_question() -> None:
    """Read the number on it first; where a slot states no ratings there is nothing to compare."""
    plan = with_device(sound_plan(), "left drive controller", wishes=Wishes(protection=said(40.0, 78, State.GUESSED)))
    finds("protection fits slot", with_circuit(plan, "left drive", slot="F1"), "protection-not-for-slot", "should")
    bare = replace(BLOCK, sockets=tuple(replace(s, ratings_a=()) if s.name == "H1" else s for s in BLOCK.sockets))
    silent("protection fits slot", with_device(sound_plan(), "block", part=bare))


# ---------------------------------------------------------------- protection fits feed
def test_the_wrong_fuse_for_the_robot_controller_is_found_at_the_wish() -> None:
    """Its part names 10 A, whatever the file wishes for."""
    plan = with_device(sound_plan(), "robot controller", wishes=Wishes(protection=said(20.0, 77)))
    plan = with_circuit(plan, "robot controller", slot="F2", protection_a=20.0)
    finding = finds("protection fits feed", plan, "wrong-fuse")
    assert finding.what == "The feed of robot controller has 20 A; it wants 10 A."
    assert finding.place.line == 77


def test_a_smaller_breaker_on_a_motor_is_no_wrong_fuse() -> None:
    """Only feeds that want one certain fuse are held to it."""
    silent("protection fits feed", with_circuit(sound_plan(), "left drive", protection_a=15.0))


def test_a_guessed_fuse_is_a_question() -> None:
    """Look at the fuse before calling it wrong."""
    plan = with_device(sound_plan(), "robot controller", wishes=Wishes(protection=said(20.0, 77, State.GUESSED)))
    plan = with_circuit(plan, "robot controller", slot="F2", protection_a=20.0)
    finds("protection fits feed", plan, "wrong-fuse", "should")


# ---------------------------------------------------------------- protection not above load
def test_a_breaker_above_what_the_controller_bears_is_found() -> None:
    """A 20 A controller behind 40 A."""
    small = replace(CONTROLLER, id="controller/small-20a", wants_protection_a=(20.0, 10.0))
    plan = with_device(sound_plan(), "left drive controller", part=small)
    assert "bears 20 A at most" in finds("protection not above load", plan, "protection-above-load", "should").what


def test_a_breaker_at_what_the_controller_bears_is_fine() -> None:
    """Equal is not above."""
    small = replace(CONTROLLER, id="controller/small-20a", wants_protection_a=(20.0, 10.0))
    plan = with_device(sound_plan(), "left drive controller", part=small)
    silent("protection not above load", with_circuit(plan, "left drive", protection_a=20.0))


def test_a_guessed_breaker_above_the_load_is_a_question_and_a_wrong_fuse_is_told_once() -> None:
    """A feed that wants one certain fuse has a finding of its own."""
    small = replace(CONTROLLER, id="controller/small-20a", wants_protection_a=(20.0, 10.0))
    wish = Wishes(protection=said(40.0, 78, State.GUESSED))
    plan = with_device(sound_plan(), "left drive controller", part=small, wishes=wish)
    assert finds("protection not above load", plan, "protection-above-load", "should").fix.startswith("Look first")
    silent("protection not above load", with_circuit(sound_plan(), "robot controller", slot="F2", protection_a=20.0))


# ---------------------------------------------------------------- protection at most
def test_a_compressor_behind_30_a_is_found() -> None:
    """A compressor's branch has 20 A."""
    compressor = device("compressor", COMPRESSOR, 40)
    block = device("block", BLOCK, 5)
    plan = adding(sound_plan(), compressor, feed(compressor, block, "H3", protection_a=30.0, gauge=12))
    finds("protection at most", plan, "protection-too-large")


def test_a_compressor_behind_20_a_is_fine() -> None:
    """And a motor behind 40 A is none of this rule's business."""
    compressor = device("compressor", COMPRESSOR, 40)
    block = device("block", BLOCK, 5)
    silent(
        "protection at most",
        adding(sound_plan(), compressor, feed(compressor, block, "H3", protection_a=20.0, gauge=18)),
    )


def test_of_two_limits_for_one_load_the_smaller_holds_and_a_guess_is_a_question() -> None:
    """A class may be held to less than its kind."""
    rule = common_practice().rule("protection-by-load")
    assert rule is not None
    book = replace(
        common_practice(), rules=(replace(rule, parameters={"of": {"compressor": 20.0, "compressor/plain": 10.0}}),)
    )
    wish = Wishes(protection=said(20.0, 79, State.GUESSED))
    compressor = device("compressor", COMPRESSOR, 40, wishes=wish)
    fed = feed(compressor, device("block", BLOCK, 5), "H3", protection_a=20.0, gauge=18)
    plan = replace(adding(sound_plan(), compressor, fed), rules=book)
    assert "10 A at most" in finds("protection at most", plan, "protection-too-large", "should").what


# ---------------------------------------------------------------- sub-block
def test_a_sub_block_with_more_load_than_its_feed_is_found() -> None:
    """Three loads of 8 A behind 20 A, of which one is a guess of the tool."""
    sub = device("sub-block", SUB_BLOCK, 40)
    plan = adding(
        sound_plan(),
        sub,
        feed(sub, device("block", BLOCK, 5), "H3", protection_a=20.0, gauge=18, kind=CircuitKind.FEEDER),
    )
    for n in (1, 2, 3):
        load = device(f"camera {n}", COMPRESSOR, 40 + n)
        origin = Origin.ASSUMED if n == 1 else Origin.GIVEN
        plan = adding(plan, load, feed(load, sub, f"S{n}", protection_a=10.0, gauge=18, current_a=8.0, origin=origin))
    finding = finds("sub-block within its feed", plan, "sub-block-overloaded")
    assert finding.what == "sub-block feeds 24 A in all, and its own feed holds 20 A."
    assert finding.rests_on == ("assumed currents of some loads",)


def test_fuses_of_a_sub_block_may_add_up_to_more_than_its_feed() -> None:
    """Three fuses of 10 A behind 20 A are fine while the loads themselves are small."""
    sub = device("sub-block", SUB_BLOCK, 40)
    plan = adding(
        sound_plan(),
        sub,
        feed(sub, device("block", BLOCK, 5), "H3", protection_a=20.0, gauge=18, kind=CircuitKind.FEEDER),
    )
    for n in (1, 2, 3):
        load = device(f"camera {n}", COMPRESSOR, 40 + n)
        plan = adding(plan, load, feed(load, sub, f"S{n}", protection_a=10.0, gauge=18, current_a=6.6))
    silent("sub-block within its feed", plan)


def test_given_currents_rest_on_nothing() -> None:
    """And loads of unknown current count nothing."""
    sub = device("sub-block", SUB_BLOCK, 40)
    up = feed(sub, device("block", BLOCK, 5), "H3", protection_a=20.0, gauge=18, kind=CircuitKind.FEEDER)
    plan = adding(sound_plan(), sub, up)
    for n, current_a in ((1, 15.0), (2, 15.0), (3, None)):
        load = device(f"camera {n}", COMPRESSOR, 40 + n)
        plan = adding(plan, load, feed(load, sub, f"S{n}", protection_a=10.0, gauge=18, current_a=current_a))
    assert finds("sub-block within its feed", plan, "sub-block-overloaded").rests_on == ()


def test_the_main_breaker_and_a_controllers_branch_are_no_sub_blocks_feed() -> None:
    """Motors together may ask for more than 120 A, and a motor for more than its branch."""
    plan = with_circuit(with_circuit(sound_plan(), "left drive", current=90.0), "right drive", current=90.0)
    silent("sub-block within its feed", plan)
    silent("sub-block within its feed", with_circuit(sound_plan(), "left drive motor side", current=80.0))


# ---------------------------------------------------------------- output within its limit
def test_an_output_asked_for_more_than_it_gives_is_found() -> None:
    """Two loads of 2 A on an output of 3 A."""
    plan = sound_plan()
    lights = device("strip", RADIO, 40)
    regulator = plan.robot.device("regulator")
    assert regulator is not None
    more = feed(lights, regulator, "5 V", protection_a=None, gauge=22, kind=CircuitKind.OUTPUT, current_a=2.0)
    finding = finds("output within its limit", adding(plan, lights, more), "output-overloaded")
    assert finding.what == "radio and strip ask for 4 A from 5 V of regulator, which gives 3 A."


def test_an_output_asked_for_exactly_what_it_gives_is_fine() -> None:
    """3 A from 3 A, and a load of unknown current counts nothing."""
    plan = with_circuit(sound_plan(), "radio", current=3.0)
    silent("output within its limit", plan)
    silent("output within its limit", with_circuit(sound_plan(), "radio", current=None))


def test_an_output_judged_on_assumed_or_lasting_currents_says_so() -> None:
    """Where only the lasting current is known, that one counts."""
    lasting: Reasoned[float | None] = Reasoned(4.0, "", Origin.ASSUMED)
    plan = with_circuit(sound_plan(), "radio", current=None)
    held = plan.circuit("radio")
    assert held is not None
    plan = replace(plan, circuits=tuple(replace(c, sustained=lasting) if c is held else c for c in plan.circuits))
    assert finds("output within its limit", plan, "output-overloaded").rests_on == ("assumed currents of some loads",)
    given = with_circuit(sound_plan(), "radio", current=4.0)
    assert finds("output within its limit", given, "output-overloaded").rests_on == ()


def test_what_hangs_on_no_known_output_is_not_added_up() -> None:
    """Two loads whose outputs are not decided share nothing."""
    plan = with_circuit(sound_plan(), "radio", slot="", current=2.0)
    silent("output within its limit", with_circuit(plan, "beacon", source="regulator", slot="", current=2.0))


# ---------------------------------------------------------------- no long recovery on friction
def test_a_radio_on_a_friction_plug_is_found() -> None:
    """45 s without radio for one bump."""
    loose = replace(
        RADIO,
        sockets=tuple(
            replace(s, ports=tuple(replace(p, kind=PortKind.BLADE, friction_only=True) for p in s.ports))
            for s in RADIO.sockets
        ),
    )
    plan = with_device(sound_plan(), "radio", part=loose)
    held = plan.circuit("radio")
    assert held is not None
    there = loose.first(Role.SUPPLY)
    assert there is not None
    wires = tuple(replace(w, b=replace(w.b, port=there.port(w.b.polarity))) for w in held.wires)
    finding = finds("no long recovery on friction", with_circuit(plan, "radio", wires=wires), *_FRICTION)
    assert finding.what.startswith("radio needs 45 s to come back after a gap in its power")


_FRICTION = ("long-recovery-on-friction", "should")


def test_a_friction_joint_further_up_the_feed_is_found_too() -> None:
    """The regulator's feed is the radio's feed."""
    joint = Treatment("quick-connect", None, "", False, "", "", "", "", None, True, True, "")  # noqa: FBT003  a record
    held = sound_plan().circuit("regulator")
    assert held is not None
    plan = with_circuit(
        sound_plan(), "regulator", wires=tuple(replace(w, b=replace(w.b, treatment=joint)) for w in held.wires)
    )
    finds("no long recovery on friction", plan, *_FRICTION)


def test_a_device_that_is_back_at_once_may_hang_on_friction() -> None:
    """Five seconds are the line, and they are not long."""
    held = sound_plan().circuit("radio")
    assert held is not None
    loose = [replace(w, b=replace(w.b, port=replace(w.b.port, friction_only=True))) for w in held.wires if w.b.port]
    plan = with_circuit(sound_plan(), "radio", wires=tuple(loose))
    quick = replace(RADIO, values={"recovery time": replace(RADIO.values["recovery time"], value=5.0)})
    silent("no long recovery on friction", with_device(plan, "radio", part=quick))
    finds("no long recovery on friction", plan, "long-recovery-on-friction", "should")


def test_a_feed_that_locks_is_fine_whatever_its_terminal() -> None:
    """A treatment by itself is no friction."""
    locked = Treatment("ring", None, "", False, "", "", "", "", None, False, True, "")  # noqa: FBT003  a record
    held = sound_plan().circuit("radio")
    assert held is not None
    wires = tuple(replace(w, b=replace(w.b, treatment=locked)) for w in held.wires)
    silent("no long recovery on friction", with_circuit(sound_plan(), "radio", wires=wires))


def test_a_motor_may_hang_on_friction() -> None:
    """A motor is back as soon as its connector is."""
    held = sound_plan().circuit("left drive")
    assert held is not None
    loose = [replace(w, b=replace(w.b, port=replace(w.b.port, friction_only=True))) for w in held.wires if w.b.port]
    silent("no long recovery on friction", with_circuit(sound_plan(), "left drive", wires=tuple(loose)))


def test_the_batterys_own_plug_is_nobodys_friction_joint() -> None:
    """Everything hangs on it, and it is made for that."""
    held = sound_plan().circuit("main")
    assert held is not None
    loose = [replace(w, b=replace(w.b, port=replace(w.b.port, friction_only=True))) for w in held.wires if w.b.port]
    silent("no long recovery on friction", with_circuit(sound_plan(), "main", wires=tuple(loose)))
