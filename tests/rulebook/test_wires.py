"""Gauges, colours and terminals of wires."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.model.device import Wishes
from loomwright.model.fact import State
from loomwright.model.part import Polarity, PortKind
from loomwright.plan.result import Plan
from loomwright.rulebook import (
    allowed_colours,
    battery_path_minimum,
    colour_allowed,
    minimum_for_use,
    minimum_gauge,
)
from loomwright.units import Gauge
from loomwright.wiring.result import CircuitKind
from tests.rulebook.factory import (
    common_practice,
    end,
    finds,
    judged,
    said,
    silent,
    sound_plan,
    with_circuit,
    with_device,
    with_wires,
)

# Trade facts, common practice: 40 A: 12 AWG; 30 A: 14; 20 A: 18; a fuse of 10 A or less: 22.
BY_PROTECTION = [
    (40.0, "breaker/snap-action", 12),
    (35.0, "breaker/snap-action", 12),
    (30.0, "breaker", 14),
    (20.0, "breaker", 18),
    (10.0, "breaker", 18),
    (20.0, "fuse/blade", 18),
    (10.0, "fuse/blade", 22),
    (5.0, "fuse", 22),
    (60.0, "breaker", 12),
    (10.0, "", 18),
]


@pytest.mark.parametrize(("rating", "family", "gauge"), BY_PROTECTION)
def test_the_least_gauge_behind_a_protection_is_common_practice(rating: float, family: str, gauge: int) -> None:
    """Between two steps the larger one holds; an unknown family gets the strictest answer."""
    assert minimum_gauge(common_practice(), rating, family) == (Gauge(gauge), "gauge-by-protection")


def test_the_least_gauge_of_the_battery_path_and_of_data_lines() -> None:
    """Battery path 6 AWG, signal 28 AWG; nothing is said of a branch here."""
    assert battery_path_minimum(common_practice()) == (Gauge(6), "battery-path-gauge")
    assert minimum_for_use(common_practice(), CircuitKind.SIGNAL) == (Gauge(28), "gauge-by-use")
    assert minimum_for_use(common_practice(), CircuitKind.BRANCH) is None


def test_without_rules_nothing_is_least_and_every_colour_goes() -> None:
    """An empty book forbids nothing."""
    empty = replace(common_practice(), rules=())
    assert minimum_gauge(empty, 40.0, "breaker") is None
    assert battery_path_minimum(empty) is None
    assert allowed_colours(empty, Polarity.PLUS) == ()
    assert colour_allowed(empty, Polarity.PLUS, "PK")


def test_of_two_rules_the_stricter_one_holds() -> None:
    """A team's own rule adds to the book below."""
    rule = common_practice().rule("battery-path-gauge")
    assert rule is not None
    stricter = replace(rule, id="our-leads", parameters={"minimum": Gauge(4)})
    book = replace(common_practice(), rules=(*common_practice().rules, stricter))
    assert battery_path_minimum(book) == (Gauge(4), "our-leads")


# ---------------------------------------------------------------- gauge by protection
def test_a_thin_branch_is_found_at_the_wish_that_made_it_thin() -> None:
    """14 AWG behind 40 A, as the file wishes."""
    plan = with_device(sound_plan(), "left drive controller", wishes=Wishes(gauge=said(Gauge(14), 55)))
    finding = finds("gauge by protection", with_wires(plan, "left drive", gauge=Gauge(14)), "wire-too-thin")
    assert finding.what == (
        "left drive: wire W-left drive-plus and W-left drive-minus has 14 AWG; "
        "behind 40 A protection it takes 12 AWG or thicker."
    )
    assert finding.place.line == 55
    assert finding.source == "gauge-by-protection"


def test_a_motors_own_leads_are_exempt_but_what_lengthens_them_is_not() -> None:
    """18 AWG leads that the motor brought along are fine behind 40 A; an 18 AWG extension is not."""
    thin = with_wires(sound_plan(), "left drive motor side", gauge=Gauge(18))
    finds("gauge by protection", thin, "wire-too-thin")
    silent("gauge by protection", with_wires(thin, "left drive motor side", captive=True))


