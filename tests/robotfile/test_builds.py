"""Builds are overlays of one design: without, change and add; slips in any of them are told with the design's."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.model.device import Limit
from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import WIRED, device, told
from tests.robots import robot_of

MOTOR = "motor: motor/brushed-340w, controller: controller/inline-40a"
DESIGN = f"""\
robot: T
every motor: {{limit: {{supply: 40 A, motor: 60 A}}}}
blocks: {{block: {{labels: {{1: lift}}}}}}
mechanisms:
  lift: {{motors: {{lift: {{{MOTOR}, id: 7, limit: {{supply: {{hold: 30 A, peak: 50 A}}}}}}}}}}
  roll: {{motors: {{upper: {{{MOTOR}, id: 1}}, lower: {{{MOTOR}, id: 2}}}}}}
  arm: {{{MOTOR}, id: 5}}
electronics:
  rc: {{part: computer/robot-controller}}
  radio: {{part: radio/generic}}
sensors:
  eye: {{part: sensor/limit-switch, rides on: arm}}
data:
  main: {{order: [rc, upper, lower, lift, arm], terminators: [rc, arm]}}
  net: {{kind: network, links: [[rc, radio]]}}
wires: {{ambient: 25 C}}
builds:
"""


def built(overlay: str) -> str:
    """Return the design with one build called practice."""
    return f"{DESIGN}  practice: {overlay}\n"


def test_the_design_itself_is_untouched_by_its_builds() -> None:
    """Without --build the file is read as if it had no builds."""
    text = built("{without: [lift], change: {arm: {id: 9}}}")
    assert device(text, "lift").id == "lift"
    assert device(text, "arm controller").key.number.value == 5
    assert robot_of(text).builds == ("practice",)


def test_a_thing_is_left_out_with_everything_under_it() -> None:
    """A mechanism goes with its motors; chains and terminators close up over them."""
    robot = robot_of(built("{without: [roll]}"), "practice")
    assert [d.called for d in robot.of_kind("motor")] == ["lift", "arm"]
    assert [m.name for m in robot.mechanisms] == ["lift", "arm"]
    assert robot.buses[0].order.value == ("rc", "lift controller", "arm controller")


def test_a_mechanism_goes_with_its_last_motor() -> None:
    """Leaving out the only motor leaves no mechanism without a motor behind."""
    robot = robot_of(built("{without: [upper, lower]}"), "practice")
    assert [m.name for m in robot.mechanisms] == ["lift", "arm"]


def test_without_means_the_mechanism_where_its_motor_has_the_same_name() -> None:
    """`without: lift` takes the whole lift out, and one id alone needs no list."""
    robot = robot_of(built("{without: lift}"), "practice")
    assert [m.name for m in robot.mechanisms] == ["roll", "arm"]


def test_change_means_the_motor_where_its_mechanism_has_the_same_name() -> None:
    """An id is changed at the motor; what the mechanism does, at the mechanism."""
    text = built("{change: {lift: {id: 17}}}")
    assert device(text, "lift controller", "practice").key.number.value == 17
    text = built("{change: {lift: {does: {kind: lift, carries: 4 kg}}}}")
    assert robot_of(text, "practice").mechanisms[0].does["carries"].value == pytest.approx(4)


def test_a_change_is_merged_deeply() -> None:
    """What the build does not say stays as it is; the defaults lie under both."""
    limits = device(
        built("{change: {lift: {limit: {supply: {hold: 20 A}, motor: 45 A}}}}"), "lift controller", "practice"
    ).limits
    assert (limits.supply.value, limits.motor.value) == (Limit(20.0, 50.0), Limit(45.0))


def test_a_change_points_at_the_build() -> None:
    """What comes from a build keeps its place there, and says so."""
    said = device(built("{change: {lift: {id: 17}}}"), "lift controller", "practice").key.number
    assert (said.mark.line if said.mark else 0) == built("").count("\n")


def test_a_build_may_change_what_holds_for_all() -> None:
    """`every motor` and `wires` can differ, and a build may bring them where the design has none."""
    text = built("{change: {every motor: {limit: {supply: 20 A}}, wires: {ambient: 35 C}, plate: {note: oak}}}")
    assert device(text, "arm controller", "practice").limits.supply.value == Limit(20.0)
    assert device(text, "arm controller", "practice").limits.motor.value == Limit(60.0)
    robot = robot_of(text, "practice")
    assert robot.house.ambient.value == pytest.approx(35)
    assert [(r.subject, r.text) for r in robot.remarks] == [("plate", "oak")]


@pytest.mark.parametrize("order", ["[rc, lift, arm]", "{value: [rc, lift, arm], state: traced}"])
def test_a_build_may_change_a_chain(order: str) -> None:
    """The practice robot's cable may run another way."""
    text = built(f"{{change: {{main: {{order: {order}, terminators: [rc, arm]}}}}}}")
    assert robot_of(text, "practice").buses[0].order.value == ("rc", "lift controller", "arm controller")


