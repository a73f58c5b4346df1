"""Mechanisms: by hand, and the examples against what such robots do."""

from __future__ import annotations

from dataclasses import replace
from math import inf, pi
from typing import Any

import pytest

from loomwright.match.machine import Control, Gravity, Mechanism
from loomwright.match.of_plan import MachineOf, machine_of
from loomwright.model.fact import Fact
from tests.match.small_robot import codes, played, small_robot
from tests.robots import as_text, plan_of

G = 9.80665


def _with(name: str, does: dict[str, Any]) -> MachineOf:
    robot = small_robot()
    robot["mechanisms"][name]["does"] = does
    return played(robot)


def _mechanism(made: MachineOf, name: str) -> Mechanism:
    assert made.machine is not None
    return next(mechanism for mechanism in made.machine.mechanisms if mechanism.name == name)


def test_a_drive_by_hand() -> None:
    """50 kg on wheels of 10 cm behind 8: 6.25 mm a radian, and weight times grip over an efficiency of 0.9."""
    base = _mechanism(played(small_robot()), "base")
    assert base.metres_per_rad == pytest.approx(0.05 / 8)
    assert base.moved == pytest.approx(50 * (0.05 / 8) ** 2 / 0.9)
    assert base.grip_nm == pytest.approx(50 * G * 0.05 / 8 / 0.9)
    # Somebody who holds as hard as the wheels grip: a load of 1 is all of the grip.
    assert base.work_nm == base.grip_nm
    assert base.control is Control.DUTY
    assert base.way == inf


def test_grip_counts() -> None:
    """A floor that grips 1.2 lets more through than the usual 1."""
    does = {"kind": "drive", "mass": "50 kg", "wheel": "10 cm", "gearing": 8}
    usual, more = (_mechanism(_with("base", d), "base") for d in (does, does | {"grip": 1.2}))
    assert more.grip_nm == pytest.approx(1.2 * usual.grip_nm)


def test_two_sides_share_one_robot() -> None:
    """Both sides say the whole robot's mass: each moves half of it, and both together what one drive would."""
    robot = small_robot()
    base = robot["mechanisms"].pop("base")
    does = base["does"] | {"kind": "drive side"}
    robot["mechanisms"] |= {"left drive": base | {"does": does}, "right drive": base | {"does": does}}
    made, whole = played(robot), _mechanism(played(small_robot()), "base")
    sides = [_mechanism(made, name) for name in ("left drive", "right drive")]
    assert [side.kind for side in sides] == ["drive", "drive"]
    assert sum(side.moved for side in sides) == pytest.approx(whole.moved)
    assert sum(side.grip_nm for side in sides) == pytest.approx(whole.grip_nm)
    assert "the robot's mass is shared evenly by 2 drive sides" in made.rests_on


def test_sides_as_parts_of_a_drive_take_what_it_says() -> None:
    """Mass, wheel and gearing may stand at the drive that both sides are parts of."""
    robot = small_robot()
    base = robot["mechanisms"].pop("base")
    motor = {key: base[key] for key in ("motor", "controller", "length")}
    sides = {
        f"{side} side": {"does": {"kind": "drive side"}, "motors": {f"{side} motor": motor}}
        for side in ("left", "right")
    }
    robot["mechanisms"]["base"] = {"does": base["does"], "parts": sides}
    made = played(robot)
    assert _mechanism(made, "left side").moved == pytest.approx(25 * (0.05 / 8) ** 2 / 0.9)


def test_modules_are_one_drive_and_one_steering() -> None:
    """The drive motors of all modules move one mass; those that steer are a mechanism of their own."""
    robot = small_robot()
    base = robot["mechanisms"].pop("base")
    motor = {key: base[key] for key in ("motor", "controller", "length")}
    modules = {
        f"{side} module": {
            "does": {"kind": "steered module"},
            "motors": {f"{side} drive": motor, f"{side} steer": motor},
        }
        for side in ("left", "right")
    }
    robot["mechanisms"]["base"] = {"does": base["does"], "parts": modules}
    made = played(robot)
    drive, steering = _mechanism(made, "base"), _mechanism(made, "base steering")
    assert (drive.motors, steering.motors) == (2, 2)
    assert drive.moved == pytest.approx(50 * (0.05 / 8) ** 2 / 0.9)
    assert (steering.kind, steering.control) == ("steering", Control.PLACE)
    assert steering.way == pytest.approx(2 * pi * 20)
    assert made.machine is not None
    whose = {motor.name: made.machine.mechanisms[motor.mechanism].name for motor in made.machine.motors}
    assert whose["left drive"] == whose["right drive"] == "base"
    assert whose["left steer"] == "base steering"