def test_a_wire_behind_a_small_fuse_may_be_thin() -> None:
    """22 AWG behind a 10 A fuse is fine; behind a 20 A fuse it is not."""
    silent("gauge by protection", with_wires(sound_plan(), "robot controller", gauge=Gauge(22)))
    finds("gauge by protection", with_wires(sound_plan(), "regulator", gauge=Gauge(22)), "wire-too-thin")


def test_a_regulated_output_is_guarded_by_its_own_limit() -> None:
    """No breaker's step speaks of it."""
    silent("gauge by protection", with_wires(sound_plan(), "radio", gauge=Gauge(26)))


# ---------------------------------------------------------------- gauge by use
def test_a_hair_thin_signal_wire_is_found() -> None:
    """30 AWG is too thin; 28 AWG is not."""
    finds("gauge by use", with_wires(sound_plan(), "beacon jumper", gauge=Gauge(30)), "wire-too-thin")
    silent("gauge by use", with_wires(sound_plan(), "beacon jumper", gauge=Gauge(28)))


# ---------------------------------------------------------------- battery path
def test_each_thin_wire_of_the_battery_path_is_found_at_the_leads() -> None:
    """One wire of 8 AWG; the finding points at `leads:`."""
    held = sound_plan().circuit("main")
    assert held is not None
    wires = (replace(held.wires[0], gauge=Gauge(8)), *held.wires[1:])
    finding = finds("battery path gauge", with_circuit(sound_plan(), "main", wires=wires), "battery-path-too-thin")
    assert finding.place.line == 2


def test_guessed_battery_leads_are_questions() -> None:
    """Their gauge as well as their length."""
    wishes = Wishes(gauge=said(Gauge(8), 2, State.GUESSED), length=said(0.40, 8, State.GUESSED))
    plan = with_device(with_wires(sound_plan(), "main", gauge=Gauge(8)), "battery", wishes=wishes)
    found = {str(f.severity) for f in judged("battery path gauge", plan) if "battery to battery plug" in f.what}
    assert found == {"should"}
    finds("battery lead length", plan, "battery-lead-too-long", "should")


def test_thick_wires_of_the_battery_path_are_fine() -> None:
    """4 AWG and 1/0 AWG are thicker than 6."""
    for number in (6, 4, 0):
        silent("battery path gauge", with_wires(sound_plan(), "main", gauge=Gauge(number)))


def test_long_battery_leads_are_found_and_thirty_centimetres_are_not_long() -> None:
    """About 12 in: 30 cm and 13 in are fine, 40 cm is not."""
    plan = with_device(sound_plan(), "battery", wishes=Wishes(length=said(0.40, 8)))
    finding = finds("battery lead length", plan, "battery-lead-too-long", "should")
    assert finding.what == "The leads of battery are 40 cm long; about 30.5 cm is the most."
    assert finding.place.line == 8
    for length_m in (0.30, 0.33):
        silent("battery lead length", with_device(sound_plan(), "battery", wishes=Wishes(length=said(length_m))))


# ---------------------------------------------------------------- colours
def test_a_wrong_plus_colour_is_found_with_what_would_do() -> None:
    """Green is no plus."""
    held = sound_plan().circuit("radio")
    assert held is not None
    wires = (replace(held.wires[0], colour="GN"), held.wires[1])
    finding = finds("colour by polarity", with_circuit(sound_plan(), "radio", wires=wires), "colour-not-allowed")
    assert finding.what == (
        "The plus wire W-radio-plus of radio is green; plus wires are red, white, brown, yellow or black with a stripe."
    )


def test_a_wrong_colour_is_found_at_the_wish_for_it() -> None:
    """`minus colour: white`; a guess is a question."""
    wish = Wishes(plus_colour=said("RD", 61), minus_colour=said("WH", 62))
    finding = finds("colour by polarity", with_device(_minus("WH"), "radio", wishes=wish), "colour-not-allowed")
    assert (finding.place.line, finding.place.thing) == (62, "things.radio.minus colour")
    guess = Wishes(minus_colour=said("WH", 62, State.GUESSED))
    finds("colour by polarity", with_device(_minus("WH"), "radio", wishes=guess), "colour-not-allowed", "should")


def test_a_wire_whose_colour_is_not_known_is_no_wrong_colour() -> None:
    """Nothing is said of it."""
    silent("colour by polarity", _minus(""))


