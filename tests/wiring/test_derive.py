"""What single parts imply, by example."""

from __future__ import annotations

import pytest

from loomwright.model.part import Polarity
from loomwright.wiring import Circuit, CircuitKind, Wiring, derive
from tests.robots import robot_of

HEAD = """
robot: T
battery: {part: battery/agm-12v-18ah}
main breaker: {part: breaker/main-120a}
blocks:
  block: {part: block/6-heavy-10-light-2-fused}
electronics:
  robot controller: {part: computer/robot-controller}
"""


def wiring_of(rest: str) -> Wiring:
    """Derive the wiring of a small robot with something added to it."""
    return derive(robot_of(HEAD + rest))


def circuit(wiring: Wiring, name: str) -> Circuit:
    """Return a circuit that has to be there."""
    found = wiring.circuit(name)
    assert found is not None, f"no circuit {name!r} among {[c.id for c in wiring.circuits]}"
    return found


def test_the_minus_lead_goes_straight_to_the_block() -> None:
    """Plus runs battery, plug, breaker, block; minus leaves the breaker out."""
    main = circuit(wiring_of(""), "main")
    plus = [(w.a.device, w.b.device) for w in main.wires if w.b.polarity is Polarity.PLUS]
    minus = [(w.a.device, w.b.device) for w in main.wires if w.b.polarity is Polarity.MINUS]
    assert plus == [("battery", "battery plug"), ("battery plug", "main breaker"), ("main breaker", "block")]
    assert minus == [("battery", "battery plug"), ("battery plug", "block")]


def test_a_robot_without_a_plug_has_shorter_leads() -> None:
    """`plug: none` takes the plug out of both leads."""
    text = HEAD.replace("battery/agm-12v-18ah}", "battery/agm-12v-18ah, plug: none}")
    main = circuit(derive(robot_of(text)), "main")
    assert [w.role for w in main.wires] == [
        "battery to main breaker, plus",
        "main breaker to block, plus",
        "battery to block, minus",
    ]


def test_a_second_block_gets_leads_of_its_own() -> None:
    """Two blocks on the main breaker are two pairs of leads, in the order of their names."""
    text = HEAD.replace("blocks:\n", "blocks:\n  annex: {part: block/sub-6-light, from: main breaker}\n")
    wiring = derive(robot_of(text))
    assert {w.b.device for w in circuit(wiring, "main").wires} == {"battery plug", "main breaker", "annex"}
    assert [w.role for w in circuit(wiring, "main to block").wires] == [
        "main breaker to block, plus",
        "battery plug to block, minus",
    ]


def test_a_brushless_motor_has_three_leads_and_a_brushed_one_two() -> None:
    """The motor's kind decides how many wires run behind its controller; two leads use terminals A and C."""
    wiring = wiring_of(
        "mechanisms:\n"
        "  spin: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "  push: {motor: motor/brushed-340w, controller: controller/inline-40a}\n"
    )
    spin, push = circuit(wiring, "spin: motor side"), circuit(wiring, "push: motor side")
    assert [w.role for w in spin.wires] == ["phase a", "phase b", "phase c"]
    assert [(w.a.polarity, w.b.polarity) for w in push.wires] == [
        (Polarity.PHASE_A, Polarity.PLUS),
        (Polarity.PHASE_C, Polarity.MINUS),
    ]


def test_a_brushless_motor_does_not_fit_a_brushed_controller() -> None:
    """Three phases on two terminals must be put right; where only the family is known, it is asked."""
    spin = "mechanisms:\n  spin: {motor: %s, controller: controller/clamp-brushed-30a}\n"
    told = [wiring_of(spin % part).questions for part in ("motor/brushless-500w", "motor/brushless")]
    assert [[(str(q.severity), q.code, q.asks) for q in found] for found in told] == [
        [("must", "motor-does-not-fit", False)],
        [("should", "motor-does-not-fit", True)],
    ]


def test_a_built_in_controller_takes_the_branch_itself() -> None:
    """A motor with its controller built in has a feed and no motor side."""
    wiring = wiring_of("mechanisms:\n  wheel: {motor: motor/brushless-600w-built-in}\n")
    assert circuit(wiring, "wheel").kind is CircuitKind.BRANCH
    assert wiring.circuit("wheel: motor side") is None


@pytest.mark.parametrize(
    ("said", "captive"),
    [("", False), (", length: 15 cm", True), (", length: 60 cm", False), (", joint: none", True)],
)
def test_own_leads_go_straight_to_the_slot_where_they_reach(said: str, *, captive: bool) -> None:
    """An inline controller's 20 cm leads are joined, unless the run is shorter or somebody says so."""
    wiring = wiring_of(
        f"mechanisms:\n  spin: {{motor: motor/brushless-500w, controller: controller/inline-40a{said}}}\n"
    )
    assert {w.captive for w in circuit(wiring, "spin").wires} == {captive}


def test_a_thing_hangs_on_the_main_block_before_a_sub_block() -> None:
    """Of two blocks that could feed the robot controller the one nearer to the battery comes first, by any name."""
    text = HEAD.replace("blocks:\n", "blocks:\n  annex: {part: block/sub-8-fused, from: block}\n")
    assert circuit(derive(robot_of(text)), "robot controller").sources == ("block", "annex")


def test_the_motors_wish_wins_within_what_the_controller_bears() -> None:
    """A 40 A motor behind a 30 A controller gets 30 A."""
    wiring = wiring_of("mechanisms:\n  push: {motor: motor/brushed-340w, controller: controller/clamp-brushed-30a}\n")
    wanted = circuit(wiring, "push").wanted_a
    assert max(wanted) <= 30


