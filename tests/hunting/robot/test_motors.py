"""What motors do in every case, worked by hand on all three examples."""

from __future__ import annotations

import pytest

from loomwright.hunting.robot.faults import is_brushless
from loomwright.hunting.robot.practice import practice
from tests.hunting.robot.traced import HEALTHY, circuit_of, likeliest, shows

#: Of what is dead 15 % is called weak, and the other way round.
CONFUSED = 0.15
CLOSE = 3e-3


def ran(name: str, fault: str, motor: str) -> tuple[float, float, float]:
    """Return the chances that a motor is weak, backward and dead when it is tried."""
    shown = shows(name, fault, f"run {motor}")
    return shown["weak"], shown["backward"], shown["dead"]


@pytest.mark.parametrize(
    ("fault", "left", "right"),
    [
        ("open W6 A", "dead", "runs"),
        ("open W8 B", "runs", "dead"),
        ("out protection of left wheel", "dead", "runs"),
        ("reversed left wheel", "dead", "runs"),
        ("dead left wheel", "dead", "runs"),
        ("dead right wheel controller", "runs", "dead"),
        # Its pulse lead, and who sends the pulses.
        ("open W19 A", "dead", "runs"),
        ("open W21 B", "runs", "dead"),
        ("open W10 A", "dead", "dead"),
        ("dead robot controller", "dead", "dead"),
        ("off main breaker", "dead", "dead"),
        # Brushed: a lead off is dead, leads swapped run backward, leads shorted are dead.
        ("open W14 A", "dead", "runs"),
        ("poor W15 B", "dead", "runs"),
        ("open W17 B", "runs", "dead"),
        ("reversed left wheel: motor side", "backward", "runs"),
        ("pair short left wheel: motor side", "dead", "runs"),
        # None of theirs.
        ("open W12 A", "runs", "runs"),
        ("frame short left wheel", "runs", "runs"),
        ("shaky W6 A", "runs", "runs"),
        (HEALTHY, "runs", "runs"),
    ],
)
def test_what_rockpools_wheels_do(fault: str, left: str, right: str) -> None:
    """Tried alone, under a plain program, and in the match."""
    assert likeliest("rockpool", fault, "run left wheel", "run right wheel") == (left, right)
    plain = tuple("runs" if one == "runs" else "does not" for one in (left, right))
    assert likeliest("rockpool", fault, "direct left wheel", "direct right wheel") == plain
    if "shaky" not in fault:
        match = tuple("as ever" if one == "runs" else one for one in (left, right))
        assert likeliest("rockpool", fault, "drove left wheel", "drove right wheel") == match


def test_the_minus_of_a_pulse_lead_may_be_missed() -> None:
    """Half of the time the pulse finds another way back."""
    assert ran("rockpool", "open W20 A", "left wheel")[2] == pytest.approx(0.5 * (1 - CONFUSED), abs=CLOSE)


def test_phases_of_a_brushless_motor() -> None:
    """One open: dead six times of ten, else weak. Two swapped: backward half of the time, else weak."""
    dead = 0.6 * (1 - CONFUSED) + 0.4 * CONFUSED
    for seat in ("W61 A", "W62 B", "W63 A"):
        for kind in ("open", "poor"):
            assert ran("breakwater", f"{kind} {seat}", "arm") == pytest.approx((1 - dead, 0.0, dead), abs=CLOSE)
    weak, back, _ = ran("breakwater", "reversed arm: motor side", "arm")
    assert (weak, back) == pytest.approx((0.5 * (1 - CONFUSED), 0.5), abs=CLOSE)
    assert ran("breakwater", "loose W61 A", "arm")[0] == pytest.approx(0.5 * (1 - CONFUSED), abs=CLOSE)


def test_a_brushed_motor_behind_a_brushless_controller_is_brushed() -> None:
    """Tidepool's arm takes two of three outputs: a lead off is dead, swapped ones always run backward."""
    assert not is_brushless(circuit_of("tidepool", "arm: motor side"))
    assert is_brushless(circuit_of("tidepool", "intake: motor side"))
    assert not is_brushless(circuit_of("rockpool", "left wheel: motor side"))
    assert ran("tidepool", "open W45 A", "arm") == pytest.approx((CONFUSED, 0.0, 1 - CONFUSED), abs=CLOSE)
    assert ran("tidepool", "reversed arm: motor side", "arm")[1] > 0.99


def test_a_chain_commands() -> None:
    """Who is not seen does not run: beyond a break, on a silent chain, under a strange number."""
    motors = ("run lift right", "run arm", "run feeder", "run front left drive")
    assert likeliest("breakwater", "open W116 A", *motors) == ("runs", "runs", "dead", "runs")
    assert likeliest("breakwater", "pair short tool chain: arm to grabber", *motors) == ("dead", "dead", "dead", "runs")
    assert likeliest("breakwater", "factory id arm controller", *motors) == ("runs", "dead", "runs", "runs")


def test_a_loose_lug_is_weak_in_the_match_first() -> None:
    """0.07, 0.16, 0.34 ohm: at 10 A they take 6, 12, 22 % of 12 V; in a match at 40 A they take 20 % and more."""
    tried, match = (shows("tidepool", "loose W27 A", f"{kind} right rear") for kind in ("run", "drove"))
    # Slowly and without its load that is seen half of the time.
    assert 0.12 < tried["weak"] < 0.25
    assert tried["dead"] < 0.1
    assert match["as ever"] < 0.1
    assert shows("tidepool", "loose W27 A", "drove left rear")["as ever"] > 0.99


def test_a_flat_battery_is_weak() -> None:
    """10.7 to 11.6 V of 12.7 V: the flattest third has lost 15 %."""
    assert 0.1 < ran("tidepool", "flat battery", "left front")[0] < 0.35


def test_a_shaky_end_shows_in_the_match() -> None:
    """Six times of ten it was felt, as dead or as weak; when tried it runs."""
    for seat in ("W6 A", "W14 B", "W19 A", "W1 A"):
        shown = shows("rockpool", f"shaky {seat}", "drove left wheel")
        assert shown["dead"] + shown["weak"] == pytest.approx(practice("shaky shows"), abs=CLOSE)
        assert shown["dead"] == pytest.approx(shown["weak"], abs=CLOSE)
    assert shows("rockpool", "shaky W6 A", "drove right wheel")["as ever"] > 0.99
    assert shows("breakwater", "shaky W116 A", "drove feeder")["as ever"] < 0.5
    assert shows("breakwater", "shaky W116 A", "drove arm")["as ever"] > 0.9


def test_a_healthy_robot_runs() -> None:
    """What a program does is a fault of its own (test_software.py): a robot that is well runs for sure."""
    assert shows("rockpool", HEALTHY, "run left wheel")["runs"] > 1 - 1e-6
    assert shows("rockpool", HEALTHY, "direct left wheel")["does not"] < 1e-6