def test_red_on_minus_is_found() -> None:
    """The classic way to kill a controller."""
    assert "minus" in finds("colour by polarity", _minus("RD"), "colour-not-allowed").what


@pytest.mark.parametrize("code", ["RD", "WH", "BN", "YE", "BKRD", "BKWH", "RDBK"])
def test_every_plus_colour_of_common_practice_is_fine(code: str) -> None:
    """Black counts as plus only with a stripe."""
    assert colour_allowed(common_practice(), Polarity.PLUS, code)
    assert colour_allowed(common_practice(), Polarity.PLUS, "BK") is False


@pytest.mark.parametrize(("code", "fine"), [("BK", True), ("BU", True), ("BUWH", True), ("BKRD", False), ("WH", False)])
def test_minus_is_black_or_blue_and_a_striped_black_is_a_plus(code: str, *, fine: bool) -> None:
    """A stripe on black marks plus, so it can't mark minus as well."""
    assert colour_allowed(common_practice(), Polarity.MINUS, code) is fine
    assert bool(judged("colour by polarity", _minus(code))) is not fine


def test_the_wires_of_a_motor_may_have_any_colour() -> None:
    """Their polarity changes while the motor runs."""
    silent("colour by polarity", with_wires(sound_plan(), "left drive motor side", colour="GN"))


def test_leads_that_a_device_brings_along_may_have_any_colour() -> None:
    """Nobody chose them."""
    silent("colour by polarity", with_wires(sound_plan(), "radio", colour="GN", captive=True))


def _minus(code: str) -> Plan:
    held = sound_plan().circuit("radio")
    assert held is not None
    return with_circuit(sound_plan(), "radio", wires=(held.wires[0], replace(held.wires[1], colour=code)))


# ---------------------------------------------------------------- terminals
def test_a_supply_on_the_motor_side_is_found() -> None:
    """Battery wires on the motor terminals destroy a controller at once."""
    plan = sound_plan()
    controller, held = plan.robot.device("left drive controller"), plan.circuit("left drive")
    assert controller is not None
    assert held is not None
    wires = tuple(replace(w, b=end("B", controller, "motor", w.b.polarity)) for w in held.wires)
    finding = finds("supply side", with_circuit(plan, "left drive", wires=wires), "supply-on-motor-side")
    assert finding.what.startswith("The supply of left drive goes to its motor side")


def test_a_motor_on_the_supply_side_is_found() -> None:
    """The other half of the same mix-up."""
    plan = sound_plan()
    controller, held = plan.robot.device("left drive controller"), plan.circuit("left drive motor side")
    assert controller is not None
    assert held is not None
    wires = tuple(replace(w, a=end("A", controller, "supply", w.a.polarity)) for w in held.wires)
    finds("supply side", with_circuit(plan, "left drive motor side", wires=wires), "supply-on-motor-side")


def test_supply_wires_on_supply_sides_are_fine() -> None:
    """Also while a slot is not decided yet."""
    held = sound_plan().circuit("left drive")
    assert held is not None
    open_ended = tuple(replace(w, a=replace(w.a, device="", socket="", port=None)) for w in held.wires)
    silent("supply side", with_circuit(sound_plan(), "left drive", slot="", wires=open_ended))


def test_a_wire_from_plus_to_minus_is_found() -> None:
    """A reversed battery kills a regulator within seconds."""
    plan = sound_plan()
    regulator, held = plan.robot.device("regulator"), plan.circuit("regulator")
    assert regulator is not None
    assert held is not None
    flip = {Polarity.PLUS: Polarity.MINUS, Polarity.MINUS: Polarity.PLUS}
    wires = tuple(replace(w, b=end("B", regulator, "supply", flip[w.b.polarity])) for w in held.wires)
    finds("plus to plus", with_circuit(plan, "regulator", wires=wires), "plus-meets-minus")


def test_a_motors_two_wires_may_be_swapped() -> None:
    """That only turns it round."""
    plan = sound_plan()
    motor, held = plan.robot.device("left drive"), plan.circuit("left drive motor side")
    assert motor is not None
    assert held is not None
    flip = {Polarity.PLUS: Polarity.MINUS, Polarity.MINUS: Polarity.PLUS}
    wires = tuple(replace(w, b=end("B", motor, "leads", flip[w.b.polarity])) for w in held.wires)
    silent("plus to plus", with_circuit(plan, "left drive motor side", wires=wires))