def test_a_lift_by_hand() -> None:
    """6 kg on a drum of 4 cm behind 12: 540 rad up, 0.98 mN m a newton."""
    lift = _mechanism(played(small_robot()), "lift")
    assert lift.way == pytest.approx(0.9 * 12 / 0.02)
    assert lift.gravity_nm == pytest.approx(6 * G * 0.02 / 12 / 0.85)
    assert (lift.gravity, lift.control, lift.brakes) == (Gravity.STEADY, Control.PLACE, True)


def test_an_arm_by_hand() -> None:
    """3 kg at 60 cm behind 90 over 120 degrees: as far as its motor turns, and its weight at the horizontal."""
    does = {"kind": "arm", "carries": "3 kg", "arm length": "60 cm", "turns": "120 deg", "gearing": 90}
    arm = _mechanism(_with("lift", does), "lift")
    assert arm.way * arm.angle_per_rad == pytest.approx(2 * pi / 3)
    assert arm.gravity_nm == pytest.approx(3 * G * 0.6 / 90 / 0.85)
    assert arm.gravity is Gravity.TURNING


def test_a_flywheel_that_says_no_speed() -> None:
    """It gets a share of its free speed, which is said; one that says 4000 rpm gets that times its gearing."""
    silent = _with("lift", {"kind": "flywheel", "gearing": 2})
    assert _mechanism(silent, "lift").full_speed == pytest.approx(0.8 * 6000 * pi / 30)
    assert any("80% of the free speed" in line for line in silent.rests_on)
    said = _mechanism(_with("lift", {"kind": "flywheel", "gearing": 1.2, "speed": "4000 rpm"}), "lift")
    assert said.full_speed == pytest.approx(1.2 * 4000 * pi / 30)
    assert said.shot_share > 0


@pytest.mark.parametrize("key", ["mass", "wheel", "gearing"])
def test_what_a_drive_must_say_is_asked(key: str) -> None:
    """One finding names the key with an example; the drive is left out, the lift goes on."""
    does = {"kind": "drive", "mass": "50 kg", "wheel": "10 cm", "gearing": 8}
    silent = _with("base", {k: v for k, v in does.items() if k != key})
    asked = next(finding for finding in silent.findings if finding.code == "mechanism-says-too-little")
    assert asked.place.thing == f"mechanisms.base.does.{key}"
    assert asked.asks
    assert f"{key}: " in asked.fix
    assert silent.machine is not None
    assert [m.name for m in silent.machine.mechanisms] == ["lift"]


@pytest.mark.parametrize("key", ["mass", "wheel", "gearing"])
def test_zero_is_no_amount(key: str) -> None:
    """A file can't write it, a program can: it is told plainly, and nothing is divided by it."""
    plan = plan_of(as_text(small_robot()))
    base, lift = plan.robot.mechanisms
    nothing = replace(base, does={**base.does, key: Fact.of(0.0)})
    made = machine_of(replace(plan, robot=replace(plan.robot, mechanisms=(nothing, lift))))
    assert [(f.code, f.place.thing) for f in made.findings] == [("mechanism-says-zero", f"mechanisms.base.does.{key}")]
    assert f"The {key} of base is 0" in made.findings[0].what
    assert made.machine is not None
    assert [m.name for m in made.machine.mechanisms] == ["lift"]


def test_a_mechanism_that_does_not_say_what_it_does() -> None:
    """Its kind is asked and it is left out; with none that says enough there is no machine."""
    made = _with("base", {})
    assert "mechanism-kind-unknown" in codes(made)
    robot = small_robot()
    for mechanism in robot["mechanisms"].values():
        del mechanism["does"]
    nothing = played(robot)
    assert nothing.machine is None
    assert "nothing-moves" in codes(nothing)
