"""The bench trainer's Wake-up, every expected reading worked by hand from printed wire resistances.

Copper at 20 C by NBS Handbook 100 [nbs-100]: 12 AWG 1.588, 18 AWG 6.385, 22 AWG 16.14 ohm per 1000 ft, which is
5.210, 20.95 and 52.95 milliohm a metre. A meter's leads add up to 0.5 ohm, joints up to 0.5 ohm (common practice).

    battery -W1- plug -W2- breaker -W3- block --F1- W10 - robot controller -W12- beacon
            -W4-      -W5-----------        --L1- W6 - left wheel controller
                                              --L2- W8 - right wheel controller
"""

from __future__ import annotations

import pytest

from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import Kind, Measurement, WakeUp
from loomwright.search import Effort
from tests.robots import measured_trainer, plan_of

MOHM_PER_M = {12: 5.210, 18: 20.95, 22: 52.95}
LEADS = (0.0, 0.5)
CONTACTS = 0.5


@pytest.fixture(scope="module")
def trainer() -> WakeUp:
    """Give the Wake-up of the bench trainer, with lengths that were measured."""
    return wake_up(plan_of(measured_trainer(), effort=Effort.USUAL))


def row(list_: WakeUp, key: str) -> Measurement:
    """Find one row by its key."""
    [found] = [m for m in list_.all_readings if m.key == key]
    return found


@pytest.mark.parametrize(
    ("key", "wire", "gauge", "length_m", "red", "black"),
    [
        ("main: battery plug to main breaker, plus", "W2", 12, 0.15, "battery plug robot side", "main breaker battery"),
        ("main: main breaker to block, plus", "W3", 12, 0.15, "main breaker block plus", "block supply plus"),
        ("main: battery plug to block, minus", "W5", 12, 0.30, "battery plug robot side minus", "block supply minus"),
        ("left wheel: plus", "W6", 18, 0.40, "block L1 plus", "left wheel controller supply plus"),
        ("left wheel: minus", "W7", 18, 0.40, "block L1 minus", "left wheel controller supply minus"),
        ("right wheel: plus", "W8", 18, 0.45, "block L2 plus", "right wheel controller supply plus"),
        ("right wheel: minus", "W9", 18, 0.45, "block L2 minus", "right wheel controller supply minus"),
        ("robot controller: plus", "W10", 18, 0.35, "block F1 plus", "robot controller supply plus"),
        ("robot controller: minus", "W11", 18, 0.35, "block F1 minus", "robot controller supply minus"),
        ("beacon: plus", "W12", 22, 0.50, "robot controller signal light plus", "beacon supply plus"),
        ("beacon: minus", "W13", 22, 0.50, "robot controller signal light minus", "beacon supply minus"),
        ("beacon: jumper: jumper", "W18", 22, 0.05, "beacon L1", "beacon L2"),
    ],
)
def test_each_wire_reads_its_copper_and_the_leads(
    trainer: WakeUp, key: str, wire: str, gauge: int, length_m: float, red: str, black: str
) -> None:
    """Length times printed resistance, plus up to 0.5 ohm; beyond 0.5 ohm more nobody goes on."""
    found = row(trainer, key)
    worked_ohm = length_m * MOHM_PER_M[gauge] / 1000
    assert found.wires == (wire,)
    assert found.expected.kind is Kind.RANGE
    assert (found.expected.low, found.expected.high) == pytest.approx(
        (worked_ohm + LEADS[0], worked_ohm + LEADS[1]), abs=1e-5
    )
    assert found.stop is not None
    assert found.stop.above == round(worked_ohm + LEADS[1] + CONTACTS, 1)
    assert (found.expected.words, found.stop.words) == ("at most 0.5 Ω", "above 1 Ω")
    assert found.red.words.startswith(red)
    assert found.black.words.startswith(black)
    assert found.red.words.endswith(f"flag {wire} A")
    assert found.black.words.endswith(f"flag {wire} B")


