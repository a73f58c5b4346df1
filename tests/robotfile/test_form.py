"""What the file can say: everything that writing down real robots asked for, each as small as possible."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from loomwright.model.device import Limit
from loomwright.model.fact import Fact, Saying, State
from loomwright.model.mark import Mark
from loomwright.robotfile.forms import form, form_plates, form_things
from loomwright.robotfile.forms.form_base import Form, _slips
from loomwright.robotfile.forms.leaves import Branch, Faults
from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import device, told
from tests.robots import robot_of

TASTE = (Path(__file__).parent / "taste.yaml").read_text(encoding="utf-8")
MECHANISM = "motor: motor/brushed-340w, controller: controller/inline-40a"


def test_the_taste_is_read() -> None:
    """A whole file of the tersest kind: every group, short forms, lists that stand for mappings."""
    robot = robot_of(TASTE)
    assert [d.id for d in robot.of_kind("motor")] == ["left front", "left rear", "lift motor"]
    lift = device(TASTE, "lift motor controller").wishes.length
    assert (lift.value, lift.state) == (1.1, State.GUESSED)
    [chain] = robot.buses
    assert chain.order.value == (
        "robot controller", "left front controller", "left rear controller", "lift motor controller", "block"
    )  # fmt: skip
    assert robot.mechanisms[1].does["travel"].value == pytest.approx(0.9)
    assert [trunk.name for trunk in robot.plate.trunks] == ["centre", "left rail"]
    assert device(TASTE, "robot controller").settings["outputs off below"].value == pytest.approx(6.8)
    radio = device(TASTE, "radio").feed
    assert (radio.source.value, radio.over.value) == ("regulator", "network cable")


@pytest.mark.parametrize(("written", "asks"), [("unsaid: ask\n", True), ("unsaid: decide\n", False), ("", False)])
def test_a_robot_that_exists_is_asked_about_and_not_decided(written: str, *, asks: bool) -> None:
    """`unsaid: ask` at the top turns everything that is left out into a question."""
    assert robot_of(f"robot: T\n{written}").asks is asks


def test_a_limit_that_nobody_found_is_no_absent_limit() -> None:
    """`none found` is a question, not the statement that there is no limit."""
    limits = device(
        f"robot: T\nmechanisms: {{a: {{{MECHANISM}, limit: {{supply: none found, motor: 80 A}}}}}}\n", "a controller"
    ).limits
    assert limits.supply.saying is Saying.NONE_FOUND
    assert limits.supply.asks
    assert limits.motor.value == Limit(80.0)


@pytest.mark.parametrize(
    ("part", "commutation"), [("motor/brushed", "brushed"), ("motor/brushless", "brushless"), ("motor/any", "")]
)
def test_a_part_can_be_half_known(part: str, commutation: str) -> None:
    """The family will do where nobody can read the class."""
    found = device(f"robot: T\nmechanisms: {{a: {{motor: {part}, controller: unknown}}}}\n").part
    assert found.family
    assert found.word("commutation") == commutation


def test_claims_of_one_motor_that_disagree_are_kept_side_by_side() -> None:
    """Ranges, sources and disagreement stand in one place."""
    ramp = "{claims: [{value: 0.2 s to 0.3 s, source: code}, {value: 0.5 s, source: notebook}]}"
    found = device(f"robot: T\nmechanisms: {{a: {{{MECHANISM}, ramp: {ramp}}}}}\n", "a controller").ramp
    assert found.describe(str) == "(0.2, 0.3) (code) or (0.5, 0.5) (notebook)"


def test_limits_can_be_switched_off() -> None:
    """Written but disabled is said with one word."""
    text = f"robot: T\nmechanisms: {{a: {{{MECHANISM}, limit: {{supply: 40 A, enabled: no}}}}}}\n"
    assert device(text, "a controller").limits.enabled.value is False


def test_ids_on_a_bus_of_unknown_order_with_groups_of_makers() -> None:
    """Who is on a bus is known long before its order is."""
    text = (
        "robot: T\n"
        f"mechanisms: {{a: {{{MECHANISM}, id: 7, bus: second, maker: group A}}}}\n"
        f"data: {{second: {{order: unknown}}}}\n"
    )
    [bus] = robot_of(text).buses
    assert bus.order.saying is Saying.UNKNOWN
    assert bus.members == ("a controller",)
    key = device(text, "a controller").key
    assert (key.bus.value, key.maker.value, key.number.value) == ("second", "group A", 7)


def test_a_bus_that_nobody_lists_is_one_of_unknown_order() -> None:
    """Where `data` says nothing at all, naming a bus at a thing is enough."""
    [bus] = robot_of(f"robot: T\nmechanisms: {{a: {{{MECHANISM}, id: 7, bus: main}}}}\n").buses
    assert (bus.name, bus.members, bus.order.saying) == ("main", ("a controller",), Saying.UNKNOWN)


def test_devices_may_be_listed_where_the_order_is_not_known() -> None:
    """`devices` says who is on a bus without saying in which order."""
    text = (
        "robot: T\n"
        f"mechanisms: {{a: {{{MECHANISM}}}, b: {{{MECHANISM}}}}}\n"
        f"data: {{main: {{order: unknown, devices: [b, a]}}}}\n"
    )
    assert robot_of(text).buses[0].members == ("b controller", "a controller")


def test_one_device_needs_no_list() -> None:
    """Where a list of ids belongs, one id alone will do."""
    text = f"robot: T\nmechanisms: {{a: {{{MECHANISM}}}}}\ndata: {{main: {{order: unknown, devices: a}}}}\n"
    assert robot_of(text).buses[0].members == ("a controller",)


def test_labels_are_kept_apart_from_slots() -> None:
    """A label, even one on two slots, pins nothing."""
    text = (
        "robot: T\n"
        f"blocks: {{block: {{labels: {{3: lift, 9: lift, 12: spare}}}}}}\n"
        f"mechanisms: {{lift: {{{MECHANISM}}}}}\n"
    )
    labels = device(text, "block").labels
    assert {slot: label.value for slot, label in labels.items()} == {"3": "lift", "9": "lift", "12": "spare"}
    assert device(text, "lift controller").feed.slot.open_to_decide


def test_a_thing_may_not_be_there() -> None:
    """Doubt about the thing itself stands at the thing, beside what is known of it."""
    text = f"robot: T\nblocks: {{block: {{}}}}\nmechanisms: {{winch: {{{MECHANISM}, slot: 5, present: unknown}}}}\n"
    winch = device(text, "winch controller")
    assert (winch.feed.slot.value, winch.present.saying, winch.absent) == ("5", Saying.UNKNOWN, False)


def test_a_thing_that_is_not_there_is_no_load() -> None:
    """`present: no` takes a thing off the robot and keeps what was written of it."""
    text = "robot: T\nsensors: {a: {part: sensor/limit-switch, present: no}}\n"
    assert device(text).absent
    assert list(robot_of(text)) == []


def test_a_link_may_be_doubtful() -> None:
    """Where a thing is fed from can be a guess like everything else."""
    text = (
        "robot: T\n"
        "electronics: {rc: {part: computer/robot-controller}}\n"
        "lights: {beacon: {part: light/signal, from: rc (guessed)}}\n"
    )
    source = device(text, "beacon").feed.source
    assert (source.value, source.state) == ("rc", State.GUESSED)


@pytest.mark.parametrize(
    "written", ["{which: [a, b], in: id}", "[{which: [a, b], in: id}]", "{which: [a, b, c], in: id}"]
)
def test_doubt_that_joins_things(written: str) -> None:
    """Two or more things of which one statement may be swapped, said once."""
    text = f"robot: T\nsensors: {{a: {{}}, b: {{}}, c: {{}}}}\nmaybe swapped: {written}\n"
    [doubt] = robot_of(text).doubts
    assert doubt.which[:2] == ("a", "b")
    assert doubt.what == "id"


def test_several_doubts_that_join_things() -> None:
    """There may be more than one such doubt."""
    text = "robot: T\nsensors: {a: {}, b: {}}\nmaybe swapped: [{which: [a, b], in: id}, {which: [b, a], in: port}]\n"
    assert [doubt.what for doubt in robot_of(text).doubts] == ["id", "port"]


def test_ports_on_anything() -> None:
    """A switch on a computer's port, a compass behind a motor's controller, a controller on a pulse port."""
    text = (
        f"robot: T\nmechanisms: {{arm: {{{MECHANISM}, port: pulse 3}}}}\n"
        "sensors: {switch: {part: sensor/limit-switch, port: digital 2-3}, "
        "compass: {part: sensor/heading-data, on: arm, port: data}}\n"
    )
    assert device(text, "switch").hookup.sockets.value == ("digital 2", "digital 3")
    assert device(text, "arm controller").hookup.sockets.value == ("pulse 3",)
    compass = device(text, "compass").hookup
    assert (compass.on.value, compass.sockets.value) == ("arm", ("data",))


def test_what_moves_with_what() -> None:
    """A thing may ride on a mechanism, or on another thing."""
    text = (
        "robot: T\n"
        f"mechanisms: {{lift: {{motors: {{lift motor: {{{MECHANISM}}}}}}}, wrist: {{{MECHANISM}, "
        f"rides on: lift}}}}\n"
        "sensors: {eye: {part: sensor/limit-switch, rides on: wrist}}\n"
    )
    assert device(text, "wrist controller").spot.rides_on.value == "lift"
    assert device(text, "eye").spot.rides_on.value == "wrist"


def test_valves_by_channel_in_their_own_order() -> None:
    """A valve's two coils may be on channels 3 and 2, in that order."""
    text = (
        "robot: T\n"
        "pneumatics: {air: {part: pneumatics/control-module}, gate: {part: valve/double, module: air, "
        "channels: [3, 2]}}\n"
    )
    gate = device(text, "gate")
    assert (gate.module.value, gate.channels.value) == ("air", (3, 2))


