"""What students get wrong in a robot file, one by one, and what they are told."""

from __future__ import annotations

import pytest

from tests.robotfile.robot_texts import MOTOR, WIRED, raised, told
from tests.robots import plan_of

BARE = "motor: motor/brushless-500w, controller: controller/inline-40a, length: 80 cm"


def findings(text: str) -> str:
    """Return all that a plan says of a slip."""
    return "\n".join(finding.as_text() for finding in raised(text))


def test_the_file_that_slips_are_made_in_is_sound() -> None:
    """It raises nothing that must be fixed, and nothing about what the slips below are about."""
    codes = {f.code for f in plan_of(f"{WIRED}mechanisms: {{lift: {{{MOTOR}}}}}\n").findings}
    assert not codes & {"no-limit", "on-no-bus", "chain-sorted-by-id", "bus-id-used-twice", "ramp-too-long"}


def test_a_label_copied_into_slot() -> None:
    """What is written on the block is no name of a slot; the slot that carries the label is named."""
    labelled = WIRED.replace("wires tied: yes}", "wires tied: yes, labels: {H3: lift}}")
    assert told(f"{labelled}mechanisms: {{lift: {{{MOTOR}, slot: lift}}}}\n") == (
        "robot.yaml:11:142  mechanisms.lift.slot  [no-such-slot] must\n"
        "  There is no slot `lift` on block.\n"
        "  Fix: That is the label of slot H3. If it is really there, write `slot: H3`."
    )


def test_one_limit_without_its_side() -> None:
    """Battery side and motor side differ by the duty of the controller, so the side is asked for."""
    assert told(f"{WIRED}mechanisms: {{lift: {{{BARE}, limit: 40 A}}}}\n") == (
        "robot.yaml:11:107  mechanisms.lift.limit  [bad-form] must\n"
        "  `40 A` is one limit without its side: battery side and motor side are two things.\n"
        "  Fix: Write `{supply: 40 A}` or `{motor: 40 A}`; look in the code which one it is."
    )


def test_a_limit_left_out_to_mean_none() -> None:
    """Leaving it out decides nothing: a remark asks for one, and says what it spares."""
    assert findings(f"{WIRED}mechanisms: {{lift: {{{BARE}}}, arm: {{{BARE}}}}}\n") == (
        "robot.yaml:11:20  mechanisms.lift  [no-limit] consider\n"
        "  No current limit is written for lift and arm.\n"
        "  Fix: A supply-side limit spares battery and breaker: `limit: {supply: 40 A, motor: 80 A}`."
    )


def test_a_limit_of_none_is_not_guessed() -> None:
    """`none` could mean switched off, not known, or not found; each has its own words."""
    assert told(f"{WIRED}mechanisms: {{lift: {{{BARE}, limit: {{supply: none}}}}}}\n") == (
        "robot.yaml:11:116  mechanisms.lift.limit.supply  [no-answer] must\n"
        "  `none` is no answer here: a current limit belongs here.\n"
        "  Fix: If the limit is switched off in the code, write `enabled: no` beside it. Write `unknown` if it has "
        "to be asked, `none found` if somebody looked and there was none, or leave it out."
    )


@pytest.mark.parametrize("line", ["", ", ramp: 0 s"])
def test_no_ramp_and_a_ramp_of_nothing_raise_no_alarm(line: str) -> None:
    """Both are usual; they are two statements, and neither is a fault."""
    assert findings(f"{WIRED}mechanisms: {{lift: {{{MOTOR}{line}}}}}\n") == ""


def test_a_ramp_of_none_is_not_guessed() -> None:
    """`none` is told both ways."""
    assert told(f"{WIRED}mechanisms: {{lift: {{{MOTOR}, ramp: none}}}}\n") == (
        "robot.yaml:11:142  mechanisms.lift.ramp  [no-answer] must\n"
        "  `none` is no answer here: a time such as 0.2 s belongs here.\n"
        "  Fix: If the code goes to full output at once, write `0 s`. Write `unknown` if it has to be asked, "
        "`none found` if somebody looked and there was none, or leave it out."
    )