def test_nothing_else_is_measured_than_what_was_worked_here(trainer: WakeUp) -> None:
    """The rows of the list, in the order of work: wires slot by slot, then the whole, then the battery."""
    assert [m.key for m in trainer.measurements] == [
        "meter: leads",
        "main: battery plug to main breaker, plus",
        "main: main breaker to block, plus",
        "main: battery plug to block, minus",
        "main breaker: off",
        "block: empty, plus to minus",
        "robot controller: plus",
        "robot controller: minus",
        "robot controller: plus to minus",
        "left wheel: plus",
        "left wheel: minus",
        "left wheel: plus to minus",
        "right wheel: plus",
        "right wheel: minus",
        "right wheel: plus to minus",
        "beacon: plus",
        "beacon: minus",
        "beacon: plus to minus",
        "beacon: jumper: jumper",
        "left wheel: motor side: leads",
        "right wheel: motor side: leads",
        "block: whole board, plus to minus",
        "chassis: plus",
        "chassis: minus",
        "left wheel: motor side: frame",
        "right wheel: motor side: frame",
        "battery: polarity",
    ]
    assert [m.number for m in trainer.all_readings] == list(range(1, len(trainer.all_readings) + 1))


def test_plus_against_minus_of_one_wheel(trainer: WakeUp) -> None:
    """The controller's 2 to 100 kohm (swapped 0.3 to 50) and two wires of 8 milliohm, which no meter sees."""
    found = row(trainer, "left wheel: plus to minus")
    assert (found.expected.low, found.expected.high) == pytest.approx((2000.0, 100000.5), abs=0.03)
    assert found.expected.words == "2 kΩ to 100 kΩ"
    assert found.expected.rests_on == (
        "2 kΩ to 100 kΩ at the supply of controller/clamp-brushed-30a is assumed (from memory)",
    )
    assert found.swapped is not None
    assert (found.swapped.low, found.swapped.high) == pytest.approx((300.0, 50000.5), abs=0.03)
    assert found.swapped.rests_on == (
        "300 Ω to 50 kΩ at the supply of controller/clamp-brushed-30a, probes swapped, is assumed (from memory)",
    )
    assert str(found.setting) == "ohms, 200 kΩ"
    assert found.stop is not None
    assert found.stop.below == 10
    assert any("capacitors charge" in note for note in found.notes)


def test_plus_against_minus_of_the_whole_trainer(trainer: WakeUp) -> None:
    """Two wheels of 2 kohm beside a controller of 1 kohm: 500 ohm; at the most three of 100 kohm: 33.3 kohm.

    Swapped: three of 300 ohm make 100, three of 50 kohm make 16.7 kohm. Half of 100 is the limit, either way round.
    """
    found = row(trainer, "block: whole board, plus to minus")
    assert (found.expected.low, found.expected.high) == pytest.approx((500.0, 100000 / 3 + 0.5), abs=0.05)
    assert found.swapped is not None
    assert (found.swapped.low, found.swapped.high) == pytest.approx((100.0, 50000 / 3 + 0.5), abs=0.05)
    assert found.stop is not None
    assert (found.stop.below, found.stop.words.split(" either")[0]) == (50, "below 50 Ω")
    assert found.board == "every breaker and fuse in, main breaker off, battery out"


def test_a_winding_shows_both_leads_of_its_motor(trainer: WakeUp) -> None:
    """12 V over 14 A at standstill are 0.857 ohm; two leads of 30 cm; brushes 2, meter 0.5, joints 0.5 ohm."""
    found = row(trainer, "left wheel: motor side: leads")
    assert found.through == ("W14", "W15")
    copper_ohm = 2 * 0.30 * MOHM_PER_M[18] / 1000
    assert found.expected.high == pytest.approx(12 / 14 + copper_ohm + 2 + LEADS[1] + CONTACTS, abs=1e-4)
    assert found.stop is not None
    assert (found.stop.above, found.stop.words) == (200, "above 200 Ω, or open")