def test_one_load_behind_another() -> None:
    """The compressor hangs on the module, not on the block."""
    text = (
        "robot: T\n"
        "pneumatics: {air: {part: pneumatics/control-module}, compressor: {part: compressor/12v, from: air}}\n"
    )
    assert device(text, "compressor").feed.source.value == "air"


def test_a_drive_has_sides_or_modules() -> None:
    """Mechanisms nest, and each module keeps its motors."""
    text = (
        "robot: T\nmechanisms:\n  base:\n    does: {kind: drive, mass: 54 kg}\n    parts:\n"
        f"      left: {{motors: {{l1: {{{MECHANISM}}}, l2: {{{MECHANISM}}}}}}}\n"
        f"      right: {{{MECHANISM}}}\n"
    )
    robot = robot_of(text)
    assert [(m.name, m.part_of) for m in robot.mechanisms] == [("base", ""), ("left", "base"), ("right", "base")]
    assert [(d.id, d.mechanism) for d in robot.of_kind("motor")] == [("l1", "left"), ("l2", "left"), ("right", "right")]


def test_conventions_other_names_stale_and_removed_things_are_kept() -> None:
    """What people wrote down for each other stays as it was written, with its place."""
    text = (
        "robot: T\n"
        "sensors: {a: {also called: {Lift B: code}, note: squeaks}, b: {also called: Eye}, "
        "c: {also called: [X, Y]}}\n"
        "conventions: {id of a motor controller: its slot}\nremoved: {winch: in spring, old arm: long ago}\n"
        "stale: [{says: the pump is on 2, where: on the block}]\nnotes: smells of varnish\n"
    )
    robot = robot_of(text)
    assert [(r.topic, r.subject, r.text) for r in robot.remarks] == [
        ("conventions", "id of a motor controller", "its slot"),
        ("removed", "winch", "in spring"),
        ("removed", "old arm", "long ago"),
        ("stale", "on the block", "the pump is on 2"),
        ("notes", "notes", "smells of varnish"),
    ]
    assert [dict(device(text, name).also_called) for name in "abc"] == [
        {"Lift B": "code"},
        {"Eye": ""},
        {"X": "", "Y": ""},
    ]
    assert device(text, "a").note == "squeaks"
    assert str(robot.remarks[2].mark) == "robot.yaml:4:38"


