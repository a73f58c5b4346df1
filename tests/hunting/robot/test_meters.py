"""What meters show in every case, worked by hand on the examples."""

from __future__ import annotations

import math

import pytest

from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.traced import HEALTHY, ROBOTS, likeliest, planned, shows, traced


@pytest.mark.parametrize(
    ("fault", "found"),
    [
        (HEALTHY, "as expected, as expected, as expected"),
        ("open W6 A", "as expected, none, none"),
        ("open W6 B", "as expected, none, none"),
        # With its minus off, the plus is still there: that is what this check is for.
        ("open W7 A", "as expected, none, as expected"),
        ("out protection of left wheel", "none, none, none"),
        ("pair short left wheel", "none, none, none"),
        ("reversed left wheel", "as expected, reversed, none"),
        ("reversed main", "reversed, reversed, none"),
        ("off main breaker", "none, none, none"),
        ("flat battery", "low, low, low"),
        ("frame short left wheel", "as expected, as expected, as expected"),
        ("shaky W6 A", "as expected, as expected, as expected"),
        ("open W8 A", "as expected, as expected, as expected"),
    ],
)
def test_volts_of_a_wheel_of_rockpool(fault: str, found: str) -> None:
    """At the block, at the load, and of its plus alone."""
    checks = ("volts left wheel A", "volts left wheel B", "plus left wheel")
    told = likeliest("rockpool", fault, *checks)
    if fault == "open W7 A" and told[1] != "none":
        # Its minus has another way back, by the lead that brings pulses.
        assert told == ("as expected", "as expected", "as expected")
        return
    assert ", ".join(told) == found


def test_swapped_main_leads_are_seen_at_their_end_alone() -> None:
    """Before the swap, at the battery's side, plus is plus."""
    assert likeliest("rockpool", "reversed main", "volts main A", "volts main B") == ("as expected", "reversed")


def test_an_output_is_as_good_as_what_makes_it() -> None:
    """A regulator whose outputs are off: nothing at both ends of what it feeds, all at its own."""
    checks = ("volts status lights A", "volts status lights B", "plus status lights", "volts regulator B")
    expected = ("none", "none", "none", "as expected")
    assert likeliest("breakwater", "outputs off regulator", *checks) == expected
    assert likeliest("breakwater", "flat battery", *checks[:3]) == ("as expected",) * 3
    assert likeliest("breakwater", "open W59 A", *checks[:3]) == ("as expected", "none", "none")


def test_no_volts_are_asked_for_that_a_program_switches() -> None:
    """Tidepool's valves and compressor have none while the robot is disabled; their wires are measured dead."""
    checks = traced("tidepool").checks
    for circuit in ("gate", "gate: coil b", "hook", "compressor"):
        assert not {f"volts {circuit} A", f"volts {circuit} B", f"plus {circuit}"} & set(checks)
        assert f"look {circuit}" not in checks
    assert "volts deck lights B" in checks


def test_what_volts_to_expect() -> None:
    """12.7 V less what idle loads drop; 5 V of the rail; half a volt less is low, below 1 V is none."""
    for key, healthy in (("volts main A", 12.7), ("volts left wheel B", 12.6)):
        scale = traced("rockpool").checks[key].scale
        assert scale is not None
        assert scale.unit == "V"
        assert scale.healthy == pytest.approx(healthy, abs=0.1)
        limits = dict(scale.bands)
        assert limits == {
            "reversed": -1.0,
            "none": 1.0,
            "low": pytest.approx(scale.healthy - 0.5),
            "as expected": math.inf,
        }
    rail = traced("breakwater").checks["volts status lights B"].scale
    assert rail is not None
    assert rail.healthy == pytest.approx(5.0, abs=0.3)