def test_a_radio_is_fed_over_its_network_cable_where_that_is_said() -> None:
    """One cable instead of two wires, from the output that carries power on a cable."""
    rest = "  regulator: {part: regulator/12v-3a-5v-3a}\n  radio: {part: radio/generic, over: network cable}\n"
    radio = circuit(wiring_of(rest), "radio")
    assert [(w.role, w.b.socket) for w in radio.wires] == [("cable", "supply by cable")]
    radio = circuit(wiring_of(rest.replace(", over: network cable", "")), "radio")
    assert [w.role for w in radio.wires] == ["plus", "minus"]


def test_the_signal_light_hangs_on_the_robot_controller_and_has_its_jumper() -> None:
    """Its two wires start at the controller's own output, never at the block; the jumper is a wire."""
    wiring = wiring_of("lights:\n  beacon: {part: light/signal}\n")
    assert circuit(wiring, "beacon").sources == ("robot controller",)
    jumper = circuit(wiring, "beacon: jumper").wires[0]
    assert {jumper.a.socket, jumper.b.socket} == {"L1", "L2"}


def test_valve_coils_take_their_channels_in_their_own_order() -> None:
    """`channels: [3, 2]` puts the first coil on valve 3."""
    wiring = wiring_of(
        "pneumatics:\n  air: {part: pneumatics/control-module}\n"
        "  gate: {part: valve/double, module: air, channels: [3, 2]}\n"
    )
    assert [circuit(wiring, name).slot.value for name in ("gate", "gate: coil b")] == ["valve 3", "valve 2"]


def test_one_pulse_output_may_drive_two_controllers() -> None:
    """Both signal circuits start at the same socket."""
    motor = "{motor: motor/brushed-340w, controller: controller/clamp-brushed-30a, port: pulse 4}"
    wiring = wiring_of(f"mechanisms:\n  left: {motor}\n  right: {motor}\n")
    starts = [circuit(wiring, f"{side}: on pulse 4").wires[0].a for side in ("left", "right")]
    assert starts[0] == starts[1]
    assert wiring.questions == ()


def test_one_input_for_two_sensors_is_asked_about() -> None:
    """An output may drive two things; an input that two things are plugged into can't be told apart."""
    wiring = wiring_of(
        "sensors:\n  low: {part: sensor/limit-switch, port: digital 3}\n"
        "  high: {part: sensor/limit-switch, port: digital 3}\n"
        "  wheel: {part: sensor/encoder-pulse, port: digital 4-5}\n"
    )
    assert [(q.code, q.place.thing) for q in wiring.questions] == [("input-used-twice", "sensors.high.port")]
    assert wiring.questions[0].what == (
        "low and high are on one input, digital 3 of robot controller, so the program can't tell them apart."
    )


def test_two_buses_take_two_ports_of_the_robot_controller() -> None:
    """Chains that both start at the controller do not share a clamp."""
    wiring = wiring_of(
        "mechanisms:\n  spin: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "  lift: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "data:\n  chain: [robot controller, spin, block]\n  other chain: [robot controller, lift]\n"
    )
    starts = {w.a.socket for w in wiring.wires if w.kind is CircuitKind.BUS and w.a.device == "robot controller"}
    assert starts == {"bus 1", "bus 2"}


def test_a_chain_runs_hop_by_hop_in_its_order() -> None:
    """Each hop is a twisted pair from one device's way out to the next one's way in."""
    wiring = wiring_of(
        "mechanisms:\n  spin: {motor: motor/brushless-500w, controller: controller/inline-40a}\n"
        "data:\n  chain: [robot controller, spin, block]\n"
    )
    hops = [c for c in wiring.circuits if c.kind is CircuitKind.BUS]
    assert [(c.sources[0], c.load) for c in hops] == [
        ("robot controller", "spin controller"),
        ("spin controller", "block"),
    ]
    assert all({w.twisted_with for w in c.wires} == {"bus high", "bus low"} for c in hops)


def test_a_chain_of_unknown_order_is_not_drawn() -> None:
    """`order: unknown` gives no wires: the tool asks and never decides."""
    wiring = wiring_of("data:\n  chain: {order: unknown, devices: [robot controller, block]}\n")
    assert [c for c in wiring.circuits if c.kind is CircuitKind.BUS] == []


def test_a_sensor_behind_a_controllers_port_is_wired_there() -> None:
    """`on:` names the device whose port it is plugged into."""
    wiring = wiring_of(
        "mechanisms:\n  arm: {motor: motor/brushed-340w, controller: controller/inline-40a}\n"
        "sensors:\n  compass: {part: sensor/heading-data, on: arm, port: data}\n"
    )
    assert circuit(wiring, "compass: on data").sources == ("arm controller",)


@pytest.mark.parametrize(
    ("rest", "code"),
    [
        ("sensors:\n  low: {part: sensor/limit-switch}\n", "signal-goes-nowhere"),
        ("sensors:\n  low: {part: sensor/limit-switch, port: digital 77}\n", "no-such-port"),
        ("lights:\n  strip: {part: light/strip-5v}\n", "no-source"),
        ("data:\n  chain: [robot controller, light box]\nlights:\n  light box: {part: device/any}\n", None),
    ],
)
def test_what_cannot_be_derived_is_asked(rest: str, code: str | None) -> None:
    """A missing port or source is a question with a place, never a guess."""
    questions = wiring_of(rest).questions
    assert [q.code for q in questions] == ([code] if code else [])
    assert all(q.place.line for q in questions)