def test_notes_of_what_is_no_device_are_kept() -> None:
    """Data lines, trunks, the plate and what a mechanism does may have a note too."""
    text = (
        f"robot: T\nmechanisms: {{base: {{parts: {{lift: {{does: {{kind: lift, note: heavy}}, {MECHANISM}}}}}}}}}\n"
        "data: {main: {order: unknown, note: under the plate}}\n"
        "plate: {note: plywood, trunks: {left: {along: [[0, 0], [1 m, 0]], note: taped}}}\n"
    )
    assert [(r.topic, r.subject, r.text) for r in robot_of(text).remarks] == [
        ("note", "main", "under the plate"),
        ("note", "left", "taped"),
        ("note", "plate", "plywood"),
        ("note", "lift: does", "heavy"),
    ]


def test_every_motor_is_merged_deeply() -> None:
    """A motor that says one side of a limit keeps the other side of the default."""
    text = (
        "robot: T\nevery motor: {limit: {supply: 40 A, enabled: yes}, ramp: 0.2 s, maker: group A}\n"
        f"mechanisms: {{lift: {{{MECHANISM}, limit: {{motor: 60 A}}}}, roll: {{motors: {{upper: {{{MECHANISM}, "
        f"ramp: 0 s}}}}}}}}\n"
    )
    lift, upper = device(text, "lift controller"), device(text, "upper controller")
    assert (lift.limits.supply.value, lift.limits.motor.value) == (Limit(40.0), Limit(60.0))
    assert lift.limits.enabled.value is True
    assert (lift.ramp.value, upper.ramp.value) == ((0.2, 0.2), (0.0, 0.0))
    assert (lift.key.maker.value, upper.limits.supply.value) == ("group A", Limit(40.0))


