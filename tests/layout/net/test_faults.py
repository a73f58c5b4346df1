"""What is drawn wrongly is told with its line, what is so, and how to put it right."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.findings import Finding, Severity
from loomwright.layout.net import build_net
from loomwright.model.robot import Robot
from tests.layout.net.net_robots import read, robot_of, terminals_of, things

TRUNKS = "trunks: {spine: [[200 mm, 100 mm], [200 mm, 500 mm]]}"


def told(robot: Robot) -> list[Finding]:
    """Return the findings of a robot's net."""
    return list(build_net(robot, terminals_of(robot)).findings)


def one(robot: Robot, code: str) -> Finding:
    """Return the one finding of this code, which points at a place in the file."""
    found = [finding for finding in told(robot) if finding.code == code]
    assert len(found) == 1, [finding.as_text() for finding in found]
    assert found[0].place.line > 0
    assert found[0].place.column > 0
    return found[0]


def test_a_robot_drawn_well_has_nothing_to_be_told() -> None:
    """No finding at all."""
    assert told(robot_of(TRUNKS)) == []


def test_a_device_outside_the_plate() -> None:
    """It points at the place that was written, and says which one it is."""
    finding = one(robot_of(TRUNKS, things=things((700, 300))), "device-off-plate")
    assert finding.as_text() == (
        "robot.yaml:7:38  electronics.a.at  [device-off-plate] must\n"
        "  a is at 70 cm right and 30 cm forward, which is outside the outline of the plate.\n"
        "  Fix: Correct its `at:`, or the `outline:` of the plate that carries it."
    )


def test_without_an_outline_nothing_is_outside() -> None:
    """The places themselves make the plate."""
    assert told(robot_of(TRUNKS, things=things((400, 300)), outline="")) == []


def test_a_keep_out_over_a_terminal_or_a_device() -> None:
    """Over the slots alone it names them; over the whole device it names that."""
    over = "keep outs: {{well: [[{0} mm, 200 mm], [{1} mm, 200 mm], [{1} mm, 400 mm], [{0} mm, 400 mm]]}}"
    whole = one(robot_of(f"{TRUNKS}\n{over.format(220, 400)}"), "keep-out-over-terminal")
    assert whole.severity is Severity.MUST
    assert whole.what == "The keep-out well covers block itself, so no wire may get there."
    things_a = things((100, 450))
    part = robot_of(
        f"{TRUNKS}\nkeep outs: {{well: [[3 cm, 40 cm], [6 cm, 40 cm], [6 cm, 50 cm], [3 cm, 50 cm]]}}", things=things_a
    )
    assert one(part, "keep-out-over-terminal").what == "The keep-out well covers supply of a, so no wire may get there."
    assert one(part, "keep-out-over-terminal").place.line == 11


def test_a_trunk_through_a_keep_out_and_one_off_the_plate() -> None:
    """The first must be mended, the second looked at; both name the trunk and its line."""
    well = "keep outs: {well: [[150 mm, 420 mm], [250 mm, 420 mm], [250 mm, 460 mm], [150 mm, 460 mm]]}"
    inside = one(robot_of(f"{TRUNKS}\n{well}"), "trunk-in-keep-out")
    assert (inside.severity, inside.place.line) == (Severity.MUST, 9)
    assert inside.what == "The trunk spine runs through the keep-out well, so that stretch of it is not used."
    outside = one(robot_of("trunks: {spine: [[200 mm, 100 mm], [200 mm, 700 mm]]}"), "trunk-off-plate")
    assert (outside.severity, outside.place.line) == (Severity.SHOULD, 9)


def test_a_trunk_along_the_edge_of_a_keep_out_is_fine() -> None:
    """Touching is not crossing."""
    well = "keep outs: {well: [[200 mm, 420 mm], [250 mm, 420 mm], [250 mm, 460 mm], [200 mm, 460 mm]]}"
    assert told(robot_of(f"{TRUNKS}\n{well}")) == []


@pytest.mark.parametrize(("capacity", "fits"), [("2.3 mm", False), ("2.35 mm", True), ("as needed", True)])
def test_a_capacity_below_one_wire(capacity: str, *, fits: bool) -> None:
    """A wire of 22 AWG is 2.35 mm thick: a trunk that lets less through takes none."""
    trunk = f"trunks: {{spine: {{along: [[200 mm, 100 mm], [200 mm, 500 mm]], capacity: {capacity}}}}}"
    findings = [finding for finding in told(robot_of(trunk)) if finding.code == "trunk-takes-no-wire"]
    assert [finding.severity for finding in findings] == ([] if fits else [Severity.MUST])
    if findings:
        assert findings[0].what == "The trunk spine lets 2.3 mm through, and one wire of 22 AWG is 2.35 mm thick."


def test_terminals_that_no_trunk_reaches() -> None:
    """Shut in by keep-outs, or far from every trunk: told once for the device, with the terminals."""
    robot = robot_of("trunks: {spine: [[20 mm, 20 mm], [20 mm, 60 mm]]}", things=things((560, 560)))
    far = one(robot, "no-trunk-reaches")
    assert far.severity is Severity.SHOULD
    assert far.what.startswith("supply of a is 69")
    assert "Draw a trunk that passes within 30 cm" in far.fix
    ring = "[[10 cm, 42 cm], [12 cm, 42 cm], [12 cm, 54 cm], [26 cm, 54 cm], [26 cm, 56 cm], [10 cm, 56 cm]]"
    lid = "[[10 cm, 40 cm], [28 cm, 40 cm], [28 cm, 56 cm], [25 cm, 56 cm], [25 cm, 43 cm], [10 cm, 43 cm]]"
    shut = robot_of(
        f"trunks: {{spine: [[300 mm, 50 mm], [300 mm, 200 mm]]}}\nkeep outs: {{ring: {ring}, lid: {lid}}}",
        things=things((190, 490)),
    )
    finding = one(shut, "no-trunk-reaches")
    assert finding.what.startswith("No way leads from supply of a to any trunk")


def test_the_word_for_something_on_two_plates() -> None:
    """With a deck, a device may stand over either plate, and a finding says so."""
    robot = robot_of(TRUNKS, things=things((700, 300)))
    deck = replace(robot.plate, trunks=(), keep_outs=(), name="deck", height_m=0.3)
    assert "every plate" in one(replace(robot, upper_plates=(deck,)), "device-off-plate").what
    wide = replace(deck, outline=((0.5, 0.0), (0.9, 0.0), (0.9, 0.6), (0.5, 0.6)))
    assert told(replace(robot, upper_plates=(wide,))) == []


def test_findings_do_not_need_a_terminal() -> None:
    """What is drawn wrongly is told where nothing has a place yet."""
    text = "robot: T\nbattery: {part: battery/agm-12v-18ah}\nplate:\n  trunks:\n"
    text += "    tower: {along: [[0, 0], [0, 0, 30 cm]], moving: yes}\n"
    assert [finding.code for finding in told(read(text))] == ["travel-unknown", "nothing-rides"]
