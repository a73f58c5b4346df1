"""A chain that the tool puts in order: who is on it, who stands at its ends, and what can't be asked."""

from __future__ import annotations

import pytest

from loomwright.model.robot import Bus
from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import told
from tests.robots import robot_of

MOTOR = "motor: motor/brushed-340w, controller: controller/inline-40a"
THINGS = (
    "robot: T\n"
    "electronics: {rc: {part: computer/robot-controller}}\n"
    "blocks: {block: {part: block/6-heavy-10-light-2-fused}}\n"
    f"mechanisms: {{lift: {{{MOTOR}}}, arm: {{{MOTOR}}}, roll: {{{MOTOR}, bus: chain}}}}\n"
)
LISTED = "devices: [rc, lift, arm, block]"


def chain(line: str, *, more: str = "", build: str = "") -> Bus:
    """Read one chain of a robot with a computer, a block and three motors."""
    [bus] = robot_of(f"{THINGS}data: {{chain: {{{line}}}}}\n{more}", build).buses
    return bus


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_chain_faults.txt"))
def test_what_cannot_be_asked_of_a_chain_is_told_whole(written: str, told_words: str) -> None:
    """No devices, ends without a wish, too many ends, a wish that is said to be fitted."""
    assert told(written) == told_words


@pytest.mark.parametrize("order", ["shortest", "Shortest", "{value: shortest, note: till week four}"])
def test_the_tool_may_choose_the_order(order: str) -> None:
    """Its order is open to decide; its members are those that are listed, and those that say so themselves."""
    bus = chain(f"order: {order}, {LISTED}")
    assert (bus.shortest, bus.order.open_to_decide, bus.ends) == (True, True, ())
    assert bus.members == ("rc", "lift controller", "arm controller", "block", "roll controller")


def test_things_that_name_their_bus_are_enough() -> None:
    """Nobody lists a device twice."""
    bus = chain("order: shortest")
    assert (bus.shortest, bus.members) == (True, ("roll controller",))


def test_a_written_order_is_not_for_the_tool() -> None:
    """Written or unknown: then nobody chooses."""
    assert not chain("order: [rc, lift, block]").shortest
    assert not chain(f"order: unknown, {LISTED}").shortest


@pytest.mark.parametrize(
    ("line", "ends"),
    [
        ("ends: [rc]", ("rc",)),
        ("ends: lift", ("lift controller",)),
        ("ends: [block, roll]", ("block", "roll controller")),
        ("terminators: [rc, block]", ("rc", "block")),
        ("ends: [rc], terminators: [block]", ("rc", "block")),
        ("ends: [rc, block], terminators: [block, rc]", ("rc", "block")),
        ("terminators: unknown, ends: [arm]", ("arm controller",)),
        ("terminators: {any of: [[rc, block], [rc, lift]]}", ()),
    ],
)
def test_ends_and_terminators_stand_at_the_ends(line: str, ends: tuple[str, ...]) -> None:
    """A terminator is at an end, so it pins one; a doubtful choice of terminators pins nothing."""
    assert chain(f"order: shortest, {LISTED}, {line}").ends == ends


def test_a_robot_that_exists_is_told_to_choose_too() -> None:
    """`unsaid: ask` is about what is left out; a wish is written."""
    assert robot_of(f"unsaid: ask\n{THINGS}data: {{chain: {{order: shortest}}}}\n").buses[0].shortest


@pytest.mark.parametrize(
    ("line", "members", "ends"),
    [
        (f"{LISTED}, ends: [lift]", ("rc", "arm controller", "block", "roll controller"), ()),
        (f"{LISTED}, ends: lift", ("rc", "arm controller", "block", "roll controller"), ()),
        (f"{LISTED}, ends: [lift, rc]", ("rc", "arm controller", "block", "roll controller"), ("rc",)),
        ("devices: lift", ("roll controller",), ()),
    ],
)
def test_a_build_closes_up_such_a_chain(line: str, members: tuple[str, ...], ends: tuple[str, ...]) -> None:
    """What a build leaves out goes out of `devices` and `ends`, one id alone or a list."""
    bus = chain(f"order: shortest, {line}", more="builds: {practice: {without: [lift]}}\n", build="practice")
    assert (bus.shortest, bus.members, bus.ends) == (True, members, ends)


def test_a_build_may_leave_such_a_chain_empty() -> None:
    """The design has devices; a build without them is no slip."""
    bus = chain("order: shortest, devices: [lift]", more="builds: {bare: {without: [lift, roll]}}\n", build="bare")
    assert bus.members == ()
