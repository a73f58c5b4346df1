"""A made-up robot of 16 branches for studies: events and all, with a risk to brown out that its battery sets."""

from __future__ import annotations

from math import inf
from typing import Final

from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.engine.study import Study
from loomwright.match.machine import (
    Air,
    Battery,
    Control,
    Doubt,
    Gravity,
    LoadBranch,
    LoadKind,
    Machine,
    Mechanism,
    MotorBranch,
    Thresholds,
    Trip,
    WireHeat,
)

_BREAKER: Final = Trip(40.0, 40.0, 34.0, (0.5, 2.0), resets=True, assumed=True)
_MAIN: Final = Trip(120.0, 120.0, 78.0, (0.6, 1.6), resets=False, assumed=True)
_WIRE: Final = WireHeat("12", 0.0052, 0.1, 18.0, 105.0)
_DOUBTS: Final = (
    Doubt("battery ohm", "its resistance", 0.85, 1.17),
    Doubt("capacity", "what it holds", 0.87, 1.15),
    Doubt("charge", "how full it is", 0.85, 0.97),
    Doubt("joint ohm", "each contact", 0.0005, 0.002, logarithmic=True),
    Doubt("main joint ohm", "each contact of the main leads", 0.0001, 0.0005, logarithmic=True),
    Doubt("trip", "each breaker", 0.0, 1.0),
    Doubt("warmth", "the air", 18.0, 30.0),
)
_TURN: Final = (-0.15, 0.15)
_STEPS: Final = (
    Step("sprint", (1.2, 2.2), (Wish("drive", (0.9, 1.0), turn=_TURN), Wish("lift", (0.0, 0.0)))),
    Step("take", (0.5, 1.0), (Wish("drive", (0.2, 0.4)), Wish("roller", (1.0, 1.0), (0.5, 1.0)), Wish("arm", (0, 0)))),
    Step("reverse", (0.5, 1.0), (Wish("drive", (-1.0, -0.8), turn=_TURN), Wish("flywheel", (0.8, 0.9)))),
    Step("spin", (0.3, 0.6), (Wish("drive", (0.0, 0.0), turn=(-0.6, 0.6)), Wish("flywheel", (0.9, 1.0)))),
    Step("carry", (1.0, 1.8), (Wish("drive", (0.8, 1.0), turn=_TURN), Wish("lift", (0.7, 1)), Wish("arm", (0.6, 0.9)))),
    Step("score", (1.0, 1.8), (Wish("roller", (-0.8, -0.8), (0.4, 0.8)), Wish("flywheel", (1, 1))), shots=3, strokes=2),
    Step("look", (0.5, 2.0), ()),
)
_CLIMB: Final = (
    Step("go there", (2.0, 3.5), (Wish("drive", (0.4, 0.6)), Wish("flywheel", (0.0, 0.0)))),
    Step("pull up", (20.0, 30.0), (Wish("climber", (0.8, 1.0)),)),
)
_DRIVER: Final = Driver(
    "hard",
    "made up for tests",
    1.0,
    (Phase("driven", 0.0, 130.0, (("score", 1.0),)), Phase("end", 130.0, 150.0, (("climb", 1.0),))),
    (Cycle("score", _STEPS), Cycle("climb", _CLIMB)),
)
#: The middle of the battery's resistance at which a third of all matches brown out.
RISKY_OHM: Final = 0.0113


def _mechanisms() -> tuple[Mechanism, ...]:
    drive = Mechanism(
        "left drive", "drive", Control.DUTY, 3, 3.2e-4, moved=2.3e-3, grip_nm=2.6, friction_nm=0.24,
        metres_per_rad=0.0088, ramp_s=0.2,
    )  # fmt: skip
    right = Mechanism(
        "right drive", "drive", Control.DUTY, 3, 3.2e-4, moved=2.3e-3, grip_nm=2.6, friction_nm=0.24,
        metres_per_rad=0.0088, ramp_s=0.2,
    )  # fmt: skip
    lift = Mechanism(
        "lift", "lift", Control.PLACE, 2, 1.5e-4, friction_nm=0.1, gravity=Gravity.STEADY, gravity_nm=0.2, way=540.0,
        metres_per_rad=0.0017, ramp_s=0.2,
    )  # fmt: skip
    arm = Mechanism(
        "arm", "arm", Control.PLACE, 1, 2.3e-4, friction_nm=0.12, gravity=Gravity.TURNING, gravity_nm=0.23,
        start_angle=-0.785, angle_per_rad=0.011, way=188.0, ramp_s=0.2,
    )  # fmt: skip
    roller = Mechanism(
        "intake", "roller", Control.DUTY, 1, 1.8e-4, friction_nm=0.13, brakes=False, work_nm=0.42, ramp_s=0.2
    )
    flywheel = Mechanism(
        "shooter", "flywheel", Control.SPEED, 2, 3.2e-3, friction_nm=0.14, full_speed=419.0, brakes=False,
        shot_share=0.15, ramp_s=0.2,
    )  # fmt: skip
    climber = Mechanism(
        "climber", "climber", Control.PLACE, 2, 1.0e-4, friction_nm=0.12, gravity=Gravity.STEADY, gravity_nm=0.3,
        way=2000.0, ramp_s=0.2,
    )  # fmt: skip
    return drive, right, lift, arm, roller, flywheel, climber


def sixteen(battery_ohm: float = RISKY_OHM) -> Machine:
    """Return the robot with a battery of this resistance: 14 motors, a computer, a pump."""
    mechanisms = _mechanisms()
    limits = {"drive": (40.0, 80.0), "flywheel": (30.0, 60.0), "roller": (25.0, 40.0), "climber": (30.0, inf)}
    motors = []
    for m, one in enumerate(mechanisms):
        for n in range(one.motors):
            name = f"{one.name} {n + 1}"
            supply, motor = limits.get(one.kind, (40.0, 60.0))
            motors.append(
                MotorBranch(name, name, m, 0.0778, 0.0189, 0.008 + 0.001 * n, 6, supply, motor, _BREAKER, _WIRE)
            )
    loads = (
        LoadBranch("computer", "computer", LoadKind.POWER, 0.02, 6, power_w=44.0),
        LoadBranch("compressor", "compressor", LoadKind.PUMP, 0.035, 10, current_a=9.4, start_a=17.0, trip=_BREAKER),
    )
    battery = Battery(
        "a tired one", 12.5, ((0.0, 11.8), (0.25, 12.075), (0.5, 12.375), (0.75, 12.65), (1.0, 12.925)), battery_ohm,
        ((0.31 * battery_ohm, 0.4), (0.54 * battery_ohm, 30.0)), 0.022, 3.0, 0.1,
    )  # fmt: skip
    low = Thresholds("computer", 6.75, 7.5, 0.02, 4.5, 4.65, 50.0)
    return Machine(
        "sixteen", battery, 0.0027, 6, tuple(motors), loads, mechanisms, low, _MAIN, None, Air(0.75, 60, 0.037)
    )


def risky(step_s: float = 0.005, seed: int = 1) -> Study:
    """Return a study of the robot with a driver who spares nothing."""
    return Study(sixteen(), _DOUBTS, (_DRIVER,), seed, step_s)