def test_a_long_form_replaces_a_default_whole() -> None:
    """A fact is one statement: its source never mixes with the default's value."""
    text = (
        "robot: T\nevery motor: {limit: {supply: {value: 40 A, source: code}}}\n"
        f"mechanisms: {{lift: {{{MECHANISM}, limit: {{supply: {{value: 30 A, state: guessed}}}}}}}}\n"
    )
    [claim] = device(text, "lift controller").limits.supply.said
    assert (claim.value, claim.state, claim.source) == (Limit(30.0), State.GUESSED, "")


def test_a_default_is_visible_in_what_is_told() -> None:
    """A slip in a default is told where it stands, once, and what inherits a slip says from where."""
    text = (
        "robot: T\n"
        f"every motor: {{ramp: 3, follows: lift}}\n"
        f"mechanisms: {{lift: {{{MECHANISM}}}, roll: {{{MECHANISM}}}, arm: {{{MECHANISM}}}}}\n"
    )
    assert told(text) == (
        "robot.yaml:2:21  every motor.ramp  [bad-value] must\n"
        "  `3` has no unit.\n"
        "  Fix: Write `3 s`, `3 ms` or `3 min`.\n"
        "robot.yaml:2:33  mechanisms.lift.follows  [follows-in-a-circle] must\n"
        "  Nobody leads here: lift follows lift.\n"
        "  Fix: Let one of them lead: take its `follows:` out."
    )


def test_a_motor_can_lift_the_bus_of_a_default() -> None:
    """`bus: none` says that a motor driven by pulses is on no bus."""
    text = (
        "robot: T\n"
        f"every motor: {{bus: main}}\n"
        f"mechanisms: {{lift: {{{MECHANISM}}}, roll: {{{MECHANISM}, bus: none}}}}\n"
    )
    assert robot_of(text).buses[0].members == ("lift controller",)


def test_a_mechanism_with_one_motor_carries_its_fields() -> None:
    """The shortest way to write a mechanism: the motor's keys stand in it."""
    text = f"robot: T\nmechanisms: {{arm: {{does: {{kind: arm, carries: 3 kg}}, {MECHANISM}, id: 6}}}}\n"
    arm = device(text, "arm controller")
    assert (arm.called, arm.mechanism, arm.key.number.value) == ("arm", "arm", 6)