def test_a_plain_chain_may_be_changed_too() -> None:
    """A chain that stands as a list is changed like one that stands as a mapping."""
    text = built("{change: {main: {terminators: [rc]}}}").replace(
        "{order: [rc, upper, lower, lift, arm], terminators: [rc, arm]}", "[rc, upper, lower, lift, arm]"
    )
    [bus, _] = robot_of(text, "practice").buses
    assert (len(bus.order.value or ()), bus.terminators.value) == (5, ("rc",))


def test_a_build_may_add_things_to_every_group() -> None:
    """What is added gets the defaults like everything else."""
    text = built(
        f"{{add: {{mechanisms: {{roll: {{motors: {{third: {{{MOTOR}}}}}}}}}, sensors: {{ear: {{}}}}, "
        f"data: {{more: [rc]}}}}}}"
    )
    robot = robot_of(text, "practice")
    assert device(text, "third controller", "practice").limits.supply.value == Limit(40.0)
    assert robot.device("ear") is not None
    assert [bus.name for bus in robot.buses] == ["main", "net", "more"]


def test_cables_go_with_either_end() -> None:
    """A network cable without one of its devices is no cable."""
    robot = robot_of(built("{without: [radio]}"), "practice")
    assert [bus.name for bus in robot.buses] == ["main", "net"]
    assert robot.buses[1].links == ()


def test_claims_about_a_chain_close_up_too() -> None:
    """Two orders that disagree both lose what is not there."""
    text = built("{without: [upper]}").replace(
        "[rc, upper, lower, lift, arm]", "{claims: [[rc, upper, lower], [rc, lower, upper]]}"
    )
    assert robot_of(text, "practice").buses[0].order.values == (("rc", "lower controller"), ("rc", "lower controller"))


def test_swapped_things_that_are_left_out_are_not_asked_about() -> None:
    """A doubt that joins two things ends where one of them is not there."""
    text = f"maybe swapped: {{which: [upper, lower], in: id}}\n{built('{without: [upper]}')}"
    assert len(robot_of(text).doubts) == 1
    assert robot_of(text, "practice").doubts == ()


def test_how_a_build_differs_may_be_unknown() -> None:
    """`differs: unknown` is kept for the one who asks, and only in that build."""
    text = built("{differs: unknown, note: from spare parts, change: {lift: {id: 8}}}")
    assert [(r.topic, r.subject, r.text) for r in robot_of(text, "practice").remarks] == [
        ("build note", "practice", "from spare parts"),
        ("build differs", "practice", "unknown"),
    ]
    assert robot_of(text).remarks == ()


def test_an_unknown_build_is_refused_with_the_nearest_name() -> None:
    """--build names one of the file's builds."""
    with pytest.raises(UnreadableInputError) as caught:
        robot_of(built("{note: x}"), "practise")
    assert str(caught.value) == (
        "robot.yaml:17:1  builds  [unknown-build] must\n"
        "  This file has no build `practise`; it has practice.\n"
        "  Fix: Did you mean `--build 'practice'`? Name one of these with --build, or write it under `builds:`."
    )


def test_a_build_where_there_is_none() -> None:
    """A file without builds says so."""
    with pytest.raises(UnreadableInputError) as caught:
        robot_of("robot: T\n", "practice")
    assert str(caught.value) == (
        "robot.yaml:1:1  builds  [unknown-build] must\n"
        "  This file has no build `practice`; it has none.\n"
        "  Fix: Name one of these with --build, or write it under `builds:`."
    )


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_build_faults.txt"))
def test_slips_in_builds_are_told_whole(written: str, told_words: str) -> None:
    """Also without --build: a student who renames a motor hears of every build that still names it."""
    assert told(written) == told_words


def test_the_default_motor_is_a_mechanisms_own() -> None:
    """With `every motor: {motor: ...}` a mechanism that only names its slot has that motor, and is not refused."""
    text = (
        f"{WIRED}every motor: {{motor: motor/brushed-340w, controller: unknown}}\nmechanisms: {{arm: {{slot: H2}}}}\n"
    )
    robot = robot_of(text)
    arm = robot.device("arm")
    assert arm is not None
    assert arm.part.id == "motor/brushed-340w"
    assert [d.id for d in robot.called("arm")] == ["arm controller", "arm"]
