"""Whom the program sees in every case: chains, cables and signal leads, worked by hand on Breakwater and Rockpool."""

from __future__ import annotations

import pytest

from loomwright.hunting.robot.practice import practice
from tests.hunting.robot.traced import HEALTHY, likeliest, planned, shows, traced

TOOLS = ("lift right controller", "arm controller", "grabber controller", "lift left controller", "feeder controller")
DRIVE = ("front right drive", "compass", "rear left angle")
UNSTEADY = 0.3


def seen(fault: str, *devices: str) -> tuple[str, ...]:
    """Return what the program's list most likely shows of devices."""
    return likeliest("breakwater", fault, *(f"seen {one}" for one in devices))


def share(fault: str, device: str, outcome: str) -> float:
    """Return the chance of one outcome of a device's line in the list."""
    return shows("breakwater", fault, f"seen {device}")[outcome]


@pytest.mark.parametrize("hop", range(5))
@pytest.mark.parametrize("end", "AB")
def test_a_break_hides_what_lies_beyond(hop: int, end: str) -> None:
    """The tool chain broken before its device k: those before are seen, if unsteadily; k and beyond are missing."""
    circuits = ("robot controller to lift right", "lift right to arm", "arm to grabber", "grabber to lift left")
    circuit = (*circuits, "lift left to feeder")[hop]
    for wire in (w.id for w in planned("breakwater").wires if w.circuit == f"tool chain: {circuit}"):
        fault = f"open {wire} {end}"
        assert seen(fault, *TOOLS) == ("seen",) * hop + ("missing",) * (5 - hop)
        assert [share(fault, one, "missing") for one in TOOLS[hop:]] == pytest.approx([1.0] * (5 - hop), abs=1e-3)
        assert [share(fault, one, "comes and goes") for one in TOOLS[:hop]] == pytest.approx([UNSTEADY] * hop)
        assert seen(fault, *DRIVE) == ("seen",) * 3


def test_a_break_behind_the_last_device_takes_its_terminator() -> None:
    """All are seen, and now and then come and go."""
    assert seen("open W118 A", *TOOLS) == ("seen",) * 5
    assert share("open W118 A", "arm controller", "comes and goes") == pytest.approx(UNSTEADY)


def test_a_shorted_pair_silences_all_of_its_chain() -> None:
    """Wherever it is, before or beyond; the other chain goes on."""
    for hop in ("robot controller to lift right", "arm to grabber", "feeder to tool chain end"):
        fault = f"pair short tool chain: {hop}"
        assert seen(fault, *TOOLS) == ("missing",) * 5
        assert seen(fault, *DRIVE) == ("seen",) * 3


def test_crossed_lines_hide_what_lies_beyond() -> None:
    """As a break does; those before have what talks crossed on their lines."""
    fault = "reversed tool chain: arm to grabber"
    assert seen(fault, *TOOLS) == ("seen", "seen", "missing", "missing", "missing")
    assert share(fault, "arm controller", "comes and goes") == pytest.approx(UNSTEADY)


def test_a_terminator_does_not_mind_which_line_is_which() -> None:
    """The hop to it can be broken and shorted, and not crossed."""
    faults = traced("breakwater").faults
    assert "pair short tool chain: feeder to tool chain end" in faults
    assert "reversed tool chain: feeder to tool chain end" not in faults
    assert "reversed tool chain: lift left to feeder" in faults


def test_what_is_dead_or_dark_on_a_chain_hides_itself_alone() -> None:
    """The two lines lead through it; only the robot controller takes all with it."""
    for fault in ("dead arm controller", "open W8 A", "out protection of arm", "reversed arm"):
        assert seen(fault, *TOOLS) == ("seen", "missing", "seen", "seen", "seen"), fault
    for fault in ("dead robot controller", "open W50 A", "off main breaker"):
        assert seen(fault, *TOOLS, *DRIVE) == ("missing",) * 8


def test_numbers() -> None:
    """The factory's number is nobody's own; another's makes both come and go, and nobody else."""
    assert seen("factory id arm controller", *TOOLS) == ("seen", "missing", "seen", "seen", "seen")
    fault = "double id arm controller"
    assert share(fault, "arm controller", "comes and goes") == pytest.approx(0.9)
    assert share(fault, "arm controller", "missing") == pytest.approx(0.05, abs=1e-3)
    others = [share(fault, one, "comes and goes") for one in TOOLS if one != "arm controller"]
    # Two brushless controllers of another type are on the chain: nobody has their numbers.
    alike = [one for one in others if one > 0]
    assert sum(alike) == pytest.approx(1.0)
    assert alike == pytest.approx([1 / len(alike)] * len(alike))
    assert [share(fault, one, "comes and goes") for one in DRIVE] == [0.0, 0.0, 0.0]


def test_terminators() -> None:
    """A chain with one less works, now and then with devices that come and go; with one more less often."""
    assert share("terminator missing chain tool chain", "arm controller", "comes and goes") == pytest.approx(UNSTEADY)
    assert share("terminator extra chain tool chain", "arm controller", "comes and goes") == pytest.approx(0.2)
    assert share("terminator missing chain tool chain", "compass", "comes and goes") == 0.0


def test_bad_contacts_of_a_line() -> None:
    """A poor one silences it three times of ten; a shaky one comes and goes one time of ten; before it all is well."""
    assert share("poor W116 A", "feeder controller", "missing") == pytest.approx(practice("poor line breaks"), abs=1e-3)
    assert share("poor W116 A", "arm controller", "missing") < 0.01
    assert share("shaky W117 B", "feeder controller", "comes and goes") == pytest.approx(0.1)
    assert share("shaky W117 B", "arm controller", "comes and goes") == 0.0


def test_a_wet_device_comes_and_goes() -> None:
    """Half of the time it behaves oddly."""
    assert 0.1 < share("wet arm controller", "arm controller", "comes and goes") < 0.5


def test_cables_lead_through_switches() -> None:
    """A camera's cable hides the camera; the switch, its cable or its power all that hangs on it."""
    ends = ("front camera", "rear camera", "vision", "switch")
    assert seen("open W129 A", *ends) == ("seen", "missing", "seen", "seen")
    assert seen("open W129 B", *ends) == ("seen", "missing", "seen", "seen")
    for fault in ("open W131 A", "dead switch", "open W52 A", "dead robot controller"):
        assert seen(fault, *ends) == ("missing",) * 4, fault
    assert shows("breakwater", "shaky W131 B", "seen rear camera")["comes and goes"] == pytest.approx(0.1)


def test_sensors_hang_by_their_leads() -> None:
    """One lead off and a switch is gone; the other sensor is seen."""
    for fault in ("open W134 A", "open W134 B", "open W135 A"):
        assert seen(fault, "lift low", "piece seen") == ("missing", "seen")
    assert seen("dead robot controller", "lift low", "piece seen") == ("missing", "missing")
    assert share("shaky W134 A", "lift low", "comes and goes") == pytest.approx(0.1)


def test_a_robot_without_a_chain_has_no_list() -> None:
    """Rockpool's controllers are told by pulses: nobody sees them."""
    assert [key for key in traced("rockpool").checks if key.startswith(("seen", "list", "bus", "end"))] == []


def test_all_are_seen_when_well() -> None:
    """A healthy robot's list lacks nobody."""
    robot = traced("breakwater")
    for key in (key for key in robot.checks if key.startswith("seen ")):
        assert shows("breakwater", HEALTHY, key)["missing"] == 0.0