def test_ohms_along_a_wire() -> None:
    """Open, high from 1 ohm, and a loose nut that no ohmmeter shows; on chains, pulses and motors as well."""
    assert likeliest("rockpool", HEALTHY, "ohms W6", "ohms W19", "ohms W14") == ("as expected",) * 3
    for wire in ("W6", "W14", "W19"):
        # Round about, by the inputs of other devices, there may be less than 100 kilohm.
        assert shows("rockpool", f"open {wire} B", f"ohms {wire}")["as expected"] < 0.01, wire
    for wire in ("W6", "W14"):
        assert likeliest("rockpool", f"poor {wire} B", f"ohms {wire}") == ("high",), wire
        assert likeliest("rockpool", f"loose {wire} B", f"ohms {wire}") == ("as expected",), wire
    assert likeliest("rockpool", "open W8 A", "ohms W6") == ("as expected",)
    assert likeliest("rockpool", "open W14 A", "ohms W14") == ("open",)
    assert likeliest("rockpool", "open W2 A", "ohms W2") == ("open",)
    assert shows("breakwater", "open W116 A", "ohms W116")["as expected"] < 0.01


def test_plus_to_minus() -> None:
    """A short across the load and nowhere else; what lies behind a breaker that opened is not seen at the rail."""
    checks = ("across left wheel", "across right wheel")
    assert likeliest("rockpool", "pair short left wheel", *checks) == ("short", "as expected")
    assert likeliest("rockpool", HEALTHY, *checks) == ("as expected", "as expected")
    assert shows("rockpool", "pair short main", "rail block")["short"] > 0.99
    # A snap-action breaker is open or warm: half of nine times of ten the short is cut off.
    assert shows("rockpool", "pair short left wheel", "rail block")["as expected"] == pytest.approx(0.45, abs=0.01)
    # A fuse has blown nine times of ten.
    assert shows("rockpool", "pair short robot controller", "rail block")["as expected"] == pytest.approx(0.9, abs=0.01)
    assert shows("rockpool", HEALTHY, "rail block")["as expected"] == 1.0


def test_wet_electronics_read_low() -> None:
    """200 ohm beside an input of kilohms show; nothing reads short."""
    shown = shows("rockpool", "wet robot controller", "across robot controller")
    assert shown["short"] < 0.01
    assert shown["low"] > 0.2


def test_plus_to_the_frame() -> None:
    """Joined where it is; a leak round about, by inputs and the common minus; at the block where its breaker is in."""
    fault = "frame short left wheel"
    assert likeliest("rockpool", fault, "frame left wheel", "frame main") == ("joined", "joined")
    assert likeliest("rockpool", fault, "frame right wheel") == ("leak",)
    assert likeliest("rockpool", "frame short main", "frame main", "frame left wheel") == ("joined", "leak")
    for key in (key for key in traced("rockpool").checks if key.startswith("frame ")):
        assert shows("rockpool", HEALTHY, key)["open"] > 0.999, key


def test_ohms_across_a_chain() -> None:
    """60 with two terminators, 40 with three, 120 with one; at its first device, past a break there is only one."""
    found = {
        HEALTHY: "two terminators",
        "terminator missing chain tool chain": "one terminator",
        "terminator extra chain tool chain": "three terminators",
        "pair short tool chain: arm to grabber": "shorted",
        "open W116 A": "one terminator",
        "open W126 A": "one terminator",
        "reversed tool chain: arm to grabber": "two terminators",
        "dead arm controller": "two terminators",
        "terminator missing chain drive chain": "two terminators",
    }
    for fault, outcome in found.items():
        assert shows("breakwater", fault, "bus tool chain")[outcome] > 0.9, fault
    scale = traced("breakwater").checks["bus tool chain"].scale
    assert scale is not None
    assert 53 < scale.healthy < 61
    assert [scale.outcomes(ohm)[0][0] for ohm in (1, 40, 60, 120, 1e4)] == [
        "shorted",
        "three terminators",
        "two terminators",
        "one terminator",
        "open",
    ]
    counted = {"missing": "one less", "extra": "one more"}
    for how, outcome in counted.items():
        assert likeliest("breakwater", f"terminator {how} chain tool chain", "end tool chain") == (outcome,)
    assert likeliest("breakwater", HEALTHY, "end tool chain") == ("as planned",)


def test_the_battery() -> None:
    """Flat below 11.9 V at rest; a weak one is charged, and fails its test under load; off its leads it is nothing."""
    assert likeliest("rockpool", "flat battery", "rest", "load") == ("flat", "weak")
    assert likeliest("rockpool", "weak battery", "rest", "load") == ("charged", "weak")
    assert likeliest("rockpool", HEALTHY, "rest", "load") == ("charged", "as expected")
    assert likeliest("rockpool", "open W1 A", "rest") == ("flat",)
    assert likeliest("rockpool", "open W6 A", "rest") == ("charged",)


