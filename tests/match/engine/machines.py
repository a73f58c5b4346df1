"""Machines and drivers for proofs of the kernel: small ones, and one with everything in it."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import Any, Final

from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
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

BATTERY: Final = Battery(
    "test",
    17.0,
    ((0.0, 11.8), (0.25, 12.0), (0.5, 12.3), (0.75, 12.6), (1.0, 12.85)),
    0.008,
    ((0.002, 0.5), (0.003, 30.0)),
    0.05,
    10.0,
    0.1,
)
THRESHOLDS: Final = Thresholds("computer", 6.75, 7.5, 0.2, 4.5, 4.65, 1.0)
#: Never off, so that nothing happens but motion.
CALM: Final = Thresholds("computer", 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
TRIP: Final = Trip(40, 46, 20, (0.5, 2.0), resets=True, assumed=True)
QUICK: Final = Trip(10, 12, 0.4, (0.5, 2.0), resets=True, assumed=True)
WIRE: Final = WireHeat("12 AWG", 0.0052, 0.1, 12.0, 105)
K: Final = 12 / 630
OHM: Final = 12 / 170


def motor(mechanism: int, name: str = "", **changes: Any) -> MotorBranch:  # noqa: ANN401  fields by name
    """Return a usual motor branch with changes."""
    made = MotorBranch(name or f"motor {mechanism}", "", mechanism, OHM, K, 0.012, 4, 40.0, 80.0, TRIP, WIRE)
    return replace(made, **changes)


def contacts(machine: Machine, ohm: float = 0.0) -> list[float]:
    """Return contacts of this resistance for each branch and the main leads, each next a little more [ohm]."""
    return [ohm * (1 + i / 8) for i in range(len(machine.motors) + len(machine.loads) + 1)]


def whole_machine() -> Machine:
    """Return a machine with everything: two drive sides, lift, arm, roller, flywheel, electronics, pump, air."""
    side = Mechanism(
        "left", "drive", Control.DUTY, 2, 2e-4, 27 * 0.0088**2, 2.5, 0.05, 1e-5, metres_per_rad=0.0088, ramp_s=0.1
    )
    mechanisms = (
        side,
        replace(side, name="right"),
        Mechanism(
            "lift", "lift", Control.PLACE, 2, 3e-4, 0.0, inf, 0.04, 1e-5, Gravity.STEADY, 0.3, way=200.0, ramp_s=0.02
        ),
        Mechanism(
            "arm",
            "arm",
            Control.PLACE,
            1,
            3e-4,
            0.0,
            inf,
            0.02,
            0.0,
            Gravity.TURNING,
            0.4,
            -0.5,
            0.006,
            300.0,
            ramp_s=0.05,
        ),
        Mechanism("roller", "roller", Control.DUTY, 1, 8e-5, friction_nm=0.03, brakes=False, work_nm=0.6),
        Mechanism(
            "wheel", "flywheel", Control.SPEED, 1, 2e-3, friction_nm=0.02, full_speed=450.0, shot_share=0.2, ramp_s=0.0
        ),
    )
    motors = (
        motor(0, "left 1"),
        motor(1, "right 1", line_ohm=0.015),
        motor(0, "left 2", line_ohm=0.02),
        motor(1, "right 2"),
        motor(2, "lift 1"),
        motor(2, "lift 2"),
        motor(3, "arm", supply_limit_a=inf, motor_limit_a=inf),
        motor(4, "roller", trip=QUICK, supply_limit_a=inf, motor_limit_a=60.0),
        motor(5, "wheel", supply_limit_a=inf),
    )
    loads = (
        LoadBranch("computer", "", LoadKind.POWER, 0.02, 4, power_w=25.0, wire=WIRE),
        LoadBranch("lamp", "", LoadKind.POWER, 0.1, 4, power_w=150.0, works_from_v=9.0, trip=QUICK),
        LoadBranch("pump", "", LoadKind.PUMP, 0.02, 4, current_a=9.4, start_a=17.0, trip=TRIP),
    )
    main = Trip(120, 130, 60, (0.5, 2.0), resets=False, assumed=True)
    air = Air(0.75, 40.0, 0.08, waits=True)
    return Machine("all", BATTERY, 0.004, 4, motors, loads, mechanisms, THRESHOLDS, main, WIRE, air)


def busy_driver(lasts_s: float = 4.0) -> Driver:
    """Return a driver that asks for everything within a few seconds, and leaves gaps between phases' cycles."""
    cycles = (
        Cycle(
            "go",
            (
                Step(
                    "sprint", (0.5, 0.9), (Wish("drive", (0.8, 1.0), (0.0, 0.0), (-0.1, 0.1)), Wish("lift", (0.9, 1.0)))
                ),
                Step("back", (0.4, 0.7), (Wish("drive", (-1.0, -0.9)), Wish("roller", (0.6, 1.0), (0.5, 1.0)))),
                Step(
                    "score",
                    (0.4, 0.6),
                    (Wish("arm", (0.2, 1.0)), Wish("wheel", (0.9, 1.0)), Wish("left", (0.5, 0.5))),
                    shots=2,
                    strokes=4,
                ),
                Step("down", (0.3, 0.4), (Wish("lift", (0.0, 0.1)), Wish("roller", (-1.0, -0.5)))),
            ),
        ),
        Cycle("wait", (Step("wait", (0.1, 0.3), (Wish("flywheel", (0.5, 0.6)),)),)),
    )
    third = lasts_s / 3
    phases = (
        Phase("first", 0.0, third, (("go", 2.0), ("wait", 0.0))),
        Phase("pause", third, third + 0.3),
        Phase("last", third + 0.3, lasts_s, (("wait", 1.0), ("go", 3.0))),
    )
    return Driver("busy", "", 1.0, phases, cycles)


def one_motor(**changes: Any) -> Machine:  # noqa: ANN401  fields by name
    """Return a battery with one motor that turns a wheel, nothing else; `changes` are those of the mechanism."""
    wheel = Mechanism("wheel", "roller", Control.DUTY, 1, 2e-3, ramp_s=0.0)
    branch = motor(0, supply_limit_a=inf, motor_limit_a=inf, trip=None, wire=None)
    turned = replace(wheel, **changes)
    return Machine("one", BATTERY, 0.004, 4, (branch,), (), (turned,), CALM)


def push(goal: float = 1.0, lasts_s: float = 2.0, whom: str = "wheel") -> Driver:
    """Return a driver that asks for one thing all the time."""
    cycle = Cycle("push", (Step("push", (lasts_s, lasts_s), (Wish(whom, (goal, goal)),)),))
    return Driver("push", "", 1.0, (Phase("all", 0.0, lasts_s, (("push", 1.0),)),), (cycle,))


#: The same with a computer that gives up early, so that much happens.
TOUCHY: Final = replace(whole_machine(), thresholds=Thresholds("computer", 8.5, 9.0, 0.05, 7.5, 7.6, 0.4))
DOUBTS: Final = (
    Doubt("battery ohm", "", 0.8, 1.25, logarithmic=True),
    Doubt("capacity", "", 0.7, 1.0),
    Doubt("charge", "", 0.8, 1.0),
    Doubt("joint ohm", "", 0.0002, 0.002, logarithmic=True),
    Doubt("main joint ohm", "", 0.0001, 0.0002),
    Doubt("trip", "", 0.0, 1.0),
    Doubt("warmth", "", 18.0, 38.0),
)
