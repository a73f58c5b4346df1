"""Motors and their branches: by hand, against the class they are named by, and with limits as the code sets them."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Any

import pytest

from loomwright.match.machine import MotorBranch
from loomwright.match.of_plan import machine_of
from loomwright.model.part import Valued
from tests.match.small_robot import codes, played, small_robot
from tests.robots import LIBRARY, as_text, plan_of

LEAD_12_OHM_PER_M = 5.2108e-3  # ASTM B258 and IEC 60028


def _base(**changes: Any) -> tuple[MotorBranch, tuple[str, ...], set[str]]:  # noqa: ANN401  values of a file
    robot = small_robot()
    robot["mechanisms"]["base"] |= changes
    made = played(robot)
    assert made.machine is not None
    return made.machine.motors[0], made.rests_on, codes(made)


def test_a_motor_by_hand() -> None:
    """6000 rpm, 3.2 N m, 170 A and 2 A at 12 V: 70.6 milliohm and 18.87 mV s/rad; leads count into the winding."""
    branch = _base()[0]
    assert branch.constant == pytest.approx((12 - 2 * 12 / 170) / (6000 * 0.10471976), rel=1e-6)
    # Two of three phases: 20 cm of the controller's leads, 30 cm of the motor's, a crimp of 1 milliohm in each.
    leads = 2 * (0.5 * LEAD_12_OHM_PER_M + 0.001)
    assert branch.winding_ohm == pytest.approx(12 / 170 + leads, rel=1e-4)


@pytest.mark.parametrize(("part", "watt"), [("brushless-500w", 500), ("brushless-350w", 350), ("brushed-340w", 340)])
def test_a_motor_gives_the_power_it_is_named_by(part: str, watt: float) -> None:
    """At half its speed the bare winding gives V2/4R: a few percent above the class, which counts at the shaft."""
    branch = _base(motor=f"motor/{part}")[0]
    wires = 12 / {"brushless-500w": 170, "brushless-350w": 120, "brushed-340w": 120}[part]
    assert 144 / (4 * wires) == pytest.approx(watt, rel=0.06)
    assert branch.winding_ohm > wires


def test_the_way_to_the_controller() -> None:
    """Out and back: 12 AWG of the plan's length and 20 cm of own leads, a breaker of 2 milliohm, six contacts."""
    robot = small_robot()
    robot["mechanisms"]["base"]["wire"] = "12 AWG"
    machine = played(robot).machine
    assert machine is not None
    branch = machine.motors[0]
    assert branch.line_ohm == pytest.approx(2 * (0.5 + 0.2) * LEAD_12_OHM_PER_M + 0.08 / 40, rel=1e-3)
    assert branch.joints == 6


def test_main_leads_by_hand() -> None:
    """6 AWG: 20 cm to the breaker and 20 cm on in plus, as the file says, and what the minus lead needs."""
    machine = played(small_robot()).machine
    assert machine is not None
    # Without a plug: three leads with two contacts each.
    assert machine.main_joints == 6
    assert 0.6 * 1.296e-3 < machine.main_ohm - 0.08 / 120 < 1.0 * 1.296e-3


def test_limits_are_what_the_code_sets() -> None:
    """Supply and motor side are two limits; a peak is not played, its hold is."""
    branch, rests_on, _ = _base(limit={"supply": {"hold": "30 A", "peak": "50 A", "for": "0.3 s"}, "motor": "60 A"})
    assert (branch.supply_limit_a, branch.motor_limit_a) == (30, 60)
    assert any("peak of 50 A is not played" in line and "base" in line for line in rests_on)


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ({"supply": "30 A", "motor": "60 A", "enabled": "no"}, "switched off"),
        ({"supply": "none found", "motor": "unknown"}, "no supply-side limit is known"),
    ],
)
def test_a_limit_that_is_not_there_is_said(limit: dict[str, str], said: str) -> None:
    """Switched off, looked for in vain, or unknown: no limit is played, and it is said whose."""
    branch, rests_on, _ = _base(limit=limit)
    assert (branch.supply_limit_a, branch.motor_limit_a) == (inf, inf)
    assert any(said in line and "base" in line for line in rests_on)


def test_a_limit_of_nothing_is_asked() -> None:
    """One code in the field sets 0 A: it is not played, and asked."""
    branch, _, asked = _base(limit={"supply": "0 A"})
    assert branch.supply_limit_a == inf
    assert "limit-of-nothing" in asked


def test_a_motor_of_no_class_is_left_out() -> None:
    """A motor without values can't be played: asked, and the others go on."""
    robot = small_robot()
    robot["mechanisms"]["base"]["motor"] = "motor/brushless"
    made = played(robot)
    assert made.machine is not None
    assert [mechanism.name for mechanism in made.machine.mechanisms] == ["lift"]
    assert [motor.mechanism for motor in made.machine.motors] == [0]
    assert "motor-values-unknown" in codes(made)


def test_numbers_that_do_not_belong_together_are_told() -> None:
    """Torque and speed of one motor give one constant: with half of the torque it is asked, and still played."""
    plan = plan_of(as_text(small_robot()))
    devices = [
        replace(d, part=replace(d.part, values={**d.part.values, "stall torque": Valued(1.6, "torque", "label")}))
        if d.id == "base"
        else d
        for d in plan.robot.devices
    ]
    made = machine_of(replace(plan, robot=replace(plan.robot, devices=tuple(devices))), find_part=LIBRARY.part)
    assert [finding.code for finding in made.findings] == ["motor-values-disagree"]
    assert made.machine is not None
    assert len(made.machine.motors) == 2


def test_a_length_that_nobody_knows_is_said() -> None:
    """Without a length or a place a usual one is taken, and it is said for which circuit."""
    robot = small_robot()
    del robot["mechanisms"]["lift"]["length"]
    made = played(robot)
    assert any("no length is known" in line and line.endswith("lift") for line in made.rests_on)


def test_a_motor_behind_a_sub_block() -> None:
    """The feeder's wires, breaker and contacts come on top of the motor's own."""
    robot = small_robot()
    robot["blocks"]["sub"] = {"part": "block/sub-6-light", "from": "block", "length": "30 cm"}
    near = played(robot).machine
    robot["mechanisms"]["base"] |= {"from": "sub", "protection": "20 A", "wire": "12 AWG"}
    far = played(robot).machine
    assert near is not None
    assert far is not None
    own = 2 * (0.5 + 0.2) * LEAD_12_OHM_PER_M + 0.08 / 20
    # 30 cm out and back, 12 AWG at the thinnest and 6 AWG at the thickest, and a breaker of 30 or 40 A.
    assert own + 0.6 * 1.29e-3 + 0.08 / 40 < far.motors[0].line_ohm < own + 0.6 * 5.22e-3 + 0.08 / 30
    assert far.motors[0].joints == near.motors[0].joints + 6