def test_two_wires_in_one_clamp_are_found() -> None:
    """Two branches held by one spring clamp."""
    plan = sound_plan()
    block, held = plan.robot.device("block"), plan.circuit("right drive")
    assert block is not None
    assert held is not None
    first = replace(held.wires[0], a=end("A", block, "H1", Polarity.PLUS))
    plan = with_circuit(plan, "right drive", wires=(first, held.wires[1]))
    finding = finds("one wire a terminal", plan, "too-many-wires")
    assert finding.what == "Wires W-left drive-plus and W-right drive-plus share one terminal: block H1 plus."


def test_a_slot_used_twice_is_not_told_again_as_two_shared_terminals() -> None:
    """One mistake, one finding."""
    plan = sound_plan()
    block, held = plan.robot.device("block"), plan.circuit("right drive")
    assert block is not None
    assert held is not None
    wires = tuple(replace(w, a=end("A", block, "H1", w.a.polarity)) for w in held.wires)
    plan = with_circuit(plan, "right drive", slot="H1", wires=wires)
    silent("one wire a terminal", plan)
    finds("one circuit a slot", plan, "slot-used-twice")


def test_studs_headers_and_joints_may_hold_two_wires() -> None:
    """Rings are stacked on a stud; one pulse output may drive two controllers; a joint has two sides."""
    plan = sound_plan()
    block, held = plan.robot.device("block"), plan.circuit("right drive")
    assert block is not None
    assert held is not None
    for kind in (PortKind.STUD, PortKind.HEADER, PortKind.LEAD):
        sockets = tuple(
            replace(s, ports=tuple(replace(p, kind=kind) for p in s.ports)) if s.name == "H1" else s
            for s in block.part.sockets
        )
        changed = with_device(plan, "block", part=replace(block.part, sockets=sockets))
        other = changed.robot.device("block")
        assert other is not None
        for name in ("left drive", "right drive"):
            circuit = changed.circuit(name)
            assert circuit is not None
            wires = tuple(replace(w, a=end("A", other, "H1", w.a.polarity)) for w in circuit.wires)
            changed = with_circuit(changed, name, wires=wires)
        silent("one wire a terminal", changed)


# ---------------------------------------------------------------- the light's jumper
def test_a_jumper_on_the_wrong_terminals_is_found() -> None:
    """Left and middle instead of middle and right."""
    plan = sound_plan()
    light, held = plan.robot.device("beacon"), plan.circuit("beacon jumper")
    assert light is not None
    assert held is not None
    wires = (
        replace(
            held.wires[0], a=end("A", light, "left", Polarity.SIGNAL), b=end("B", light, "middle", Polarity.SIGNAL)
        ),
    )
    finding = finds("jumper", with_circuit(plan, "beacon jumper", wires=wires), "jumper")
    assert finding.what == "The jumper of beacon joins left and middle; it belongs on middle and right."


def test_a_missing_jumper_is_found_and_either_direction_is_fine() -> None:
    """A jumper has no first end."""
    plan = sound_plan()
    held = plan.circuit("beacon jumper")
    assert held is not None
    assert "no jumper" in finds("jumper", with_circuit(plan, "beacon jumper", wires=()), "jumper").what
    turned = (replace(held.wires[0], a=held.wires[0].b, b=held.wires[0].a),)
    silent("jumper", with_circuit(plan, "beacon jumper", wires=turned))


def test_a_light_whose_part_names_no_jumper_needs_none() -> None:
    """Another class of lights."""
    light = sound_plan().robot.device("beacon")
    assert light is not None
    plan = with_device(sound_plan(), "beacon", part=replace(light.part, jumper=None), checks={})
    silent("jumper", with_circuit(plan, "beacon jumper", wires=()))
    silent("answered yes", plan)


def test_a_guess_about_the_gauge_is_a_question() -> None:
    """Read the print on the wire first."""
    plan = with_device(sound_plan(), "left drive controller", wishes=Wishes(gauge=said(Gauge(14), 55, State.GUESSED)))
    finds("gauge by protection", with_wires(plan, "left drive", gauge=Gauge(14)), "wire-too-thin", "should")