def test_a_motor_may_have_its_controller_built_in() -> None:
    """Then motor and controller are one device, said or seen from the part."""
    for said in ("", ", controller: built in"):
        text = f"robot: T\nmechanisms: {{wheel: {{motor: motor/brushless-600w-built-in{said}, id: 1}}}}\n"
        assert [d.id for d in robot_of(text)] == ["wheel"]
        assert device(text, "wheel").key.number.value == 1


@pytest.mark.parametrize(
    ("written", "plug"),
    [
        ("", "plug/battery-quick-disconnect"),
        (", plug: plug/small-quick-disconnect", "plug/small-quick-disconnect"),
    ],
)
def test_a_battery_has_a_plug_unless_it_has_none(written: str, plug: str) -> None:
    """The usual plug follows; another one, or none, is said."""
    assert device(f"robot: T\nbattery: {{part: battery/agm-12v-18ah{written}}}\n", "battery plug").part.id == plug
    assert robot_of("robot: T\nbattery: {part: battery/agm-12v-18ah, plug: none}\n").device("battery plug") is None
    asked = device("robot: T\nbattery: {part: battery/agm-12v-18ah, plug: unknown}\n", "battery plug")
    assert asked.part_said.saying is Saying.UNKNOWN


def test_a_sub_block_keeps_every_wish() -> None:
    """Its leads and its other wishes stand side by side."""
    text = (
        "robot: T\nblocks: {top: {}, sub: {from: top, lead length: 20 cm, protection: 30 A, bundle: 4, wire: 10 AWG}}\n"
    )
    wishes = device(text, "sub").wishes
    assert (wishes.length.value, wishes.protection.value, wishes.bundle.value) == (0.2, 30.0, 4)
    assert str(wishes.gauge.value) == "10 AWG"


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_form_faults.txt"))
def test_what_has_no_place_is_told_whole(written: str, told_words: str) -> None:
    """A key, a word or a list in the wrong place is told with what belongs there."""
    assert told(written) == told_words


def forms() -> Iterator[type[Form]]:
    """Give every form of the file."""
    for module in (form_things, form_plates, form):
        for held in vars(module).values():
            if isinstance(held, type) and issubclass(held, Form) and held.__module__ == module.__name__:
                yield held


FORMS = [kind for kind in forms() if kind.__name__ not in ("PlacedForm", "FedForm")]


@pytest.mark.parametrize("kind", FORMS, ids=lambda kind: kind.__name__)
def test_an_unknown_key_never_lists_them_all(kind: type[Form]) -> None:
    """Whatever was meant: at most eight keys are named, and the page that has them all."""
    said = kind.other_key("qqqqq")
    assert len(said) < 150
    assert said.count(",") <= 8
    assert set(kind.first) <= set(kind.keys())


def test_every_word_that_people_use_for_a_key_leads_to_a_key() -> None:
    """The list of usual slips names keys that exist, and none that is a key of the same form already."""
    keys = set().union(*(kind.keys() for kind in FORMS))
    for written, meant in _slips().items():
        assert set(meant) <= keys, written


def test_the_form_says_what_every_key_means() -> None:
    """Every key has a sentence of its own; editors, the manual and the schema show it."""
    for kind in FORMS:
        for name, field in kind.model_fields.items():
            assert name == "branch" or field.description, f"{kind.__name__}.{name}"


def facts_of(thing: Any) -> list[Fact[Any]]:  # noqa: ANN401  any form
    """Return the facts that a form holds."""
    return [held for name in type(thing).model_fields if isinstance(held := getattr(thing, name), Fact)]


def test_nothing_is_said_where_nothing_is_written() -> None:
    """An empty thing decides nothing by itself: every one of its facts is absent."""
    nothing = Branch((), mark=Mark("robot.yaml", 1, 1), path="a", key_marks={})
    facts = facts_of(form_things.ThingForm.model_validate(nothing, context={"faults": Faults()}))
    assert len(facts) > 20
    assert all(fact.open_to_decide for fact in facts)