def test_a_bus_forgotten_on_a_sensor() -> None:
    """With two buses, a sensor that talks on one has to say on which."""
    text = (
        f"{WIRED}mechanisms: {{lift: {{{MOTOR}, id: 3}}}}\n"
        "sensors: {compass: {part: sensor/heading-bus, length: 30 cm, id: 3}}\n"
        "data:\n  first: {order: [robot controller, lift, block], terminators: [robot controller, block]}\n"
        "  second: {order: unknown}\n"
    )
    assert (
        "robot.yaml:12:66  sensors.compass  [on-no-bus] should\n"
        "  The file does not say which data bus compass is on.\n"
        "  Fix: Follow the data wires and put it into the list of first or second; where the order is not known, "
        "write `bus: ...` at the thing."
    ) in findings(text)


def test_a_chain_ordered_by_id() -> None:
    """A list in the order of the numbers is a remark, since the cable may run so."""
    motors = "".join(f"  m{n}: {{{MOTOR}, id: {n}}}\n" for n in range(1, 6))
    order = "[robot controller, m1, m2, m3, m4, m5, block]"
    chain = f"data: {{chain: {{order: {order}, terminators: [robot controller, block]}}}}\n"
    assert findings(f"{WIRED}mechanisms:\n{motors}{chain}") == (
        "robot.yaml:17:23  data.chain.order  [chain-sorted-by-id] consider\n"
        "  chain lists its devices by their numbers, from 1 to 5.\n"
        "  Fix: List them in the order in which the cable runs from one to the next. If it really runs so, write "
        "`order: {value: [...], state: traced}`."
    )


def test_equal_ids_of_different_types() -> None:
    """A motor, a compass and an angle sensor may all be number 1: nobody is alarmed."""
    text = (
        f"{WIRED}mechanisms: {{lift: {{{MOTOR}, id: 1}}}}\n"
        "sensors: {compass: {part: sensor/heading-bus, length: 30 cm, id: 1},"
        " angle: {part: sensor/angle-bus, length: 30 cm, id: 1}}\n"
        "data: {chain: {order: [robot controller, lift, compass, angle, block],"
        " terminators: [robot controller, block]}}\n"
    )
    said = findings(text)
    assert "bus-id" not in said
    assert "number 1" not in said
    twice = findings(text.replace("sensor/angle-bus", "sensor/heading-bus"))
    assert "compass" in twice.split("[bus-id-used-twice]", maxsplit=1)[1], "and two of one type are told"


def test_a_renamed_motor_still_named_elsewhere() -> None:
    """In `follows`, `without`, `rides on`, a chain and a doubt: the nearest id is offered at each place."""
    text = (
        f"{WIRED}mechanisms:\n  roll:\n    motors:\n      upper roller: {{{MOTOR}}}\n"
        f"      lower roller: {{{MOTOR}, follows: top roller}}\n"
        "sensors: {eye: {part: sensor/limit-switch, port: digital 0, length: 30 cm, rides on: top roller}}\n"
        "data: {chain: [robot controller, top roller, lower roller, block]}\n"
        "maybe swapped: {which: [top roller, lower roller], in: id}\n"
        "builds: {practice: {without: top roller}}\n"
    )
    told_lines = told(text).splitlines()
    assert [line for line in told_lines if "unknown-id" in line] == [
        "robot.yaml:15:146  mechanisms.roll.motors.lower roller.follows  [unknown-id] must",
        "robot.yaml:16:86  sensors.eye.rides on  [unknown-id] must",
        "robot.yaml:17:34  data.chain  [unknown-id] must",
        "robot.yaml:18:25  maybe swapped.which  [unknown-id] must",
        "robot.yaml:19:30  builds.practice.without  [unknown-id] must",
    ]
    assert told_lines.count("  Nothing on this robot is called `top roller`.") == 5
    hints = [line for line in told_lines if line.startswith("  Fix: ")]
    assert len(hints) == 5
    assert all("`lower roller`" in hint or "`upper roller`" in hint for hint in hints), hints