def test_what_is_open_is_open(trainer: WakeUp) -> None:
    """The main breaker that is off, the passive block with nothing in it, the frame against either conductor."""
    for key in ("main breaker: off", "block: empty, plus to minus"):
        found = row(trainer, key)
        assert (found.expected.kind, found.expected.words) == (Kind.OPEN, "open")
        assert found.stop is not None
        assert found.stop.below == 100e3
    for key in ("chassis: plus", "chassis: minus", "left wheel: motor side: frame"):
        found = row(trainer, key)
        assert (found.expected.kind, found.expected.low) == (Kind.AT_LEAST, 100e3)
        assert found.expected.words == "open, or at least 100 kΩ"
        assert found.stop is not None
        assert (found.stop.below, found.stop.source) == (10e3, "chassis-isolated")


def test_a_lamp_of_which_nothing_is_known_is_told_as_unknown(trainer: WakeUp) -> None:
    """No part says what a meter sees at the beacon or at its output: write down the first good value."""
    found = row(trainer, "beacon: plus to minus")
    assert (found.expected.kind, found.expected.low, found.expected.high) == (Kind.UNKNOWN, None, None)
    assert found.expected.unknown == ("beacon", "the output signal light of robot controller")
    assert "write down the first good value" in found.expected.words


def test_the_pulse_leads_are_a_second_way_of_minus(trainer: WakeUp) -> None:
    """Each controller's minus also runs through its pulse lead, the robot controller and W11 back to the block.

    Without pulling them a cut W7 would read a pulse lead, W11 and W9: milliohms, as a sound wire does.
    """
    [told] = row(trainer, "left wheel: minus").first
    assert told.startswith("Unplug pulse 0 of robot controller first, and plug it in again after: the minus")
    both = row(trainer, "robot controller: minus").first[0]
    assert both.startswith("Unplug pulse 0 and pulse 1 of robot controller first, and plug them in again after")
    for key in ("left wheel: plus", "beacon: minus", "main: battery plug to block, minus"):
        assert row(trainer, key).first == ()


def test_volts_of_the_first_power(trainer: WakeUp) -> None:
    """Rested 12.7 to 13.5 V; the low end less what robot controller and beacon lose at 1.5 A and 0.2 A.

    Battery 25 milliohm; 1.2 m of 12 AWG (0.3 + 0.15 + 0.15 out, 0.3 + 0.3 back) 6.25; 0.35 m of 18 AWG out 7.33.
    Back, beside its own 7.33, lie the two pulse leads, 0.35 m of 22 AWG, with the wheels' minus wires: 18.5 + 8.4
    and 18.5 + 9.4, together 4.78. 43.36 milliohm at 1.7 A lose 73.7 mV. A wheel that joins loses 50 mA more: 1.75 A
    over 31.25 milliohm are 54.7 mV; on its own way 50 mA lose 0.4 mV out and 0.3 mV back, and 0.302 A of the robot
    controller's return come through its minus wire of 8.38 milliohm, 2.5 mV: 57.9 mV in all.
    """
    empty = row(trainer, "block: volts, empty").expected
    assert (empty.low, empty.high) == pytest.approx((12.7, 13.5))
    brain = row(trainer, "robot controller: volts").expected
    assert (brain.low, brain.high) == pytest.approx((12.7 - 0.0737, 13.5), abs=0.001)
    assert brain.words == "12.63 V to 13.50 V"
    wheel = row(trainer, "left wheel: volts").expected
    assert (wheel.low, wheel.high) == pytest.approx((12.7 - 0.0579, 13.5), abs=0.001)
    battery = row(trainer, "battery: polarity")
    assert (battery.expected.low, battery.expected.high) == (12.7, 13.5)
    assert battery.stop is not None
    assert battery.stop.below == 12.5
    assert str(battery.setting) == "DC volts, 20 V"
