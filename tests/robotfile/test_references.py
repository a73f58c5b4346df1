"""Everything that a file points at is there; what is not is told at its character, with the nearest name."""

from __future__ import annotations

import pytest

from tests.robotfile.fault_cases import fault_cases
from tests.robotfile.robot_texts import MOTOR, WIRED, noticed, raised, told
from tests.robots import robot_of

CHAIN = "data: {chain: {order: [robot controller, %s], terminators: [robot controller, block]}}\n"


@pytest.mark.parametrize(("written", "told_words"), fault_cases("robot_reference_faults.txt"))
def test_what_points_at_nothing_is_told_whole(written: str, told_words: str) -> None:
    """Parts, ids, slots, chains, circles: each with its place and what to write instead."""
    assert told(written) == told_words


@pytest.mark.parametrize(
    "line",
    [
        "from: main breaker",
        "rides on: lift",
        "slot: {any of: [H1, H2]}",
        "slot: unknown",
        "follows: none found",
        "from: {claims: [{value: block, source: Mia}, {value: block, source: Tom}]}",
    ],
)
def test_what_points_at_something_is_not_refused(line: str) -> None:
    """Every kind of thing can be named where it belongs."""
    robot_of(f"{WIRED}mechanisms: {{lift: {{motors: {{lift motor: {{{MOTOR}, {line}}}}}}}}}\n")


def test_a_slot_of_an_unknown_block_is_believed() -> None:
    """Where the block's class is not known, nobody can say that a slot is wrong."""
    robot_of("robot: T\nblocks: {block: {part: unknown, labels: {99: x}}}\nsensors: {a: {slot: 42}}\n")


def test_a_thing_of_unknown_class_may_be_on_a_chain() -> None:
    """It may well have a bus: only a known part without one is refused."""
    [bus] = robot_of("robot: T\nelectronics: {rc: {part: unknown}, box: {}}\ndata: {chain: [rc, box]}\n").buses
    assert bus.order.value == ("rc", "box")


def test_equal_ids_of_different_types_are_no_alarm() -> None:
    """A motor and a compass may both be number 1, and two of one type on two buses too."""
    text = (
        f"{WIRED}mechanisms:\n  lift: {{{MOTOR}, id: 1}}\n  roll: {{{MOTOR}, id: 1, bus: second}}\n"
        "sensors: {compass: {part: sensor/heading-bus, length: 30 cm, id: 1}}\n"
        "data:\n"
        "  first: {order: {value: [robot controller, compass, lift, block], state: traced}, "
        "terminators: [robot controller, block]}\n"
        "  second: {order: unknown}\n"
    )
    assert [finding.code for finding in raised(text)] == ["chain-order"]


def test_a_chain_sorted_by_id_is_asked_about() -> None:
    """Five numbers in order may be the cable's way or a sorted list; nobody is told off."""
    motors = "".join(f"  m{n}: {{{MOTOR}, id: {n}}}\n" for n in range(1, 6))
    text = f"{WIRED}mechanisms:\n{motors}{CHAIN % 'm1, m2, m3, m4, m5, block'}"
    finding = noticed(robot_of(text))["chain-sorted-by-id"]
    assert finding.as_text() == (
        "robot.yaml:17:23  data.chain.order  [chain-sorted-by-id] consider\n"
        "  chain lists its devices by their numbers, from 1 to 5.\n"
        "  Fix: List them in the order in which the cable runs from one to the next. If it really runs so, write "
        "`order: {value: [...], state: traced}`."
    )


@pytest.mark.parametrize(
    "chain",
    [
        "order: [robot controller, m1, m3, m2, m4, m5, block]",
        "order: {value: [robot controller, m1, m2, m3, m4, m5, block], state: traced}",
        "order: {value: [robot controller, m1, m2, m3, m4, m5, block], state: fitted}",
        "order: [robot controller, m1, m2, m3, m4, block]",
    ],
)
def test_other_chains_are_not_asked_about(chain: str) -> None:
    """Four in order may be chance, and what was traced is known."""
    motors = "".join(f"  m{n}: {{{MOTOR}, id: {n}}}\n" for n in range(1, 6))
    assert "chain-sorted-by-id" not in noticed(robot_of(f"{WIRED}mechanisms:\n{motors}data: {{chain: {{{chain}}}}}\n"))