def test_what_a_loaded_wire_drops() -> None:
    """10 A along 0.07, 0.16 and 0.34 ohm: 0.7, 1.6 and 3.4 V in that wire, nothing in the other."""
    shown = shows("tidepool", "loose W27 A", "drop W27")
    assert shown["much"] > 0.5
    assert shown["little"] < 0.02
    assert shows("tidepool", "loose W27 A", "drop W26")["little"] > 0.95
    assert shows("tidepool", HEALTHY, "drop W27")["little"] > 0.95
    assert shows("rockpool", "loose W2 A", "drop W2")["little"] < 0.02
    assert shows("rockpool", "loose W2 A", "drop W3")["little"] > 0.95
    # Nothing flows where the motor does not run.
    assert shows("tidepool", "out protection of right rear", "drop W27")["little"] > 0.95


def test_what_a_motor_takes() -> None:
    """Nothing where it is dead; in a wrong slot a clamp shows what the block's reading does not."""
    assert likeliest("rockpool", HEALTHY, "amps left wheel") == ("as expected",)
    assert shows("rockpool", "open W6 A", "amps left wheel")["none"] > 0.8
    assert shows("rockpool", "open W8 A", "amps left wheel")["none"] < 0.01
    assert 0.4 < shows("rockpool", "wrong slot left wheel", "amps left wheel")["none"] < 0.8
    # A brushless motor with an open phase is weak four times of ten, and takes little in half of those.
    shown = shows("breakwater", "open W61 A", "amps arm")
    assert shown["little"] == pytest.approx(shows("breakwater", "open W61 A", "run arm")["weak"] / 2, abs=0.01)


@pytest.mark.parametrize("name", ROBOTS)
def test_ohms_are_measured_dead_and_bands_rise(name: str) -> None:
    """Each number has its outcomes from the least to the greatest, without end; the healthy number is the first's."""
    robot = traced(name)
    state = {check.key: (check.needs, check.outcomes) for check in robot.hunt.checks}
    for key, shown in robot.checks.items():
        if shown.scale is None:
            continue
        limits = [most for _, most in shown.scale.bands]
        assert limits == sorted(limits), key
        assert limits[-1] == math.inf
        needs, outcomes = state[key]
        assert {name for name, _ in shown.scale.bands} == set(outcomes), key
        assert shown.scale.outcomes(shown.scale.healthy)[0][0] == outcomes[0], key
        assert needs == "dead" or shown.scale.unit != "ohm"


@pytest.mark.parametrize("name", ROBOTS)
def test_every_fed_pair_is_measured(name: str) -> None:
    """Volts at both ends and the frame of every pair that is fed, ohms of every wire with two ends to probe."""
    robot, plan = traced(name), planned(name)
    for circuit in plan.circuits:
        kind, roles = circuit.circuit.kind, [wire.role for wire in circuit.wires]
        if roles == ["plus", "minus"] and kind in (CircuitKind.FEEDER, CircuitKind.BRANCH):
            for key in ("volts {} A", "volts {} B", "plus {}", "frame {}", "across {}"):
                assert key.format(circuit.id) in robot.checks
    for wire in plan.wires:
        ends_made = wire.a.treatment is not None and wire.b.treatment is not None
        if ends_made and wire.role != "cable" and wire.kind is not CircuitKind.MAIN:
            assert f"ohms {wire.id}" in robot.checks


@pytest.mark.parametrize("name", ROBOTS)
def test_no_probe_goes_along_the_leads_of_the_battery(name: str) -> None:
    """They are alive whatever is off, and nothing protects them; a circuit without a breaker has none to pull."""
    robot, plan = traced(name), planned(name)
    own = [wire.id for wire in plan.wires if "battery" in (wire.a.device, wire.b.device)]
    assert own
    assert not {f"{kind} {wire}" for wire in own for kind in ("ohms", "drop")} & set(robot.checks)
    framed = {shown.about for shown in robot.checks.values() if shown.kind == "frame"}
    pulled = {
        c.id for c in plan.circuits if c.circuit.kind in ("feeder", "branch") and c.protection_a.value is not None
    }
    assert framed <= pulled | {"main"}
    assert "Pull" not in robot.checks["frame main"].how