def test_a_forgotten_bus_is_asked_for() -> None:
    """A sensor that talks on a bus only, and a motor with a number, have to be on one."""
    text = (
        f"{WIRED}mechanisms: {{lift: {{{MOTOR}, id: 1}}, arm: {{{MOTOR}}}}}\n"
        "sensors: {compass: {part: sensor/heading-bus, length: 30 cm}}\n"
        "data: {first: [robot controller, block], second: {order: unknown}}\n"
    )
    assert noticed(robot_of(text))["on-no-bus"].as_text() == (
        "robot.yaml:11:140  mechanisms.lift  [on-no-bus] should\n"
        "  The file does not say which data bus lift and compass are on.\n"
        "  Fix: Follow the data wires and put it into the list of first or second; where the order is not known, "
        "write `bus: ...` at the thing."
    )


def test_numbers_without_any_bus_are_asked_about_once() -> None:
    """A first file with ids and no `data` gets one question, not one a motor."""
    motors = "".join(f"  m{n}: {{{MOTOR}, id: {n}}}\n" for n in range(1, 10))
    finding = noticed(robot_of(f"{WIRED}mechanisms:\n{motors}"))["on-no-bus"]
    assert finding.what == "The file does not say which data bus m1, m2, m3, m4, m5, m6 and 3 more are on."
    assert finding.fix.startswith("Follow the data wires and write the chain, `data: {main chain: [...]}`;")


@pytest.mark.parametrize("line", ["bus: second", "bus: unknown", "bus: {any of: [first, second]}"])
def test_a_bus_that_is_said_is_not_asked_for_again(line: str) -> None:
    """Said, doubtful or unknown: the rule book speaks of it, and nobody twice."""
    text = (
        f"{WIRED}mechanisms: {{lift: {{{MOTOR}, id: 1, {line}}}}}\n"
        f"data: {{first: {{order: unknown}}, second: {{order: unknown}}}}\n"
    )
    assert "on-no-bus" not in noticed(robot_of(text))


@pytest.mark.parametrize(
    ("chain", "code", "what"),
    [
        (
            "order: {claims: [{value: [robot controller, lift, block], source: Mia}, [robot controller, block, lift]]}",
            "claims-disagree",
            (
                "The order of chain is said to be [robot controller, lift, block] (Mia) or "
                "[robot controller, block, lift]."
            ),
        ),
        (
            "order: {value: [robot controller, lift, block], state: guessed}",
            "guessed",
            "The order of chain is only guessed.",
        ),
        (
            "order: [robot controller, lift, block], terminators: unknown",
            "unknown",
            "Where chain is terminated is unknown in the file.",
        ),
    ],
)
def test_doubt_about_a_chain_is_asked_about(chain: str, code: str, what: str) -> None:
    """A chain can be disputed, guessed, or of unknown ends like any other fact."""
    text = f"{WIRED}mechanisms: {{lift: {{{MOTOR}}}}}\ndata: {{chain: {{{chain}}}}}\n"
    assert noticed(robot_of(text))[code].what == what


def test_an_unknown_trunk_is_asked_about() -> None:
    """Whether a trunk bends or passes an edge is a fact like any other."""
    text = f"{WIRED}plate: {{trunks: {{left: {{along: [[0, 0], [1 m, 0]], sharp edge: unknown, moving: yes}}}}}}\n"
    robot = robot_of(text)
    assert robot.plate.trunks[0].flags == ("moving",)
    assert noticed(robot)["unknown"].as_text() == (
        "robot.yaml:11:64  plate.trunks.left.sharp edge  [unknown] should\n"
        "  The file does not say whether left is at a sharp edge.\n"
        "  Fix: Look at it, and write `sharp edge: yes` or `sharp edge: no`."
    )
